"""A coarse truth: core and shell, one pool whose rot slows with what is gone, and water that can run out.

All numbers are our own; spreads are wide on purpose, so that no prior of the service is right.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tests.forecasting.logs import Log

from .told import DAYS, STUFF, Course, Heap, draw_heap, log_of

Array = NDArray[np.float64]

STEPS_PER_DAY: Final = 24
# Per material: rot per day of what can rot when fresh and warm, share of the dry matter that can.
ROT: Final = {
    "wood_chips": (0.028, 0.3),
    "wood_chips_green": (0.04, 0.35),
    "horse_manure": (0.06, 0.5),
    "grass_clippings": (0.12, 0.65),
    "poultry_manure": (0.05, 0.5),
    "cattle_manure_bedded": (0.05, 0.5),
    "straw": (0.06, 0.55),
    "food_scraps": (0.15, 0.7),
    "prunings": (0.04, 0.35),
    "leaves": (0.05, 0.45),
}
COVER_LOSS: Final = {"none": 1.0, "clear_film": 0.8, "tarp": 0.8, "straw": 0.6}
COVER_STEAM: Final = {"none": 1.0, "clear_film": 0.4, "tarp": 0.45, "straw": 0.7}


def make_logs(seed: int, count: int) -> list[Log]:
    """Logs of a seed's first heaps."""
    rngs = [np.random.Generator(np.random.PCG64([seed, number, 71])) for number in range(count)]
    heaps = [draw_heap(seed, number, rng) for number, rng in enumerate(rngs)]
    courses = simulate(heaps, rngs)
    told = (log_of(heap, course, rng) for heap, course, rng in zip(heaps, courses, rngs, strict=True))
    return [log for log in told if log is not None]


def _spread(rngs: list[np.random.Generator], log_sd: float) -> Array:
    return np.exp(log_sd * np.array([rng.standard_normal() for rng in rngs]))


def _between(rngs: list[np.random.Generator], low: float, high: float) -> Array:
    return np.array([rng.uniform(low, high) for rng in rngs])


