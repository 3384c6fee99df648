"""The next question as a tool: put to the person through the client where it can, as text where it cannot."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Final

from rules.actions.records import ACTIONS
from rules.catalogue import said
from service.problems.json_text import check_data
from service.problems.problem import Problem
from service.questions.question import next_question
from service.questions.shape import LikelyAnswer, NextQuestion
from service.status.partial import check_partial
from service.talk.chat.alarm import alarms
from service.talk.chat.commands import command_in
from service.talk.chat.draft import Draft
from service.talk.chat.hearing import hear
from service.talk.chat.reading import HeardValue
from service.talk.chat.saying import all_said
from service.talk.chat.talk import hear_scale
from service.talk.chat.understanding import Heard
from service.talk.tools.answers import Arguments, ToolAnswer
from service.talk.tools.results import ToolQuestion
from service.talk.tools.schemas import Schema

ANSWER: Final = "answer"
DONT_KNOW: Final = said("tool.dont-know")
LONGEST_ANSWER: Final = 500
_WORD_FIELDS: Final = frozenset({"/moisture_feel", "/smell", "/pile/cover", "/signs"})


@dataclass(slots=True)
class Ask:
    """One question about one heap, and what came of putting it to the person."""

    draft: Draft
    heard: Heard = field(default_factory=Heard)
    warning: str | None = None

    @classmethod
    def of(cls, arguments: Arguments) -> Ask:
        """From the tool's arguments. Raises Problem where they cannot be used."""
        status, skipped = arguments.get("status") or {}, arguments.get("skipped") or []
        check_data([status, skipped])
        if not isinstance(status, dict):
            raise Problem("invalid-request", "status is an object; {} if nothing is known yet.")
        if not isinstance(skipped, list) or not all(isinstance(item, str) for item in skipped):
            raise Problem("invalid-request", 'skipped is a list of fields, such as ["/smell"].')
        check_partial(status)
        return cls(Draft.of(status, skipped=skipped[:40]))

    def question(self) -> NextQuestion:
        """The question that would help most now, or that enough is known."""
        asked = next_question(self.draft.as_of(_now()), self.draft.skipped)
        self.draft.asked = asked["field"]
        return asked

    def form(self, asked: NextQuestion) -> tuple[str, Schema]:
        """The question as a message and a flat form of one field; not knowing is always offered."""
        message = f"{asked['question']}\n{asked['why']}"
        return message, {
            "type": "object",
            "properties": {ANSWER: _field(asked)},
            "required": [ANSWER],
        }

    def take(self, answer: str, asked: NextQuestion) -> None:
        """Read an answer into the status, or leave what was asked unknown."""
        answer = answer[:LONGEST_ANSWER]
        command = command_in(answer)
        chosen = next((item["sets"] for item in asked["answers"] if item["answer"] == answer and item["sets"]), None)
        if chosen is not None:
            self._choose(chosen)
        elif command is not None and command.kind == "scale":
            self.heard = hear_scale(self.draft, command.word, _now())
        elif command is not None and command.kind == "unknown":
            if self.draft.asked is not None:
                self.draft.skipped = [*self.draft.skipped, self.draft.asked]
        else:
            self.heard = hear(answer, self.draft, _now())
        unread = [item.text for item in self.heard.unread]
        told = [*self.heard.understood, *self.draft.waiting]
        self.warning = alarms(answer, unread, told, self.draft.status).text

    def _choose(self, sets: Mapping[str, Any]) -> None:
        """Take one of the likely answers as it stands."""
        feel = {name.strip("/"): value for name, value in sets.items() if name.startswith("/moisture_feel")}
        readings = [HeardValue("/moisture_feel", feel)] if feel else [HeardValue(*pair) for pair in sets.items()]
        for reading in readings:
            if self.draft.take(reading, _now()) is None:
                self.heard.understood.append(reading)

    def answer(self) -> ToolAnswer:
        """What to ask next, with the status as it stands."""
        asked = self.question()
        understood = all_said(self.heard.understood)
        unread = [f'"{item.text}": {item.why}' for item in self.heard.unread]
        first = asked["first_action"]
        data: ToolQuestion = {
            "enough": asked["enough"],
            "question": asked["question"],
            "field": asked["field"],
            "why": asked["why"],
            "changes_first_action": asked["changes_first_action"],
            "answers": [
                {"answer": item["answer"], "sets": item["sets"], "first_action": item["first_action"]}
                for item in asked["answers"]
            ],
            "first_action": first["action"] if first else None,
            "understood": understood,
            "unread": unread,
            "status": self.draft.status,
            "skipped": self.draft.skipped,
        }
        return ToolAnswer("\n".join(self._lines(asked, understood, unread)), data)

    def _lines(self, asked: NextQuestion, understood: list[str], unread: list[str]) -> list[str]:
        lines = [self.warning] if self.warning else []
        lines += [said("chat.read", told="; ".join(understood))] if understood else []
        lines += [said("tool.not-read", what=item) for item in unread]
        if asked["first_action"]:
            lines.append(said("tool.first-so-far", title=asked["first_action"]["title"]))
        if asked["question"]:
            lines.append(said("tool.ask", question=asked["question"]))
            lines.append(said("tool.why", why=asked["why"], field=str(asked["field"])))
            lines += [_likely(item) for item in asked["answers"]]
        else:
            lines.append(asked["why"])
        lines.append(said("tool.status-so-far", status=json.dumps(self.draft.status, ensure_ascii=False)))
        return lines


def _likely(item: LikelyAnswer) -> str:
    text_id = "tool.likely-sets" if item["sets"] else "tool.likely"
    title = ACTIONS[item["first_action"]].title.lower()
    return said(text_id, answer=item["answer"], sets=json.dumps(item["sets"]), title=title)


def _field(asked: NextQuestion) -> Schema:
    """The one field of the form: a choice where the answers are words, else free text."""
    if asked["field"] in _WORD_FIELDS and asked["answers"]:
        words = [item["answer"] for item in asked["answers"]]
        choices = [{"const": word, "title": word} for word in (*words, DONT_KNOW)]
        return {"type": "string", "title": said("tool.answer"), "oneOf": choices}
    return {
        "type": "string",
        "title": said("tool.answer"),
        "description": said("tool.own-words", dont_know=DONT_KNOW),
        "minLength": 1,
        "maxLength": LONGEST_ANSWER,
    }


def _now() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)
