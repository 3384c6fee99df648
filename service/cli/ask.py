"""`warmheap ask`: walks through the questions that help most, in a terminal, and ends with the ranked actions."""

from __future__ import annotations

import argparse
import contextlib
import copy
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

from service import talk
from service.cli import screen
from service.cli.common import say_short

if TYPE_CHECKING:
    from service.talk.chat.draft import Draft
    from service.talk.chat.understanding import Heard

MOST_QUESTIONS: Final = 12
MOST_TRIES: Final = 3
_STOP: Final = frozenset({"stop", "enough", "done", "quit", "exit", "end", "q"})


def add(commands: Any, read: Callable[[str], bytes]) -> None:
    """Add the command to the subparsers of `warmheap`; `read` gives the bytes of a named file."""
    parser = commands.add_parser("ask", help="be asked what helps most, then get the ranked actions")
    parser.add_argument("file", metavar="FILE", nargs="?", help="start from this status, a JSON file")
    parser.add_argument("--units", choices=["us", "metric"], help="units of bare temperatures and of the answer")
    parser.add_argument("--all", action="store_true", help="end with everything: steps, reasons, sources, figures")
    parser.set_defaults(run=lambda options: _run(options, read))


def _run(options: argparse.Namespace, read: Callable[[str], bytes]) -> int:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401 - its import gives `input` line editing and a history
    drafts = [_start(read(options.file) if options.file else b"{}", options.units)]
    screen.say(screen.words("how"))
    _ask(drafts)
    return _finish(drafts[-1], whole=options.all)


def _start(body: bytes, units: str | None) -> Draft:
    from service.status.partial import read_partial

    status, skipped = read_partial(body)
    draft = talk.chat.draft.Draft.of(status, skipped=list(skipped))
    if units is not None:
        draft.status["units"] = units
    return draft


def _ask(drafts: list[Draft]) -> None:
    """Ask until enough is known, nobody answers, or the person has had enough; `drafts` holds what was known before."""
    tries = 0
    for _ in range(MOST_QUESTIONS * MOST_TRIES):
        draft = drafts[-1]
        question = _next(draft)
        if question is None or len(draft.skipped) > MOST_QUESTIONS:
            return
        draft.asked = question["field"]
        screen.say(f"\n{question['question']}")
        answer = _answer_or_talk(question, drafts)
        if answer is None or answer.strip(" .!").lower() in _STOP:
            return
        if answer == "":
            continue
        drafts.append(copy.deepcopy(drafts[-1]))
        tries = 0 if _take(drafts[-1], answer) else tries + 1
        if tries >= MOST_TRIES:
            _skip(drafts[-1])
            tries = 0


def _answer_or_talk(question: Mapping[str, Any], drafts: list[Draft]) -> str | None:
    """The next line that answers; empty where the question is to be asked anew, None where there are no more lines."""
    while True:
        answer = screen.typed_line("> ")
        if answer is None or not answer.strip():
            return answer if answer is None else ""
        command = talk.chat.commands.command_in(answer)
        if command is None or command.kind not in ("why", "undo", "help"):
            return answer
        if command.kind == "undo":
            if len(drafts) == 1:
                screen.say(screen.words("nothing-to-undo"))
                continue
            drafts.pop()
            screen.say(screen.words("undone"))
            return ""
        screen.say(screen.words("how") if command.kind == "help" else _why(question))


def _why(question: Mapping[str, Any]) -> str:
    """Why this is asked, and how likely the answer changes what to do first."""
    chance = question.get("changes_first_action")
    if not chance:
        return str(question["why"])
    return f"{question['why']} {screen.words('chance', times=max(1, round(10 * chance)))}"


def _take(draft: Draft, answer: str) -> bool:
    """Take one answer; whether it brought anything."""
    if _is_unknown(answer):
        _skip(draft)
    return _hear(draft, answer)


def _next(draft: Draft) -> Mapping[str, Any] | None:
    from service.questions.question import next_question

    if draft.waiting:
        return talk.chat.advising.SCALE_QUESTION
    asked = next_question(draft.as_of(_now()), draft.skipped)
    if not asked["question"]:
        screen.say(f"\n{asked['why']}")
        return None
    return asked


def _is_unknown(answer: str) -> bool:
    command = talk.chat.commands.command_in(answer)
    return command is not None and command.kind == "unknown"


def _skip(draft: Draft) -> None:
    """Leave what was asked unknown."""
    if draft.waiting:
        draft.waiting.clear()
    elif draft.asked is not None and draft.asked not in draft.skipped:
        draft.skipped.append(draft.asked)


def _hear(draft: Draft, answer: str) -> bool:
    """Read an answer and say back what was read and what was not; whether it brought anything."""
    command = talk.chat.commands.command_in(answer)
    if command is not None and command.kind == "scale":
        heard = talk.chat.talk.hear_scale(draft, command.word, _now())
    elif command is not None and command.kind == "unknown":
        if not command.rest:
            return True
        heard = talk.chat.hearing.hear(command.rest, draft, _now())
    else:
        heard = talk.chat.hearing.hear(answer, draft, _now())
    unread = [item.text for item in heard.unread]
    for sentence in talk.chat.alarm.alarms(answer, unread, [*heard.understood, *draft.waiting], draft.status).sentences:
        screen.say(sentence)
    _tell(heard)
    return bool(heard.understood or draft.waiting)


def _tell(heard: Heard) -> None:
    from rules.catalogue import said

    if heard.understood:
        screen.say(said("chat.read", told="; ".join(talk.chat.saying.all_said(heard.understood))))
    for item in heard.unread:
        screen.say(screen.words("not-read", what=item.text, why=item.why))


def _finish(draft: Draft, *, whole: bool) -> int:
    """Print the ranked actions; exit code 2 where too little is known for any."""
    from rules.catalogue import said
    from service.answer.advice import advise
    from service.answer.plain_text import advice_as_text
    from service.status.partial import lacking
    from service.status.reading import read_status

    if lacking(draft.status):
        screen.tell_error(said("ask.not-without"))
        return 2
    print()
    answer = advise(read_status(draft.as_of(_now())))
    if whole:
        screen.say(advice_as_text(answer))
    else:
        say_short(answer)
    return 0


def _now() -> datetime:
    return datetime.now().astimezone().replace(microsecond=0)
