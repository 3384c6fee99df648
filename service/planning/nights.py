"""Season, months and coldest nights of a house as they go out: need, what the heap gives, the stove's share."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

import numpy as np

from service.answer.quantities import measured, round_off
from service.heat.physics.arrays import Array
from service.mix.shapes.answer import Plain
from service.planning.demand import CASES, Demand
from service.planning.ranges import quantity_in_shared_unit, three
from service.planning.shapes.common import MONTHS
from service.planning.shapes.greenhouse_answer import HouseMonth, HouseNight, HouseSeason
from service.planning.supply import Coverage, share_left
from service.render.shape import Quantity
from service.units.estimate import Estimate, scaled
from service.units.figures import figure
from service.units.quantities import System, to_units

WH: Final = 3600.0
"""Joules in a watt-hour."""
MOST_NIGHTS: Final = figure(14, "nights", "So many nights are told one by one", "no source")
CARRIED_BELOW: Final = figure(
    0.01, "1", "A night with less than this share left for the stove is one the heap carries alone", "no source"
)


def season_shown(demand: Demand, cover: Coverage | None, system: System) -> HouseSeason:
    """The whole table: degree-hours, heat, and what of it the heap covers."""
    climate = demand.climate
    need = demand.total(demand.need_w)
    night = demand.total(demand.need_w * climate.is_night)
    kelvin_hours = demand.total(demand.night_kelvins + demand.day_kelvins)
    nights_cold = three([float((row > 0.0).sum()) for row in demand.by_night(demand.night_kelvins)])
    unit, factor = ("delta_degC.h", 1.0) if system == "metric" else ("delta_degF.h", 1.8)
    from_pile = None if cover is None else three(cover.from_pile.sum(axis=-1).tolist())
    return HouseSeason(
        start=climate.days[0].isoformat() if climate.dated else None,
        until=climate.days[-1].isoformat() if climate.dated else None,
        nights=int(climate.night_of_hour[-1]) + 1,
        nights_needing_heat=quantity_in_shared_unit(nights_cold, "1"),
        degree_hours=quantity_in_shared_unit(kelvin_hours, unit, factor),
        needed=measured(scaled(need, WH), "energy", system),
        needed_at_night=measured(scaled(night, WH), "energy", system),
        from_pile=None if from_pile is None else measured(scaled(from_pile, WH), "energy", system),
        stove=None if cover is None else measured(scaled(_left(cover), WH), "energy", system),
        stove_share=None if cover is None else _share(cover.need.sum(axis=-1), cover.from_pile.sum(axis=-1), system),
        stove_share_at_night=None
        if cover is None
        else _share(cover.night_need.sum(axis=-1), cover.night_from_pile.sum(axis=-1), system),
        nights_pile_alone=None if cover is None else quantity_in_shared_unit(_carried(cover), "1"),
    )


def house_months(demand: Demand, cover: Coverage | None, system: System) -> list[HouseMonth]:
    """The same by month of the evening."""
    evenings = _evenings(demand)
    keys = [(day.year, day.month) for day in evenings]
    needs, dark = demand.by_night(demand.need_w), demand.by_night(demand.need_w * demand.climate.is_night)
    hours = demand.by_night(demand.climate.is_night)
    months: list[HouseMonth] = []
    for key in dict.fromkeys(keys):
        place = np.array([each == key for each in keys])
        need = needs[:, place].sum(axis=-1)
        given = None if cover is None else cover.from_pile[:, place].sum(axis=-1)
        year, month = key
        months.append(
            HouseMonth(
                month=f"{year}-{month:02d}" if demand.climate.dated else MONTHS[month - 1],
                nights=int(place.sum()),
                night_needed=measured(
                    three((dark[:, place].sum(axis=-1) / max(hours[place].sum(), 1.0)).tolist()), "power", system
                ),
                needed=measured(scaled(three(need.tolist()), WH), "energy", system),
                from_pile=None if given is None else measured(scaled(three(given.tolist()), WH), "energy", system),
                stove_share=None if given is None else _share(need, given, system),
            )
        )
    return months


def nights_shown(demand: Demand, cover: Coverage | None, system: System) -> list[HouseNight]:
    """The nights of greatest need, that first: mean power over the night, and the stove's share.

    None from monthly means, in which all nights of a month are alike.
    """
    if demand.climate.table == "monthly":
        return []
    needs = demand.by_night(demand.need_w * demand.climate.is_night)
    hours = np.maximum(demand.by_night(demand.climate.is_night), 1.0)
    lows = _lows(demand)
    evenings = _evenings(demand)
    order = sorted(range(needs.shape[-1]), key=lambda place: (-needs[0, place], place))[:MOST_NIGHTS]
    told: list[HouseNight] = []
    for place in order:
        if needs[0, place] <= 0.0:
            break
        need, given = needs[:, place], None if cover is None else cover.night_from_pile[:, place]
        per_hour = 1.0 / float(hours[place])
        low, unit = to_units(float(lows[place]), "temperature", system)
        told.append(
            HouseNight(
                night=evenings[place].isoformat(),
                low=Plain(value=round_off(low), unit=unit),
                needed=measured(scaled(three(need.tolist()), per_hour), "power", system),
                from_pile=None if given is None else measured(scaled(three(given.tolist()), per_hour), "power", system),
                stove_share=None if given is None else _share(need, given, system),
            )
        )
    return told


def _evenings(demand: Demand) -> list[date]:
    first, last = demand.climate.begin.date(), int(demand.climate.night_of_hour[-1])
    return [first + timedelta(days=number) for number in range(last + 1)]


def _lows(demand: Demand) -> Array:
    """Coldest hour of each night. [degC]"""
    night = demand.climate.night_of_hour
    starts = np.flatnonzero(np.diff(night, prepend=-1))
    result: Array = np.minimum.reduceat(demand.climate.air_c, starts)
    return result


def _left(cover: Coverage) -> Estimate:
    return three((cover.need - cover.from_pile).sum(axis=-1).clip(min=0.0).tolist())


def _share(need: Array, given: Array, system: System) -> Quantity:
    return measured(scaled(share_left(need, given), 100.0), "percent", system)


def _carried(cover: Coverage) -> Estimate:
    """Nights with a need that the heap carries alone; the best case is that of most such nights."""
    needed = cover.night_need > 0.0
    left = np.where(needed, 1.0 - cover.night_from_pile / np.where(needed, cover.night_need, 1.0), 1.0)
    counts = (left < CARRIED_BELOW).sum(axis=-1).tolist()
    middle, best, worst = (float(counts[CASES.index(case)]) for case in CASES)
    return three([middle, worst, best])
