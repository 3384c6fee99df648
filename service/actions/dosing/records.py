"""What a dose is, what it is worked out from, and how ranges are put together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from rules.tables.material import Material
from rules.tables.thresholds import HOLDING_FROM
from service.units.estimate import AirDraw, Estimate, WaterDraw, ranged
from service.units.figures import figure
from service.units.table import Dimension

MOST_TOLD: Final = figure(3, "doses", "One and two it could be instead: more is no help at the heap", "no source")


@dataclass(frozen=True, slots=True)
class Dose:
    """How much of something an action takes.

    `of` is a material id or one of `cover_area`, `water_minutes_per_hour`, `air_minutes_per_hour`, `pause_days`. The
    numbers are in the inside unit of `dimension`: kg of a `mass`, and of `water` (liquids, a litre taken as a
    kilogram); m3 of a `volume`; m2 of an `area`; min/h; days of a `duration`. `split` is in how many parts to give it.
    `or_instead` are other things of which the amount named does the same. `heap_m3` is the volume the heap was guessed
    to have where nobody told its size: then the amount is to be told for each volume of heap.
    """

    of: str
    value: float
    low: float
    high: float
    dimension: Dimension
    split: int = 1
    or_instead: tuple[Dose, ...] = ()
    heap_m3: float | None = None


@dataclass(frozen=True, slots=True)
class PlannedTimer:
    """The draw plan's timer: by `water` or `air`, minutes in each hour it runs in [min/h], hours of the day [h/day]."""

    way: str
    minutes: float
    hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseInputs:
    """The heap as doses see it; None is unknown (`on_hand`: not looked; a draw: none running or reported).

    `moisture` is of the wet mass [fraction]; `degradable_carbon_kg` is the carbon of what can still rot, fast and slow;
    `nitrogen_kg` is all the nitrogen; `surface_m2` is the skin above ground. `air_drawn_w` and `water_drawn_w` are
    means over the hour and the day at the present setting; `season_draw_w` is what the heap can sustain to the goal's
    date. `size_guessed` where nobody told the heap's size: its volume is then a guess without a range, for doses are
    told for each volume of heap. `fits_air` and `fits_water` where duct or loop is known to be fitted. `only_cracks`
    where there are cracks and nobody told that the heap has sunk.
    """

    mass_kg: Estimate
    volume_m3: Estimate
    moisture: Estimate
    degradable_carbon_kg: Estimate
    nitrogen_kg: Estimate
    surface_m2: Estimate
    core_c: float
    keep_core_above_c: float = HOLDING_FROM.value
    on_hand: frozenset[str] | None = None
    air: AirDraw | None = None
    water: WaterDraw | None = None
    air_drawn_w: Estimate | None = None
    water_drawn_w: Estimate | None = None
    season_draw_w: Estimate | None = None
    made_w: Estimate | None = None
    plan: PlannedTimer | None = None
    lost_w: Estimate | None = None
    size_guessed: bool = False
    fits_air: bool = False
    fits_water: bool = False
    only_cracks: bool = False


def spread(value: float, lows: Iterable[float], highs: Iterable[float]) -> Estimate:
    """`value` with the range of several independent doubts, each given by where it alone would take the value.

    Their distances add as the root of the sum of squares (Guide to the Expression of Uncertainty in Measurement, JCGM
    100, from memory). A dose is never negative.
    """
    down = math.hypot(*(value - low for low in lows))
    up = math.hypot(*(high - value for high in highs))
    return Estimate(value, max(0.0, value - down), value + up, "derived")


def varied(
    function: Callable[..., float], middle: Sequence[float], lows: Sequence[float], highs: Sequence[float]
) -> Estimate:
    """`function` of its arguments, with the spread that each of them alone gives at its low and its high end.

    `lows` are the ends that make the result smaller, `highs` those that make it larger.
    """

    def each_at(ends: Sequence[float]) -> list[float]:
        return [function(*middle[:place], end, *middle[place + 1 :]) for place, end in enumerate(ends)]

    return spread(function(*middle), each_at(lows), each_at(highs))


def independent_product(first: Estimate, second: Estimate) -> Estimate:
    """Product of two amounts whose doubts are independent."""
    value = first.value * second.value
    return spread(
        value,
        (first.low * second.value, first.value * second.low),
        (first.high * second.value, first.value * second.high),
    )


def at_least(amount: Estimate, floor: Estimate) -> Estimate:
    """The larger of two amounts, number by number."""
    return ranged(max(pair) for pair in zip(amount.ends, floor.ends, strict=True))


def never_nothing(amount: Estimate, least: Estimate) -> Estimate:
    """An amount whose range reaches no further down than the least one's; the least one where less is needed."""
    if amount.value < least.value:
        return Estimate(least.value, max(amount.low, least.low), max(amount.high, least.high), "derived")
    return Estimate(amount.value, max(amount.low, least.low), amount.high, "derived")


def by_volume(of: str, amount: Estimate, *, split: int = 1) -> Dose:
    """A dose in m3."""
    return Dose(of, *amount.ends, dimension="volume", split=split)


def by_mass(material: Material, amount: Estimate, *, split: int = 1) -> Dose:
    """A dose in kg, as a liquid where the material is one."""
    return Dose(material.id, *amount.ends, dimension="water" if "liquid" in material.traits else "mass", split=split)


def with_others(doses: list[Dose], most: int = MOST_TOLD) -> list[Dose]:
    """The first dose, the next ones as what to take instead."""
    if not doses:
        return []
    return [replace(doses[0], or_instead=tuple(doses[1:most]))]
