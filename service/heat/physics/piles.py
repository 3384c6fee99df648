"""Many heaps at once: their fixed properties and their state.

Every array ends in the pile axis, n long: ensemble members, what-ifs and heaps are all just more columns, and one
heap is n = 1. Node arrays are (4, n), innermost node first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Final, Self, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.heat.physics.arrays import Array
from service.heat.physics.decay import HOTTEST_C
from service.heat.physics.geometry import VOLUME_SHARES
from service.heat.physics.losses import CoverName, cover_of, draught_left
from service.units.figures import figure

DRY_MATTER_HEAT: Final = figure(1500.0, "J/(kg.K)", "Of wood and straw (engineering texts)", "from memory")
WATER_HEAT: Final = figure(4186.0, "J/(kg.K)", "Of water", "from memory")
CONDUCTIVITY_W_MK: Final = figure(
    0.20, "W/(m.K)", "Wood shavings .03 to .30, bulking materials to .81 (Ahn et al. 2009)", "read"
)
PERMEABILITY_M2: Final = figure(
    3e-10, "m2", "Effective, with fines and wetting; it cannot be told from a log", "no source"
)


def columns_at(array: Array, index: NDArray[np.intp] | slice) -> Array:
    """An array's columns at these positions."""
    result: Array = array[..., index] if isinstance(index, slice) else array.take(index, axis=-1)
    return result


@dataclass(frozen=True, slots=True)
class PileColumns:
    """Arrays that share a last axis, one column per pile."""

    def take(self, index: NDArray[np.intp] | slice) -> Self:
        """The columns at these positions."""
        return type(self)(*[columns_at(getattr(self, f.name), index) for f in fields(self)])

    def put(self, index: NDArray[np.intp], other: Self) -> None:
        """Overwrite the columns at these positions, in place."""
        for f in fields(self):
            getattr(self, f.name)[..., index] = getattr(other, f.name)


ColumnsT = TypeVar("ColumnsT", bound=PileColumns)


@dataclass(frozen=True, slots=True)
class Piles(PileColumns):
    """What does not change by itself, each (n,).

    Parameters
    ----------
    volume_m3, dry_kg
        Volume at a dry matter; the volume follows the dry matter as the heap settles.
    inert_kg, degradable_kg
        Dry matter that does not decay, and what could when the heap was built.
    rate, loss, nitrogen
        Factors on the decay rates, on losses and draught, and the nitrogen factor. [1]
    hottest_c
        Temperature at which decay ends.
    conductivity_w_mk, permeability_m2
        Of the material.
    cover_resistance, vapour_returned, draught_left, sun_beneath, sun_on_top, rain_let_in
        Cover, see `losses.CoverEffect`.
    air_flow_kg_s, air_share, air_inlet_c, air_conductance_w_k, air_through_heap
        Dry air while the fan runs, share of the time it runs, and 1 if the air touches the material, else 0.
    water_flow_kg_s, water_hour_share, water_day_share, water_inlet_c, loop_inner_w_k, loop_outer_w_k
        Water loop, see `water_loop`.
    fixed_draw_w
        A draw held constant whatever the temperature, as far as the heap can give it. [W]
    draw_from_day
        All draws pause until this day of a simulation.
    """

    volume_m3: Array
    dry_kg: Array
    inert_kg: Array
    degradable_kg: Array
    rate: Array
    loss: Array
    nitrogen: Array
    hottest_c: Array
    conductivity_w_mk: Array
    permeability_m2: Array
    cover_resistance: Array
    vapour_returned: Array
    draught_left: Array
    sun_beneath: Array
    sun_on_top: Array
    rain_let_in: Array
    air_flow_kg_s: Array
    air_share: Array
    air_inlet_c: Array
    air_conductance_w_k: Array
    air_through_heap: Array
    water_flow_kg_s: Array
    water_hour_share: Array
    water_day_share: Array
    water_inlet_c: Array
    loop_inner_w_k: Array
    loop_outer_w_k: Array
    fixed_draw_w: Array
    draw_from_day: Array

    @classmethod
    def of(cls, n: int, cover: CoverName = "none", **values: ArrayLike) -> Piles:
        """Piles from the values that matter, scalars or (n,); the others take the defaults of `DEFAULTS`.

        `volume_m3`, `dry_kg` and `inert_kg` are needed.
        """
        unknown = set(values) - {f.name for f in fields(cls)}
        if unknown:
            raise ValueError(f"unknown pile properties: {', '.join(sorted(unknown))}")
        given = {**DEFAULTS, **_cover_values(cover, n), **values}
        return cls(**{f.name: np.full(n, given[f.name], dtype=np.float64) for f in fields(cls)})


