"""The largest steady draw that a true heap stands, found by drawing copies of it at several settings side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from functools import partial
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tests.forecasting import logs, truth
from tests.forecasting.grower import NEW_YEAR
from tests.forecasting.others import coarse, plane, told
from tests.forecasting.others.told import STUFF, Heap, draw_heap
from tests.forecasting.truth_piles import BULK, COVERS, MATERIALS, Built, build

Array = NDArray[np.float64]

SETTINGS: Final = np.array([0.0, *(0.004 * 1.75 ** np.arange(10)), 1.0])
"""Shares of the time for which the loop runs; between two of them the core's margin is taken as straight."""
LITRES_MIN, INLET_C = 4.0, 12.0
"""The loop that every heap is given (our own)."""
TOLD: Final = 59
"""Purpose of the random numbers of what is told."""


@dataclass(frozen=True, slots=True)
class Planned:
    """What somebody who plans this heap knows: volume as laid [m3], parts by volume, cover, day built, usual air."""

    volume_m3: float
    parts: dict[str, float]
    cover: str
    built: datetime
    usual_c: Callable[[Array], Array]  # by day after building


@dataclass(frozen=True, slots=True)
class Copies:
    """One heap under each of SETTINGS from a day on: core and mean power, by half days, (settings, times)."""

    core_c: Array
    power_w: Array
    planned: Planned
    tell: Callable[[int, int], dict[str, Any]]
    """The status told on a day, with a log of so many days, while nothing was drawn yet."""

    def most_w(self, from_day: int, days: int, limit_c: float) -> float:
        """Largest mean power with the core at or above the limit over those days, 0 where even at rest it is not."""
        span = slice(2 * from_day, 2 * (from_day + days) + 1)
        margins = self.core_c[:, span].min(axis=1) - limit_c
        power = self.power_w[:, span].mean(axis=1)
        if margins[0] < 0.0:
            return 0.0
        failing = np.flatnonzero(margins < 0.0)
        if failing.size == 0:
            return float(power[-1])
        top = int(failing[0])
        share = margins[top - 1] / (margins[top - 1] - margins[top])
        return float(power[top - 1] + share * (power[top] - power[top - 1]))


