"""The season draw: the steady draw that keeps a core above a limit to a date, in closed form, member by member."""

from __future__ import annotations

from typing import Final

import numpy as np

from service.heat.physics import decay
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import PreparedHeaps, moving, speed_at
from service.heat.physics.members import LIFETIME_ENVIRONMENT
from service.heat.physics.piles import Piles, PileState
from service.heat.physics.spread import points
from service.heat.physics.step import FAST_PER_S, SLOW_PER_S
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure

RECOVERABLE: Final = figure(
    (0.35, 1.0),
    "1",
    "Share of the heat released that can be led off. Plants recovered 7,084 kJ per kg of dry matter on "
    "the mean (Smith, Aber and Rynk 2015, read), no less than all that most members release in a year; "
    "the lower end is our own",
    "no source",
)
SHAPE: Final = figure(
    np.array([1.0, 0.7, 0.7, 0.3])[:, None],
    "1",
    "Share of each node in the warmth of a core over the air; fitted to draws that simulations with the "
    "same members allow",
    "derived",
)
WARMTH: Final = figure(
    0.8,
    "1",
    "How far from limit to present the core is whose pace is taken. Shape and warmth were fitted to "
    "draws that simulations with the same members allow, the numbers below to what heaps of three truths "
    "stand for 30 and for 58 days (`python -m tests.drawn`, seeds 9101 and 9102)",
    "derived",
)
HEAT_SHARES: Final = figure(
    (0.5, 2.2),
    "1",
    "Share of the heat that decay would release as warm as the heap is, at either end of what can be "
    "recovered: a core that is too hot rots faster once it is drawn; fitted to what heaps of three "
    "truths stand",
    "derived",
)
LOSS_SHARES: Final = (1.0, 0.0)
"""Of the losses at the limit: a tube takes the heat where it is made, before it gets to the skin."""
FORGETS: Final = (1.0, 0.0)
"""How fast a heap loses its warmth, over what its losses tell: where a draw keeps it cool, early heat is not lost."""
SLOWS_PER_DAY: Final = figure(
    (0.02, 0.0),
    "1/day",
    "How much slower decay gets day by day beyond what the pools tell: what is left grows harder to rot",
    "no source",
)
LEARNED_DAYS: Final = figure(
    60.0, "days", "Further ahead than was learned, what is made falls off as the pools tell and no faster", "derived"
)
LEAST_OVER_AIR_K: Final = figure(
    5.0,
    "K",
    "A heap at its limit is taken to be at least so much warmer than the air, where its losses would not "
    "say how long it holds heat",
    "no source",
)
SHORTEST_MEMORY_S: Final = figure(2.0 * SECONDS_PER_DAY, "s", "A heap holds its heat for at least so long", "no source")
ALIKE_PER_S: Final = figure(
    1e-9, "1/s", "Rates closer than this are told apart by so much: their difference divides", "no source"
)

LEAST_LOST_W: Final = figure(0.001, "W", "Losses count as at least this: they divide", "no source")


def most_recovered(piles: Piles, state: PileState, days: float | Array, heaps: int = 1) -> Array:
    """What no season draw exceeds, of heaps that are kept at a lifetime mean of warmth, water and air, (n,). [J]

    `heaps` as in `season_draw`.
    """
    n = piles.rate.shape[-1] // heaps
    environment = np.tile(points("environment", n).between(*LIFETIME_ENVIRONMENT), heaps)
    result: Array = by_recovery(RECOVERABLE, n, heaps) * _released(
        state, piles.rate * piles.nitrogen * environment, days * SECONDS_PER_DAY
    )
    return result