DEFAULT_INLET_C: Final = figure(
    10.0, "degC", "Where the inlet was not read: a cool greenhouse or a tank in it", "no source"
)
DEFAULTS: dict[str, ArrayLike] = {
    "degradable_kg": 0.0,
    "rate": 1.0,
    "loss": 1.0,
    "nitrogen": 1.0,
    "hottest_c": HOTTEST_C,
    "conductivity_w_mk": CONDUCTIVITY_W_MK,
    "permeability_m2": PERMEABILITY_M2,
    "air_flow_kg_s": 0.0,
    "air_share": 0.0,
    "air_inlet_c": DEFAULT_INLET_C,
    "air_conductance_w_k": 0.0,
    "air_through_heap": 0.0,
    "water_flow_kg_s": 0.0,
    "water_hour_share": 0.0,
    "water_day_share": 0.0,
    "water_inlet_c": DEFAULT_INLET_C,
    "loop_inner_w_k": 0.0,
    "loop_outer_w_k": 0.0,
    "fixed_draw_w": 0.0,
    "draw_from_day": 0.0,
}


def _cover_values(name: CoverName, n: int, *, wrap: bool = False) -> dict[str, ArrayLike]:
    cover = cover_of(name, wrap=wrap)
    return {
        "cover_resistance": cover.resistance,
        "vapour_returned": cover.vapour_returned,
        "draught_left": draught_left([cover], n)[0],
        "sun_beneath": cover.sun_beneath,
        "sun_on_top": cover.sun_on_top,
        "rain_let_in": cover.rain_let_in,
    }


def with_cover(piles: Piles, name: CoverName, *, wrap: bool = False) -> Piles:
    """The same piles under another cover, with a thick wrap about it or without."""
    n = piles.rate.shape[-1]
    return replace(piles, **{key: np.full(n, value) for key, value in _cover_values(name, n, wrap=wrap).items()})


@dataclass(frozen=True, slots=True)
class PileState(PileColumns):
    """What changes, each (4, n): enthalpy over 0 degC and liquid water [J], fast and slow dry matter, water [kg]."""

    enthalpy_j: Array
    fast_kg: Array
    slow_kg: Array
    water_kg: Array

    @classmethod
    def of(
        cls, piles: Piles, celsius: ArrayLike, fast_kg: ArrayLike, slow_kg: ArrayLike, water_kg: ArrayLike
    ) -> PileState:
        """State from node temperatures ((4, n), or anything that broadcasts to it) and the heap's masses, each (n,)."""
        n = piles.rate.shape[-1]
        shares = VOLUME_SHARES[:, None]
        fast, slow, water = (
            np.asarray(mass, dtype=np.float64) * shares + np.zeros(n) for mass in (fast_kg, slow_kg, water_kg)
        )
        capacity = DRY_MATTER_HEAT * (piles.inert_kg * shares + fast + slow) + WATER_HEAT * water
        return cls(capacity * np.asarray(celsius, dtype=np.float64), fast, slow, water)


def dry_matter(piles: Piles, state: PileState) -> Array:
    """Dry matter by node, (4, n). [kg]"""
    return piles.inert_kg * VOLUME_SHARES[:, None] + state.fast_kg + state.slow_kg


def heat_capacity(piles: Piles, state: PileState) -> Array:
    """Heat capacity by node, (4, n). [J/K]"""
    return DRY_MATTER_HEAT * dry_matter(piles, state) + WATER_HEAT * state.water_kg


def node_temperatures(piles: Piles, state: PileState) -> Array:
    """Node temperatures, (4, n); the first row is the core. [degC]"""
    return state.enthalpy_j / heat_capacity(piles, state)


def volume(piles: Piles, state: PileState) -> Array:
    """Volume after settling, (n,): it keeps the dry matter per volume. [m3]"""
    result: Array = piles.volume_m3 * dry_matter(piles, state).sum(axis=0) / piles.dry_kg
    return result


def joined(parts: Sequence[ColumnsT]) -> ColumnsT:
    """Several sets of columns side by side."""
    first = parts[0]
    return type(first)(*[np.concatenate([getattr(part, f.name) for part in parts], axis=-1) for f in fields(first)])


def tile(piles: Piles, state: PileState, times: int) -> tuple[Piles, PileState]:
    """Piles and state repeated as blocks, one block per what-if; column j of block b is at b * n + j."""
    return joined([piles] * times), joined([state] * times)
