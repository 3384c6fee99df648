"""The outlook in words: for a reader, a screen reader, and the description of the chart."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from rules.infer import infer_plainly
from service.advise import ranked_for
from service.answer.words import FIRE_SENTENCE
from service.dosing.draw import SHORTEST_PULSE
from service.estimate import Estimate
from service.outlook.outlook import Outlook, Timer
from service.outlook.ways import DAY_HOURS
from service.picture import Picture
from service.rank import FIRE_ACTION
from service.units import System
from service.wording import in_words

MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
NO_DRAW_W: Final = 20.0
"""Less than this counts as nothing: a lamp gives more [W] (our own)."""
SHORTEST_MIN: Final = 0.1
"""Timers are not set finer than this [min/h] (our own)."""
SMALL_CHANCE: Final = 0.1
OVERHEATING: Final = (
    "The heap is overheating. See to that first: `POST /advice` says what to do. The heat model knows no fire, so this "
    "outlook may not hold."
)
TIMER_WORDS: Final = {"water_minutes_per_hour": "the pump", "air_minutes_per_hour": "the fan"}


def warning(picture: Picture) -> str | None:
    """What must be said before any outlook of an overheating heap; None for others."""
    found = infer_plainly(picture.derived.facts)
    if ranked_for(picture, found)[0].action.id == FIRE_ACTION:
        return FIRE_SENTENCE
    return OVERHEATING if found.facts["phase"] == "overheating" else None


def headline(outlook: Outlook, system: System) -> str:
    """One sentence: whether and when the core gets too cool."""
    return " ".join(_limit(outlook, system))


def description(outlook: Outlook, system: System) -> str:
    """The whole outlook in plain sentences; it stands for the chart where that cannot be seen."""
    sentences = [*_course(outlook, system), *_limit(outlook, system), *_at_rest(outlook, system)]
    sentences += [*draw_sentences(outlook, system), next_heap_sentence(outlook)]
    return " ".join(sentences)


def _course(outlook: Outlook, system: System) -> Iterator[str]:
    days = in_words(outlook.days, "days", system)
    now = in_words(outlook.core_c[0, 1], "degC", system)
    yield f"Core of the heap over the next {days}, if nothing is changed: about {now} today."
    for day in [day for day in (7, 30) if day < outlook.days] + [outlook.days]:
        low, middle, high = (in_words(value, "degC", system) for value in outlook.core_c[day].tolist())
        yield f"In {in_words(day, 'days', system)} about {middle}, eight times in ten between {low} and {high}."


def _limit(outlook: Outlook, system: System) -> Iterator[str]:
    limit = in_words(outlook.limit_c, "degC", system)
    warm, cool = outlook.until_warm, outlook.until_cool
    if warm is None:
        yield f"The core is not likely to be at {limit} within these days."
        return
    if warm.value > 0:
        yield f"The core is likely to reach {limit} in about {_days(warm, outlook, system)}."
    if cool is not None:
        yield f"The core is likely to be below {limit} in about {_days(cool, outlook, system)}."
    elif outlook.chance_cool >= SMALL_CHANCE:
        yield f"The core will probably stay above {limit}; the chance that it does not is {_percent(outlook)}."
    else:
        yield f"The core is expected to stay above {limit}."


def _percent(outlook: Outlook) -> str:
    return f"{round(100 * outlook.chance_cool)} %"


def _days(time: Estimate, outlook: Outlook, system: System) -> str:
    """A time ahead with its date and range; a range that ends with the outlook is open."""
    low, high = round(time.low), round(time.high)
    last = f"{high} or later" if time.high >= outlook.days else str(high)
    day = day_in_words(outlook.picture.status.as_of.date() + timedelta(days=int(time.value)))
    return f"{in_words(max(round(time.value), 1), 'days', system)}, {day} ({low} to {last})"


def _at_rest(outlook: Outlook, system: System) -> Iterator[str]:
    warm, rest = outlook.until_warm_at_rest, outlook.until_cool_at_rest
    if outlook.until_warm is None and warm is not None:
        limit = in_words(outlook.limit_c, "degC", system)
        yield f"With nothing drawn it would be at {limit} in about {_days(warm, outlook, system)}."
    if outlook.until_cool is None:
        return
    if rest is None:
        yield "With nothing drawn it would probably stay above."
    elif rest.value > outlook.until_cool.value + 0.5:
        yield f"With nothing drawn that would take about {in_words(round(rest.value), 'days', system)}."


def draw_sentences(outlook: Outlook, system: System) -> Iterator[str]:
    """What can be drawn around the clock, and the timer that does it."""
    limit, draw = in_words(outlook.limit_c, "degC", system), outlook.season_draw_w
    if draw.high < NO_DRAW_W:
        yield f"Nothing can be drawn to the last of these days with the core above {limit}."
    elif draw.value < NO_DRAW_W:
        best = in_words(draw.high, "W", system)
        yield f"Probably nothing can be drawn to the last of these days with the core above {limit}; with luck {best}."
    else:
        power = " to ".join(in_words(value, "W", system) for value in (draw.low, draw.high))
        usual = in_words(draw.value, "W", system)
        yield f"About {usual} ({power}) can be drawn around the clock with the core above {limit} to the last day."
        if outlook.timers:
            yield f"That is {', or '.join(timer_words(timer) for timer in outlook.timers)}."


def timer_words(timer: Timer) -> str:
    """How long to run pump or fan in each hour; a pulse too short to be of use is given every few hours."""
    what, minutes, pulse = TIMER_WORDS[timer.way.of], timer.minutes.value, SHORTEST_PULSE.value
    if minutes < SHORTEST_MIN:
        return f"less than {what} can be set to"
    hours = timer.way.hours_per_day
    within = f", {hours:g} hours a day" if hours < DAY_HOURS else ""
    if minutes >= pulse:
        return f"{what} for {round(minutes)} minutes in each hour{within}"
    return f"{what} for {pulse:.0f} minutes every {round(pulse / minutes + 0.5)} hours{within}"


def next_heap_sentence(outlook: Outlook) -> str:
    """When to begin the next heap."""
    plan, today = outlook.next_heap, outlook.picture.status.as_of.date()
    if plan.start is None:
        if outlook.until_warm_at_rest is not None and outlook.until_warm is None:
            return "Leave this heap at rest before a new one is thought of."
        if outlook.until_warm is None:
            return "A new heap would have to be begun now to have warmth soon."
        return "No new heap need be begun within these days."
    if plan.start.value < 1:
        return "To have no gap, begin the next heap now."
    earliest = "now" if plan.start.low < 1 else day_in_words(today + timedelta(days=int(plan.start.low)))
    likely = day_in_words(today + timedelta(days=int(plan.start.value)))
    return f"To have no gap, begin the next heap about {likely}; to be on the safe side, {earliest}."


def day_in_words(day: date) -> str:
    """A date such as `7 February`."""
    return f"{day.day} {MONTHS[day.month - 1]}"
