"""`warmheap ask`: walks through the questions that help most, in a terminal, and ends with the ranked actions."""

from __future__ import annotations

import argparse
import sys
import textwrap
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from service.talk.chat.draft import Draft
    from service.talk.chat.hearing import Heard

WIDTH: Final = 100
MOST_QUESTIONS: Final = 12
MOST_TRIES: Final = 3
_STOP: Final = frozenset({"stop", "enough", "done", "quit", "exit", "end", "q"})
_HOW: Final = (
    'Answer in your own words, with units ("121 F", "ten weeks", "like a wrung-out rag"); tell more than is asked if '
    'you like. "Don\'t know" is an answer, "stop" ends the questions.'
)


def add(commands: Any, read: Callable[[str], bytes]) -> None:
    """Add the command to the subparsers of `warmheap`; `read` gives the bytes of a named file."""
    parser = commands.add_parser("ask", help="be asked what helps most, then get the ranked actions")
    parser.add_argument("file", metavar="FILE", nargs="?", help="start from this status, a JSON file")
    parser.add_argument("--units", choices=["us", "metric"], help="units of bare temperatures and of the answer")
    parser.set_defaults(run=lambda options: _run(options, read))


def _run(options: argparse.Namespace, read: Callable[[str], bytes]) -> int:
    from service.answer.plain_text import problem_as_text
    from service.problems.problem import Problem

    try:
        draft = _start(read(options.file) if options.file else b"{}", options.units)
    except OSError as error:
        print(f"{options.file} cannot be read: {error.strerror}", file=sys.stderr)
        return 2
    except Problem as problem:
        print(problem_as_text(problem), file=sys.stderr)
        return 2
    _say(_HOW)
    _ask(draft)
    return _finish(draft)


def _start(body: bytes, units: str | None) -> Draft:
    from service.status.partial import read_partial
    from service.talk.chat.draft import Draft

    status, skipped = read_partial(body)
    draft = Draft.of(status, skipped=list(skipped))
    if units is not None:
        draft.status["units"] = units
    return draft


def _ask(draft: Draft) -> None:
    """Ask until enough is known, nobody answers, or the person has had enough."""
    tries = 0
    for _ in range(MOST_QUESTIONS * MOST_TRIES):
        question = _next(draft)
        if question is None or len(draft.skipped) > MOST_QUESTIONS:
            return
        draft.asked = question["field"]
        _say(f"\n{question['question']}\n({question['why']})")
        answer = _answer()
        if answer is None or answer.strip(" .!").lower() in _STOP:
            return
        if _is_unknown(answer):
            _skip(draft)
        tries = 0 if _hear(draft, answer) else tries + 1
        if tries >= MOST_TRIES:
            _skip(draft)
            tries = 0


def _next(draft: Draft) -> dict[str, Any] | None:
    from service.questions.question import next_question
    from service.talk.chat.talk import SCALE_QUESTION

    if draft.waiting:
        return SCALE_QUESTION
    asked = next_question(draft.as_of(_now()), draft.skipped)
    if not asked["question"]:
        _say(f"\n{asked['why']}")
        return None
    return asked


def _is_unknown(answer: str) -> bool:
    from service.talk.chat.commands import command_in

    command = command_in(answer)
    return command is not None and command.kind == "unknown"


def _skip(draft: Draft) -> None:
    """Leave what was asked unknown."""
    if draft.waiting:
        draft.waiting.clear()
    elif draft.asked is not None and draft.asked not in draft.skipped:
        draft.skipped.append(draft.asked)


def _hear(draft: Draft, answer: str) -> bool:
    """Read an answer and say back what was read and what was not; whether it brought anything."""
    from service.talk.chat.alarm import alarms
    from service.talk.chat.commands import command_in
    from service.talk.chat.hearing import hear
    from service.talk.chat.talk import hear_scale

    command = command_in(answer)
    if command is not None and command.kind == "scale":
        heard = hear_scale(draft, command.word, _now())
    elif command is not None and command.kind == "unknown":
        if not command.rest:
            return True
        heard = hear(command.rest, draft, _now())
    else:
        heard = hear(answer, draft, _now())
    unread = [item.text for item in heard.unread]
    for sentence in alarms(answer, unread, [*heard.understood, *draft.waiting], draft.status).sentences:
        _say(sentence)
    _tell(heard)
    return bool(heard.understood or draft.waiting)


def _tell(heard: Heard) -> None:
    from service.talk.chat.saying import all_said

    if heard.understood:
        _say(f"Read: {'; '.join(all_said(heard.understood))}.")
    for item in heard.unread:
        _say(f'Not read: "{item.text}" - {item.why}')


def _finish(draft: Draft) -> int:
    """Print the ranked actions; exit code 2 where too little is known for any."""
    from service.answer.advice import advise
    from service.answer.plain_text import as_text
    from service.questions.question import NOT_WITHOUT
    from service.status.partial import lacking
    from service.status.reading import read_status

    if lacking(draft.status):
        print(NOT_WITHOUT, file=sys.stderr)
        return 2
    print()
    print(as_text(advise(read_status(draft.as_of(_now())))))
    return 0


def _answer() -> str | None:
    """One line from the person; None where there are no more."""
    try:
        return input("> ")[:2000]
    except EOFError:
        print()
        return None


def _say(text: str) -> None:
    for line in text.split("\n"):
        print(textwrap.fill(line, WIDTH))


def _now() -> datetime:
    return datetime.now().astimezone().replace(microsecond=0)
