"""Random heaps of a winter: what they are made of, what lies over them, what is fitted, and the house they warm.

Everything follows from a seed and the heap's number, whatever else is simulated beside it. Medians and spreads are our
own. Half of the heaps are built dry, lean or both.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

TUNE_SEED, JUDGE_SEED = 1301, 9109
"""Tune on the first only; the second is for judging, once (9013, 9029, 9043, 9059, 9067, 9091 and 9103 are spent)."""

OCTOBER_FIRST, NOVEMBER_LAST = 274, 334  # day of the year
COVERS: Final = ("none", "clear_film", "tarp", "breathable", "straw")
COVER_CHANCES: Final = (0.6, 0.15, 0.1, 0.05, 0.1)
MATERIALS: Final = ("wood_chips", "horse_manure")
CHIP_MOISTURE, MANURE_MOISTURE = 0.45, 0.68
CHIP_DENSITY, MANURE_DENSITY = 320.0, 500.0  # kg/m3 as they lie
NITROGEN: Final = (0.0030, 0.016)  # of the dry matter
DEGRADABLE: Final = (0.42, 0.62)  # of the dry matter
GLAZING_U: Final = {"single_film": 6.2, "double_film": 4.0, "twin_wall": 3.2}  # W/(m2 K)


@dataclass(frozen=True, slots=True)
class Heaps:
    """What does not change by itself, each (n,). Shares are 0 to 1; moisture is of the wet mass."""

    seed: int
    numbers: Array
    volume_m3: Array
    mass_kg: Array
    moisture: Array
    manure_share: Array  # of the dry matter
    cover: Array  # place in COVERS
    built_day: Array  # day of the year
    annual_mean_c: Array
    half_range_k: Array
    swing_k: Array  # half of the daily range
    wind_m_s: Array
    exposure: Array  # factor on the wind
    has_loop: Array  # 1 a loop, 0 a closed duct
    carrier_w_k: Array  # heat capacity flow of the water or air while it runs
    carrier_ua_w_k: Array
    tube_length_m: Array
    house_area_m2: Array
    house_kind: Array  # place in GLAZING_U
    house_volume_m3: Array
    night_target_c: Array

    @property
    def count(self) -> int:
        """How many heaps."""
        return self.volume_m3.size

    @property
    def dry_kg(self) -> Array:
        """Dry matter when built."""
        result: Array = self.mass_kg * (1.0 - self.moisture)
        return result

    @property
    def nitrogen_kg(self) -> Array:
        """All nitrogen when built."""
        result: Array = self.dry_kg * _mixed(NITROGEN, self.manure_share)
        return result

    @property
    def degradable_kg(self) -> Array:
        """Dry matter that could rot, when built."""
        result: Array = self.dry_kg * _mixed(DEGRADABLE, self.manure_share)
        return result

    def repeated(self, times: int) -> Heaps:
        """The same heaps side by side so many times: each block lives its own life in the same weather."""
        columns = {f.name: np.tile(getattr(self, f.name), times) for f in fields(self) if f.name != "seed"}
        return Heaps(seed=self.seed, **columns)

    def rng(self, purpose: int) -> list[np.random.Generator]:
        """A generator of each heap for one purpose."""
        return [np.random.Generator(np.random.PCG64([self.seed, int(number), purpose])) for number in self.numbers]

    def spread(self, purpose: int, log_sd: float) -> Array:
        """A factor of each heap about 1."""
        return np.exp(log_sd * np.array([rng.standard_normal() for rng in self.rng(purpose)]))

    def between(self, purpose: int, low: float, high: float) -> Array:
        """An even number of each heap between two bounds."""
        return np.array([rng.uniform(low, high) for rng in self.rng(purpose)])


def _mixed(values: tuple[float, float], manure: Array) -> Array:
    return values[0] * (1.0 - manure) + values[1] * manure


BUILDING, WEATHER, GROWER = 0, 1, 2
"""Purposes of generators; truths take theirs from 100 on."""


def build(seed: int, count: int, first: int = 0) -> Heaps:
    """Heaps `first` to `first + count` of a seed."""
    rows = [
        _draw(np.random.Generator(np.random.PCG64([seed, number, BUILDING]))) for number in range(first, first + count)
    ]
    columns = {name: np.array([row[name] for row in rows]) for name in rows[0]}
    return Heaps(seed=seed, numbers=np.arange(first, first + count, dtype=np.float64), **columns)


def _draw(rng: np.random.Generator) -> dict[str, float]:
    volume = float(np.exp(rng.uniform(np.log(5.0), np.log(35.0))))
    fault = rng.choice(("none", "dry", "lean", "both"), p=(0.5, 1 / 6, 1 / 6, 1 / 6))
    dry, lean = fault in ("dry", "both"), fault in ("lean", "both")
    moisture = rng.uniform(0.30, 0.43) if dry else rng.uniform(0.50, 0.62)
    manure = rng.uniform(0.0, 0.08) if lean else rng.uniform(0.18, 0.40)
    chips = 1.0 - manure
    dry_density = chips * CHIP_DENSITY * (1 - CHIP_MOISTURE) + manure * MANURE_DENSITY * (1 - MANURE_MOISTURE)
    dry_density *= float(np.exp(0.1 * rng.standard_normal()))
    return {
        "volume_m3": volume,
        "mass_kg": volume * dry_density / (1.0 - moisture),
        "moisture": moisture,
        "manure_share": manure,
        "cover": float(rng.choice(len(COVERS), p=COVER_CHANCES)),
        "built_day": float(rng.integers(OCTOBER_FIRST, NOVEMBER_LAST)),
        **_place(rng),
        **_fitted(rng, volume),
        **_house(rng),
    }


def _place(rng: np.random.Generator) -> dict[str, float]:
    return {
        "annual_mean_c": rng.uniform(4.5, 10.0),
        "half_range_k": rng.uniform(9.0, 13.0),
        "swing_k": rng.uniform(2.5, 5.5),
        "wind_m_s": 2.8 * float(np.exp(0.4 * rng.standard_normal())),
        "exposure": float(rng.choice((0.4, 1.0, 1.6))),
    }


def _fitted(rng: np.random.Generator, volume: float) -> dict[str, float]:
    loop = rng.uniform() < 0.6
    length = 26.0 * (volume / 12.0) ** 0.55 * float(np.exp(0.25 * rng.standard_normal()))
    water = rng.uniform(1.5, 5.0) / 60.0 * 4186.0
    air = rng.uniform(60.0, 160.0) / 3600.0 * 1.2 * 1006.0
    return {
        "has_loop": float(loop),
        "carrier_w_k": water if loop else air,
        "carrier_ua_w_k": (2.0 * length if loop else 3.0 * length**0.9) * float(np.exp(0.3 * rng.standard_normal())),
        "tube_length_m": length,
    }


def _house(rng: np.random.Generator) -> dict[str, float]:
    area = rng.uniform(35.0, 120.0)
    return {
        "house_area_m2": area,
        "house_kind": float(rng.integers(len(GLAZING_U))),
        "house_volume_m3": (area / 5.5) ** 1.5,
        "night_target_c": float(rng.choice((4.0, 5.0, 7.0, 10.0))),
    }