def season_draw(
    piles: Piles,
    state: PileState,
    weather: DailyWeather,
    days: float | Array,
    keep_core_above_c: float | Array,
    *,
    moment: PreparedHeaps | None = None,
    heaps: int = 1,
) -> Array:
    """Steady draw that keeps the core above a limit for so many days, each (n,), not below 0. [W]

    The heat balance of a heap that loses its warmth over the air to 1/e in a time T, solved for the draw that leaves
    the core at the limit on the last day: a made + stored/(T (exp(t/T) - 1)) - b losses. What is made is the power of
    decay at node temperatures of a core 0.8 of the way from limit to present, its mean over the time, each day by what
    is left of its heat on the last: what is made towards the end decides. Losses are those at the limit, and stored
    is the heat above it. Nobody knows the shares a and b of a heap, nor T and how decay slows: members of which more
    can be recovered have a larger a, a smaller b, a longer T and slow less. At most the recoverable share of the heat
    that decays at a lifetime mean of warmth, water and air.

    `heaps` are as many ensembles side by side, equally large; days and limit may then differ, each (n,).
    """
    if np.min(days) <= 0.0:
        raise ValueError(f"the horizon must be above 0 days, not {days}")
    seconds, n = days * SECONDS_PER_DAY, piles.rate.shape[-1] // heaps
    ready = moment or PreparedHeaps.of(piles, state, weather)
    air, held = weather.air_c[0], ready.held
    core = keep_core_above_c + WARMTH * np.maximum(held.celsius[0] - keep_core_above_c, 0.0)
    pace = held.environment * speed_at(ready.fixed, held, air + (core - air) * SHAPE)
    limit = air + (keep_core_above_c - air) * SHAPE
    lost = ready.heat_lost(limit, moving(ready.fixed, held, limit))
    over_air = np.maximum(keep_core_above_c - air, LEAST_OVER_AIR_K) * np.add.reduce(held.capacity * SHAPE)
    memory = np.maximum(over_air / np.maximum(lost, LEAST_LOST_W), SHORTEST_MEMORY_S) / by_recovery(FORGETS, n, heaps)
    slows = by_recovery(SLOWS_PER_DAY, n, heaps) / SECONDS_PER_DAY
    known = np.minimum(seconds, LEARNED_DAYS * SECONDS_PER_DAY)
    made = _there_at_the_end(state, pace, slows, known, memory_s=memory) * _mean(state, pace, seconds)
    made = made / np.maximum(_mean(state, pace, known), 1e-9)
    stored = np.add.reduce(held.capacity * (held.celsius - limit)) / (memory * np.expm1(seconds / memory))
    draw = by_recovery(HEAT_SHARES, n, heaps) * made + stored - by_recovery(LOSS_SHARES, n, heaps) * lost
    most = most_recovered(piles, state, days, heaps) / seconds
    result: Array = np.minimum(np.maximum(draw, 0.0), most)
    return result


def _there_at_the_end(state: PileState, pace: Array, slows: Array, seconds: float | Array, *, memory_s: Array) -> Array:
    """Mean power of decay, at a pace that slows [1/s], the late days of a time counting for more as a heap forgets the
    early ones, (n,). [W]"""
    left = np.exp(-seconds / memory_s)

    def of(pool_kg: Array, per_s: float) -> Array:
        fades = per_s * pace + slows
        apart = 1.0 / memory_s - fades
        apart = np.where(np.abs(apart) < ALIKE_PER_S, ALIKE_PER_S, apart)
        result: Array = pool_kg * per_s * pace * (np.exp(-fades * seconds) - left) / apart
        return result

    made = np.add.reduce(of(state.fast_kg, FAST_PER_S) + of(state.slow_kg, SLOW_PER_S))
    result: Array = decay.HEAT_PER_DRY_MATTER * made / (memory_s * (1.0 - left))
    return result


def _mean(state: PileState, pace: Array, seconds: float | Array) -> Array:
    """Mean power of decay at a steady pace, (n,). [W]"""
    result: Array = _released(state, pace, seconds) / seconds
    return result


def by_recovery(ends: tuple[float, float], n: int, heaps: int) -> Array:
    """A share between two ends, by how much can be recovered of each of n members, tiled over the heaps."""
    result: Array = np.tile(points("recoverable", n).between(*ends), heaps)
    return result


def _released(state: PileState, pace: Array, seconds: float | Array) -> Array:
    """Heat of decay over a time at a steady pace, each (n,). [J]"""
    fast = state.fast_kg * -np.expm1(-FAST_PER_S * seconds * pace)
    slow = state.slow_kg * -np.expm1(-SLOW_PER_S * seconds * pace)
    result: Array = decay.HEAT_PER_DRY_MATTER * np.add.reduce(fast + slow)
    return result
