"""A pile in a few numbers, for machines that poll: never text where a number is meant, null where it is not known.

Units are fixed and written in the names (degC, W, kWh, min/h, days), whatever units the pile's own answers have; a hub
shows them in its owner's. Heat is named thermal, so that nobody adds it to electricity.
"""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Final, cast

from rules.language.model import Urgency
from service.actions.rank import FIRE_ACTION
from service.answer.shapes.advice import Advice
from service.course.outlook import CourseAhead
from service.logbook.book import advised_on, now_utc
from service.logbook.shapes.known_value import KnownValue
from service.logbook.store.engine import Store
from service.logbook.store.piles import pile_of
from service.logbook.store.readings import to_merge
from service.machines.hub.shape import PileAdvised, PileNow, PileNumbers
from service.outlook.answer import outlook_of
from service.problems.fire import fire_warning
from service.problems.problem import Problem
from service.status.reading import read_status
from service.units.answer_units import SHOWN
from service.units.estimate import Estimate
from service.work.places import done

RECENT_DAYS: Final = 7.0
"""How long a reading that speaks of fire counts where there is too little for advice (our own)."""
_J_PER_KWH: Final = 3.6e6
_COUNTS: Final = ("fresh", "stale")
_CORE_FIELDS: Final = ("/temperatures/core", "/temperatures/points")
_WORDS: Final = ("phase", "action", "second_action", "third_action", "urgency")
_MOMENTS: Final = ("as_of", "core_at", "look_again_at", "begin_next_heap")
_NUMBERS: Final = (
    "core_c",
    "outer_c",
    "outdoor_c",
    "thermal_made_w",
    "thermal_lost_w",
    "thermal_stored_w",
    "thermal_season_draw_w",
    "thermal_burst_draw_w",
    "thermal_needed_tonight_w",
    "thermal_usable_left_kwh",
    "air_minutes_per_hour",
    "water_minutes_per_hour",
    "days_until_cool",
    "start_at_c",
    "stop_at_c",
)
NOTHING_KNOWN: Final = cast(
    "PileNow", dict.fromkeys((*_WORDS, *_MOMENTS, *_NUMBERS, "pause_draw", "fire_risk", "draw_by_night_only"))
)
"""Every number and word of a pile, none of them known."""


def now_of(store: Store, account_id: str, pile_id: str) -> PileNow:
    """The pile now; the same until something new is known or what is known has aged.

    `available` is false where the log holds too little for advice, or no core reading that still counts.

    Raises
    ------
    Problem
        `not-found`, or where the log book cannot be used.
    """
    with store.reading() as session:
        name = pile_of(session, account_id, pile_id).name
    try:
        advised = advised_on(store, account_id, pile_id, "full", None)
    except Problem as problem:
        if problem.slug != "not-enough-known":
            raise
        nothing: PileNow = {"pile": pile_id, "name": name, "available": False, **NOTHING_KNOWN}
        return _on_fire(nothing) if _speaks_of_fire(store, account_id, pile_id) else nothing
    answer, status = advised.answer, advised.status
    core = next((value for value in advised.known if value["field"] in _CORE_FIELDS and _counts(value)), None)
    page: PileNow = {
        "pile": pile_id,
        "name": name,
        "available": core is not None,
        **NOTHING_KNOWN,
        **in_short(answer),
        **_numbers(answer["id"], json.dumps(status)),
    }
    if core is None:
        page["core_c"] = None
    else:
        page["core_at"] = core["at"]
    return page


def _on_fire(page: PileNow) -> PileNow:
    """The same with what is told of a fire where there is too little for advice."""
    return {
        **page,
        "fire_risk": True,
        "pause_draw": True,
        "phase": "overheating",
        "action": FIRE_ACTION,
        "urgency": Urgency.NOW.value,
    }


def _counts(value: KnownValue) -> bool:
    return value["state"] in _COUNTS


def in_short(answer: Advice) -> PileAdvised:
    """What the advice says, as words of fixed lists, and its plan of drawing in degC and min/h.

    The plan's minutes are for a timer, and its two cores for a thermostat: null where that would draw otherwise.
    """
    names = [action["action"] for action in answer["actions"]]
    first, second, third = (*names, None, None)[:3]
    plan, unit = answer["draw_plan"], SHOWN["temperature"][answer["units"]]
    by_core = plan if plan is not None and plan["by"] == "core" else None
    return {
        "action": first,
        "second_action": second,
        "third_action": third,
        "as_of": answer["as_of"],
        "phase": answer["phase"],
        "urgency": answer["actions"][0]["urgency"],
        "pause_draw": "pause_draw" in names or FIRE_ACTION in names,
        "fire_risk": answer["phase"] == "overheating" or FIRE_ACTION in names,
        "look_again_at": answer["look_again"]["at"],
        "air_minutes_per_hour": plan["minutes_per_hour"] if plan and plan["way"] == "air" else None,
        "water_minutes_per_hour": plan["minutes_per_hour"] if plan and plan["way"] == "water" else None,
        "draw_by_night_only": plan["hours"] == "night" if plan else None,
        "start_at_c": _number(unit.to_si(by_core["start_at"])) if by_core else None,
        "stop_at_c": _number(unit.to_si(by_core["stop_at"])) if by_core else None,
    }


@lru_cache(maxsize=256)
def _numbers(_answer_id: str, status: str) -> PileNumbers:
    """Numbers in fixed units. Kept by their advice, for hubs ask often and looking ahead takes a second."""
    numbers: PileNumbers = done(numbers_of, status)
    return numbers


def numbers_of(status: str) -> PileNumbers:
    """Numbers in fixed units for a status as JSON, worked out."""
    outlook = outlook_of(read_status(json.loads(status)))
    picture, accounts = outlook.picture, outlook.picture.accounts
    facts = picture.derived.facts
    return {
        "core_c": _number(facts.get("core_c")),
        "outer_c": _number(facts.get("outer_c")),
        "outdoor_c": _number(facts.get("outdoor_c")),
        "thermal_made_w": _rounded(accounts.made),
        "thermal_lost_w": _rounded(accounts.lost),
        "thermal_stored_w": _rounded(accounts.stored),
        "thermal_season_draw_w": _rounded(outlook.season_draw_w),
        "thermal_burst_draw_w": _rounded(accounts.burst_draw),
        "thermal_needed_tonight_w": _rounded(picture.house_needs),
        "thermal_usable_left_kwh": _rounded(accounts.usable_left, _J_PER_KWH),
        "days_until_cool": _rounded(outlook.until_cool),
        "begin_next_heap": _begin(outlook),
    }


def _begin(outlook: CourseAhead) -> str | None:
    dates = outlook.next_heap.dates(outlook.picture.status.as_of.date())
    return None if dates is None else dates["value"]


def _number(value: object) -> float | None:
    return round(float(value), 2) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _rounded(estimate: Estimate | None, per: float = 1.0) -> float | None:
    """The middle of an estimate, to three digits."""
    return None if estimate is None else float(f"{estimate.value / per:.3g}")


def _speaks_of_fire(store: Store, account_id: str, pile_id: str) -> bool:
    """Whether a reading of the last days speaks of fire."""
    now = now_utc()
    with store.reading() as session:
        past = to_merge(session, pile_of(session, account_id, pile_id), now)
        recent = [entry.part for entry in past.readings if _days(entry.at, now) <= RECENT_DAYS]
    return fire_warning(recent) is not None


def _days(earlier: datetime, later: datetime) -> float:
    return (later - earlier) / timedelta(days=1)
