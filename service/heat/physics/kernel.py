"""The heat model in time: a run of steps; see `one_step` for the scheme.

Meant for static heaps of 1.5 to 30 tonnes of chips with up to about a third of manure, in air of -25 to 20 degC, with
cores of 0 to 80 degC. Left out: ice, wind through the heap, turning and forced aeration, fire.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.entries import FlowEntries
from service.heat.physics.flows import flows
from service.heat.physics.one_step import MOST_HALVINGS, advance
from service.heat.physics.piles import Piles, PileState, node_temperatures, tile
from service.heat.physics.step import Prepared, outdoors_by_day, prepare
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure

__all__ = ["Duty", "Run", "flows", "follow", "simulate", "step", "tile"]


Duty = Callable[[int, Prepared, PileState, float], Array]

HOT_DAY_C: Final = figure(
    40.0, "degC", "A hot day is one with the core at or above this: `HOLDING_FROM` of the rules", "no source"
)


@dataclass(frozen=True, slots=True)
class Run:
    """What a simulation gives: times [days], core and heat drawn so far (k, n), totals, and the last state.

    The times are (k,), or (k, n) where each pile has its own. Heat drawn and totals are 0 where flows were not booked.
    """

    days: Array
    core_c: Array
    drawn_j: Array
    ledger: FlowEntries
    state: PileState

    def hot_days(self, limit_c: float = HOT_DAY_C) -> Array:
        """Days with the core at or above a limit, each (n,)."""
        spans = np.diff(self.days, axis=0)
        result: Array = (self.share_above(limit_c) * (spans if spans.ndim > 1 else spans[:, None])).sum(axis=0)
        return result

    def share_above(self, limit_c: float | Array) -> Array:
        """Share of each step with the core at or above a limit, (k - 1, n); within a step the core is straight."""
        low = np.minimum(self.core_c[1:], self.core_c[:-1])
        high = np.maximum(self.core_c[1:], self.core_c[:-1])
        result: Array = np.clip((high - limit_c) / np.maximum(high - low, 1e-9), 0.0, 1.0)
        return result


def simulate(
    piles: Piles,
    state: PileState,
    weather: DailyWeather,
    days: float,
    step_h: float = 12.0,
    *,
    halvings: int = MOST_HALVINGS,
    booked: bool = True,
) -> Run:
    """Run the heaps forward.

    Parameters
    ----------
    piles, state, weather
        What to run, n piles; see `piles`.
    days
        How long. [days]
    step_h
        Length of a step, dividing the day. Over 30 days the core of 95 in 100 ordinary heaps errs by less than 0.4 K
        at 12 h and 0.7 K at 24 h, the worst seen by 1.5 and 2.4 K. [h]
    halvings
        How often a step may be halved for piles that move far in it.
    booked
        Whether flows are added up; cores and the last state need none of it.
    """
    if days <= 0.0 or step_h <= 0.0 or (24.0 / step_h) % 1.0:
        raise ValueError(f"days ({days} days) must be above 0 and the step ({step_h} h) must divide the day")
    count, step_days = max(1, round(days * 24.0 / step_h)), step_h / 24.0
    pauses = bool((piles.draw_from_day > 0.0).any())
    rows = np.minimum((np.arange(count) * step_days).astype(np.intp), weather.days - 1)

    def resting(number: int, *_: object) -> Array:
        return np.clip((number * step_days - piles.draw_from_day) / step_days + 1.0, 0.0, 1.0)

    hours = np.full(count, step_h)
    return follow(
        piles, state, weather.rows(rows), hours, resting if pauses else None, halvings=halvings, booked=booked
    )


def follow(
    piles: Piles,
    state: PileState,
    weather: DailyWeather,
    hours: Array,
    duty: Duty | None = None,
    *,
    halvings: int = MOST_HALVINGS,
    booked: bool = True,
) -> Run:
    """Run the heaps forward in steps of any length, their draws governed by what they do.

    Parameters
    ----------
    weather
        One row for each step.
    hours
        Length of each step. [h]
    duty
        The share of their strength at which all draws run in a step, (n,), from its number, the piles made ready, the
        state at its start and its length [s]; in full where None.
    halvings, booked
        As in `simulate`.
    """
    fixed, by_step = prepare(piles), outdoors_by_day(weather)
    total = FlowEntries.zeros(piles.rate.shape[-1])
    core, drawn = [node_temperatures(piles, state)[0]], [total.drawn]
    for number, length in enumerate(hours):
        seconds = float(length) * 3600.0
        now = fixed if duty is None else fixed.drawing(duty(number, fixed, state, seconds))
        air = by_step[min(number, len(by_step) - 1)]
        state = advance(now, state, air, seconds, halvings=halvings, total=total if booked else None)
        core.append(node_temperatures(piles, state)[0])
        drawn.append(total.drawn)
    days = np.concatenate([[0.0], np.cumsum(hours)]) / 24.0
    return Run(days, np.array(core), np.array(drawn), total, state)


def stride(
    piles: Piles, state: PileState, weather: DailyWeather, ends: Array, halvings: int = 0, *, booked: bool = True
) -> Run:
    """Run the heaps forward in a few long strides: a rough look, for which things go up and which go down.

    Parameters
    ----------
    piles, state, weather
        What to run, n piles; one row of weather for each stride, the last holding on.
    ends
        Days from now at which each stride ends, each pile's own, (k, n).
    halvings
        How often a stride is halved at most for piles that move too far in it; beyond it they are off by some kelvins.
    booked
        As in `simulate`.
    """
    fixed, by_stride = prepare(piles), outdoors_by_day(weather)
    pauses = bool((piles.draw_from_day > 0.0).any())
    total = FlowEntries.zeros(piles.rate.shape[-1])
    days, core, drawn = [0.0 * ends[0]], [node_temperatures(piles, state)[0]], [total.drawn]
    for number, end in enumerate(ends):
        span, air = end - days[-1], by_stride[min(number, len(by_stride) - 1)]
        now = fixed.drawing(np.clip((days[-1] - piles.draw_from_day) / span + 1.0, 0.0, 1.0)) if pauses else fixed
        length = span * SECONDS_PER_DAY
        state = advance(now, state, air, length, halvings=halvings, total=total if booked else None)
        days.append(end)
        core.append(node_temperatures(piles, state)[0])
        drawn.append(total.drawn)
    return Run(np.array(days), np.array(core), np.array(drawn), total, state)


def step(piles: Piles, state: PileState, weather: DailyWeather, hours: float) -> tuple[PileState, FlowEntries]:
    """One step in the weather of its first day: the new state, and every flow as a total. [J, kg]"""
    total = FlowEntries.zeros(piles.rate.shape[-1])
    return advance(prepare(piles), state, outdoors_by_day(weather)[0], hours * 3600.0, total=total), total
