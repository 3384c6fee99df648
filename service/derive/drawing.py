"""What is fitted, and what is drawn now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from service.derive.record import Derived
from service.derive.temperatures import days_since
from service.estimate import AirDraw, Estimate, WaterDraw
from service.physics.members import DEFAULT_INLET_C
from service.schemas import DrawnAir, DrawnWater, Status
from service.units import Dimension

OUTLET_DOUBT_K = 0.5
"""An outlet colder than its inlet by more than this is a doubtful reading (common practice, no source)."""


def read_drawing(status: Status, derived: Derived) -> tuple[AirDraw | None, WaterDraw | None]:
    """Put the facts of duct and loop; hand back the draws that were described, None where unknown or not fitted."""
    air = status.draw.air if status.draw else None
    water = status.draw.water if status.draw else None
    derived.put(
        has_air_duct=_fitted(status.equipment, "air_duct", air is not None),
        has_water_loop=_fitted(status.equipment, "water_loop", water is not None),
        season=status.season,
        prefer=status.goal.prefer if status.goal else None,
    )
    air_draw = _air(status, air, derived) if air else None
    water_draw = _water(status, water, derived) if water else None
    _put_together(derived)
    return air_draw, water_draw


def _fitted(equipment: Sequence[str] | None, name: str, drawn: bool) -> bool | None:
    """Fitted if listed or drawn from; not fitted if the list was given without it; else unknown."""
    if drawn:
        return True
    return None if equipment is None else name in equipment


def _share(value: float | None, whole: float, pointer: str, quantity: Dimension, derived: Derived) -> float:
    if value is None:
        derived.assume(pointer, Estimate(whole, 0.0, whole, "assumed"), quantity, "not given: taken as all the time")
        return 1.0
    return value / whole


def _running(flow: float | None, minutes: float | None, hours: float | None) -> bool | None:
    """Off as soon as one of them is zero; on if a flow is known; unknown without a flow."""
    if 0 in (flow, minutes, hours):
        return False
    return True if flow is not None or minutes is not None else None


def _below(outlet: float | None, inlet: float | None) -> bool | None:
    return None if outlet is None or inlet is None else outlet < inlet - OUTLET_DOUBT_K


def _air(status: Status, air: DrawnAir, derived: Derived) -> AirDraw | None:
    running = _running(air.flow, air.minutes_per_hour, air.hours_per_day)
    core_c = float(derived.facts["core_c"])
    derived.put(
        air_drawing=running,
        air_flow_m3_h=None if air.flow is None else air.flow * 3600,
        air_path=air.path,
        air_outlet_to_house=None if air.outlet_to is None else air.outlet_to == "greenhouse",
        air_inlet_from_outdoors=None if air.inlet_from is None else air.inlet_from == "outdoors",
        air_outlet_c=air.outlet,
        days_drawing=None if air.since is None else days_since(air.since, status.as_of),
        outlet_above_core_k=None if air.outlet is None else air.outlet - core_c,
        outlet_below_inlet=_below(air.outlet, air.inlet),
    )
    if running is False:
        derived.put(air_minutes_per_hour=0.0)
        return AirDraw(0.0, 0.0, 0.0, air.path or "closed_duct", air.inlet, air.outlet)
    hour = _share(air.minutes_per_hour, 60.0, "/draw/air/minutes_per_hour", "minutes_per_hour", derived)
    day = _share(air.hours_per_day, 24.0, "/draw/air/hours_per_day", "hours_per_day", derived)
    derived.put(air_minutes_per_hour=60 * hour)
    if air.flow is None:
        return None
    path: Literal["closed_duct", "through_heap"] = air.path or "closed_duct"
    if air.path is None:
        derived.assume(
            "/draw/air/path", Estimate(1.0, 1.0, 1.0, "assumed"), "ratio", "not given: taken as a closed duct"
        )
    _assume_inlet(air.inlet, "/draw/air/inlet", derived)
    return AirDraw(air.flow, hour, day, path, air.inlet, air.outlet)


def _water(status: Status, water: DrawnWater, derived: Derived) -> WaterDraw | None:
    running = _running(water.flow, water.minutes_per_hour, water.hours_per_day)
    core_c = float(derived.facts["core_c"])
    above = None if water.outlet is None else water.outlet - core_c
    seen_above = derived.facts.get("outlet_above_core_k")
    if above is not None and isinstance(seen_above, float):
        above = max(above, seen_above)
    below = _below(water.outlet, water.inlet)
    derived.put(
        water_drawing=running,
        water_flow_l_min=None if water.flow is None else water.flow * 60,
        water_outlet_c=water.outlet,
        water_tube=water.tube,
        water_loop_kind=water.loop,
        outlet_above_core_k=above,
        outlet_below_inlet=True if derived.facts.get("outlet_below_inlet") else below,
    )
    if water.since is not None:
        days = days_since(water.since, status.as_of)
        derived.put(days_drawing=max(days, float(derived.facts.get("days_drawing", 0.0))))
    if running is False:
        derived.put(water_minutes_per_hour=0.0)
        return WaterDraw(0.0, 0.0, 0.0, water.inlet, water.outlet, water.tube, water.tube_length)
    hour = _share(water.minutes_per_hour, 60.0, "/draw/water/minutes_per_hour", "minutes_per_hour", derived)
    day = _share(water.hours_per_day, 24.0, "/draw/water/hours_per_day", "hours_per_day", derived)
    derived.put(water_minutes_per_hour=60 * hour)
    if water.flow is None:
        return None
    _assume_inlet(water.inlet, "/draw/water/inlet", derived)
    return WaterDraw(water.flow, hour, day, water.inlet, water.outlet, water.tube, water.tube_length)


def _assume_inlet(inlet: float | None, pointer: str, derived: Derived) -> None:
    """Say what the heat model takes where the inlet was not read."""
    if inlet is None:
        usual = Estimate(DEFAULT_INLET_C, DEFAULT_INLET_C, DEFAULT_INLET_C, "assumed")
        derived.assume(pointer, usual, "temperature", "not read: taken as in a cool greenhouse")


def _put_together(derived: Derived) -> None:
    """Whether any heat is drawn: yes if either way draws, no if every way that could is known to be off."""
    facts = derived.facts
    ways = [
        False if facts.get(fitted) is False else facts.get(drawing)
        for fitted, drawing in (("has_air_duct", "air_drawing"), ("has_water_loop", "water_drawing"))
    ]
    if True in ways:
        derived.put(drawing=True)
    elif all(way is False for way in ways):
        derived.put(drawing=False)
