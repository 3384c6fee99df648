"""The heap as an ensemble, handed out in one place, and what is said of its members' numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.heat.learning.members import Learned, learned
from service.heat.physics.arrays import Array
from service.heat.physics.balance import quantiles
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.piles import Piles, PileState
from service.heat.weather import weather_ahead
from service.picture.record import Picture
from service.units.estimate import RANGE_SHARES, Estimate
from service.units.figures import figure


@dataclass(frozen=True, slots=True)
class LearnedHeap:
    """Members that fit what was told, their weights (sum 1), and the weather over them for so many days."""

    piles: Piles
    state: PileState
    weights: Array
    weather: DailyWeather
    days: int
    learned: Learned

    @property
    def count(self) -> int:
        """Number of members."""
        return int(self.weights.size)

    @property
    def step_h(self) -> float:
        """Step of a run: half a day over a month, a day over more."""
        return FINE_STEP_H if self.days <= FINE_UNTIL_DAYS else COARSE_STEP_H


FINE_UNTIL_DAYS: Final = figure(30, "days", "So long a course is counted in fine steps", "no source")
FINE_STEP_H: Final = figure(12.0, "h", "Step up to there", "no source")
COARSE_STEP_H: Final = figure(24.0, "h", "Step from there on", "no source")


def heap_of(picture: Picture, days: int) -> LearnedHeap:
    """The members of a heap and the weather ahead: the only place where the outlook asks for them."""
    heap = learned(picture.estimate)
    usual = weather_ahead(picture.status, picture.estimate, days, heap.weights.size)
    return LearnedHeap(heap.piles, heap.state, heap.weights, heap.weather(days, usual), days, heap)


def at_rest(piles: Piles) -> Piles:
    """The same piles with nothing drawn."""
    nothing = np.zeros_like(piles.rate)
    return replace(piles, air_share=nothing, water_hour_share=nothing, fixed_draw_w=nothing)


def members_range(values: Array, weights: Array) -> Estimate:
    """Median and 80 % range of the members' values."""
    low, median, high = quantiles(values, weights)
    return Estimate(median, low, high, "derived")


def time_range(times: Array, weights: Array, days: float) -> Estimate | None:
    """Median and 80 % range of times, infinite where it does not happen within `days`; None where the median is not.

    A high end beyond `days` is told as `days`.
    """
    order = np.argsort(times)
    place = np.searchsorted(np.cumsum(weights[order]), np.array(RANGE_SHARES) * weights.sum() - 1e-9)
    low, median, high = times[order][np.minimum(place, times.size - 1)].tolist()
    if not np.isfinite(median):
        return None
    return Estimate(median, low, min(high, days), "derived")


def chance(happens: Array, weights: Array) -> float:
    """Share of the members' weight of which something holds."""
    return float((weights * happens).sum() / weights.sum())
