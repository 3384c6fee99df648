"""The outlook as it goes out: quantities in the reader's units, and words."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from typing import Final

from rules.version import knowledge_version
from service.answer.advice import judgement_of
from service.answer.plan import plan_shown
from service.answer.plan_now import plan_as_advised
from service.answer.quantities import assumed_shown, burst_shown, measured, quantity, read_as_shown, round_off
from service.course.outlook import DEFAULT_DAYS, LONGEST_DAYS, CourseAhead, Timer, look_out
from service.heat.physics.arrays import Array
from service.outlook import words
from service.outlook.shape import CourseShown, Ledger, OutlookAnswer, OutlookEnergy, SeasonDraw, TimerShown
from service.picture.drawplan.record import Plan
from service.picture.picture import picture_of
from service.picture.record import Picture
from service.status.models import Status
from service.units.quantities import Dimension, System, to_units

BAND: Final = ("low", "median", "high")


def outlook_of(status: Status, days: int | None = None) -> CourseAhead:
    """The outlook of a status; without `days`, to the goal's date, or over a month where there is none."""
    picture = picture_of(status)
    return look_out(picture, days or days_wanted(picture))


def days_wanted(picture: Picture) -> int:
    """Days to the goal's date, at most LONGEST_DAYS; DEFAULT_DAYS without one."""
    goal = picture.status.goal
    if goal is None or goal.until is None:
        return DEFAULT_DAYS
    return min(max(round(picture.goal.days), 1), LONGEST_DAYS)


def outlook_shown(outlook: CourseAhead, units: System | None = None) -> OutlookAnswer:
    """The answer, ready to be written as JSON. The same status with `as_of` gives the same answer."""
    status, system = outlook.picture.status, units or outlook.picture.status.units
    limit, unit = to_units(outlook.limit_c, "temperature", system)
    return {
        "id": _identity(outlook, system),
        "as_of": status.as_of.isoformat(),
        "knowledge_version": knowledge_version(),
        "units": system,
        "days": outlook.days,
        "keep_core_above": {"value": round_off(limit), "unit": unit},
        "warning": words.warning(outlook.picture),
        "title": words.outlook_title(outlook, system),
        "headline": words.outlook_headline(outlook, system),
        "description": words.outlook_description(outlook, system),
        "at": [(status.as_of + timedelta(days=day)).isoformat() for day in range(outlook.days + 1)],
        "core": course_shown(outlook.core_c, "temperature", system),
        "outdoor": course_shown(outlook.outdoor_c, "temperature", system),
        "heat_drawn": course_shown(outlook.drawn_j, "energy", system),
        "days_until_warm": quantity(outlook.until_warm, "duration", system),
        "days_until_warm_at_rest": quantity(outlook.until_warm_at_rest, "duration", system),
        "days_until_cool": quantity(outlook.until_cool, "duration", system),
        "days_until_cool_at_rest": quantity(outlook.until_cool_at_rest, "duration", system),
        "chance_too_cool": round(outlook.chance_cool, 2),
        "season_draw": _season_draw(outlook, system),
        "draw_plan": plan_shown(_plan(status), outlook.picture, system),
        "heat_available": quantity(outlook.heat_available_j, "energy", system),
        "energy": _energy(outlook, system),
        "ledger": _ledger(outlook, system),
        "next_heap": {
            "warm_up": quantity(outlook.next_heap.warm_up, "duration", system),
            "begin": outlook.next_heap.dates(status.as_of.date()),
            "text": words.next_heap_sentence(outlook),
        },
        "assumed": [
            assumed_shown(each.pointer, measured(each.estimate, each.quantity, system), each.why)
            for each in outlook.assumed
        ],
        "read_as": read_as_shown(status.read_as),
    }


def _plan(status: Status) -> Plan | None:
    """The plan of drawing as the advice on the same status has it."""
    judged = judgement_of(status, "full")
    return plan_as_advised(judged.picture, judged.found, judged.decision)


def course_shown(bands: Array, dimension: Dimension, system: System) -> CourseShown:
    """Low, median and high of each day as three lists, with their unit."""
    unit = to_units(0.0, dimension, system)[1]
    low, median, high = (
        [round_off(to_units(each, dimension, system)[0]) for each in band] for band in bands.T.tolist()
    )
    return {"unit": unit, "low": low, "median": median, "high": high}


def _season_draw(outlook: CourseAhead, system: System) -> SeasonDraw:
    return {
        "power": quantity(outlook.season_draw_w, "power", system),
        "begins_in": quantity(outlook.draw_from, "duration", system),
        "timers": [_timer(timer, system) for timer in outlook.timers],
        "text": " ".join(words.draw_sentences(outlook, system)),
    }


def _timer(timer: Timer, system: System) -> TimerShown:
    return {
        "of": timer.way.of,
        "running": quantity(timer.minutes, "minutes_per_hour", system),
        "hours_per_day": round_off(timer.way.hours_per_day),
        "power": quantity(timer.power_w, "power", system),
    }


def _energy(outlook: CourseAhead, system: System) -> OutlookEnergy:
    accounts = outlook.picture.accounts
    return {
        "total": quantity(accounts.total, "energy", system),
        "usable_left": quantity(accounts.usable_left, "energy", system),
        "burst_draw": burst_shown(accounts.burst_draw, accounts.season_draw, system),
    }


def _ledger(outlook: CourseAhead, system: System) -> Ledger:
    shown = {name: quantity(flow, "energy", system) for name, flow in outlook.ledger_j.items()}
    return {
        "made": shown["made"],
        "lost": {
            "ground_and_air": shown["ground_and_air"],
            "evaporation": shown["evaporation"],
            "drainage": shown["drainage"],
        },
        "drawn": {
            "air": {"sensible": shown["air_sensible"], "latent": shown["air_latent"]},
            "water": shown["water"],
        },
        "stored": shown["stored"],
    }


def _identity(outlook: CourseAhead, system: System) -> str:
    """Sixteen hexadecimal digits that follow from the status, the knowledge and what was asked."""
    status = outlook.picture.status.model_dump_json()
    asked = f"outlook|{status}|{outlook.days}|{outlook.limit_c}|{system}|{knowledge_version()}"
    return hashlib.sha256(asked.encode()).hexdigest()[:16]