class _Tiled(Built):
    """The same heaps several times over, each copy in the same weather and mood."""

    __slots__ = ()

    def generators(self, purpose: int) -> list[np.random.Generator]:
        """Those of the heaps, repeated."""
        unique = Built(*(getattr(self, f.name) for f in fields(Built)))
        count = int(self.mass_kg.size // SETTINGS.size)
        return [Built.generators(unique, purpose)[place % count] for place in range(self.mass_kg.size)]


def fine_copies(seed: int, count: int, from_day: Sequence[int], days: int, moisture: float | None) -> list[Copies]:
    """Of the truth of shells; `moisture` is what the heaps are built with, their own where None."""
    built, times = build(seed, count), SETTINGS.size
    columns = np.tile(np.arange(count), times)
    duty = np.repeat(SETTINGS, count)
    piles = built.piles.take(columns)
    length = 30.0 * (built.mass_kg / 4000.0) ** 0.5
    flow = np.full(duty.size, LITRES_MIN / 60.0 * 4186.0)
    wetter = piles.moisture if moisture is None else np.full(duty.size, moisture)
    piles = replace(
        piles,
        moisture=wetter,
        loop_flow_w_k=flow,
        loop_ua_w_k=2.3 * np.tile(length, times),
        loop_inlet_c=np.full(duty.size, INLET_C),
        loop_from_day=np.tile(np.asarray(from_day, float), times),
        loop_change_day=np.full(duty.size, 1e6),
        loop_duty=duty,
        loop_duty_later=duty,
    )
    climate = type(built.climate)(**{f.name: getattr(built.climate, f.name)[columns] for f in fields(built.climate)})
    tiled = _Tiled(
        piles, climate, built.wet_shares[:, columns], built.mass_kg[columns], built.tube_copper[columns],
        built.tube_length_m[columns], built.seed, built.first,
    )  # fmt: skip
    happened = truth.simulate(tiled, days)
    core = happened.core_c.T.reshape(times, count, -1)
    power = happened.loop_w.T.reshape(times, count, -1)
    return [
        Copies(core[:, number], power[:, number], _fine_planned(built, number), partial(_fine_told, happened, number))
        for number in range(count)
    ]


def _fine_planned(built: Built, number: int) -> Planned:
    litres = built.wet_shares[:, number] / BULK
    parts = {name: float(part) for name, part in zip(MATERIALS, litres, strict=True) if part > 0.0}
    place = built.climate

    def usual(days: Array) -> Array:
        return place.annual_mean_c[number] - place.half_range_k[number] * np.cos(
            2.0 * np.pi * (place.built_day[number] + days - 20.0) / 365.25
        )

    return Planned(
        float(built.piles.volume_m3[number]),
        parts,
        COVERS[int(built.piles.cover[number])],
        NEW_YEAR + timedelta(days=int(place.built_day[number])),
        usual,
    )


def _fine_told(happened: truth.Truth, number: int, day: int, length: int) -> dict[str, Any]:
    rng = np.random.Generator(np.random.PCG64([happened.built.seed, number, TOLD]))
    return logs.tell(happened, number, day, length, rng).body


def _other_copies(
    module: object, purpose: int, seed: int, count: int, *, from_day: Sequence[int], moisture: float | None
) -> list[Copies]:
    simulate: Callable[..., list[coarse.Course]] = module.simulate  # type: ignore[attr-defined]
    found: list[list[coarse.Course]] = []
    resting: list[Heap] = []
    for setting in SETTINGS:
        rngs = [np.random.Generator(np.random.PCG64([seed, number, purpose])) for number in range(count)]
        heaps = [
            _fitted(draw_heap(seed, number, rng), float(setting), from_day[number], moisture)
            for number, rng in enumerate(rngs)
        ]
        resting = resting or heaps
        found.append(simulate(heaps, rngs))
    flow = LITRES_MIN / 60.0 * 4186.0
    result = []
    for number in range(count):
        courses = [row[number] for row in found]
        power = [
            np.nan_to_num(flow * setting * (course.outlet_c - INLET_C))
            for setting, course in zip(SETTINGS, courses, strict=True)
        ]
        core = np.array([course.core_c for course in courses])
        heap = resting[number]
        result.append(Copies(core, np.array(power), _other_planned(heap), partial(_other_told, heap, courses[0])))
    return result


def _other_planned(heap: Heap) -> Planned:
    litres = {name: share / STUFF[name][0] for name, share in heap.recipe.items()}

    def usual(days: Array) -> Array:
        return np.interp(days, np.arange(heap.mean_air_c.size), heap.mean_air_c)

    return Planned(heap.volume_m3, litres, heap.cover, told.NEW_YEAR + timedelta(days=heap.built_day), usual)


def _other_told(heap: Heap, course: coarse.Course, day: int, length: int) -> dict[str, Any]:
    rng = np.random.Generator(np.random.PCG64([heap.seed, heap.number, TOLD]))
    return told.tell(heap, course, day, length, rng).body


def _fitted(heap: Heap, setting: float, from_day: int, moisture: float | None) -> Heap:
    own = sum(share * STUFF[name][1] for name, share in heap.recipe.items())
    return replace(
        heap,
        mass_kg=heap.mass_kg if moisture is None else heap.mass_kg * (1.0 - own) / (1.0 - moisture),
        loop_flow_kg_s=LITRES_MIN / 60.0,
        loop_inlet_c=INLET_C,
        loop_from=from_day,
        loop_change=10**6,
        loop_duty=setting,
        loop_later=setting,
        moisture=moisture,
    )


def coarse_copies(seed: int, count: int, from_day: Sequence[int], days: int, moisture: float | None) -> list[Copies]:
    """Of the coarse truth; it runs as long as it runs."""
    return _other_copies(coarse, 71, seed, count, from_day=from_day, moisture=moisture)


def plane_copies(seed: int, count: int, from_day: Sequence[int], days: int, moisture: float | None) -> list[Copies]:
    """Of the plane truth; it runs as long as it runs."""
    return _other_copies(plane, 83, seed, count, from_day=from_day, moisture=moisture)


COPIES: Final[dict[str, Callable[[int, int, Sequence[int], int, float | None], list[Copies]]]] = {
    "fine": fine_copies,
    "coarse": coarse_copies,
    "plane": plane_copies,
}
