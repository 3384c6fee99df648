"""Which check would most likely change the first action: each likely answer is tried on the whole flow."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any, Final

from rules.catalogue import said
from rules.infer import infer_plainly
from rules.questions import QUESTIONS, Answer, Question
from service.changed import changed, with_ingredients, with_value, with_volume
from service.picture import Picture, picture_of
from service.rank import rank
from service.schemas import Draw, Reading, Status

MOST_ASKED: Final = 3
TREND_DAYS: Final = 3.0
TREND_K: Final = 4.0
"""A core that rises or falls is tried with this change [K] over these days (our own)."""


def ask_next(picture: Picture, first_action: str, *, weighed: bool) -> list[dict[str, Any]]:
    """The most useful questions that the status leaves open.

    `weighed` runs every likely answer and orders by the chance that the first action changes; else the order of the
    table stands and the chance is null.
    """
    left_open = open_questions(picture)
    if not weighed:
        return [_shown(question, None) for question in left_open[:MOST_ASKED]]
    chances = [(_chance_of_change(question, picture, first_action), question) for question in left_open]
    ordered = sorted(chances, key=lambda pair: -pair[0])
    return [_shown(question, chance) for chance, question in ordered[:MOST_ASKED]]


def open_questions(picture: Picture) -> list[Question]:
    """The questions a status leaves open, most useful first as common practice has it."""
    return [question for question in QUESTIONS if not _answered(question.field, picture)]


def status_if(answer: Answer, picture: Picture) -> Status:
    """The status as it would be with this answer."""
    status = picture.status
    for field, value in answer.sets.items():
        status = _with(status, field, value, picture)
    return status


def _shown(question: Question, chance: float | None) -> dict[str, Any]:
    return {
        "question": said(f"question{question.field.replace('/', '.')}.text"),
        "field": question.field,
        "why": said(f"question{question.field.replace('/', '.')}.why"),
        "changes_first_action": None if chance is None else round(chance, 2),
    }


def _chance_of_change(question: Question, picture: Picture, first_action: str) -> float:
    total = sum(answer.share for answer in question.answers)
    changed = sum(answer.share for answer in question.answers if _first_action(answer, picture) != first_action)
    return changed / total


def _first_action(answer: Answer, picture: Picture) -> str:
    status = status_if(answer, picture)
    found = infer_plainly(picture_of(status).derived.facts)
    on_hand = None if status.on_hand is None else frozenset(status.on_hand)
    return rank(found.fired, on_hand=on_hand, freezing=found.facts.get("freezing") is True)[0].action.id


def _answered(field: str, picture: Picture) -> bool:
    """Whether the status already says it, or cannot say it usefully."""
    status, facts = picture.status, picture.derived.facts
    match field:
        case "/moisture_feel":
            return status.pile.moisture is not None or (
                status.moisture_feel is not None and status.moisture_feel_at != "surface"
            )
        case "/history":
            return bool(status.history)
        case "/draw":
            fitted = facts.get("has_air_duct") or facts.get("has_water_loop")
            return not fitted or "drawing" in facts
        case "/weather/low":
            return status.greenhouse is None or (status.weather is not None and status.weather.low is not None)
        case "/probe/length":
            return "probe_too_short" in facts or picture.size.radius_m is None
        case _:
            return any(_told(status, field))


def _told(status: Status, field: str) -> Iterator[bool]:
    value: Any = status
    for name in field.strip("/").split("/"):
        value = getattr(value, name, None) if value is not None else None
    yield value is not None


def _with(status: Status, field: str, value: Any, picture: Picture) -> Status:
    """The status as it would be with this answer."""
    match field:
        case "/history":
            return changed(status, history=[_earlier(status, value, picture)])
        case "/pile/ingredients":
            return with_ingredients(status, value, picture.size.volume.value)
        case "/pile/size":
            return with_volume(status, value)
        case "/draw":
            return changed(status, draw=_draw_for(value, picture))
        case _:
            return with_value(status, field, value)


def _earlier(status: Status, how: str, picture: Picture) -> Reading:
    change = {"falling": TREND_K, "steady": 0.0, "rising": -TREND_K}[how]
    core_c = float(picture.derived.facts["core_c"]) + change
    return Reading.model_construct(at=status.as_of - timedelta(days=TREND_DAYS), core=core_c)


def _draw_for(minutes: float, picture: Picture) -> Draw:
    """A usual pump or fan for so many minutes in the hour, whichever is fitted."""
    if picture.derived.facts.get("has_water_loop"):
        pump = {"flow": "2 L/min", "minutes_per_hour": minutes, "tube": "plastic", "tube_length": "50 m"}
        return Draw.model_validate({"water": pump})
    return Draw.model_validate({"air": {"flow": "70 m3/h", "minutes_per_hour": minutes, "path": "closed_duct"}})
