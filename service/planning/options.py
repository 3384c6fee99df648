"""Ways through a winter: one heap, several in a row or side by side; what each gives, and which are worth it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final, Literal

import numpy as np

from service.heat.physics.arrays import Array
from service.planning.demand import CASES, Demand
from service.planning.ranges import three
from service.planning.slots import Site, SlotPlan, heat_of, scheduled_j, slot_plan, slots_of
from service.planning.supply import OTHER_END, Coverage, cover_by_budget
from service.units.estimate import Estimate, scaled
from service.units.figures import figure

Arrangement = Literal["one", "in_a_row", "side_by_side"]
LEAST_NEED_W: Final = figure(1.0, "W", "A night that needs less needs no heat", "no source")
APART_DAYS: Final = figure(21, "days", "So long without any need parts two heating seasons", "no source")
CARRIED: Final = figure(0.99, "1", "A night that is covered to this share is carried", "no source")


@dataclass(frozen=True, slots=True)
class Option:
    """One way: its heaps (`plans`, each `times` over), the house's cover, nights it does not carry, and its worth.

    `short_k`: how far the house would lie under its night target without a stove, mean of the nights of need. [K]
    `worth_it`: no other way gives more heat, with no more heaps and no more nights short.
    """

    way: Arrangement
    plans: tuple[SlotPlan, ...]
    times: int
    heat_j: Estimate
    cover: Coverage
    nights_short: Estimate
    short_k: Estimate
    worth_it: bool

    @property
    def heaps(self) -> int:
        """Heaps built."""
        return len(self.plans) * self.times


@dataclass(frozen=True, slots=True)
class Heating:
    """Days on which the house needs heat, from the first to the last: that first day and the mean need of each [W].

    `others` tells whether there is a need at another time of the year too, which is not planned.
    """

    first: date
    need_w: tuple[float, ...]
    others: bool


def heating_of(demand: Demand) -> Heating | None:
    """The heating season with the greatest need; None where no heat is needed. Days run from noon to noon.

    Three weeks without any need part two seasons.
    """
    hours = demand.by_night(np.ones_like(demand.climate.air_c))
    need = demand.by_night(demand.need_w[0]) / hours
    cold = np.flatnonzero(need >= LEAST_NEED_W)
    if cold.size == 0:
        return None
    runs = np.split(cold, np.flatnonzero(np.diff(cold) > APART_DAYS) + 1)
    longest = max(runs, key=lambda run: float(need[run].sum()))
    first, last = int(longest[0]), int(longest[-1])
    begin = demand.climate.begin.date() + timedelta(days=first)
    return Heating(begin, tuple(float(value) for value in need[first : last + 1]), others=len(runs) > 1)


def options_of(site: Site, demand: Demand, heating: Heating, most_heaps: int) -> list[Option]:
    """Every way with up to so many heaps, fewest heaps first."""
    found: list[Option] = []
    alone = [slot_plan(site, slot) for slot in slots_of(heating.first, heating.need_w, 1)]
    found.append(_option("one", alone, 1, demand))
    for count in range(2, most_heaps + 1):
        slots = slots_of(heating.first, heating.need_w, count)
        if len(slots) == count:
            found.append(_option("in_a_row", [slot_plan(site, slot) for slot in slots], 1, demand))
        found.append(_option("side_by_side", alone, count, demand))
    return _judged(found)


def _option(way: Arrangement, plans: Sequence[SlotPlan], times: int, demand: Demand) -> Option:
    cover = cover_by_budget(demand, _drawn(plans, times, demand))
    heat, short = scaled(heat_of(plans), times), _short(cover)
    return Option(way, tuple(plans), times, heat, cover, short, _kelvins_short(demand, cover), worth_it=False)


def _drawn(plans: Sequence[SlotPlan], times: int, demand: Demand) -> Array:
    """Draw around each night in the three cases, (3, nights) [W]: the schedule, less what failing heaps do not give."""
    begin, nights = demand.climate.begin.date(), int(demand.climate.night_of_hour[-1]) + 1
    total: Array = np.zeros((len(CASES), nights))
    for plan in plans:
        planned = max(scheduled_j(plan), 1.0)
        by_night = np.array([plan.draw_on(begin + timedelta(days=number)) for number in range(nights)])
        for row, case in enumerate(CASES):
            total[row] += times * by_night * min(getattr(plan.heat_j, OTHER_END[case]) / planned, 1.0)
    return total


def _short(cover: Coverage) -> Estimate:
    """Nights on which the stove, or a warmer coat for the plants, is needed."""
    short = (cover.night_need > 0.0) & (cover.night_from_pile < CARRIED * cover.night_need)
    return three([float(row.sum()) for row in short])


def _kelvins_short(demand: Demand, cover: Coverage) -> Estimate:
    """Mean over the nights of need of the kelvins that what the heaps give does not make up. [K]"""
    hours = np.maximum(demand.by_night(demand.climate.is_night), 1e-9)
    kelvins = demand.by_night(demand.night_kelvins) / hours
    needed = cover.night_need > 0.0
    left = np.where(needed, 1.0 - cover.night_from_pile / np.where(needed, cover.night_need, 1.0), 0.0)
    counts = np.maximum(needed.sum(axis=-1), 1)
    return three(((kelvins * left).sum(axis=-1) / counts).tolist())


def _judged(found: list[Option]) -> list[Option]:
    """The same with those marked that no other way beats in all three: heat, heaps, nights short."""

    def beats(other: Option, one: Option) -> bool:
        no_worse = (
            other.heat_j.value >= one.heat_j.value
            and other.heaps <= one.heaps
            and other.nights_short.value <= one.nights_short.value
        )
        better = (
            other.heat_j.value > one.heat_j.value
            or other.heaps < one.heaps
            or other.nights_short.value < one.nights_short.value
        )
        return no_worse and better

    return [replace(one, worth_it=not any(beats(other, one) for other in found)) for one in found]


def warmest_option(options: Sequence[Option]) -> Option:
    """The way with the most heat; of equal ones that with the fewest heaps."""
    return max(options, key=lambda option: (option.heat_j.value, -option.heaps))
