"""What the greenhouse needs tonight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rules.tables.glazing import GLAZINGS, UNKNOWN_GLAZING
from service.facts.record import Derived
from service.status.models import Greenhouse, Status
from service.units.estimate import Estimate
from service.units.figures import figure

AIR_HEAT_J_M3K: Final = figure(
    1206.0,
    "J/(m3.K)",
    "Heat to warm a cubic metre of air by one kelvin: 0.335 Wh, from 0.075 lb/ft3 and 0.24 Btu/(lb.degF)",
    "no source",
)
AREA_PER_VOLUME_POWER: Final = figure(
    Estimate(5.5, 4.5, 6.5, "assumed"),
    "1",
    "Glazed area over volume^(2/3) of small houses; 5.3 for a half cylinder three diameters long",
    "no source",
)
ASSUMED_NIGHT_TARGET: Final = figure(
    Estimate(5.0, 2.0, 10.0, "assumed"),
    "degC",
    "Night temperature that keeps hardy greens alive (common practice)",
    "no source",
)
NIGHT_BELOW_NOW_K: Final = figure(
    4.0, "K", "How far below the air now a night is taken to fall where no low was given", "no source"
)


def read_house(status: Status, derived: Derived) -> None:
    """Put how far the house lies over its target."""
    house = status.greenhouse
    if house is None:
        return
    if house.temperature is not None and house.night_target is not None:
        derived.put(house_over_target_k=house.temperature - house.night_target)


@dataclass(frozen=True, slots=True)
class House:
    """What a greenhouse loses per kelvin [W/K], and how warm it is to be by night [degC]."""

    loss_w_k: Estimate
    inside_c: Estimate


def house_of(status: Status, derived: Derived) -> House | None:
    """The house as told, what was not told assumed; None where its size is not known."""
    house = status.greenhouse
    if house is None or house.volume is None:
        return None
    if house.night_target is None:
        why = "assumed.night-target"
        inside = derived.assume("/greenhouse/night_target", ASSUMED_NIGHT_TARGET, "temperature", why)
    else:
        inside = Estimate.exact(house.night_target)
    return House(Estimate(*_loss_w_k(house, house.volume, derived), "derived"), inside)


def house_need(status: Status, derived: Derived) -> Estimate | None:
    """Heat the greenhouse needs in tonight's cold [W], or None where it cannot be told.

    Q = (U A + n V c) (T_inside - T_outside), never below zero.

    References
    ----------
    ANSI/ASAE EP406 heat-loss method (from memory).
    """
    coldest = _coldest(status)
    house = None if coldest is None or status.season == "off" else house_of(status, derived)
    if house is None or coldest is None:
        return None
    loss, inside = house.loss_w_k, house.inside_c
    need = Estimate(
        loss.value * max(inside.value - coldest, 0.0),
        loss.low * max(inside.low - coldest, 0.0),
        loss.high * max(inside.high - coldest, 0.0),
        "derived",
    )
    derived.put(house_needs_w=need.value)
    return need


def _coldest(status: Status) -> float | None:
    if status.weather is not None and status.weather.low is not None:
        return status.weather.low
    outdoor = status.temperatures.outdoor
    return None if outdoor is None else outdoor - NIGHT_BELOW_NOW_K


def _loss_w_k(house: Greenhouse, volume_m3: float, derived: Derived) -> tuple[float, float, float]:
    """Heat loss per kelvin [W/K]: central, low, high."""
    glazing = GLAZINGS[house.glazing] if house.glazing else UNKNOWN_GLAZING
    if house.glazing is None:
        middle, low, high = glazing.u_value
        u_value = Estimate(middle, low, high, "assumed")
        derived.assume("/greenhouse/glazing", u_value, "u_value", "assumed.glazing")
    if house.glazing_area is not None:
        areas = (house.glazing_area,) * 3
    else:
        side = volume_m3 ** (2 / 3)
        ratio = AREA_PER_VOLUME_POWER
        area = Estimate(ratio.value * side, ratio.low * side, ratio.high * side, "assumed")
        derived.assume("/greenhouse/glazing_area", area, "area", "assumed.glazing-area")
        areas = (area.value, area.low, area.high)
    air = [changes * volume_m3 * AIR_HEAT_J_M3K / 3600 for changes in glazing.air_changes]
    middle, low, high = (u * area + leak for u, area, leak in zip(glazing.u_value, areas, air, strict=True))
    return middle, low, high
