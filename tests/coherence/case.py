"""One status with its answers, read the way the laws ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from itertools import islice
from typing import Any, Final

from rules import RULES
from rules.language.model import Gravity
from service.answer.advice import AnswerForm, Judgement, advise, answer_for, judgement_of
from service.answer.plain_text import brief_as_text
from service.batch.answers import judgements
from service.status.models import Status
from service.status.reading import read_status

Body = dict[str, Any]
Answer = dict[str, Any]
BESIDE: Final = 200


@dataclass
class Case:
    """A status and what is answered to it, in metric units. Answers are worked out when first asked for."""

    body: Body
    _gone_through: tuple[Answer, list[tuple[str, Any]]] | None = None
    _shortened: tuple[Answer, str] | None = None

    @classmethod
    def side_by_side(cls, bodies: Iterable[Body]) -> Iterator[Case]:
        """Cases whose heat is counted many at a time, at half the cost; a batch's answers are those of single ones."""
        waiting = iter(bodies)
        while cases := [cls(body) for body in islice(waiting, BESIDE)]:
            for case, judgement in zip(cases, judgements([case.status for case in cases]), strict=True):
                case.judgement = judgement
            yield from cases

    @cached_property
    def status(self) -> Status:
        return read_status(self.body)

    @cached_property
    def judgement(self) -> Judgement:
        """What is found and decided without what-ifs."""
        return judgement_of(self.status, "none")

    @cached_property
    def none(self) -> Answer:
        return answer_for(self.judgement, AnswerForm("none", "metric"))

    @cached_property
    def full(self) -> Answer:
        return advise(self.status, "full", "metric")

    def parts(self, answer: Answer) -> list[tuple[str, Any]]:
        """Everything in an answer with its place, once for all laws that go through it."""
        if self._gone_through is None or self._gone_through[0] is not answer:
            self._gone_through = answer, _parts(answer)
        return self._gone_through[1]

    def brief(self, answer: Answer) -> str:
        """The short form of an answer, once for all laws that read it."""
        if self._shortened is None or self._shortened[0] is not answer:
            self._shortened = answer, brief_as_text(answer)
        return self._shortened[1]

    @cached_property
    def us(self) -> Answer:
        """The quick answer in the other system."""
        return answer_for(self.judgement, AnswerForm("none", "us"))


def _parts(answer: Answer) -> list[tuple[str, Any]]:
    """An answer is made of plain dicts and lists, as it is written."""
    found: list[tuple[str, Any]] = [("", answer)]
    for place, value in found:
        if type(value) is dict:
            found += [(f"{place}/{key}", part) for key, part in value.items()]
        elif type(value) is list:
            found += [(f"{place}/{number}", part) for number, part in enumerate(value)]
    return found


def told(body: Mapping[str, Any], *path: str) -> Any:
    """The value at a path of the status as sent, None where it was not told."""
    found: Any = body
    for part in path:
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def moves(answer: Answer) -> list[str]:
    return [action["action"] for action in answer["actions"]]


def first(answer: Answer) -> Mapping[str, Any]:
    found: Mapping[str, Any] = answer["actions"][0]
    return found


def action(answer: Answer, name: str) -> Mapping[str, Any] | None:
    return next((each for each in answer["actions"] if each["action"] == name), None)


def cautions(answer: Answer) -> Iterator[Mapping[str, Any]]:
    for each in answer["actions"]:
        yield from each["cautions"]


def warned(answer: Answer, *words: str) -> bool:
    """Whether some caution, or some first reason, holds one of the words."""
    texts = [caution["text"] for caution in cautions(answer)]
    texts += [reason["text"] for each in answer["actions"] for reason in each["reasons"]]
    return any(word.casefold() in text.casefold() for word in words for text in texts)


def in_fire(answer: Answer) -> bool:
    return bool(first(answer)["action"] == "keep_clear_and_call_fire_service")


def hottest(body: Mapping[str, Any]) -> float | None:
    """The hottest reading of now [degC]; the last of the history where none is of now."""
    now = [
        told(body, "temperatures", "core"),
        *(point["value"] for point in told(body, "temperatures", "points") or []),
    ]
    known = [float(value) for value in now if value is not None]
    past = told(body, "history")
    if not known and past:
        known = [float(max(past, key=lambda reading: str(reading["at"]))["core"])]
    outer = told(body, "temperatures", "outer")
    return max([*known, *([] if outer is None else [float(outer)])], default=None)


def season_of(body: Mapping[str, Any]) -> int:
    return datetime.fromisoformat(body["as_of"]).month


def is_lethal(rule: str) -> bool:
    """Whether a caution of this rule is one for life."""
    return getattr(RULES[rule].gives, "gravity", None) is Gravity.LIFE


def drawn_told(body: Mapping[str, Any], way: str) -> bool | None:
    """Whether a draw runs by what was told: None where nothing was said of it, False where it is off."""
    draw = told(body, "draw", way)
    if not draw:
        return None
    if 0 in (draw.get("flow"), draw.get("minutes_per_hour"), draw.get("hours_per_day")):
        return False
    warmed = draw.get("inlet") is not None and draw.get("outlet") is not None and draw["outlet"] > draw["inlet"]
    return (
        True
        if warmed or any(draw.get(name) for name in ("flow", "minutes_per_hour", "hours_per_day", "since"))
        else None
    )


def days_ahead(answer: Answer) -> list[int]:
    """How many days ahead each core of the outlook lies."""
    days = [date.fromisoformat(at[:10]) for at in answer["outlook"]["at"]]
    return [(day - days[0]).days for day in days]
