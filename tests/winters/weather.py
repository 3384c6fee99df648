"""Weather of the winters: seasons, noise that remembers the day before, and cold snaps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .heaps import WEATHER, Heaps

Array = NDArray[np.float64]

COLDEST_DAY, DARKEST_DAY, YEAR = 20.0, -10.0, 365.25
LONGEST: Final = 250  # days that are drawn, however few are asked for
NOISE_K, MEMORY = 3.2, 0.75
SNAP_FROM = (20, 170)  # days after building
SNAPS, SNAP_DAYS, SNAP_K = 2.5, (4, 11), (5.0, 11.0)  # a winter: how many on the mean, how long, how cold
HOURS: Final = np.arange(24)[:, None]


@dataclass(frozen=True, slots=True)
class Winter:
    """Daily weather, each (days, n)."""

    air_c: Array
    usual_c: Array
    wind_m_s: Array
    sun_w_m2: Array
    cloud: Array
    rain_kg_m2_s: Array
    ground_c: Array


@dataclass(frozen=True, slots=True)
class Hour:
    """The weather of one hour, each (n,)."""

    air_c: Array
    wind_m_s: Array
    sun_w_m2: Array
    sky_w_m2: Array  # net long-wave loss beyond that to air
    rain_kg_m2_s: Array
    ground_c: Array


def winter_of(heaps: Heaps, days: int) -> Winter:
    """The weather of each heap's winter, from its own generator."""
    rngs = heaps.rng(WEATHER)
    normals = np.stack([rng.standard_normal((LONGEST, 3))[:days].T for rng in rngs], axis=-1)
    rain = np.stack([rng.uniform(size=(LONGEST, 2))[:days].T for rng in rngs], axis=-1)
    snaps = np.stack([_snaps(rng)[:days] for rng in rngs], axis=-1)
    day = heaps.built_day + np.arange(days)[:, None]
    usual = heaps.annual_mean_c - heaps.half_range_k * np.cos(2 * np.pi * (day - COLDEST_DAY) / YEAR)
    late = heaps.annual_mean_c - 0.5 * heaps.half_range_k * np.cos(2 * np.pi * (day - 30 - COLDEST_DAY) / YEAR)
    air = usual + NOISE_K * _remembered(normals[0], MEMORY) - snaps
    cloud = 1.0 / (1.0 + np.exp(-1.5 * _remembered(normals[1], 0.4)))
    cloud = cloud * (1.0 - 0.6 * (snaps > 0.0))
    sun = 115.0 - 80.0 * np.cos(2 * np.pi * (day - DARKEST_DAY) / YEAR)
    raining = rain[0] < 0.15 + 0.4 * cloud
    mm = np.where(raining & (air > 0.5), -4.0 * np.log(np.maximum(rain[1], 1e-9)), 0.0)
    return Winter(
        air_c=air,
        usual_c=usual,
        wind_m_s=heaps.wind_m_s * np.exp(0.4 * _remembered(normals[2], 0.5)),
        sun_w_m2=sun * (1.35 - 0.9 * cloud),
        cloud=cloud,
        rain_kg_m2_s=mm / 86_400.0,
        ground_c=late,
    )


def hour_of(winter: Winter, heaps: Heaps, day: int, hour: int) -> Hour:
    """The weather of one clock hour of a day; sunshine from eight to four."""
    swing = heaps.swing_k * np.cos(2 * np.pi * (hour - 15.0) / 24.0)
    light = max(np.sin(np.pi * (hour - 8.0) / 8.0), 0.0) * 24.0 / 8.0 * np.pi / 2.0 if 8 <= hour < 16 else 0.0
    return Hour(
        air_c=winter.air_c[day] + swing,
        wind_m_s=winter.wind_m_s[day] * heaps.exposure,
        sun_w_m2=winter.sun_w_m2[day] * light,
        sky_w_m2=75.0 * (1.0 - 0.8 * winter.cloud[day]),
        rain_kg_m2_s=winter.rain_kg_m2_s[day],
        ground_c=winter.ground_c[day],
    )


def _snaps(rng: np.random.Generator) -> Array:
    """By how much each day is colder for a cold snap. [K]"""
    result = np.zeros(LONGEST)
    for _ in range(rng.poisson(SNAPS)):
        start, length = int(rng.integers(*SNAP_FROM)), int(rng.integers(*SNAP_DAYS))
        result[start : start + length] = rng.uniform(*SNAP_K)
    return result


def _remembered(normals: Array, memory: float) -> Array:
    result = normals.copy()
    fresh = np.sqrt(1.0 - memory * memory)
    for index in range(1, len(result)):
        result[index] = memory * result[index - 1] + fresh * normals[index]
    return result
