"""What a planned heap gives through a season of drawing, and from which size on it gives what was asked.

A heap is warmed day by day while nothing is drawn. From the first draw on it is judged as a standing heap is: by the
season draw (`service.heat.physics.season_draw`), member by member. No chance is in it: the same question gives the
same answer, and what a heap gives does not follow from what was asked of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import Run, simulate
from service.heat.physics.piles import Piles, PileState, node_temperatures
from service.heat.physics.season_draw import season_draw
from service.planning.heap import heaps
from service.units.estimate import PileEstimate
from service.units.figures import figure

MEMBERS: Final = figure(64, "members", "Members a size is tried on", "no source")
STEP_H: Final = figure(24.0, "h", "Step of those runs", "no source")
NEAR_ENOUGH_K: Final = figure(0.25, "K", "A limit is looked for to this", "no source")
"""Steps of a day err by about 1 K in the core, far less than the members differ."""
SIZES: Final = figure((9, 5), "1", "Sizes tried at first, and between the two that enclose the answer", "no source")
FEWER_SIZES: Final = figure(
    (5, 4), "1", "Sizes tried at first, and between two, where only a comparison is wanted", "no source"
)
START_WITHIN_K: Final = figure(
    15.0,
    "K",
    "A core further than this below its limit at the first draw gives nothing: whoever has such a heap "
    "waits, and builds earlier next time. Learned on what heaps of three truths stand (`python -m "
    "tests.drawn`, seeds 5101 and 5102)",
    "derived",
)
ABOUT_IT: Final = figure(
    tuple(1.04**step for step in range(-6, 11)),
    "1",
    "Times a size found by narrowing in that are looked at themselves: between sizes the draw is no straight line",
    "no source",
)


@dataclass(frozen=True, slots=True)
class DrawSeason:
    """Days of warming up, then days of drawing, in a weather over both, (days, n); and the core's limit [degC]."""

    lead_days: int
    days: int
    weather: DailyWeather
    limit_c: float

    @property
    def mean(self) -> DailyWeather:
        """Mean weather of the days of drawing, each member."""
        drawn = np.arange(self.lead_days, self.lead_days + self.days)
        return self.weather.rows(drawn).averaged(np.array([0]))


def undrawn(piles: Piles, state: PileState, season: DrawSeason, days: int) -> Run:
    """The heaps left alone from the day they are built, in blocks of as many as there are members."""
    weather = season.weather.repeated(piles.rate.shape[-1] // MEMBERS)
    return simulate(piles, state, weather, float(days), STEP_H)


def draws_from(piles: Piles, warm: PileState, season: DrawSeason, days: float | None = None) -> Array:
    """The season draw of each heap from its state at the first draw on, (columns,); see `season_draw`. [W]

    `days` are those of the season unless others are asked for, in the season's mean weather.
    """
    blocks = piles.rate.shape[-1] // MEMBERS
    weather, lasting = season.mean.repeated(blocks), float(season.days) if days is None else days
    draws = season_draw(piles, warm, weather, lasting, season.limit_c, heaps=blocks)
    result: Array = np.where(node_temperatures(piles, warm)[0] < season.limit_c - START_WITHIN_K, 0.0, draws)
    return result


def draws_of_sizes(estimate: PileEstimate, laid_m3: float, sizes_m3: Array, season: DrawSeason) -> Array:
    """The season draw of each member of an estimate (of `laid_m3`) in each of these sizes, both (k, n). [W]"""
    piles, state = heaps(estimate, sizes_m3 / laid_m3, MEMBERS)
    warm = undrawn(piles, state, season, season.lead_days).state
    return draws_from(piles, warm, season).reshape(sizes_m3.shape)


def sizes_that_hold(
    estimate: PileEstimate,
    laid_m3: float,
    bounds_m3: tuple[float, float],
    season: DrawSeason,
    draw_w: float,
    *,
    tried: tuple[int, int] = SIZES,
) -> Array:
    """As-laid volume from which each member of an estimate (of `laid_m3`) sustains a draw, (n,). [m3]

    The lower bound where it does with that already; infinite where it does not with the upper.
    """
    low, high = bounds_m3
    coarse, fine = tried
    grid = np.geomspace(low, high, coarse)
    sizes = np.repeat(grid[:, None], MEMBERS, axis=1)
    margins = draws_of_sizes(estimate, laid_m3, sizes, season) - draw_w
    first = _first_holding(margins)
    upper = np.minimum(first, coarse - 1)
    below = grid[np.maximum(upper - 1, 0)]
    closer = below * (grid[upper] / below) ** np.linspace(0.0, 1.0, fine)[:, None]
    margins = draws_of_sizes(estimate, laid_m3, closer, season) - draw_w
    found = np.exp(_crossing(np.log(closer), margins))
    result: Array = np.where(first >= coarse, np.inf, np.where(first == 0, low, found))
    return result


def least_that_holds(
    estimate: PileEstimate,
    bounds_m3: tuple[float, float],
    season: DrawSeason,
    draw_w: float,
    *,
    near_m3: float,
    chance: float,
) -> float:
    """The least size about one found at which this share of members sustain it; infinite where none of them does. [m3]

    The estimate is of the upper bound.
    """
    sizes = np.clip(near_m3 * np.array(ABOUT_IT), *bounds_m3)
    draws = draws_of_sizes(estimate, bounds_m3[1], np.repeat(sizes[:, None], MEMBERS, axis=1), season)
    enough = (draws >= draw_w).mean(axis=1) >= chance
    return float(sizes[enough.argmax()]) if enough.any() else np.inf


def most_days(piles: Piles, warm: PileState, season: DrawSeason, draw_w: float, chance: float) -> int:
    """Days for which this share of the heaps sustain a draw, at most those of the season; 0 where for none."""
    held, over = 0, season.days + 1
    while over - held > 1:
        middle = (held + over) // 2
        draws = draws_from(piles, warm, replace(season, days=middle))
        held, over = (middle, over) if given_at_chance(draws, chance) >= draw_w else (held, middle)
    return held


def coolest_limit(
    piles: Piles, warm: PileState, season: DrawSeason, draw_w: float, *, least_c: float, chance: float
) -> float | None:
    """The highest limit below the season's under which this share of the heaps sustain a draw. [degC]

    To a quarter of a kelvin; None where they do not even with the least one.
    """
    low, high = least_c, season.limit_c

    def holds(limit_c: float) -> bool:
        return given_at_chance(draws_from(piles, warm, replace(season, limit_c=limit_c)), chance) >= draw_w

    if low >= high or not holds(low):
        return None
    while high - low > NEAR_ENOUGH_K:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


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


def season_weather(daily_c: Sequence[float], doubt_k: Array, wind_m_s: Array) -> DailyWeather:
    """Weather of each member: the daily means shifted by its own share of the doubt, (n,), and its wind, (n,)."""
    air = np.asarray(daily_c, dtype=np.float64)[:, None] + doubt_k
    return DailyWeather.of(air, wind_m_s[None, :])
