"""What a fan and duct or a pump and loop carry, the electricity that takes, and a panel and battery to run them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.facts.record import Derived
from service.heat.physics.air_duct import capacity_flow, heat_taken
from service.heat.physics.piles import WATER_HEAT
from service.planning.climate import HOURS
from service.planning.ranges import mapped, three
from service.planning.shapes.common import PlannedAir, PlannedWater
from service.planning.shapes.greenhouse import OffGrid
from service.units.estimate import Estimate, scaled
from service.units.figures import figure

FLOW_SPREAD: Final = figure(
    1.15, "1", "Factor up and down on heat worked out from a flow and two thermometers", "no source"
)
FAN_J_PER_M3: Final = figure(
    Estimate(600.0, 250.0, 1500.0, "assumed"),
    "J/m3",
    "Electricity of a small duct fan per air moved: about 150 Pa at a quarter's efficiency",
    "no source",
)
HOTTEST_OUTLET_C: Final = figure(70.0, "degC", "No heap is to be that hot", "no source")
PUMP_W: Final = figure(Estimate(15.0, 5.0, 40.0, "assumed"), "W", "Electricity of a small circulator", "no source")
PUMP_UP_TO_KG_S: Final = figure(10.0 / 60.0, "kg/s", "Flow up to which it serves", "no source")
PANEL_YIELD: Final = figure(
    Estimate(0.65, 0.5, 0.75, "assumed"),
    "1",
    "Share of a panel's rating that reaches the load: warmth, dust, wiring, charging",
    "no source",
)
BATTERY_USABLE: Final = figure(
    Estimate(0.5, 0.4, 0.8, "assumed"),
    "1",
    "Share of a battery that may be used: half of lead-acid, less in the cold; four fifths of lithium iron",
    "no source",
)
DEFAULT_SUNLESS_DAYS: Final = figure(
    3.0, "days", "Days without sun that a battery bridges, where nobody told how many", "no source"
)
DEFAULT_VOLTAGE: Final = figure(12, "V", "Of a battery, where nobody told it", "no source")


@dataclass(frozen=True, slots=True)
class CarriedHeat:
    """What one way of bringing heat does; None where it cannot be told.

    `from_pile_w` and `to_house_w` are while it runs; `share_of_day` is how much of the day that is. `flow_for_draw` (in
    the flow's own inside unit) and `share_for_draw` would carry the whole draw of the heap; so would this flow in this
    share of the day if it came out at `outlet_for_draw_c`.
    """

    inlet_c: float | None
    outlet_c: float | None
    outlet_for_draw_c: Estimate | None

    from_pile_w: Estimate | None
    to_house_w: Estimate | None
    share_of_day: float
    electric_w: Estimate
    flow_for_draw: Estimate | None
    share_for_draw: Estimate | None

    @property
    def electricity_wh_day(self) -> Estimate:
        """Electricity of a day. [Wh]"""
        return scaled(self.electric_w, HOURS * self.share_of_day)

    @property
    def heat_per_electricity(self) -> Estimate | None:
        """Heat brought to the house over electricity used. [1]"""
        if self.to_house_w is None:
            return None
        heat, power = self.to_house_w, self.electric_w
        return three([heat.value / power.value, heat.low / power.high, heat.high / power.low])


def air_carried(
    air: PlannedAir, house_c: float, outdoor_c: float | None, draw_w: Estimate | None, derived: Derived
) -> CarriedHeat:
    """What the duct carries. Air from outdoors pushes as much house air out, so only its warmth over the house counts.

    The air is counted at the density it has where it goes in.
    """
    assert air.flow is not None  # `draw_misfits` saw to it
    inlet = air.inlet
    if inlet is None:
        inlet = outdoor_c if air.inlet_from == "outdoors" else house_c
        if inlet is not None:
            why = "house.why.inlet"
            derived.assume("/draw/air/inlet", Estimate(inlet, inlet, inlet, "assumed"), "temperature", why)
    from_pile = to_house = None
    if air.outlet is not None and inlet is not None:
        sensible, latent, _ = heat_taken(air.flow, inlet, air.outlet, air.path == "through_heap")
        from_pile = _spread(float(sensible + latent))
        base = house_c if air.inlet_from == "outdoors" else inlet
        to_house = _spread(float(capacity_flow(air.flow, inlet)[1]) * (air.outlet - base))
    share = _share(air, "air", from_pile, draw_w, derived)
    electric = _electric(air.fan_power, scaled(FAN_J_PER_M3, air.flow), "/draw/air/fan_power", derived)
    flow, share_for_draw = _for_draw(air.flow, from_pile, draw_w)
    per_k = None if inlet is None or air.path == "through_heap" else float(capacity_flow(air.flow, inlet)[1])
    wanted = _outlet_for_draw(inlet, per_k, share, draw_w)
    return CarriedHeat(inlet, air.outlet, wanted, from_pile, to_house, share, electric, flow, share_for_draw)


def water_carried(water: PlannedWater, draw_w: Estimate | None, derived: Derived) -> CarriedHeat:
    """What the loop carries: flow, heat of water and the two temperatures."""
    assert water.flow is not None  # `draw_misfits` saw to it
    from_pile = None
    if water.inlet is not None and water.outlet is not None:
        from_pile = _spread(water.flow * WATER_HEAT * (water.outlet - water.inlet))
    share = _share(water, "water", from_pile, draw_w, derived)
    usual = scaled(PUMP_W, max(1.0, water.flow / PUMP_UP_TO_KG_S))
    electric = _electric(water.pump_power, usual, "/draw/water/pump_power", derived)
    flow, share_for_draw = _for_draw(water.flow, from_pile, draw_w)
    wanted = _outlet_for_draw(water.inlet, water.flow * WATER_HEAT, share, draw_w)
    return CarriedHeat(water.inlet, water.outlet, wanted, from_pile, from_pile, share, electric, flow, share_for_draw)


def panel_w(energy_wh_day: Estimate, off_grid: OffGrid) -> Estimate:
    """Rating of the panel that gives the energy of a day in the hours of full sun. [W]"""
    usable = PANEL_YIELD
    return three(
        [
            energy_wh_day.value / (off_grid.sun_hours * usable.value),
            energy_wh_day.low / (off_grid.sun_hours * usable.high),
            energy_wh_day.high / (off_grid.sun_hours * usable.low),
        ]
    )


def battery_ah(energy_wh_day: Estimate, off_grid: OffGrid) -> Estimate:
    """Size of the battery that lasts through the days without sun. [Ah]"""
    days = off_grid.days_without_sun or DEFAULT_SUNLESS_DAYS
    per_wh = days / (off_grid.voltage or DEFAULT_VOLTAGE)
    usable = BATTERY_USABLE
    return three(
        [
            energy_wh_day.value * per_wh / usable.value,
            energy_wh_day.low * per_wh / usable.high,
            energy_wh_day.high * per_wh / usable.low,
        ]
    )


def summed(first: Estimate, second: Estimate) -> Estimate:
    """Both together, end by end."""
    return mapped(lambda a, b: a + b, first, second)


def _spread(value: float) -> Estimate:
    size = abs(value)
    return Estimate(value, value - size * (1 - 1 / FLOW_SPREAD), value + size * (FLOW_SPREAD - 1), "derived")


def _share(
    way: PlannedAir | PlannedWater, name: str, from_pile: Estimate | None, draw_w: Estimate | None, derived: Derived
) -> float:
    """Share of the day it runs: as told, else what carries the draw, else all of it."""
    if way.minutes_per_hour is not None or way.hours_per_day is not None:
        minutes = 60.0 if way.minutes_per_hour is None else way.minutes_per_hour
        hours = HOURS if way.hours_per_day is None else way.hours_per_day
        return minutes / 60.0 * hours / HOURS
    share, why = 1.0, "house.why.all-day"
    if draw_w is not None and from_pile is not None and from_pile.value > 0.0:
        share, why = min(draw_w.value / from_pile.value, 1.0), "house.why.as-long-as-the-draw"
    hours = HOURS * share
    derived.assume(f"/draw/{name}/hours_per_day", Estimate(hours, hours, hours, "assumed"), "hours_per_day", why)
    return share


def _electric(given: float | None, usual: Estimate, pointer: str, derived: Derived) -> Estimate:
    if given is not None:
        return Estimate.exact(given)
    return derived.assume(pointer, usual, "power", "house.why.electricity")


def _outlet_for_draw(
    inlet_c: float | None, per_k: float | None, share: float, draw_w: Estimate | None
) -> Estimate | None:
    """Temperature it would have to come out at to carry the draw; None where that cannot be told or is out of reach.

    Air that goes through the heap brings vapour along, so its warmth alone does not tell.
    """
    if inlet_c is None or per_k is None or draw_w is None or per_k * share <= 0.0:
        return None
    found = three([inlet_c + getattr(draw_w, end) / (per_k * share) for end in ("value", "low", "high")])
    return found if found.value <= HOTTEST_OUTLET_C else None


def _for_draw(
    flow: float, from_pile: Estimate | None, draw_w: Estimate | None
) -> tuple[Estimate | None, Estimate | None]:
    """Flow that carries the draw all day, and share of the day in which this flow carries it; None where it cannot."""
    if draw_w is None or from_pile is None or from_pile.low <= 0.0:
        return None, None
    share = three(
        [draw_w.value / from_pile.value, draw_w.low / from_pile.high, draw_w.high / from_pile.low],
    )
    capped = Estimate(min(share.value, 1.0), min(share.low, 1.0), min(share.high, 1.0), "derived")
    return scaled(share, flow), capped
