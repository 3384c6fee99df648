"""What is fitted, and what is drawn now.

What is told of a draw counts. A duct or loop that nobody mentioned is taken as none, and an untold flow, minute or hour
as its usual value with a range; each is listed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal

from rules.language.vocabulary import SYMPTOMS
from service.facts.ends import ends_of, is_turned
from service.facts.record import Derived
from service.heat.physics.water_loop import DEFAULT_LENGTH_M
from service.status.days import days_since
from service.status.models import DrawnAir, DrawnWater, Status
from service.units.estimate import (
    ALL_TOLD,
    MINUTES_PER_HOUR,
    USUAL_FAN,
    USUAL_PUMP,
    AirDraw,
    Estimate,
    Untold,
    WaterDraw,
)
from service.units.figures import figure
from service.units.quantities import Dimension

Way = Literal["air", "water"]

USUAL_TUBE_M: Final = figure(
    Estimate(DEFAULT_LENGTH_M, DEFAULT_LENGTH_M / 2, DEFAULT_LENGTH_M * 2, "assumed"),
    "m",
    "Length of a coil that nobody told",
    "no source",
)
DAY_HOURS: Final = 24.0
FEWEST_MINUTES: Final = figure(
    20.0, "min", "Low end of the 80 % range of untold minutes in the hour: a timer", "no source"
)
FEWEST_HOURS: Final = figure(10.0, "h", "Low end of the 80 % range of untold hours in the day: a night", "no source")

STANDS: Final[Mapping[Way, frozenset[str]]] = {
    "air": frozenset({"fan_stopped", "fan_no_air", "power_out"}),
    "water": frozenset({"no_flow_in_loop", "pipe_frozen", "pipe_burst", "power_out"}),
}
"""Signs that fan or loop moves nothing, or must not: whatever its timer says, no heat is drawn by it now."""

SHOWS: Final[Mapping[Way, frozenset[str]]] = {
    "air": frozenset({"fan_stopped", "fan_no_air", "water_in_duct", "duct_drips"}),
    "water": frozenset({"no_flow_in_loop", "pipe_frozen", "pipe_burst"}),
}
"""Signs that can only be seen where there is a duct with its fan, or a loop."""

FOUL_AIR: Final = frozenset({"rotten_egg", "ammonia"})
STINGS: Final = frozenset(name for name, word in SYMPTOMS.items() if word.fact == "people_sting")
"""What tells of gas in the heap's air: a smell, or what people feel of it."""

_EQUIPMENT: Final[Mapping[Way, str]] = {"air": "air_duct", "water": "water_loop"}
_WAYS: Final[tuple[tuple[str, str, str, Estimate, Dimension], ...]] = (
    ("/draw/air", "has_air_duct", "air_drawing", USUAL_FAN, "air_flow"),
    ("/draw/water", "has_water_loop", "water_drawing", USUAL_PUMP, "water_flow"),
)
USUAL_WHY: Final = {
    "air_flow": "assumed.usual-fan",
    "water_flow": "assumed.usual-pump",
}


def read_drawing(status: Status, derived: Derived) -> tuple[AirDraw | None, WaterDraw | None]:
    """Put the facts of duct and loop; hand back the draws that were told, None where none was."""
    air = status.draw.air if status.draw else None
    water = status.draw.water if status.draw else None
    derived.put(
        has_air_duct=_fitted(status, "air", drawn=air is not None),
        has_water_loop=_fitted(status, "water", drawn=water is not None),
    )
    air_draw = _air(status, air, derived) if air else None
    water_draw = _water(status, water, derived) if water else None
    _either_way(status, [each for each in (air, water) if each], derived)
    _put_still(status, derived)
    _left_out(derived)
    _put_together(derived)
    _put_foul_air(status, derived)
    runs = [draw.untold for draw in (air_draw, water_draw) if draw is not None]
    if derived.facts.get("drawing") is True:
        derived.put(draw_assumed=any(untold != ALL_TOLD for untold in runs))
    return air_draw, water_draw


def stands(status: Status, way: Way) -> bool:
    """Whether a sign that was seen shows that fan or loop stands still, or has to."""
    return not STANDS[way].isdisjoint(status.signs or ())


def stopped(status: Status) -> list[Way]:
    """The ways that were set to run, and were found standing."""
    draws: dict[Way, DrawnAir | DrawnWater | None] = {}
    if status.draw is not None:
        draws = {"air": status.draw.air, "water": status.draw.water}
    return [way for way, draw in draws.items() if draw and stands(status, way) and _running(draw, still=False)]


