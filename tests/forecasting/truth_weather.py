"""Weather of the simulated heaps: seasons, and daily noise that remembers the day before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

COLDEST_DAY = 20.0  # day of the year
DARKEST_DAY = -10.0
YEAR_DAYS = 365.25
AIR_NOISE_K = 4.0  # standard deviation of daily means about the season
AIR_MEMORY = 0.75  # correlation of a day with the day before
CLOUD_MEMORY = 0.4
STEFAN_BOLTZMANN = 5.67e-8  # W/(m2 K4)


@dataclass(frozen=True, slots=True)
class Climate:
    """The place and the day the heap was built; one number per heap, (n,), or one heap's."""

    annual_mean_c: Array
    half_range_k: Array
    daily_half_range_k: Array
    built_day: Array  # day of the year
    windiness: Array  # m/s

    def season_c(self, day: Array) -> Array:
        """Usual daily mean air temperature, days after building. [degC]"""
        phase = 2.0 * np.pi * (self.built_day + day - COLDEST_DAY) / YEAR_DAYS
        result: Array = self.annual_mean_c - self.half_range_k * np.cos(phase)
        return result

    def ground_c(self, day: Array) -> Array:
        """Ground under a heap: the season damped and a month late. [degC]"""
        result: Array = self.annual_mean_c + 0.5 * (self.season_c(day - 30.0) - self.annual_mean_c)
        return result

    def season_sun_w_m2(self, day: Array) -> Array:
        """Usual sunshine, mean over 24 h. [W/m2]"""
        phase = 2.0 * np.pi * (self.built_day + day - DARKEST_DAY) / YEAR_DAYS
        result: Array = 115.0 - 80.0 * np.cos(phase)
        return result


def draw_climate(rng: np.random.Generator) -> dict[str, float]:
    """A temperate place with cold winters, and a building day between mid-August and the end of February."""
    return {
        "annual_mean_c": rng.uniform(4.0, 11.0),
        "half_range_k": rng.uniform(8.0, 14.0),
        "daily_half_range_k": rng.uniform(2.0, 6.0),
        "built_day": rng.uniform(225.0, 420.0),
        "windiness": 2.8 * float(np.exp(0.4 * rng.standard_normal())),
    }


@dataclass(frozen=True, slots=True)
class Weather:
    """Daily weather, each (days, n)."""

    air_c: Array
    wind_m_s: Array
    sun_w_m2: Array
    sky_loss_w_m2: Array  # beyond the exchange with surroundings at air temperature
    rain_kg_m2_s: Array
    vapour: Array  # kg of water per kg of dry air
    ground_c: Array


def draw_weather(
    climate: Climate, rngs: Sequence[np.random.Generator], rain_rngs: Sequence[np.random.Generator], days: int
) -> Weather:
    """One weather per heap, each from its own generators; more days go on from the same first ones."""
    normals = np.stack([rng.standard_normal((days, 3)).T for rng in rngs], axis=-1)
    chances = np.stack([rng.uniform(size=(days, 2)).T for rng in rain_rngs], axis=-1)
    day = np.arange(days, dtype=np.float64)[:, None]
    air = climate.season_c(day) + AIR_NOISE_K * remembered(normals[0], AIR_MEMORY)
    cloud = remembered(normals[1], CLOUD_MEMORY)
    overcast = 1.0 / (1.0 + np.exp(-1.5 * cloud))
    wind = climate.windiness * np.exp(0.45 * remembered(normals[2], 0.5))
    raining = chances[0] < 0.15 + 0.4 * overcast
    rain_mm = np.where(raining, -4.0 * np.log(np.maximum(chances[1], 1e-9)), 0.0) * (air > 0.0)
    sky_k = 273.15 + air - 20.0 * (1.0 - 0.8 * overcast)
    return Weather(
        air_c=air,
        wind_m_s=wind,
        sun_w_m2=climate.season_sun_w_m2(day) * (1.35 - 0.9 * overcast),
        sky_loss_w_m2=0.9 * STEFAN_BOLTZMANN * ((273.15 + air) ** 4 - sky_k**4),
        rain_kg_m2_s=rain_mm / 86_400.0,
        vapour=0.8 * humidity_ratio(air, 1.0),
        ground_c=climate.ground_c(day),
    )


def remembered(normals: Array, memory: float) -> Array:
    """Noise with standard deviation 1 whose neighbours along the first axis correlate by `memory`."""
    result = normals.copy()
    fresh = np.sqrt(1.0 - memory * memory)
    for index in range(1, len(result)):
        result[index] = memory * result[index - 1] + fresh * normals[index]
    return result


def humidity_ratio(celsius: Array, activity: Array | float) -> Array:
    """Water in air over a surface of this water activity, kg per kg of dry air (Tetens, from memory)."""
    share = np.minimum(activity * 0.0060306 * np.exp(17.27 * celsius / (celsius + 237.3)), 0.7)
    result: Array = 0.622 * share / (1.0 - share)
    return result
