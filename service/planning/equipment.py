"""Duct, loop, panel and battery as they go out."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Any

from rules.catalogue import said
from service.answer.quantities import round_off
from service.planning.carriers import DEFAULT_VOLTAGE, Carried, battery_ah, panel_w, summed
from service.planning.climate import HOURS
from service.planning.ranges import plain, scaled, shown
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.units.estimate import Estimate
from service.units.quantities import Dimension, System


def air_shown(request: GreenhouseRequest, carried: Carried | None, system: System) -> dict[str, Any] | None:
    """The duct: what it carries, and how long the fan takes to turn the house's air over once."""
    if carried is None or request.draw is None or request.draw.air is None or request.draw.air.flow is None:
        return None
    minutes = (request.house.volume or 0.0) / request.draw.air.flow / 60.0
    turnover = {"while_running": plain(Estimate.exact(minutes), "min"), "at_its_duty": None}
    if carried.share_of_day > 0.0:
        turnover["at_its_duty"] = plain(Estimate.exact(minutes / carried.share_of_day), "min")
    return {"turnover": turnover, **_carried_shown(carried, "air_flow", system)}


def water_shown(request: GreenhouseRequest, carried: Carried | None, system: System) -> dict[str, Any] | None:
    """The loop: what it carries."""
    return None if carried is None else _carried_shown(carried, "water_flow", system)


def off_grid_shown(request: GreenhouseRequest, ways: Sequence[Carried]) -> dict[str, Any] | None:
    """Panel and battery for the electricity of a day."""
    if request.off_grid is None or not ways:
        return None
    energy = reduce(summed, (way.electricity_wh_day for way in ways))
    return {
        "electricity": plain(energy, "Wh/day"),
        "panel": plain(panel_w(energy, request.off_grid), "W"),
        "battery": plain(battery_ah(energy, request.off_grid), "Ah"),
        "voltage": request.off_grid.voltage or DEFAULT_VOLTAGE,
        "text": said("house.off-grid"),
    }


def _carried_shown(carried: Carried, flow: Dimension, system: System) -> dict[str, Any]:
    share_for_draw = carried.share_for_draw
    mean = None if carried.to_house_w is None else scaled(carried.to_house_w, carried.share_of_day)
    return {
        "inlet": _exactly(carried.inlet_c, system),
        "outlet": _exactly(carried.outlet_c, system),
        "outlet_for_draw": None
        if carried.outlet_for_draw_c is None
        else shown(carried.outlet_for_draw_c, "temperature", system),
        "from_pile": None if carried.from_pile_w is None else shown(carried.from_pile_w, "power", system),
        "to_house": None if carried.to_house_w is None else shown(carried.to_house_w, "power", system),
        "to_house_mean": None if mean is None else shown(mean, "power", system),
        "hours_per_day": round_off(HOURS * carried.share_of_day),
        "flow_for_draw": None if carried.flow_for_draw is None else shown(carried.flow_for_draw, flow, system),
        "hours_for_draw": None
        if share_for_draw is None
        else shown(scaled(share_for_draw, HOURS), "hours_per_day", system),
        "electric": plain(carried.electric_w, "W"),
        "electricity": plain(carried.electricity_wh_day, "Wh/day"),
        "heat_per_electricity": plain(carried.heat_per_electricity, "1"),
    }


def _exactly(celsius: float | None, system: System) -> dict[str, Any] | None:
    return None if celsius is None else shown(Estimate.exact(celsius), "temperature", system)
