"""The next best question for a status that may still be nearly empty, or that enough is known."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from rules.actions import ACTIONS
from rules.questions import Answer, Question
from service.explaining.rerun import Rerun, guess, rerun
from service.partial import AGE, CORE, lacking
from service.questions import open_questions, status_if
from service.rank import FIRE_ACTION
from service.reading import read_status
from service.units import System, spell, to_units

LEAST_CHANCE: Final = 0.03
"""A question less likely than this to change the first action is not worth a walk to the heap (our own)."""
_FIRST: Final = {
    AGE: (
        "How old is the heap, in days or weeks?",
        "What heat to expect, and what is wrong, depends on its age first of all.",
    ),
    CORE: (
        "What does the probe read in the middle of the heap?",
        "The core temperature says whether the heap works, and whether it is safe.",
    ),
}
NOT_WITHOUT: Final = (
    "Without its age (a guess in weeks will do) and one temperature from inside the heap no advice can be given."
)
_ENOUGH: Final = "No likely answer to what is still open would change what to do first."
_FIRE: Final = "Nothing needs to be known before this is done."
_HISTORY: Final = {
    "falling": "warmer than now",
    "steady": "about the same as now",
    "rising": "colder than now",
}


@dataclass(frozen=True, slots=True)
class _Weighed:
    """A question with what would be done first after each likely answer."""

    question: Question
    firsts: tuple[tuple[Answer, str], ...]

    def chance(self, now: str) -> float:
        """How likely an answer is to change the first action."""
        total = sum(answer.share for answer, _ in self.firsts)
        return sum(answer.share for answer, first in self.firsts if first != now) / total


def next_question(status: Mapping[str, Any], skipped: Collection[str] = ()) -> dict[str, Any]:
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
    now = rerun(read)
    if now.first_action == FIRE_ACTION:
        return _answer(now, why=_FIRE, enough=True)
    weighed = [
        _Weighed(question, tuple((answer, _first_if(answer, now)) for answer in question.answers))
        for question in open_questions(now.picture)
        if question.field not in skipped
    ]
    best = max(weighed, key=lambda item: item.chance(now.first_action), default=None)
    if best is None or best.chance(now.first_action) < LEAST_CHANCE:
        return _answer(now, why=_ENOUGH, enough=True)
    return _answer(now, why=best.question.why, enough=False, best=best, system=read.units)


def _first_if(answer: Answer, now: Rerun) -> str:
    return guess(status_if(answer, now.picture), now.gains).first_action


def _first_of_all(missing: list[str], skipped: Collection[str]) -> dict[str, Any]:
    """What nothing can be said without."""
    field = next((pointer for pointer in missing if pointer not in skipped), None)
    text, why = _FIRST[field] if field else (None, NOT_WITHOUT)
    return {
        "enough": False,
        "question": text,
        "field": field,
        "why": why,
        "changes_first_action": None,
        "answers": [],
        "first_action": None,
    }


def _answer(
    now: Rerun, *, why: str, enough: bool, best: _Weighed | None = None, system: System = "metric"
) -> dict[str, Any]:
    action = ACTIONS[now.first_action]
    return {
        "enough": enough,
        "question": best.question.text if best else None,
        "field": best.question.field if best else None,
        "why": why,
        "changes_first_action": round(best.chance(now.first_action), 2) if best else None,
        "answers": [_shown(answer, first, system) for answer, first in best.firsts] if best else [],
        "first_action": {"action": action.id, "title": action.title},
    }


def _shown(answer: Answer, first: str, system: System) -> dict[str, Any]:
    """One likely answer: in words, what to put into the status for it, and what would be done first then."""
    sets = {field: _in_contract(field, value, system) for field, value in answer.sets.items()}
    return {
        "answer": _in_words(next(iter(answer.sets)), answer, system),
        "share": answer.share,
        "sets": None if None in sets.values() else sets,
        "first_action": first,
    }


def _in_contract(field: str, value: Any, system: System) -> Any:
    """The value as the contract writes it; None where the answer stands for more than one value."""
    if field in ("/history", "/draw", "/pile/ingredients"):
        return None
    if field == "/pile/size":
        return {"volume": _quantity(value, "volume", system)}
    if field in ("/temperatures/outdoor", "/temperatures/outer", "/weather/low", "/draw/water/outlet"):
        return _quantity(value, "temperature", system)
    return _quantity(value, "length", system) if field == "/probe/length" else value


def _quantity(value: float, dimension: Any, system: System) -> str:
    number, unit = to_units(value, dimension, system)
    return spell(float(f"{number:.3g}"), unit)


def _in_words(field: str, answer: Answer, system: System) -> str:
    value = answer.sets[field]
    match field:
        case "/history":
            return _HISTORY[value]
        case "/draw":
            return "off" if value == 0 else f"{value:g} minutes in each hour"
        case "/pile/ingredients":
            return ", ".join(f"{100 * share:g} % {name.replace('_', ' ')}" for name, share in value.items())
        case "/signs":
            return ", ".join(value).replace("_", " ") or "none of these"
        case "/pile/size":
            return "about " + _quantity(value, "volume", system)
    return str(_in_contract(field, value, system)).replace("_", " ")
