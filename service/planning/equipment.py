"""Duct, loop, panel and battery as they go out."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

from rules.catalogue import said
from service.answer.quantities import measured, round_off
from service.planning.carriers import DEFAULT_VOLTAGE, CarriedHeat, battery_ah, panel_w, summed
from service.planning.climate import HOURS
from service.planning.ranges import quantity_in_shared_unit
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.planning.shapes.greenhouse_answer import CarriedShown, DuctShown, OffGridShown, Turnover
from service.render.shape import Quantity
from service.units.estimate import Estimate, scaled
from service.units.quantities import Dimension, System


def air_shown(request: GreenhouseRequest, carried: CarriedHeat | None, system: System) -> DuctShown | None:
    """The duct: what it carries, and how long the fan takes to turn the house's air over once."""
    if carried is None or request.draw is None or request.draw.air is None or request.draw.air.flow is None:
        return None
    minutes = (request.house.volume or 0.0) / request.draw.air.flow / 60.0
    share = carried.share_of_day
    turnover = Turnover(
        while_running=quantity_in_shared_unit(Estimate.exact(minutes), "min"),
        at_its_duty=quantity_in_shared_unit(Estimate.exact(minutes / share), "min") if share > 0.0 else None,
    )
    return DuctShown(turnover=turnover, **dict(_carried_shown(carried, "air_flow", system)))


def water_shown(request: GreenhouseRequest, carried: CarriedHeat | None, system: System) -> CarriedShown | None:
    """The loop: what it carries."""
    return None if carried is None else _carried_shown(carried, "water_flow", system)


def off_grid_shown(request: GreenhouseRequest, ways: Sequence[CarriedHeat]) -> OffGridShown | None:
    """Panel and battery for the electricity of a day."""
    if request.off_grid is None or not ways:
        return None
    energy = reduce(summed, (way.electricity_wh_day for way in ways))
    return OffGridShown(
        electricity=quantity_in_shared_unit(energy, "Wh/day"),
        panel=quantity_in_shared_unit(panel_w(energy, request.off_grid), "W"),
        battery=quantity_in_shared_unit(battery_ah(energy, request.off_grid), "Ah"),
        voltage=request.off_grid.voltage or DEFAULT_VOLTAGE,
        text=said("house.off-grid"),
    )


def _carried_shown(carried: CarriedHeat, flow: Dimension, system: System) -> CarriedShown:
    share_for_draw = carried.share_for_draw
    mean = None if carried.to_house_w is None else scaled(carried.to_house_w, carried.share_of_day)
    return CarriedShown(
        inlet=_exactly(carried.inlet_c, system),
        outlet=_exactly(carried.outlet_c, system),
        outlet_for_draw=None
        if carried.outlet_for_draw_c is None
        else measured(carried.outlet_for_draw_c, "temperature", system),
        from_pile=None if carried.from_pile_w is None else measured(carried.from_pile_w, "power", system),
        to_house=None if carried.to_house_w is None else measured(carried.to_house_w, "power", system),
        to_house_mean=None if mean is None else measured(mean, "power", system),
        hours_per_day=round_off(HOURS * carried.share_of_day),
        flow_for_draw=None if carried.flow_for_draw is None else measured(carried.flow_for_draw, flow, system),
        hours_for_draw=None
        if share_for_draw is None
        else measured(scaled(share_for_draw, HOURS), "hours_per_day", system),
        electric=quantity_in_shared_unit(carried.electric_w, "W"),
        electricity=quantity_in_shared_unit(carried.electricity_wh_day, "Wh/day"),
        heat_per_electricity=None
        if carried.heat_per_electricity is None
        else quantity_in_shared_unit(carried.heat_per_electricity, "1"),
    )


def _exactly(celsius: float | None, system: System) -> Quantity | None:
    return None if celsius is None else measured(Estimate.exact(celsius), "temperature", system)
