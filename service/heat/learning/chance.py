"""What no model of a heap foresees, day by day and member by member: weather around its usual course, and the pace of
decay around what warmth, water and air allow.

Each is noise that remembers the day before; the pace drifts besides. The numbers are the same on every machine.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.spread import points
from service.units.figures import figure, figures

AIR_SD_K: Final = figure(
    4.0, "K", "Standard deviation of daily means about their usual course in a temperate winter", "from memory"
)
AIR_MEMORY: Final = figure(0.75, "1", "What is left of that a day later", "from memory")
PACE_LOG_SD: Final = figure(
    0.2, "1", "The same of the logarithm of the pace of rot; chosen on simulated heaps of a finer model", "derived"
)
PACE_MEMORY: Final = figure(0.85, "1", "What is left of that a day later; chosen on the same heaps", "derived")
DRIFT_PER_DAY: Final = figure(
    (-0.01, 0.05),
    "1/day",
    "Mean and standard deviation of the drift of that logarithm: what is left grows harder to rot than "
    "two pools can tell; chosen on the same heaps",
    "derived",
)
DRIFT_LASTS_DAYS: Final = figure(14.0, "days", "How long that drift goes on; chosen on the same heaps", "derived")
PAST_DAYS, AHEAD_DAYS = figures(
    (32, "days"),
    (100, "days"),
    why="So many days are drawn, backwards and forwards; the last one goes on",
    how_known="no source",
)


@dataclass(frozen=True, slots=True)
class Unforeseen:
    """What is out of the usual today, each (n,): air [K], logarithm of the pace, and its drift [1/day]."""

    air_k: Array
    log_pace: Array
    drift: Array

    def take(self, index: NDArray[np.intp]) -> Unforeseen:
        """That of some members."""
        return Unforeseen(self.air_k[index], self.log_pace[index], self.drift[index])


def past(usual: DailyWeather, days: int, n: int) -> tuple[DailyWeather, Unforeseen]:
    """Weather and pace of so many days up to now, yesterday's the last; and what they leave for today."""
    air = AIR_SD_K * _noise("air", AIR_MEMORY, PAST_DAYS, n)[: days + 1]
    pace = PACE_LOG_SD * _noise("pace", PACE_MEMORY, PAST_DAYS, n)[: days + 1]
    mean, deviation = DRIFT_PER_DAY
    drift = mean + deviation * points("drift", n).normals
    before = np.arange(-days, 0, dtype=np.float64)[:, None]
    return _moved(usual, air[:-1], pace[:-1] + before * drift), Unforeseen(air[-1], pace[-1], drift)


def ahead(usual: DailyWeather, days: int, today: Unforeseen) -> DailyWeather:
    """Weather and pace of so many days from today on, from the weather as it is expected."""
    air = _going_on(today.air_k, "air ahead", AIR_MEMORY, AIR_SD_K)
    pace = _going_on(today.log_pace, "pace ahead", PACE_MEMORY, PACE_LOG_SD)
    lasting = DRIFT_LASTS_DAYS * -np.expm1(-np.arange(AHEAD_DAYS)[:, None] / DRIFT_LASTS_DAYS)
    count = min(days, AHEAD_DAYS)
    return _moved(usual, air[:count], (pace + lasting * today.drift)[:count])


def spans_ahead(usual: DailyWeather, edges: tuple[float, ...], today: Unforeseen) -> DailyWeather:
    """As `ahead`, but one mean for each span of days that ends at these days from now: a row for each edge."""
    air_left, pace_left, air, pace, lasting = _span_means(edges, today.drift.size)
    air_c = usual.air_c[:1] + air_left * today.air_k + air
    return replace(usual, air_c=air_c, pace=np.exp(pace_left * today.log_pace + pace + lasting * today.drift))


@lru_cache(maxsize=256)
def _span_means(edges: tuple[float, ...], n: int) -> tuple[Array, ...]:
    """What `ahead` is made of, as means over spans; not to be written to."""
    starts, ends, day = np.array([0.0, *edges[:-1]]), np.array(edges), np.arange(AHEAD_DAYS)
    within = np.minimum(ends[:, None], day + 1.0) - np.maximum(starts[:, None], day)
    share = np.maximum(within, 0.0) / np.maximum(within, 0.0).sum(axis=1, keepdims=True)
    return (
        share @ (AIR_MEMORY**day)[:, None],
        share @ (PACE_MEMORY**day)[:, None],
        AIR_SD_K * (share @ _noise("air ahead", AIR_MEMORY, AHEAD_DAYS, n, from_nothing=True)),
        PACE_LOG_SD * (share @ _noise("pace ahead", PACE_MEMORY, AHEAD_DAYS, n, from_nothing=True)),
        share @ (DRIFT_LASTS_DAYS * -np.expm1(-day / DRIFT_LASTS_DAYS))[:, None],
    )


def _moved(usual: DailyWeather, air_k: Array, log_pace: Array) -> DailyWeather:
    """The usual weather, warmer or colder and livelier or duller by day and member."""
    given = usual.air_c[np.minimum(np.arange(len(air_k)), len(usual.air_c) - 1)]
    return replace(usual, air_c=given + air_k, pace=np.exp(log_pace))


def _going_on(today: Array, what: str, memory: float, deviation: float) -> Array:
    """Noise that starts from today's, (AHEAD_DAYS, n)."""
    left = memory ** np.arange(AHEAD_DAYS)[:, None]
    return left * today + deviation * _noise(what, memory, AHEAD_DAYS, today.size, from_nothing=True)


@cache
def _noise(what: str, memory: float, days: int, n: int, *, from_nothing: bool = False) -> Array:
    """Noise that remembers, in standard deviations, (days, n); not to be written to.

    It has standard deviation 1 throughout, or starts from 0.
    """
    fresh = (1.0 - memory * memory) ** 0.5
    result = np.empty((days, n))
    result[0] = 0.0 if from_nothing else _shuffled(what, 0, n)
    for day in range(1, days):
        result[day] = memory * result[day - 1] + fresh * _shuffled(what, day, n)
    result.flags.writeable = False
    return result


def _shuffled(what: str, day: int, n: int) -> Array:
    """The even normals of `spread.points`, in an order of its own for each day."""
    keys = random.Random(f"{what} {day}")
    order = np.argsort([keys.random() for _ in range(n)], kind="stable")
    return points("unexplained", n).normals[order]