def draws_as_set(status: Status) -> tuple[AirDraw | None, WaterDraw | None]:
    """What fan and pump took by their setting until they were found standing; None for one that was not."""
    ways, draw, untold = stopped(status), status.draw, Derived()
    air = _air_drawn(draw.air, untold) if draw and draw.air and "air" in ways else None
    water = _water_drawn(draw.water, untold) if draw and draw.water and "water" in ways else None
    return air, water


def _put_still(status: Status, derived: Derived) -> None:
    """Note a way that stands though nothing else was told of it, and whether that leaves no way to draw by."""
    still = {way for way in STANDS if stands(status, way)}
    for pointer, _, drawing, _, _ in _WAYS:
        if pointer.removeprefix("/draw/") in still and drawing not in derived.facts:
            derived.put(**{drawing: False})
    if "water" in still:
        derived.put(loop_stands=True)
    fitted = {pointer.removeprefix("/draw/") for pointer, name, *_ in _WAYS if derived.facts.get(name) is True}
    if still and fitted <= still:
        derived.put(draw_stands=True)
    if stopped(status):
        derived.put(drawn_until_stopped=True)


def _put_foul_air(status: Status, derived: Derived) -> None:
    """Whether a fan may blow air into the house that smells foul or stings: unless a closed duct keeps it apart."""
    facts = derived.facts
    foul = status.smell in FOUL_AIR or not STINGS.isdisjoint(status.people or ())
    if foul and facts.get("has_air_duct") is True:
        air = status.draw.air if status.draw else None
        apart = (air is not None and air.path == "closed_duct") or facts.get("air_outlet_to_house") is False
        derived.put(foul_air_by_fan=not apart)


def _fitted(status: Status, way: Way, *, drawn: bool) -> bool | None:
    """Fitted if listed or drawn from, not fitted if the list was given without it; else as a sign shows, or unknown."""
    if status.equipment is not None:
        return drawn or _EQUIPMENT[way] in status.equipment
    return True if drawn or not SHOWS[way].isdisjoint(status.signs or ()) else None


def _share(
    value: float | None, whole: float, fewest: float, pointer: str, derived: Derived
) -> tuple[float, tuple[float, float] | None]:
    """Share of the hour or the day, and its range where it was not told: taken as all of it."""
    if value is not None:
        return value / whole, None
    quantity: Dimension = "minutes_per_hour" if whole == MINUTES_PER_HOUR else "hours_per_day"
    derived.assume(pointer, Estimate(whole, fewest, whole, "assumed"), quantity, "assumed.all-the-time")
    return 1.0, (fewest / whole, 1.0)


def _flow(
    told: float | None, usual: Estimate, pointer: str, quantity: Literal["air_flow", "water_flow"], derived: Derived
) -> tuple[float, tuple[float, float] | None]:
    """The flow while running, and its range where it was not told: a usual small pump or fan."""
    if told is not None:
        return told, None
    derived.assume(pointer, usual, quantity, USUAL_WHY[quantity])
    return usual.value, (usual.low, usual.high)


def _running(draw: DrawnAir | DrawnWater, *, still: bool) -> bool | None:
    """Off as soon as flow, minutes or hours are zero; on if any of them was told, or since when, or what it warms by.

    Off too where a sign shows that it stands `still`. Who reads an outlet and its inlet reads something that flows.
    Else unknown.
    """
    told = (draw.flow, draw.minutes_per_hour, draw.hours_per_day)
    if still or 0 in told:
        return False
    warmed = draw.inlet is not None and draw.outlet is not None and draw.outlet > draw.inlet
    return True if warmed or any(value is not None for value in (*told, draw.since)) else None


def _either_way(status: Status, drawn: Sequence[DrawnAir | DrawnWater], derived: Derived) -> None:
    """What is so as soon as it is so of one of the ways heat is drawn."""
    core_c = float(derived.facts["core_c"])
    outlets = [each.outlet for each in drawn if each.outlet is not None]
    read = [each for each in drawn if each.inlet is not None and each.outlet is not None]
    derived.put(
        days_drawing=max(
            (days_since(each.since, status.as_of) for each in drawn if each.since is not None), default=None
        ),
        outlet_above_core_k=max(outlets) - core_c if outlets else None,
        outlet_below_inlet=any(map(is_turned, read)) if read else None,
    )


def _air(status: Status, air: DrawnAir, derived: Derived) -> AirDraw | None:
    running = _running(air, still=stands(status, "air"))
    derived.put(
        air_drawing=running,
        fan_is_set=_running(air, still=False),
        air_flow_m3_h=None if air.flow is None else air.flow * 3600,
        air_outlet_to_house=None if air.outlet_to is None else air.outlet_to == "greenhouse",
        air_inlet_from_house=None if air.inlet_from is None else air.inlet_from == "greenhouse",
        air_inlet_from_outdoors=None if air.inlet_from is None else air.inlet_from == "outdoors",
    )
    if running is False:
        derived.put(air_minutes_per_hour=0.0)
        return AirDraw(0.0, 0.0, 0.0, air.path or "closed_duct", air.inlet, air.outlet)
    if running is None:
        return None
    drawn = _air_drawn(air, derived)
    derived.put(air_minutes_per_hour=MINUTES_PER_HOUR * drawn.hour_share)
    return drawn


