"""Does a heap hold its core through a season of drawing? Sizes and draws are found by narrowing in on the ensemble.

Every member is followed by itself: the size from which it holds, or the most it can give. The core's least distance
from the limit is taken as straight between neighbouring sizes (in their logarithm) or draws, and a second pass looks
closer where it changes sign. No chance is in it: the same question gives the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.kernel import Run, simulate
from service.heat.physics.ledger import usable_heat
from service.heat.physics.piles import Piles, State, Weather
from service.heat.physics.step import DAY_S
from service.planning.heap import heaps
from service.units.estimate import PileEstimate

MEMBERS: Final = 64
STEP_H: Final = 24.0
"""Steps of a day err by about 1 K in the core, far less than the members differ."""
SIZES: Final = (9, 5)
FEWER_SIZES: Final = (5, 4)
"""Sizes tried, and sizes tried between the two that enclose the answer; fewer where only a comparison is wanted."""
ABOUT_IT: Final = tuple(1.04**step for step in range(-6, 11))
"""Times a size found by narrowing in that are looked at themselves: between sizes the margin is no straight line."""
DRAWS: Final = (0.0, 0.01, 0.02, 0.04, 0.07, 0.12, 0.2, 0.3, 0.45, 0.65, 0.85, 1.0)
FEWER_DRAWS: Final = (0.0, 0.03, 0.1, 0.25, 0.5, 1.0)
"""Draws tried, over the most that rot could ever feed (see `ledger.usable_heat`); fewer where only a comparison is
wanted. None of them follows from what was asked, so that what a heap gives does not either."""
CLOSER: Final = 8
"""Draws tried between the two that enclose the largest."""


@dataclass(frozen=True, slots=True)
class Season:
    """Days of warming up, then days of drawing, in a weather over both, (days, n); and the core's limit [degC]."""

    lead_days: int
    days: int
    weather: Weather
    limit_c: float


def run_of(piles: Piles, state: State, season: Season, draw_w: Array | float) -> Run:
    """The season of these heaps with a steady draw once the lead is over, (columns,). [W]"""
    columns = piles.rate.shape[-1]
    drawn = replace(
        piles,
        fixed_draw_w=np.broadcast_to(np.asarray(draw_w, dtype=np.float64), columns).copy(),
        draw_from_day=np.full(columns, float(season.lead_days)),
    )
    blocks = columns // season.weather.air_c.shape[-1]
    weather = season.weather.repeated(blocks)
    return simulate(drawn, state, weather, float(season.lead_days + season.days), STEP_H)


def margin(run: Run, season: Season) -> Array:
    """Least distance of the core from the limit over the days of drawing, each column. [K]"""
    result: Array = run.core_c[season.lead_days :].min(axis=0) - season.limit_c
    return result


def sizes_that_hold(
    estimate: PileEstimate,
    laid_m3: float,
    bounds_m3: tuple[float, float],
    season: Season,
    draw_w: float,
    *,
    tried: tuple[int, int] = SIZES,
) -> Array:
    """As-laid volume from which each member of an estimate (of `laid_m3`) holds its core under a draw, (n,). [m3]

    The lower bound where it holds with that already; infinite where it does not with the upper.
    """
    low, high = bounds_m3
    coarse, fine = tried
    grid = np.geomspace(low, high, coarse)
    sizes = np.repeat(grid[:, None], MEMBERS, axis=1)
    margins = _margins(estimate, laid_m3, sizes, season, draw_w)
    first = _first_holding(margins)
    upper = np.minimum(first, coarse - 1)
    below = grid[np.maximum(upper - 1, 0)]
    closer = below * (grid[upper] / below) ** np.linspace(0.0, 1.0, fine)[:, None]
    margins = _margins(estimate, laid_m3, closer, season, draw_w)
    found = np.exp(_crossing(np.log(closer), margins))
    result: Array = np.where(first >= coarse, np.inf, np.where(first == 0, low, found))
    return result


def least_that_holds(
    estimate: PileEstimate,
    bounds_m3: tuple[float, float],
    season: Season,
    draw_w: float,
    *,
    near_m3: float,
    chance: float,
) -> float:
    """The least size about one found at which this share of members hold; infinite where none of them does. [m3]

    The estimate is of the upper bound.
    """
    sizes = np.clip(near_m3 * np.array(ABOUT_IT), *bounds_m3)
    margins = _margins(estimate, bounds_m3[1], np.repeat(sizes[:, None], MEMBERS, axis=1), season, draw_w)
    enough = (margins >= 0.0).mean(axis=1) >= chance
    return float(sizes[enough.argmax()]) if enough.any() else np.inf


