"""The outlook in words: for a reader, a screen reader, and the description of the chart."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from rules.catalogue import said
from rules.engine.inference import infer_plainly
from service.actions.decision import ranked_for
from service.actions.dosing.draw import SHORTEST_PULSE
from service.actions.rank import FIRE_ACTION
from service.course.outlook import CourseAhead, Timer
from service.facts.drawing import DAY_HOURS
from service.picture.record import Picture
from service.render.numbers import chance_in_words
from service.render.wording import in_words
from service.units.estimate import Estimate
from service.units.figures import figure
from service.units.quantities import System

NO_DRAW_W: Final = figure(20.0, "W", "Less than this counts as nothing: a lamp gives more", "no source")
SHORTEST_MIN: Final = figure(0.1, "min/h", "Timers are not set finer than this", "no source")
SMALL_CHANCE: Final = figure(0.1, "1", "A smaller chance that the core gets too cool is not told", "no source")
TOLD_DAYS: Final = figure((7, 30), "days", "Days ahead that are told in words besides the last", "no source")
MACHINES: Final = {"water_minutes_per_hour": "outlook.pump", "air_minutes_per_hour": "outlook.fan"}


def warning(picture: Picture) -> str | None:
    """What must be said before any outlook of an overheating heap; None for others."""
    found = infer_plainly(picture.derived.facts)
    if ranked_for(picture, found)[0].action.id == FIRE_ACTION:
        return said("answer.fire")
    return said("outlook.overheating") if found.facts["phase"] == "overheating" else None


def outlook_title(outlook: CourseAhead, system: System) -> str:
    """What the chart shows."""
    return said("outlook.title", days=in_words(outlook.days, "days", system))


def outlook_headline(outlook: CourseAhead, system: System) -> str:
    """One sentence or two: whether and when the core gets too cool."""
    return " ".join(_limit(outlook, system))


def outlook_description(outlook: CourseAhead, system: System) -> str:
    """The whole outlook in plain sentences; it stands for the chart where that cannot be seen."""
    sentences = [*_course(outlook, system), *_limit(outlook, system), *_at_rest(outlook, system)]
    sentences += [*draw_sentences(outlook, system), next_heap_sentence(outlook)]
    return " ".join(sentences)


def _course(outlook: CourseAhead, system: System) -> Iterator[str]:
    yield said("outlook.now", core=in_words(outlook.core_c[0, 1], "degC", system))
    for day in [day for day in TOLD_DAYS if day < outlook.days] + [outlook.days]:
        low, middle, high = (in_words(value, "degC", system) for value in outlook.core_c[day].tolist())
        yield said("outlook.in", days=in_words(day, "days", system), low=low, middle=middle, high=high)


def _limit(outlook: CourseAhead, system: System) -> Iterator[str]:
    limit = in_words(outlook.limit_c, "degC", system)
    warm, cool = outlook.until_warm, outlook.until_cool
    if warm is None:
        yield said("outlook.never-warm", limit=limit)
        return
    if warm.value > 0:
        yield said("outlook.warm-in", limit=limit, **_when(warm, outlook, system))
    if cool is not None:
        yield said("outlook.cool-in", limit=limit, **_when(cool, outlook, system))
    elif outlook.chance_cool >= SMALL_CHANCE:
        yield said("outlook.probably-warm", limit=limit, chance=chance_in_words(outlook.chance_cool))
    else:
        yield said("outlook.stays-warm", limit=limit)


def _when(time: Estimate, outlook: CourseAhead, system: System) -> dict[str, str]:
    """A time ahead with its date and range; a range that ends with the outlook is open."""
    high = str(round(time.high))
    return {
        "days": in_words(max(round(time.value), 1), "days", system),
        "day": day_in_words(_date(outlook, time.value)),
        "low": str(round(time.low)),
        "high": said("outlook.or-later", day=high) if time.high >= outlook.days else high,
    }


def _date(outlook: CourseAhead, days: float) -> date:
    return outlook.picture.status.as_of.date() + timedelta(days=int(days))


def _at_rest(outlook: CourseAhead, system: System) -> Iterator[str]:
    warm, rest = outlook.until_warm_at_rest, outlook.until_cool_at_rest
    if outlook.until_warm is None and warm is not None:
        limit = in_words(outlook.limit_c, "degC", system)
        yield said("outlook.rest-warm-in", limit=limit, **_when(warm, outlook, system))
    if outlook.until_cool is None:
        return
    if rest is None:
        yield said("outlook.rest-stays-warm")
    elif rest.value > outlook.until_cool.value + 0.5:
        yield said("outlook.rest-cool-in", days=in_words(round(rest.value), "days", system))


def draw_sentences(outlook: CourseAhead, system: System) -> Iterator[str]:
    """What can be drawn around the clock, and the timer that does it."""
    limit, draw = in_words(outlook.limit_c, "degC", system), outlook.season_draw_w
    low, usual, high = (in_words(value, "W", system) for value in (draw.low, draw.value, draw.high))
    if draw.high < NO_DRAW_W:
        yield said("outlook.no-draw", limit=limit)
    elif draw.value < NO_DRAW_W:
        yield said("outlook.perhaps-draw", limit=limit, best=high)
    else:
        yield said("outlook.draw", limit=limit, power=usual, low=low, high=high)
        if outlook.timers:
            timers = said("outlook.or").join(timer_words(timer) for timer in outlook.timers)
            yield said("outlook.timer", timers=timers)


def timer_words(timer: Timer) -> str:
    """How long to run pump or fan in each hour; a pulse too short to be of use is given every few hours."""
    what, minutes, pulse = said(MACHINES[timer.way.of]), timer.minutes.value, SHORTEST_PULSE.value
    if minutes < SHORTEST_MIN:
        return said("outlook.too-short", what=what)
    hours = timer.way.hours_per_day
    within = said("outlook.hours-a-day", hours=f"{hours:g}") if hours < DAY_HOURS else ""
    if minutes >= pulse:
        return said("outlook.each-hour", what=what, minutes=str(round(minutes))) + within
    every = round(pulse / minutes + 0.5)
    return said("outlook.every-hours", what=what, minutes=f"{pulse:.0f}", hours=str(every)) + within


def next_heap_sentence(outlook: CourseAhead) -> str:
    """When to begin the next heap."""
    plan = outlook.next_heap
    if plan.start is None and outlook.until_warm is not None:
        return said("outlook.no-new-heap")
    if plan.start is None:
        return said("outlook.begin-for-warmth" if outlook.until_warm_at_rest is None else "outlook.rest-first")
    if plan.start.value < 1:
        return said("outlook.begin-now")
    early = said("outlook.now-word") if plan.start.low < 1 else day_in_words(_date(outlook, plan.start.low))
    return said("outlook.begin", day=day_in_words(_date(outlook, plan.start.value)), early=early)


def day_in_words(day: date, *, short: bool = False) -> str:
    """A date such as `7 February`, or `7 Feb`."""
    month = said(f"outlook.month-short.{day.month}" if short else f"outlook.month.{day.month}")
    return said("outlook.day-and-month", day=str(day.day), month=month)
