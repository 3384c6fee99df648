"""Simulated heaps, the truth against which forecasts are judged. Kept apart from the service: it shares no code.

Sixteen shells, three pools, a biological activity that must grow first, an oxygen profile, water that moves both
ways, conductivity that rises with temperature, correlated weather and noise. Explicit short steps; a heap that is
stiff takes more of them. Everything follows from a seed and the heap's number.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from . import truth_decay as decay
from .truth_flows import (
    ACTIVITY,
    CENTRES,
    ENTHALPY,
    FAST,
    LOOP_SHARES,
    OXYGEN,
    SHELLS,
    SLOW,
    VOLUME_SHARES,
    WATER,
    Air,
    Held,
    capacity,
    dry_matter,
    flows,
    hold,
    settle,
    stiffness,
)
from .truth_piles import BIOLOGY, RAIN, WEATHER, Built, Piles
from .truth_weather import Weather, draw_weather, remembered

Array = NDArray[np.float64]

OUTER_STEP_S: Final = 1800.0
STEEPEST: Final = 0.8  # an inner step moves a shell at most this share of the way to its neighbours
NOISE_SD, NOISE_MEMORY = 0.15, 0.85
READ_AT_HOUR = 7.5  # the clock time of building and of every record
CORE_WITHIN = 0.25  # of the radius: what a well placed probe feels
OUTER_DEPTH_M, ARM_DEPTH_M = 0.2, 0.5
LEDGER: Final = ("made_j", "surface_j", "air_j", "loop_j", "drain_j", "water_made_kg", "water_out_kg")

_CORE = np.where(CENTRES < CORE_WITHIN, 1.0, 0.0)[:, None]
_CORE = _CORE / _CORE.sum()


@dataclass(frozen=True, slots=True)
class Truth:
    """What happened: records every half day, (times, n), and what it rests on.

    `closure` is the largest energy and water that went missing over any half day, relative to the throughput, (2,).
    """

    built: Built
    days: Array
    core_c: Array
    outer_c: Array  # 0.2 m deep
    arm_wetness: Array  # kg/kg, 0.5 m deep
    core_wetness: Array
    skin_wetness: Array
    core_oxygen: Array  # of fresh air
    loop_material_c: Array
    loop_duty: Array
    made_w: Array  # mean of the half day before, as are the next two
    air_w: Array
    loop_w: Array
    fast_left: Array  # share of the fast pool
    water_factor: Array  # by heat, mean of the inner half of the radius
    volume_share: Array  # of the volume when built
    closure: Array


def simulate(built: Built, days: int, fineness: int = 1) -> Truth:
    """Run the heaps from the day they were built; `fineness` divides all steps, to see what their length does."""
    piles = built.piles
    weather = draw_weather(built.climate, built.generators(WEATHER), built.generators(RAIN), days + 1)
    pace = _pace(built, days + 1)
    state = start(piles)
    records: list[dict[str, Array]] = []
    ledger = np.zeros((len(LEDGER), piles.dry_kg.size))
    worst = np.zeros(2)
    per_half = fineness * round(43_200.0 / OUTER_STEP_S)
    for half in range(2 * days + 1):
        records.append(_record(piles, state, ledger, _duty(piles, 0.5 * half)))
        if half == 2 * days:
            break
        before, ledger = state.copy(), np.zeros_like(ledger)
        for number in range(per_half):
            air = air_at(built, weather, pace, 0.5 * (half + number / per_half))
            state, crossing = advance(piles, state, air, OUTER_STEP_S / fineness)
            ledger += crossing
        worst = np.maximum(worst, closure(before, state, ledger))
    columns = {name: np.array([record[name] for record in records]) for name in records[0]}
    return Truth(built=built, days=np.arange(2 * days + 1) / 2.0, closure=worst, **columns)


def start(piles: Piles) -> Array:
    """The state when built: alike throughout, in fresh air."""
    state = np.ones((7, SHELLS, piles.dry_kg.size))
    state[FAST : SLOW + 1] = piles.pools[:, None, :] * VOLUME_SHARES
    state[WATER] = piles.dry_kg * piles.moisture / (1.0 - piles.moisture) * VOLUME_SHARES
    state[ACTIVITY] = piles.activity_start
    state[ENTHALPY] = capacity(piles, state) * piles.start_c
    return state


def _pace(built: Built, days: int) -> Array:
    normals = np.stack([rng.standard_normal(days) for rng in built.generators(BIOLOGY)], axis=-1)
    return np.exp(NOISE_SD * remembered(normals, NOISE_MEMORY) - 0.5 * NOISE_SD**2)


def _duty(piles: Piles, day: float) -> Array:
    running = np.where(day >= piles.loop_change_day, piles.loop_duty_later, piles.loop_duty)
    return np.where((day >= piles.loop_from_day) & (piles.loop_flow_w_k > 0.0), running, 0.0)


def air_at(built: Built, weather: Weather, pace: Array, day: float) -> Air:
    """Weather, draw and noise at a moment, days after building."""
    index = int(day)
    hour = READ_AT_HOUR + 24.0 * (day - index)
    swing = built.climate.daily_half_range_k * np.cos(2.0 * np.pi * (hour - 15.0) / 24.0)
    return Air(
        air_c=weather.air_c[index] + swing,
        wind_m_s=weather.wind_m_s[index],
        sun_w_m2=weather.sun_w_m2[index],
        sky_loss_w_m2=weather.sky_loss_w_m2[index],
        rain_kg_m2_s=weather.rain_kg_m2_s[index],
        vapour=weather.vapour[index],
        ground_c=weather.ground_c[index],
        duty=_duty(built.piles, day),
        pace=pace[index],
    )


def advance(piles: Piles, state: Array, air: Air, seconds: float = OUTER_STEP_S) -> tuple[Array, Array]:
    """One outer step: the new state and what crossed the boundary, (7, n) by `LEDGER`. [J, kg]

    Each heap takes as many inner steps, a power of two, as its stiffest shell needs.
    """
    held = hold(piles, state, air)
    wanted = seconds * stiffness(held, state[ENTHALPY]) / STEEPEST
    counts = 2 ** np.ceil(np.log2(np.maximum(wanted, 1.0))).astype(int)
    enthalpy = state[ENTHALPY].copy()
    sums = np.zeros((2, *enthalpy.shape))  # warmth factor and vapour over time
    edge = np.zeros((5, counts.size))  # what dripped back, and what crossed
    for count in np.unique(counts):
        columns = np.flatnonzero(counts == count)
        if columns.size == counts.size:
            some = (piles, held, air)
        else:
            some = (piles.take(columns), held.take(columns), air.take(columns))
        moved = _inner_steps(*some, enthalpy[:, columns], seconds=seconds / count, count=int(count))
        enthalpy[:, columns], sums[..., columns], edge[:, columns] = moved
    new, matter = settle(state, held, enthalpy, warm_s=sums[0], vapour_kg=sums[1], dripped_kg=edge[0], seconds=seconds)
    return new, np.concatenate([matter[:1], edge[1:], matter[1:]])


def _inner_steps(
    piles: Piles, held: Held, air: Air, enthalpy: Array, *, seconds: float, count: int
) -> tuple[Array, Array, Array]:
    sums = np.zeros((2, *enthalpy.shape))
    edge = np.zeros((5, enthalpy.shape[-1]))
    for _ in range(count):
        now = flows(piles, held, air, enthalpy)
        enthalpy = enthalpy + seconds * now.heating
        sums[0] += now.warmth
        sums[1] += now.vapour
        edge[0] += now.dripping
        edge[1:] += now.crossing
    return enthalpy, seconds * sums, seconds * edge


def closure(before: Array, after: Array, ledger: Array) -> Array:
    """Energy and water missing between two states, over what went through, the worst heap. [1]"""
    heat = (after[ENTHALPY] - before[ENTHALPY]).sum(axis=0)
    burnt = ((before - after)[FAST : SLOW + 1] * decay.HEAT_J_KG).sum(axis=(0, 1))
    out = ledger[1:5].sum(axis=0)
    energy = np.abs(heat - burnt + out) / (np.abs(ledger[:5]).sum(axis=0) + np.abs(before[ENTHALPY]).sum(axis=0))
    water = np.abs((after - before)[WATER].sum(axis=0) - ledger[5] + ledger[6])
    return np.array([energy.max(), (water / before[WATER].sum(axis=0)).max()])


def _record(piles: Piles, state: Array, ledger: Array, duty: Array) -> dict[str, Array]:
    celsius = state[ENTHALPY] / capacity(piles, state)
    dry = dry_matter(piles, state)
    wetness = state[WATER] / dry
    share = dry.sum(axis=0) / piles.dry_kg
    radius = 0.465 * np.cbrt(piles.volume_m3 * share)  # of the sphere of shells, near enough for a depth
    inner = VOLUME_SHARES * (CENTRES < 0.5)[:, None]
    return {
        "core_c": (_CORE * celsius).sum(axis=0),
        "outer_c": _at_depth(celsius, OUTER_DEPTH_M / radius),
        "arm_wetness": _at_depth(wetness, ARM_DEPTH_M / radius),
        "core_wetness": (_CORE * wetness).sum(axis=0),
        "skin_wetness": wetness[-2],
        "core_oxygen": (_CORE * state[OXYGEN]).sum(axis=0),
        "loop_material_c": (LOOP_SHARES * celsius).sum(axis=0),
        "loop_duty": duty,
        "made_w": ledger[0] / 43_200.0,
        "air_w": ledger[2] / 43_200.0,
        "loop_w": ledger[3] / 43_200.0,
        "fast_left": state[FAST].sum(axis=0) / piles.pools[0],
        "water_factor": (inner * decay.water_factor(piles, wetness)).sum(axis=0) / inner.sum(),
        "volume_share": share,
    }


def _at_depth(values: Array, depth: Array) -> Array:
    """Values at a depth over the radius, straight between the shells' centres."""
    place = np.clip((1.0 - depth) * SHELLS - 0.5, 0.0, SHELLS - 1.001)
    below = place.astype(int)
    columns = np.arange(values.shape[-1])
    part = place - below
    result: Array = values[below, columns] * (1.0 - part) + values[below + 1, columns] * part
    return result