def most_drawn(piles: Piles, state: State, season: Season, tried: Sequence[float] = DRAWS) -> Array:
    """Largest steady draw with the core at or above the limit, each member, (n,), at most what rot can feed. [W]

    0 where the core does not hold even undrawn. The heaps are those of the day they are built.
    """
    most = usable_heat(piles, state, float(season.days)) / (season.days * DAY_S)
    coarse = np.array(tried)[:, None] * most
    margins = _margins_drawn(piles, state, season, coarse)
    top = len(tried) - 1
    last = np.where((margins >= 0.0).any(axis=0), top - (margins[::-1] >= 0.0).argmax(axis=0), 0)
    columns = np.arange(most.size)
    low, high = coarse[last, columns], coarse[np.minimum(last + 1, top), columns]
    closer = low + np.linspace(0.0, 1.0, CLOSER)[:, None] * (high - low)
    found = largest_that_holds(closer, _margins_drawn(piles, state, season, closer))
    result: Array = np.where(margins[0] < 0.0, 0.0, found)
    return result


def _margins_drawn(piles: Piles, state: State, season: Season, draws_w: Array) -> Array:
    """The margin of each member under each of its draws, both (k, n). [K]"""
    columns = np.tile(np.arange(draws_w.shape[1]), draws_w.shape[0])
    run = run_of(piles.take(columns), state.take(columns), season, draws_w.reshape(-1))
    return margin(run, season).reshape(draws_w.shape)


def largest_that_holds(draws: Array, margins: Array) -> Array:
    """Largest draw with no margin lost, each column, (n,), from rising draws and their margins, both (k, n).

    0 where not even the least holds.
    """
    # Read from the largest draw down, it is the first that holds.
    found = _crossing(draws[::-1], margins[::-1])
    result: Array = np.where((margins[0] < 0.0) | ~np.isfinite(found), 0.0, found)
    return result


def _margins(estimate: PileEstimate, laid_m3: float, sizes_m3: Array, season: Season, draw_w: float) -> Array:
    piles, state = heaps(estimate, sizes_m3 / laid_m3, MEMBERS)
    return margin(run_of(piles, state, season, draw_w), season).reshape(sizes_m3.shape)


def _first_holding(margins: Array) -> Array:
    """Index of the first row that holds, each column; the number of rows where none does."""
    holds = margins >= 0.0
    result: Array = np.where(holds.any(axis=0), holds.argmax(axis=0), margins.shape[0])
    return result


def _crossing(grid: Array, margins: Array) -> Array:
    """Where the margin first reaches 0 along a grid, (k, n), straight between points; infinite where it never does."""
    rows, columns = margins.shape[0], np.arange(margins.shape[1])
    first = _first_holding(margins).astype(np.intp)
    at = np.minimum(first, rows - 1)
    before = np.maximum(at - 1, 0)
    here, there = margins[at, columns], margins[before, columns]
    rise = np.where(here > there, here - there, 1.0)
    share = np.where(at > before, np.clip(here / rise, 0.0, 1.0), 0.0)
    found = grid[at, columns] - share * (grid[at, columns] - grid[before, columns])
    result: Array = np.where(first >= rows, np.inf, found)
    return result


def given_at_chance(values: Array, chance: float) -> float:
    """The value that this share of the members reach or exceed."""
    ordered = np.sort(values)[::-1]
    place = min(max(int(np.ceil(chance * ordered.size)) - 1, 0), ordered.size - 1)
    return float(ordered[place])


def at_chance(values: Array, chance: float) -> float:
    """The value that suffices for this share of the members; infinite where it never does for so many."""
    ordered = np.sort(values)
    place = min(max(int(np.ceil(chance * ordered.size)) - 1, 0), ordered.size - 1)
    return float(ordered[place])


def days_held(run: Run, season: Season) -> Array:
    """Days of drawing until the core first falls below the limit, each column; all of them where it never does."""
    below = run.core_c[season.lead_days :] < season.limit_c
    result: Array = np.where(below.any(axis=0), below.argmax(axis=0), season.days).astype(np.float64)
    return result


def weather_of(daily_c: Sequence[float], doubt_k: Array, wind_m_s: Array) -> Weather:
    """Weather of each member: the daily means shifted by its own share of the doubt, (n,), and its wind, (n,)."""
    air = np.asarray(daily_c, dtype=np.float64)[:, None] + doubt_k
    return Weather.of(air, wind_m_s[None, :])