def simulate(heaps: list[Heap], rngs: list[np.random.Generator]) -> list[Course]:  # noqa: PLR0915 -- one model, read in order
    """Hourly Euler steps; records every half day."""
    n = len(heaps)
    mass = np.array([heap.mass_kg for heap in heaps])
    volume = np.array([heap.volume_m3 for heap in heaps])
    moisture = np.array([sum(s * STUFF[m][1] for m, s in heap.recipe.items()) for heap in heaps])
    moisture = np.clip(moisture + 0.05 * np.array([rng.standard_normal() for rng in rngs]), 0.3, 0.68)
    moisture = np.array([own if h.moisture is None else h.moisture for own, h in zip(moisture, heaps, strict=True)])
    dry0 = mass * (1.0 - moisture)
    rate = np.array([sum(s * ROT[m][0] for m, s in heap.recipe.items()) for heap in heaps]) * _spread(rngs, 0.6)
    share = np.array([sum(s * ROT[m][1] for m, s in heap.recipe.items()) for heap in heaps]) * _spread(rngs, 0.25)
    left, rotten = np.minimum(share, 0.8) * dry0, np.minimum(share, 0.8) * dry0
    order = _between(rngs, 0.8, 3.0)
    best, cool_side, hot_side = 54.0 + 4.0 * np.log(_spread(rngs, 1.0)), _between(rngs, 22, 34), _between(rngs, 7, 14)
    thirst, steep = _between(rngs, 0.22, 0.4), _between(rngs, 15.0, 40.0)
    lag, lively = _between(rngs, 0.8, 4.0), _between(rngs, 0.15, 0.7)
    area = 5.5 * volume ** (2.0 / 3.0)
    within = 3.0 * volume ** (1.0 / 3.0) * _spread(rngs, 0.4)  # W/K, core to shell
    skin = 1.1 * area * _spread(rngs, 0.3) * np.array([COVER_LOSS[heap.cover] for heap in heaps])
    steam = 0.7 * area * _spread(rngs, 0.5) * np.array([COVER_STEAM[heap.cover] for heap in heaps])  # W/hPa
    flow = np.array([heap.loop_flow_kg_s for heap in heaps]) * 4186.0
    loop = flow * (
        1.0
        - np.exp(-np.where(flow > 0, 70.0 * _spread(rngs, 0.5) * (mass / 4000.0) ** 0.5, 0.0) / np.maximum(flow, 1.0))
    )
    inlet = np.array([heap.loop_inlet_c for heap in heaps])
    usual = np.array([heap.mean_air_c for heap in heaps]).T
    noise = np.array([rng.standard_normal((DAYS + 1, 2)) for rng in rngs]).transpose(1, 2, 0)
    water = mass * moisture
    core = np.maximum(usual[0], 2.0) + _between(rngs, 0.0, 12.0)
    shell = core.copy()
    air_k, mood = np.zeros(n), np.zeros(n)
    records: list[Array] = []
    step = 86_400.0 / STEPS_PER_DAY
    for hour in range(STEPS_PER_DAY * DAYS + 1):
        day = hour // STEPS_PER_DAY
        if hour % STEPS_PER_DAY == 0:
            air_k = 0.7 * air_k + 2.9 * noise[day, 0]
            mood = 0.9 * mood + 0.09 * noise[day, 1]
            duty = np.array([heap.duty(day) for heap in heaps])
            rain = np.where(noise[day, 0] > 0.6, 0.25 * area, 0.0) * np.array(
                [h.cover in ("none", "straw") for h in heaps]
            )
        air = usual[day] + air_k
        dry = dry0 - rotten + left
        if hour % (STEPS_PER_DAY // 2) == 0:
            out = np.where(flow * duty > 0, inlet + loop / np.maximum(flow, 1.0) * (core - inlet), np.nan)
            records.append(np.array([core, 0.5 * (shell + air) * 0.4 + 0.6 * shell, water / (water + dry), out]))
        wet = water / (water + dry)
        warmth = np.exp(-(((core - best) / np.where(core < best, cool_side, hot_side)) ** 2))
        cooler = np.exp(-(((shell - best) / np.where(shell < best, cool_side, hot_side)) ** 2))
        drought = 1.0 / (1.0 + np.exp(-steep * (wet - thirst)))
        pace = rate * lively * drought * np.exp(mood) * (left / rotten) ** (order - 1.0) / 86_400.0
        burnt_core, burnt_shell = 0.45 * left * pace * warmth, 0.55 * left * pace * cooler
        pressure = [6.11 * 10.0 ** (7.5 * t / (t + 237.3)) for t in (core, air)]
        vapour = steam * np.maximum(pressure[0] - pressure[1], 0.0) * drought * 0.35
        capacity = 1500.0 * dry + 4186.0 * water
        drawn = loop * duty * (core - inlet)
        core = core + step * (18e6 * burnt_core - within * 2.0 * (core - shell) - 0.6 * vapour - drawn) / (
            0.45 * capacity
        )
        shell = shell + step * (
            18e6 * burnt_shell + within * 2.0 * (core - shell) - 0.4 * vapour - skin * (shell - air)
        ) / (0.55 * capacity)
        left = np.maximum(left - step * (burnt_core + burnt_shell), 1e-6 * rotten)
        water = np.maximum(
            water + step * (0.5 * (burnt_core + burnt_shell) - vapour / 2.4e6) + rain / STEPS_PER_DAY, 0.02 * dry
        )
        water = np.minimum(water, 2.4 * dry)
        lively = np.minimum(lively + (step / 86_400.0) * lively * (1.0 - lively) * lag * (0.2 + warmth), 1.0)
    kept = np.array(records)
    return [Course(kept[:, 0, i], kept[:, 1, i], kept[:, 2, i], kept[:, 3, i]) for i in range(n)]