def _air_drawn(air: DrawnAir, derived: Derived) -> AirDraw:
    """What a fan that runs takes, with what was not told of it taken for granted."""
    path: Literal["closed_duct", "through_heap"] = air.path or "closed_duct"
    if air.path is None:
        derived.assume("/draw/air/path", Estimate(1.0, 1.0, 1.0, "assumed"), "ratio", "assumed.closed-duct")
    flow, hour, day, untold = _told_of(air, "/draw/air", derived)
    ends = ends_of(air, "/draw/air", derived)
    return AirDraw(flow, hour, day, path, *ends, untold, path_told=air.path is not None)


def _told_of(draw: DrawnAir | DrawnWater, pointer: str, derived: Derived) -> tuple[float, float, float, Untold]:
    """Flow, shares of the hour and of the day of a draw that runs, and the ranges of those that were not told."""
    air = isinstance(draw, DrawnAir)
    flow, flow_range = _flow(
        draw.flow, USUAL_FAN if air else USUAL_PUMP, f"{pointer}/flow", "air_flow" if air else "water_flow", derived
    )
    hour, hour_range = _share(
        draw.minutes_per_hour, MINUTES_PER_HOUR, FEWEST_MINUTES, f"{pointer}/minutes_per_hour", derived
    )
    day, day_range = _share(draw.hours_per_day, DAY_HOURS, FEWEST_HOURS, f"{pointer}/hours_per_day", derived)
    return flow, hour, day, Untold(flow_range, hour_range, day_range)


def _water(status: Status, water: DrawnWater, derived: Derived) -> WaterDraw | None:
    running = _running(water, still=stands(status, "water"))
    derived.put(water_drawing=running, water_flow_l_min=None if water.flow is None else water.flow * 60)
    if running is False:
        derived.put(water_minutes_per_hour=0.0)
        return WaterDraw(0.0, 0.0, 0.0, water.inlet, water.outlet, water.tube, water.tube_length)
    if running is None:
        return None
    if water.hours_per_day is not None:
        derived.put(water_still_days=1.0 - water.hours_per_day / DAY_HOURS)
    drawn = _water_drawn(water, derived)
    derived.put(water_minutes_per_hour=MINUTES_PER_HOUR * drawn.hour_share)
    return drawn


def _water_drawn(water: DrawnWater, derived: Derived) -> WaterDraw:
    """What a pump that runs takes, with what was not told of it taken for granted."""
    flow, hour, day, untold = _told_of(water, "/draw/water", derived)
    ends = ends_of(water, "/draw/water", derived)
    _assume_tube(water, derived)
    return WaterDraw(flow, hour, day, *ends, water.tube, water.tube_length, untold)


def _assume_tube(water: DrawnWater, derived: Derived) -> None:
    """Say what the heat model takes where the tube was not told."""
    if water.tube is None:
        derived.assume("/draw/water/tube", Estimate(1.0, 1.0, 1.0, "assumed"), "ratio", "assumed.plastic-tube")
    if water.tube_length is None:
        derived.assume("/draw/water/tube_length", USUAL_TUBE_M, "length", "assumed.usual-coil")


def _left_out(derived: Derived) -> None:
    """Note the ways of drawing that nobody told: the heat is counted as if nothing were drawn there."""
    facts = derived.facts
    for pointer, fitted, drawing, usual, quantity in _WAYS:
        if drawing not in facts and facts.get(fitted) is not False:
            why = "assumed.off" if facts.get(fitted) else "assumed.none-fitted"
            nothing = Estimate(0.0, 0.0, usual.high, "assumed")
            derived.assume(pointer, nothing, quantity, why)


def _put_together(derived: Derived) -> None:
    """Whether any heat is drawn: yes if either way draws; no if every way that was told of is off.

    A way that nobody mentioned is none where the other was told of; one that is fitted and not told of is unknown.
    """
    facts = derived.facts
    some_told = any(drawing in facts for _, _, drawing, _, _ in _WAYS)
    ways = []
    for _, fitted, drawing, _, _ in _WAYS:
        none = facts.get(fitted) is False or (some_told and fitted not in facts)
        ways.append(False if none else facts.get(drawing))
    if True in ways:
        derived.put(drawing=True)
    elif all(way is False for way in ways):
        derived.put(drawing=False)
