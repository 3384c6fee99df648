"""What the present course leads to, as facts: by the members that fit the log, and as the outlook will tell it.

Answers with and without what-ifs share them. Without a log the few strides of the heat account do where they show a
heap that hardly moves; else the members are run day by day, as the outlook does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from rules.tables.thresholds import FALLS_IN_A_WEEK, FALLS_IN_THREE_DAYS, FIRE_LOOK_DAILY, MORE_THAN_A_DIP
from service.heat.ahead import days_until_below, falls_of
from service.heat.learning.fit import drawn_by_weight
from service.heat.learning.members import Learned
from service.heat.physics.ahead import DAYS
from service.heat.physics.arrays import Array, along
from service.heat.physics.daily_weather import side_by_side
from service.heat.physics.kernel import Run, simulate, stride
from service.heat.physics.piles import Piles, PileState, joined
from service.units.figures import figure

WEEK_DAYS: Final = DAYS[-1]
SHORT_STRIDES: Final = figure(
    (1.0, 2.0, 3.0, 5.0, 7.0),
    "days",
    "Where shorter strides end: their cores err by less than 0.7 K in nine heaps of ten",
    "no source",
)
ASKED_DAYS: Final = DAYS[2:]
"""Days ahead that rules ask for."""
STEP_H: Final = figure(
    24.0,
    "h",
    "Step of the runs of next week, of what-ifs and of the outlook, so that each is the beginning of the next; for its "
    "error see `kernel.simulate`. Members are compared in pairs, so most of it cancels",
    "no source",
)
NOT_IN_A_WEEK: Final = figure(
    99.0, "days", "Days until the core is too cool, where it is not within a week or is so already", "no source"
)
ROUGHLY: Final = figure(
    (0.25, 1.5),
    "1, K",
    "By how much the strides of the account err: share of a fall, and kelvins in three days; nearer than "
    "that to what rules ask the next finer run decides",
    "no source",
)
SHORTLY: Final = figure(
    (0.1, 0.5), "1, K", "By how much the shorter strides err: share of a fall, and kelvins in three days", "no source"
)
STRIDES_MISLEAD: Final = figure(
    (55.0, FIRE_LOOK_DAILY.value),
    "degC",
    "Between these the warmth of decay turns so sharply that strides mislead; above, no rule asks for the course",
    "no source",
)
FRESH_DAYS: Final = figure(
    21.0,
    "days",
    "Up to this age what rots fast is gone within days, which strides see too late: against days, short "
    "ones err by up to 12 K in a week at first, 4 K at five days, 1.2 K at a fortnight, and 5.5 K at 16 "
    "days where sugar lies in the heap",
    "no source",
)


@dataclass(frozen=True, slots=True)
class CourseRequest:
    """One heap whose course is asked for.

    `heap` are the members that fit the log, `strides_c` the cores of those before a log on each of `DAYS`, (4, n), and
    `limit_c` is the goal's limit. [degC]
    """

    heap: Learned
    strides_c: Array
    limit_c: float

    @property
    def is_live(self) -> bool:
        """Whether the strides of the account tell nothing: they know no log, and no matter that is soon gone."""
        return self.heap.has_log or self.is_fresh

    @property
    def is_fresh(self) -> bool:
        """Whether even short strides mislead."""
        return self.heap.situation.age_days <= FRESH_DAYS

    def is_near(self, told: CoreCourse, error: tuple[float, float]) -> bool:
        """Whether rules could be decided by an error of such a size; see ROUGHLY."""
        return _is_near(*told, self.limit_c, error)


CoreCourse = tuple[Array, Array]
"""Days ahead, (k,), and cores as told at these, (k, n). [degC]"""


def course_by(way: CourseRequest) -> dict[str, float]:
    """The facts of the course, run day by day: falls in 3 and 7 days, and days until it is too cool."""
    return _facts(*_day_by_day([way.heap])[0], way.limit_c)


def quick_courses(heaps: Sequence[CourseRequest]) -> list[dict[str, float]]:
    """The same, the days being run only where strides could not tell what a rule would ask; all heaps together."""
    days = np.array(DAYS)
    told: dict[int, CoreCourse] = {
        place: (days, each.heap.told_core(days, each.strides_c))
        for place, each in enumerate(heaps)
        if not (each.is_live or each.is_fresh)
    }
    for halvings in (0, 1):
        closer = [
            place
            for place, each in enumerate(heaps)
            if each.heap.has_log == bool(halvings) and not each.is_fresh
            if each.is_live or each.is_near(told[place], ROUGHLY)
        ]
        told |= zip(closer, _in_short_strides([heaps[place].heap for place in closer], halvings), strict=True)
    open_ones = [place for place, each in enumerate(heaps) if each.is_fresh or each.is_near(told[place], SHORTLY)]
    told |= zip(open_ones, _day_by_day([heaps[place].heap for place in open_ones]), strict=True)
    return [_facts(*told[place], each.limit_c) for place, each in enumerate(heaps)]


def course_of_members(told_c: Array, limit_c: float, weights: Array) -> dict[str, float]:
    """The same facts from cores as told at each of `DAYS`, (4, n), over members with weights."""
    chosen = drawn_by_weight(weights / weights.sum(), weights.size)
    return _facts(np.array(DAYS), told_c[:, chosen], limit_c)


def told_of_strides(heap: Learned, strides_c: Array) -> Array:
    """The core as told at each of `DAYS` from the strides of the account alone, both (4, n). [degC]"""
    return heap.told_core(np.array(DAYS), strides_c)


def _day_by_day(heaps: Sequence[Learned]) -> list[CoreCourse]:
    """Run day by day, as the outlook is, all heaps in one run."""
    if not heaps:
        return []
    weather = side_by_side([heap.weather(WEEK_DAYS) for heap in heaps])
    run = simulate(*_together(heaps), weather, WEEK_DAYS, STEP_H, booked=False)
    return _each(heaps, run.days, run)


def _in_short_strides(heaps: Sequence[Learned], halvings: int) -> list[CoreCourse]:
    """After SHORT_STRIDES, all heaps in one run."""
    if not heaps:
        return []
    weather = side_by_side([heap.spans(SHORT_STRIDES) for heap in heaps])
    ends = np.outer(SHORT_STRIDES, np.ones(sum(heap.weights.size for heap in heaps)))
    run = stride(*_together(heaps), weather, ends, halvings, booked=False)
    return _each(heaps, run.days[:, 0], run)


def _together(heaps: Sequence[Learned]) -> tuple[Piles, PileState]:
    return joined([heap.piles for heap in heaps]), joined([heap.state for heap in heaps])


def _each(heaps: Sequence[Learned], days: Array, run: Run) -> list[CoreCourse]:
    """What a run of all says of each."""
    ends = np.cumsum([heap.weights.size for heap in heaps])[:-1]
    cores = np.split(run.core_c, ends, axis=1)
    return [(days, heap.told_core(days, core_c)) for heap, core_c in zip(heaps, cores, strict=True)]


def _is_near(days: Array, told_c: Array, limit_c: float, error: tuple[float, float]) -> bool:
    """Whether a core is so near to what rules ask of its course that an error of such a size could decide it."""
    now, third, seventh = along(told_c, (0.5,))[0, np.searchsorted(days, (0.0, *ASKED_DAYS))].tolist()
    share, kelvins = error
    asked = (
        (now - third, FALLS_IN_THREE_DAYS.value),
        (now - seventh, FALLS_IN_A_WEEK.value),
        (now - seventh, MORE_THAN_A_DIP.value),
    )
    soon = now >= limit_c and abs(third - limit_c) < min(kelvins, abs(now - third) + 0.5 * kelvins)
    misleads = error is ROUGHLY and STRIDES_MISLEAD[0] <= now < STRIDES_MISLEAD[1]
    return misleads or soon or any(abs(fall - most) < share * most for fall, most in asked)


def _facts(days: Array, told_c: Array, limit_c: float) -> dict[str, float]:
    """The facts from cores as told, (k, n), at these days, among which are those of `DAYS`."""
    median = along(told_c, (0.5,))[0]
    falls = falls_of(median[np.searchsorted(days, DAYS), None], limit_c)
    first = days_until_below(days, told_c, limit_c)
    until = float(np.sort(first)[(first.size - 1) // 2])  # as the outlook tells it
    return {
        "fall_3_days_k": float(falls.in_3_days_k[0]),
        "fall_7_days_k": float(falls.in_7_days_k[0]),
        "days_until_cool": until if 0.0 < until <= WEEK_DAYS else NOT_IN_A_WEEK,
        "core_below_limit": until == 0.0,
    }
