"""The next best question for a status that may still be nearly empty, or that enough is known."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.engine.inference import infer_plainly
from rules.tables.fields import FIELDS
from rules.tables.questions import NAMED_SIGNS, Answer
from service.actions.decision import decided_in_full, ranked_for
from service.actions.rank import FIRE_ACTION
from service.picture.picture import learned_picture
from service.picture.record import Picture
from service.questions.shape import LikelyAnswer, NextQuestion
from service.status.models import Status
from service.status.partial import lacking
from service.status.reading import read_status
from service.units.quantities import System, spell, to_units
from service.why.flow import guess
from service.worth.checks import Weighed, weighed_in_full
from service.worth.questions import in_danger, status_if

LEAST_CHANCE: Final = 0.03
"""A question less likely than this to change the first action is not worth a walk to the heap (our own)."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known and advised now, as the full answer has it."""

    picture: Picture
    first_action: str
    gains: Mapping[str, float]


def next_question(status: Mapping[str, Any], skipped: Collection[str] = ()) -> NextQuestion:
    """The next question.

    Parameters
    ----------
    status
        A status that `check_partial` found good; its age and core may be missing and are asked for first.
    skipped
        Pointers of fields the person could not tell: they are not asked for again.

    Returns
    -------
    dict
        `enough` with the question, its field, the reason, the chance that it changes the first action, likely
        answers, and the first action so far.
    """
    missing = lacking(status)
    if missing:
        return _first_of_all(missing, skipped)
    read = read_status(status)
    now = _known(read)
    if now.first_action == FIRE_ACTION:
        return _answer(now, why=said("ask.fire"), enough=True)
    weighed = weighed_in_full(read)
    least = 0.0 if in_danger(now.picture.derived.facts) else LEAST_CHANCE
    best = next((each for each in weighed if each.question.field not in skipped and each.chance >= least), None)
    if best is None:
        return _answer(now, why=said("ask.enough"), enough=True)
    return _answer(now, why=best.question.why, enough=False, best=best, system=read.units)


def _known(status: Status) -> _Known:
    picture = learned_picture(status)
    found = infer_plainly(picture.derived.facts)
    if ranked_for(picture, found)[0].action.id == FIRE_ACTION:
        return _Known(picture, FIRE_ACTION, {})
    decision = decided_in_full(status).decision
    return _Known(picture, decision.ranked[0].action.id, decision.gains)


def _answers(best: Weighed, now: _Known, system: System) -> list[LikelyAnswer]:
    """Every answer of a question, those that hardly fit the heap with a guess of what would be done first."""
    gone_into = {id(world.answer): world for world in best.worlds}
    total = sum(world.chance for world in best.worlds)
    shown: list[LikelyAnswer] = []
    for answer in best.question.answers:
        world = gone_into.get(id(answer))
        if world is None:
            first = guess(status_if(answer, now.picture), now.gains).first_action
            shown.append(_shown(answer, 0.0, first, system))
        else:
            shown.append(_shown(answer, round(world.chance / total, 3), world.first_action, system))
    return shown


def _first_of_all(missing: list[str], skipped: Collection[str]) -> NextQuestion:
    """What nothing can be said without."""
    field = next((pointer for pointer in missing if pointer not in skipped), None)
    name = None if field is None else field[1:].replace("/", ".")
    return {
        "enough": False,
        "question": None if name is None else said(f"ask.{name}"),
        "field": field,
        "why": said("ask.not-without") if name is None else said(f"ask.{name}.why"),
        "changes_first_action": None,
        "answers": [],
        "first_action": None,
    }


def _answer(
    now: _Known, *, why: str, enough: bool, best: Weighed | None = None, system: System = "metric"
) -> NextQuestion:
    action = ACTIONS[now.first_action]
    return {
        "enough": enough,
        "question": best.question.text if best else None,
        "field": best.question.field if best else None,
        "why": why,
        "changes_first_action": round(best.chance, 2) if best else None,
        "answers": _answers(best, now, system) if best else [],
        "first_action": {"action": action.id, "title": action.title},
    }


def _shown(answer: Answer, share: float, first: str, system: System) -> LikelyAnswer:
    """One likely answer: in words, what to put into the status for it, and what would be done first then."""
    sets = {field: _in_contract(field, value, system) for field, value in answer.sets.items()}
    if sets == {"/signs": []}:
        sets = {"/not_seen": list(NAMED_SIGNS)}
    return LikelyAnswer(
        answer=_in_words(next(iter(answer.sets)), answer, system),
        share=share,
        sets=None if None in sets.values() else sets,
        first_action=first,
    )


def _in_contract(field: str, value: Any, system: System) -> Any:
    """The value as the contract writes it; None where the answer stands for more than one value."""
    if field in ("/history", "/draw", "/pile/ingredients"):
        return None
    if field == "/pile/size":
        return {"volume": _quantity(value, "volume", system)}
    number = FIELDS[field].number
    if number is not None and number.dimension in ("temperature", "length"):
        return _quantity(value, number.dimension, system)
    return value


def _quantity(value: float, dimension: Any, system: System) -> str:
    number, unit = to_units(value, dimension, system)
    return spell(float(f"{number:.3g}"), unit)


def _in_words(field: str, answer: Answer, system: System) -> str:
    value = answer.sets[field]
    match field:
        case "/history":
            return said(f"ask.history.{value}")
        case "/draw":
            return said("ask.draw.off") if value == 0 else said("ask.draw.minutes", minutes=f"{value:g}")
        case "/pile/ingredients":
            return ", ".join(f"{100 * share:g} % {name.replace('_', ' ')}" for name, share in value.items())
        case "/not_seen":
            return said("ask.signs.none")
        case "/help_called":
            return said("ask.help.yes" if value else "ask.help.no")
        case "/signs":
            return ", ".join(value).replace("_", " ") or said("ask.signs.none")
        case "/pile/size":
            return said("ask.size", volume=_quantity(value, "volume", system))
    return str(_in_contract(field, value, system)).replace("_", " ")
