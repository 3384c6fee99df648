"""What better glazing, a night curtain or water in barrels would save."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from rules.catalogue import said
from rules.language.model import Source
from rules.tables.figures import Three
from rules.tables.glazing import GLAZINGS, NIGHT_CURTAIN_SAVES, WATER_SWING_K
from service.heat.physics.arrays import Array
from service.heat.physics.piles import WATER_HEAT
from service.planning.climate import NIGHT_HOURS
from service.planning.demand import CASES, Demand
from service.planning.house import HouseLoss
from service.planning.ranges import three, times
from service.planning.shapes.common import PlannedHouse
from service.render.wording import in_words, shown
from service.units.estimate import SECONDS_PER_HOUR, Estimate
from service.units.figures import figure
from service.units.quantities import System, to_units

DEFAULT_WATER_M3: Final = figure(1.0, "m3", "Water whose worth is told where none was named: five barrels", "no source")
LEAST_SAVING: Final = figure(
    0.05, "1", "Glazing that saves less than this of the glazing's loss is not worth naming", "no source"
)


@dataclass(frozen=True, slots=True)
class Saving:
    """What one change saves: in the coldest night [W], and over the table's days [Wh] (None without a table)."""

    measure: str
    title: str
    text: str
    coldest_w: Estimate
    season_wh: Estimate | None
    source: Source


def savings_of(
    house: PlannedHouse, loss: HouseLoss, coldest_k: Estimate, demand: Demand | None, system: System
) -> list[Saving]:
    """Each change by itself, those that save most in the coldest night first.

    Parameters
    ----------
    coldest_k
        Kelvins by which the coldest night lies below the target.
    """
    found = [*_glazings(house, loss, coldest_k, demand, system)]
    if not house.night_curtain:
        found.append(_curtain(loss, coldest_k, demand, system))
    found.append(_water(house, loss, coldest_k, demand, system))
    return sorted(found, key=lambda saving: -saving.coldest_w.value)


def _glazings(
    house: PlannedHouse, loss: HouseLoss, coldest_k: Estimate, demand: Demand | None, system: System
) -> list[Saving]:
    """Better kinds of glazing; the present house is taken at its middle, for its doubt is in both."""
    now = house.u_value if house.u_value is not None else GLAZINGS[house.glazing].u_value[0] if house.glazing else None
    if now is None:
        return []
    savings = []
    for glazing in GLAZINGS.values():
        middle, low, high = glazing.u_value
        share = Estimate(1 - middle / now, 1 - high / now, 1 - low / now, "derived")
        if share.value >= LEAST_SAVING and share.low > 0.0:
            name = said(f"house.glazing.{glazing.id}")
            title = name[0].upper() + name[1:]
            text = said("house.saving.glazing", name=title, share=_percent(share, system))
            night, day = times(loss.glazing_at_night, share), times(loss.glazing, share)
            coldest, season = times(night, coldest_k), _season(night, day, demand)
            savings.append(Saving(glazing.id, title, text, coldest, season, glazing.source))
    return savings


def _curtain(loss: HouseLoss, coldest_k: Estimate, demand: Demand | None, system: System) -> Saving:
    share = _range(NIGHT_CURTAIN_SAVES.value)
    night = times(loss.glazing, share)
    season = _season(night, Estimate.exact(0.0), demand)
    text = said("house.saving.night-curtain", share=_percent(share, system))
    title, source = said("house.saving.night-curtain.title"), NIGHT_CURTAIN_SAVES.source
    return Saving("night_curtain", title, text, times(night, coldest_k), season, source)


def _water(house: PlannedHouse, loss: HouseLoss, coldest_k: Estimate, demand: Demand | None, system: System) -> Saving:
    """Heat the barrels give back in a night; in the coldest night at worst none, for that night may follow dull days.

    Not more than the house needs.
    """
    volume = house.water or DEFAULT_WATER_M3
    per_k = volume * 1000.0 * WATER_HEAT / SECONDS_PER_HOUR  # Wh/K
    store = three([per_k * swing for swing in WATER_SWING_K.value])
    need = times(loss.by_night, coldest_k)
    coldest = Estimate(
        min(store.value / NIGHT_HOURS, need.value), 0.0, min(store.high / NIGHT_HOURS, need.high), "derived"
    )
    season = None
    if demand is not None:
        nights = demand.by_night(demand.need_w * demand.climate.is_night)
        totals = [float(np.minimum(nights[place], getattr(store, case)).sum()) for place, case in enumerate(CASES)]
        season = three(totals)
    text = said(
        "house.saving.water-barrels",
        water=_water_in_words(volume, system),
        swing=in_words(WATER_SWING_K.value[0], "delta_degC", system),
    )
    return Saving(
        "water_barrels", said("house.saving.water-barrels.title"), text, coldest, season, WATER_SWING_K.source
    )


def _season(night: Estimate, day: Estimate, demand: Demand | None) -> Estimate | None:
    if demand is None:
        return None
    totals: Array = np.array([0.0, 0.0, 0.0])
    for place, case in enumerate(CASES):
        totals[place] = (
            getattr(night, case) * demand.night_kelvins[place].sum()
            + getattr(day, case) * demand.day_kelvins[place].sum()
        )
    return three(totals.tolist())


def _water_in_words(volume_m3: float, system: System) -> str:
    number, unit = to_units(volume_m3 * 1000.0, "water", system)
    return f"{shown(number)} {unit}"


def _percent(share: Estimate, system: System) -> str:
    low, high = (in_words(100 * end, "%", system) for end in (share.low, share.high))
    return said("house.share-range", low=low.removesuffix(" %"), high=high)


def _range(values: Three) -> Estimate:
    return Estimate(*values, "derived")
