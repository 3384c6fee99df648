"""Random heaps for the truth model: make-up, size, place, cover, loop, and rates spread widely.

Medians and spreads are our own. They were set by hand until start-ups, durations and collapses looked like those
reported of real heaps, before any forecasting method was tried on them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from .truth_weather import Climate, draw_climate

Array = NDArray[np.float64]

COVERS: Final = ("none", "clear_film", "tarp", "breathable", "straw")
COVER_CHANCES: Final = (0.45, 0.35, 0.08, 0.06, 0.06)
# Resistance m2 K/W, share of vapour that drips back, share of draught left, sun absorbed, rain let in: medians.
COVER_VALUES: Final = {
    "none": (0.0, 0.0, 1.0, 0.75, 1.0),
    "clear_film": (0.17, 0.5, 0.35, 0.65, 0.0),
    "tarp": (0.12, 0.45, 0.4, 0.1, 0.0),
    "breathable": (0.08, 0.2, 0.8, 0.2, 0.3),
    "straw": (1.2, 0.2, 0.8, 0.1, 0.7),
}
MATERIALS: Final = ("wood_chips", "horse_manure", "grass_clippings")
# Three degradable pools and nitrogen, shares of the dry matter; bulk density kg/m3.
POOLS: Final = np.array([[0.037, 0.10, 0.40], [0.135, 0.22, 0.28], [0.29, 0.27, 0.18]])
NITROGEN: Final = np.array([0.0028, 0.016, 0.030])
BULK: Final = np.array([330.0, 480.0, 330.0])
OWN_MOISTURE: Final = np.array([0.42, 0.65, 0.76])
RATES_PER_DAY: Final = (0.32, 0.065, 0.006)
RATE_SPREADS: Final = (0.45, 0.5, 0.6)


@dataclass(frozen=True, slots=True)
class Piles:
    """What does not change in a run, each (n,) but for `rates_per_s` and `pools`, (3, n)."""

    volume_m3: Array
    dry_kg: Array
    pools: Array
    moisture: Array
    start_c: Array
    foot_aspect: Array  # height over foot radius
    rates_per_s: Array
    exhaustion: Array  # share of the fast pool at which its decay is half of what it was per kilogram at first
    nitrogen_factor: Array
    haug_like: Array  # 1: sum of two exponentials, 0: cardinal temperatures
    warm_base: Array
    hot_base: Array
    shift_k: Array
    coldest_c: Array
    best_c: Array
    hottest_c: Array
    thirst: Array  # water per dry matter at half rate
    half_oxygen: Array
    activity_start: Array
    growth_per_s: Array
    conductivity_w_mk: Array
    conductivity_slope: Array  # per kelvin
    permeability_m2: Array
    bypass: Array
    vapour_enhancement: Array
    surface_factor: Array
    wind_factor: Array
    cover: Array  # index in COVERS
    cover_resistance: Array
    vapour_returned: Array
    draught_left: Array
    sun_absorbed: Array
    rain_let_in: Array
    loop_flow_w_k: Array
    loop_ua_w_k: Array
    loop_inlet_c: Array
    loop_from_day: Array
    loop_change_day: Array
    loop_duty: Array
    loop_duty_later: Array

    def take(self, columns: NDArray[np.intp]) -> Piles:
        """Some of the heaps."""
        return Piles(**{f.name: getattr(self, f.name)[..., columns] for f in fields(self)})


@dataclass(frozen=True, slots=True)
class Built:
    """Random heaps: their physics, their climate, what was put in, and the loop as built."""

    piles: Piles
    climate: Climate
    wet_shares: Array  # (3, n) of the wet mass as added
    mass_kg: Array
    tube_copper: Array
    tube_length_m: Array
    seed: int
    first: int

    def generators(self, purpose: int) -> list[np.random.Generator]:
        """A fresh generator of each heap for one purpose: see `generator`."""
        return [generator(self.seed, self.first + index, purpose) for index in range(self.mass_kg.size)]


BUILDING, TELLING, WEATHER, RAIN, BIOLOGY = range(5)


def generator(seed: int, number: int, purpose: int) -> np.random.Generator:
    """Random numbers of one heap for one purpose, whatever else is simulated beside it."""
    return np.random.Generator(np.random.PCG64([seed, number, purpose]))


def build(seed: int, count: int, first: int = 0) -> Built:
    """Heaps `first` to `first + count` of a seed. A heap depends on its seed and number alone."""
    rows = [_draw(generator(seed, number, BUILDING)) for number in range(first, first + count)]
    climate = Climate(**_columns(rows, "climate"))
    piles = Piles(**_columns(rows, "pile"))
    return Built(piles, climate, seed=seed, first=first, **_columns(rows, "other"))


def _columns(rows: Sequence[Mapping[str, Mapping[str, object]]], part: str) -> dict[str, Array]:
    return {name: np.stack([np.asarray(row[part][name], float) for row in rows], axis=-1) for name in rows[0][part]}


def _spread(rng: np.random.Generator, log_sd: float) -> float:
    return float(np.exp(log_sd * rng.standard_normal()))


def _draw(rng: np.random.Generator) -> dict[str, dict[str, object]]:
    climate = draw_climate(rng)
    matter = _matter(rng)
    biology = _biology(rng, matter)
    cover = _cover(rng)
    loop, tube = _loop(rng, float(np.asarray(matter["mass_kg"])))
    season = climate["annual_mean_c"] - climate["half_range_k"] * np.cos(
        2.0 * np.pi * (climate["built_day"] - 20.0) / 365.25
    )
    pile: dict[str, object] = {
        **{name: matter[name] for name in ("volume_m3", "dry_kg", "pools", "moisture")},
        "start_c": max(season, 3.0) + rng.uniform(2.0, 15.0),
        "foot_aspect": rng.uniform(0.65, 1.1),
        **biology,
        "conductivity_w_mk": 0.17 * _spread(rng, 0.3),
        "conductivity_slope": rng.uniform(0.002, 0.006),
        "permeability_m2": 4.5e-10 * _spread(rng, 0.9),
        "bypass": rng.uniform(0.8, 1.4),
        "vapour_enhancement": 1.25 * _spread(rng, 0.4),
        "surface_factor": _spread(rng, 0.25),
        "wind_factor": rng.choice([0.4, 1.0, 1.8], p=[0.35, 0.45, 0.2]),
        **cover,
        **loop,
    }
    other = {"wet_shares": matter["wet_shares"], "mass_kg": matter["mass_kg"], **tube}
    return {"climate": dict(climate), "pile": pile, "other": other}


def _matter(rng: np.random.Generator) -> dict[str, object]:
    """Mass 1.5 to 15 t, from chips only to 50 chips : 30 manure : 20 grass by wet mass."""
    mass = 1500.0 * 10.0 ** rng.uniform()
    manure = 0.0 if rng.uniform() < 0.25 else rng.uniform(0.05, 0.30)
    grass = 0.0 if rng.uniform() < 0.55 else rng.uniform(0.03, 0.20)
    shares = np.array([1.0 - manure - grass, manure, grass])
    dry = shares * (1.0 - OWN_MOISTURE)
    dry /= dry.sum()
    own = 1.0 - 1.0 / float((dry / (1.0 - OWN_MOISTURE)).sum())
    moisture = min(max(own, rng.uniform(0.40, 0.60)) + 0.02 * rng.standard_normal(), 0.66)
    pools = dry @ (POOLS * np.exp(0.3 * rng.standard_normal((3, 3))))
    pools *= min(1.0, 0.85 / pools.sum())
    bulk = float(shares @ BULK) * _spread(rng, 0.12)
    bulk *= (1.0 - own) / (1.0 - moisture)  # water poured on adds mass but hardly volume
    return {
        "mass_kg": mass,
        "dry_kg": mass * (1.0 - moisture),
        "moisture": moisture,
        "volume_m3": mass / min(bulk, 620.0),
        "pools": pools * mass * (1.0 - moisture),
        "wet_shares": shares,
        "cn": 0.47 * float(pools.sum()) / float(dry @ NITROGEN),
    }


def _biology(rng: np.random.Generator, matter: Mapping[str, object]) -> dict[str, object]:
    """Rates, factors and their shapes; the temperature factor is of either kind by the toss of a coin."""
    rates = [rate * _spread(rng, spread) for rate, spread in zip(RATES_PER_DAY, RATE_SPREADS, strict=True)]
    need = float(np.asarray(matter["cn"])) / 55.0
    best = rng.normal(55.0, 3.5)
    return {
        "rates_per_s": np.array(rates) / 86_400.0,
        "exhaustion": rng.uniform(0.2, 1.6),
        "nitrogen_factor": min(1.0, 1.15 / (1.0 + need**1.3) * _spread(rng, 0.25)),
        "haug_like": float(rng.uniform() < 0.5),
        "warm_base": rng.uniform(1.057, 1.070),
        "hot_base": rng.uniform(1.19, 1.24),
        "shift_k": rng.uniform(-14.0, -7.0),
        "coldest_c": rng.normal(-3.0, 3.0),
        "best_c": best,
        "hottest_c": best + rng.uniform(9.0, 16.0),
        "thirst": 0.55 * _spread(rng, 0.25),
        "half_oxygen": 0.1 * _spread(rng, 0.5),
        "activity_start": rng.uniform(0.15, 0.7),
        "growth_per_s": 1.0 * _spread(rng, 0.4) / 86_400.0,
    }


def _cover(rng: np.random.Generator) -> dict[str, object]:
    index = int(rng.choice(len(COVERS), p=COVER_CHANCES))
    resistance, returned, draught, sun, rain = COVER_VALUES[COVERS[index]]
    return {
        "cover": float(index),
        "cover_resistance": resistance * _spread(rng, 0.3),
        "vapour_returned": min(returned * _spread(rng, 0.25), 0.85),
        "draught_left": min(draught * _spread(rng, 0.4), 1.0) if draught < 1.0 else 1.0,
        "sun_absorbed": sun,
        "rain_let_in": rain,
    }


def _loop(rng: np.random.Generator, mass_kg: float) -> tuple[dict[str, object], dict[str, object]]:
    """Half of the heaps have a loop; of those a third have their minutes changed once, up or down."""
    fitted, copper = rng.uniform() < 0.5, rng.uniform() < 0.3
    length = 30.0 * (mass_kg / 4000.0) ** 0.5 * _spread(rng, 0.3)
    flow = rng.uniform(2.0, 6.0) / 60.0 * 4186.0
    conductance = (3.9 if copper else 2.3) * length * _spread(rng, 0.4)
    duty = min(max(0.2 * _spread(rng, 0.7), 0.03), 1.0)
    start = rng.uniform(5.0, 40.0)
    changed = rng.uniform() < 0.35
    later = min(max(duty * float(rng.choice([0.4, 2.2])), 0.02), 1.0) if changed else duty
    loop: dict[str, object] = {
        "loop_flow_w_k": flow if fitted else 0.0,
        "loop_ua_w_k": conductance if fitted else 0.0,
        "loop_inlet_c": rng.uniform(4.0, 18.0),
        "loop_from_day": round(start),
        "loop_change_day": round(start + rng.uniform(5.0, 40.0)) if changed else 1e6,
        "loop_duty": round(60.0 * duty) / 60.0,
        "loop_duty_later": round(60.0 * later) / 60.0,
    }
    return loop, {"tube_copper": float(copper), "tube_length_m": length}
