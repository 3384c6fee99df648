"""The days ahead in a few strides: the core of the next week, and the heat that rot frees by a date.

A rough look, cheap enough for every answer. Water and weather are held as they are now, what rots is used up, and of
each step of the heat model (see `one_step`) only its linearised half is taken. `tests/physics/test_ahead.py` holds it
to runs of half a day.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.heat.physics import decay
from service.heat.physics.arrays import Array
from service.heat.physics.flows import PreparedHeaps, speed_at
from service.heat.physics.one_step import aim, bounded_draw
from service.heat.physics.piles import PileState
from service.heat.physics.step import FAST_PER_S, SLOW_PER_S
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure

DAYS: Final = figure(
    (0.0, 1.0, 3.0, 7.0),
    "1",
    "Days from now at which the core is told: now, and after each of the first strides",
    "no source",
)
LATER: Final = figure((15.0, 30.0), "days", "Where the first of the later strides end", "no source")
LONGER: Final = figure(
    2.0, "1", "Each stride after these ends so many times as far ahead as the one before", "no source"
)


@dataclass(frozen=True, slots=True)
class Strides:
    """If nothing is changed: the core on each of `DAYS`, (4, n) [degC], and the heat of rot until a date, (n,). [J]"""

    core_c: Array
    freed_j: Array


def strides(moment: PreparedHeaps, state: PileState, days: float | Array) -> Strides:
    """Follow heaps to a date so many days ahead, or each to its own, (n,); at least through the week of `DAYS`."""
    fixed, held = moment.fixed, moment.held
    fast, slow = state.fast_kg, state.slow_kg
    core, freed, start = [held.celsius[0]], np.zeros(held.celsius.shape[-1]), 0.0
    furthest = float(np.max(days))
    end, later = DAYS[1], iter((*DAYS[2:], *LATER))
    while True:
        seconds = (end - start) * SECONDS_PER_DAY
        middle, celsius = aim(bounded_draw(fixed, held, seconds), held, seconds)
        pace = held.environment * speed_at(fixed, held, middle)
        of_goal = np.clip((days - start) / (end - start), 0.0, 1.0)
        freed = freed + of_goal * _freed(fast, slow, pace, seconds)
        fast = fast * np.exp(-FAST_PER_S * seconds * pace)
        slow = slow * np.exp(-SLOW_PER_S * seconds * pace)
        burning = held.environment * (FAST_PER_S * fast + SLOW_PER_S * slow)
        held = replace(held, celsius=celsius, burning=burning)
        if len(core) < len(DAYS):
            core.append(celsius[0])
        start, end = end, next(later, end * LONGER)
        if len(core) == len(DAYS) and start >= furthest:
            return Strides(np.array(core), freed)


def _freed(fast: Array, slow: Array, pace: Array, seconds: float) -> Array:
    """Heat of decay over a time at a steady pace, each (n,). [J]"""
    burnt = fast * -np.expm1(-FAST_PER_S * seconds * pace) + slow * -np.expm1(-SLOW_PER_S * seconds * pace)
    result: Array = decay.HEAT_PER_DRY_MATTER * np.add.reduce(burnt)
    return result
