"""The time a plan looks over: steps that grow longer, the weather in each, and the heat the house wants in it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.facts.house import ASSUMED_NIGHT_TARGET, House
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure, figures

LONGEST_DAYS: Final = figure(180, "days", "A plan looks no further ahead: by then a heap is another one", "no source")
SINGLE_DAYS: Final = figure(4, "days", "Steps of a trial are single days to the next reading", "no source")
GROWTH: Final = figure(
    1.2,
    "1",
    "Then each is this much longer than the one before: plans are compared in pairs, so most of the "
    "error of long steps cancels",
    "no source",
)
LONGEST_STEP_DAYS: Final = figure(6, "days", "No step is longer", "no source")

NIGHT_HOURS: Final = figure(
    14.0,
    "h",
    "Hours of a night in the heating season, from about seven in the evening to nine in the morning: the "
    "sun has warmed the house at five, and reaches it again from nine on. On simulated winters 1 to 3 % "
    "more heat than from five to seven",
    "no source",
)
NIGHT_COLDER_K, DAY_WARMER_K = figures(
    (2.0, "K"),
    (2.9, "K"),
    why="How far the mean of those hours lies under, and that of the others over, the mean of the day: a "
    "daily wave of 4 K",
    how_known="no source",
)
SUN_LIFTS_K: Final = figure(
    6.0, "K", "By how much winter sun keeps a glazed house over the air outside by day", "no source"
)


LAST_WEEKS_DAYS: Final = figure(
    28,
    "days",
    "So long before the goal's date a heap may run empty: what it still held would be left over",
    "no source",
)


@dataclass(frozen=True, slots=True)
class TimeAhead:
    """Steps of so many hours, (k,), their weather, and heat wanted by night and by day in each, (k, 1 or n) [J].

    `last_weeks_in` is in how many days the heap's last weeks begin, infinite where the person named no date.
    """

    hours: Array
    weather: DailyWeather
    night_j: Array
    day_j: Array
    last_weeks_in: float

    @property
    def days(self) -> Array:
        """Days from now to the end of each step, (k,)."""
        result: Array = np.cumsum(self.hours) / 24.0
        return result

    @property
    def late(self) -> NDArray[np.bool_]:
        """Whether each step begins within the last weeks, (k,)."""
        result: NDArray[np.bool_] = self.days - self.hours / 24.0 >= self.last_weeks_in
        return result


def steps_to(days: float) -> NDArray[np.intp]:
    """First day of each step up to a horizon in whole days."""
    starts, length = [0], 1.0
    last = max(round(min(days, LONGEST_DAYS)), 1)
    while starts[-1] < last:
        length = 1.0 if len(starts) <= SINGLE_DAYS else min(length * GROWTH, LONGEST_STEP_DAYS)
        starts.append(min(starts[-1] + max(round(length), 1), last))
    return np.array(starts, dtype=np.intp)


def last_weeks_from(until: date) -> date:
    """The day from which a heap is drawn lower so that little is left over at the date: a first of the month."""
    month = until.replace(day=1)
    before = (month - timedelta(days=1)).replace(day=1)
    return before if (until - before).days <= LAST_WEEKS_DAYS else month


def ahead_of(weather: DailyWeather, days: float, house: House | None, last_weeks_in: float = np.inf) -> TimeAhead:
    """The time to a date, by the weather of each day (one row a day, at least as many as days)."""
    edges = steps_to(days)
    rows = weather.rows(np.arange(edges[-1])).averaged(edges[:-1]) if weather.days > 1 else weather
    lengths = np.diff(edges).astype(np.float64)[:, None]
    night_j, day_j = _wanted(rows.air_c, house)
    return TimeAhead(lengths[:, 0] * 24.0, rows, night_j * lengths, day_j * lengths, last_weeks_in)


def _wanted(air_c: Array, house: House | None) -> tuple[Array, Array]:
    """Heat a house wants in a night and in a day at this mean outdoor temperature. [J]"""
    inside = ASSUMED_NIGHT_TARGET.value if house is None else house.inside_c.value
    night_k = np.maximum(inside - (air_c - NIGHT_COLDER_K), 0.0)
    day_k = np.maximum(inside - SUN_LIFTS_K - (air_c + DAY_WARMER_K), 0.0)
    share = NIGHT_HOURS / 24.0
    if house is None:
        return np.where(night_k > 0.0, np.inf, 0.0), np.where(day_k > 0.0, np.inf, 0.0)
    loss = house.loss_w_k.value * SECONDS_PER_DAY
    return loss * night_k * share, loss * day_k * (1.0 - share)
