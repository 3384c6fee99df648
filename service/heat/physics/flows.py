"""All flows of heat and water through a heap at one moment, from its state, its temperatures and the weather.

Heat and vapour move from node to node and out of the outermost; vapour that leaves a node condenses in the next one,
so warmth moves out with the water. Each flow is computed once, taken from one place and given to another: energy and
water close by construction. What decays leaves, and the water of decay appears, at no enthalpy: the two slips cancel
to 0.3 % of the heat made.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.physics import air_duct, decay, moist_air
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.entries import FlowEntries
from service.heat.physics.geometry import CUMULATIVE
from service.heat.physics.piles import WATER_HEAT, Piles, PileState
from service.heat.physics.step import NOTHING, SHARES, Held, Prepared, hold, outdoors_by_day, prepare
from service.units.figures import figure

GATHERED = CUMULATIVE[:, None]  # the draught through a face gathers from all the volume inside it
OXYGEN_IN_AIR: Final = figure(0.232, "kg/kg", "Share by mass", "from memory")
HIGHEST_VAPOUR_SHARE: Final = figure(
    0.6, "1", "Bound on the vapour's share of the air pressure, reached at 86 degC", "no source"
)
COLDEST_VAPOUR_C: Final = figure(-60.0, "degC", "Colder than this the vapour in the air is nothing", "no source")
FIXED_DRAW_FLOOR_C: Final = figure(5.0, "degC", "A fixed draw fades to nothing at this temperature", "no source")
FIXED_DRAW_RAMP_K: Final = figure(
    10.0, "K", "Over so many kelvins above that floor a fixed draw comes to its full", "no source"
)

WaterParts = tuple[Array, Array, Array]  # through the faces, to drawn air, draining


@dataclass(frozen=True, slots=True)
class Moving:
    """What follows the temperatures. Node arrays (4, n); faces are the outer ones of each node, the last to the air."""

    oxygen: Array  # rate factor of oxygen
    speed: Array  # rate factor of temperature and oxygen
    humidity: Array  # humidity ratio of the pore air, kg/kg
    carrier: Array  # draught through each face, kg/s
    vapour: Array  # water through each face, kg/s
    duct_vapour: Array  # water to air drawn through the material, kg/s
    draining: Array  # water to the next node inwards, from the innermost out, kg/s
    conducted: Array  # heat through each face, W
    carried: Array  # sensible heat of the draught through each face, W
    latent: Array  # heat that goes with the vapour through each face, W
    loop: Array  # W
    duct: Array  # W
    duct_latent: Array  # W
    fixed_draw: Array  # W
    drained: Array  # heat that goes with the draining water, W


def humidity_of(celsius: Array, wetness: Array) -> Array:
    """Humidity ratio of pore air over material of this wetness (0 to 1). [kg/kg]"""
    # A step that is about to be halved may first aim far below any real temperature.
    pressure = moist_air.saturation_pressure_quick(np.maximum(celsius, COLDEST_VAPOUR_C))
    share = pressure * (1.0 / moist_air.STANDARD_PRESSURE_PA)
    share = np.minimum(share, HIGHEST_VAPOUR_SHARE) * wetness
    result: Array = moist_air.WATER_TO_AIR_MASS * share / (1.0 - share)
    return result


def humidity_slope(celsius: Array, humidity: Array) -> Array:
    """Derivative of the humidity ratio of pore air by temperature (Magnus form, for linearising only). [1/K]"""
    result: Array = humidity * (1.0 + humidity / moist_air.WATER_TO_AIR_MASS) * (4098.0 / (celsius + 237.3) ** 2)
    return result


def through_stiffness(fixed: Prepared, slope: Array) -> Array:
    """Derivative by node temperature of the latent heat that air drawn through the material takes. [W/K]"""
    per_slope = moist_air.EVAPORATION_HEAT_0C * air_duct.OUTLET_HUMIDITY * fixed.through * fixed.duct_effectiveness
    result: Array = per_slope * slope
    return result


def vapour_enthalpy(celsius: Array) -> Array:
    """Enthalpy of water vapour over liquid water at 0 degC. [J/kg]"""
    return moist_air.EVAPORATION_HEAT_0C + moist_air.VAPOUR_HEAT * celsius


def _outlet(fixed: Prepared, celsius: Array) -> Array:
    """Temperature of drawn air as it leaves each node. [degC]"""
    inlet = fixed.piles.air_inlet_c
    result: Array = inlet + fixed.duct_effectiveness * (celsius - inlet)
    return result


def _next_outward(inner: Array, outside: Array) -> Array:
    """The neighbour of each node towards the outside; outdoors for the last."""
    result = np.empty_like(inner)
    result[:-1] = inner[1:]
    result[-1] = outside
    return result


def oxygen_supply(fixed: Prepared, held: Held, draught: Array) -> Array:
    """Oxygen that reaches each node, were there none inside, under this draught of the whole heap. [kg/s]"""
    result: Array = OXYGEN_IN_AIR * (draught * SHARES + fixed.through) + held.diffusion
    return result


def _oxygen(fixed: Prepared, held: Held, draught: Array, warming: Array) -> Array:
    """Oxygen factor of each node at these temperature factors."""
    demand = decay.OXYGEN_PER_DRY_MATTER * held.burning * warming
    return decay.oxygen_factor(demand / oxygen_supply(fixed, held, draught))


def _draught(held: Held, celsius: Array) -> Array:
    """Draught of the whole heap, (n,). [kg/s]"""
    warmth = np.maximum(0.5 * (celsius[0] + celsius[1]) - held.air.air_c, 0.0)
    result: Array = np.minimum(held.draught * warmth, held.draught_limit)
    return result


def speed_at(fixed: Prepared, held: Held, celsius: Array) -> Array:
    """Rate factor of temperature and oxygen at these node temperatures: of all that moves, what decay asks for."""
    warming = decay.temperature_factor(celsius, fixed.cardinals)
    result: Array = warming * _oxygen(fixed, held, _draught(held, celsius), warming)
    return result


def _fixed_draw(fixed: Prepared, celsius: Array) -> Array:
    ramp = (celsius - FIXED_DRAW_FLOOR_C) / FIXED_DRAW_RAMP_K
    result: Array = fixed.fixed_draw * np.minimum(np.maximum(ramp, 0.0), 1.0)
    return result


def _duct_vapour(fixed: Prepared, held: Held, celsius: Array, humidity: Array) -> Array:
    """Water to air drawn through the material, by node. [kg/s]

    The air nears the vapour of the material as it nears its warmth, and leaves no wetter than its own warmth allows.
    """
    if not fixed.any_through:
        return NOTHING
    inlet = fixed.through_inlet_ratio
    neared = fixed.duct_effectiveness * (air_duct.OUTLET_HUMIDITY * humidity - inlet)
    allowed = air_duct.OUTLET_HUMIDITY * humidity_of(_outlet(fixed, celsius), held.wetness) - inlet
    return fixed.through * np.maximum(np.minimum(neared, allowed), 0.0)


def _limited(parts: WaterParts, limit: Array | None) -> WaterParts:
    """The same water flows with no node giving more than its limit."""
    leaving = parts[0] + parts[1] + parts[2]
    if limit is None or not (leaving > limit).any():
        return parts
    scale = np.minimum(1.0, limit / np.maximum(leaving, 1e-30))
    return parts[0] * scale, parts[1] * scale, parts[2] * scale


def moving(fixed: Prepared, held: Held, celsius: Array, water_limit: Array | None = None) -> Moving:
    """Every flow at these node temperatures.

    `water_limit` [kg/s, (4, n)] bounds what water may leave each node: a step uses it so that no node runs dry.
    """
    p, air = fixed.piles, held.air
    humidity = humidity_of(celsius, held.wetness)
    draught = _draught(held, celsius)
    carrier = draught * GATHERED
    vapour = carrier * np.maximum(humidity - _next_outward(humidity, air.humidity_ratio), 0.0)
    parts = (vapour, _duct_vapour(fixed, held, celsius, humidity), held.draining)
    vapour, duct_vapour, draining = _limited(parts, water_limit)
    warming = decay.temperature_factor(celsius, fixed.cardinals)
    oxygen = _oxygen(fixed, held, draught, warming)
    fall = celsius - _next_outward(celsius, air.air_c)
    duct_latent = duct_vapour * vapour_enthalpy(_outlet(fixed, celsius)) if fixed.any_through else duct_vapour
    return Moving(
        oxygen=oxygen,
        speed=warming * oxygen,
        humidity=humidity,
        carrier=carrier,
        vapour=vapour,
        duct_vapour=duct_vapour,
        draining=draining,
        conducted=held.conductance * fall,
        carried=moist_air.DRY_AIR_HEAT * carrier * fall,
        latent=vapour * vapour_enthalpy(celsius),
        loop=fixed.loop * (celsius - p.water_inlet_c) if fixed.any_loop else NOTHING,
        duct=fixed.duct * (celsius - p.air_inlet_c) if fixed.any_duct else NOTHING,
        duct_latent=duct_latent,
        fixed_draw=_fixed_draw(fixed, celsius) if fixed.any_fixed else NOTHING,
        drained=WATER_HEAT * draining * celsius if held.any_draining else NOTHING,
    )


def edge_flows(fixed: Prepared, held: Held, celsius: Array, m: Moving) -> dict[str, Array]:
    """Heat flows that only the outermost node has, each (n,). [W]"""
    air, outer = held.air, celsius[-1]
    return {
        "sun": held.conductance[-1] * held.sun_lift_k,
        "rain": held.rain * (WATER_HEAT * np.maximum(air.air_c, 0.0)),
        "long_wave": held.conductance[-1] * air.sky_lift_k,
        "ground": held.ground * (outer - air.ground_c),
        "returned": fixed.piles.vapour_returned * m.vapour[-1] * (WATER_HEAT * outer),
    }


def heat_out(m: Moving, edge: dict[str, Array]) -> Array:
    """Net heat leaving each node, without the heat of decay, (4, n). [W]"""
    outward = m.conducted + m.carried + m.latent
    out = outward.copy()
    for drawn in (m.loop, m.duct, m.duct_latent, m.fixed_draw, m.drained):
        if drawn is not NOTHING:
            out += drawn
    out[1:] -= outward[:-1]
    if m.drained is not NOTHING:
        out[:-1] -= m.drained[1:]
    out[-1] += edge["long_wave"] + edge["ground"] - edge["sun"] - edge["rain"] - edge["returned"]
    return out


def water_out(fixed: Prepared, held: Held, m: Moving) -> Array:
    """Net water leaving each node, without the water of decay, (4, n). [kg/s]"""
    out = m.vapour + m.duct_vapour
    if held.any_draining:
        out += m.draining
    out[1:] -= m.vapour[:-1]
    if held.any_draining:
        out[:-1] -= m.draining[1:]
    out[-1] -= held.rain + fixed.piles.vapour_returned * m.vapour[-1]
    return out


def book(fixed: Prepared, held: Held, m: Moving, edge: dict[str, Array], burnt: Array) -> FlowEntries:
    """All flows in their ledger entries; `burnt` is the dry matter decayed by node, in the same measure. [W, kg/s]"""
    decayed = np.add.reduce(burnt)
    flows = {
        "made": decay.HEAT_PER_DRY_MATTER * decayed,
        "surface": m.conducted[-1],
        "draught": m.carried[-1],
        "evaporation": m.latent[-1] - edge["returned"],
        "drainage": m.drained[0],
        "air_sensible": np.add.reduce(m.duct),
        "air_latent": np.add.reduce(m.duct_latent),
        "water": np.add.reduce(m.loop),
        "fixed": np.add.reduce(m.fixed_draw),
        "decay": decay.WATER_PER_DRY_MATTER * decayed,
        "rain_water": held.rain,
        "evaporated": (1.0 - fixed.piles.vapour_returned) * m.vapour[-1],
        "drained": m.draining[0],
        "air_carried": np.add.reduce(m.duct_vapour),
        **edge,
    }
    return FlowEntries.of(flows)


@dataclass(frozen=True, slots=True)
class PreparedHeaps:
    """Heaps and the weather over them, made ready once for computing flows at one or several temperatures."""

    fixed: Prepared
    held: Held

    @classmethod
    def of(cls, piles: Piles, state: PileState, weather: DailyWeather) -> PreparedHeaps:
        """In the weather of its first day."""
        fixed = prepare(piles)
        return cls(fixed, hold(fixed, state, outdoors_by_day(weather)[0]))

    def entries(self) -> FlowEntries:
        """Every flow at the present temperatures. [W, kg/s]"""
        now = moving(self.fixed, self.held, self.held.celsius)
        edge = edge_flows(self.fixed, self.held, self.held.celsius, now)
        return book(self.fixed, self.held, now, edge, self.held.burning * now.speed)

    def heat_lost(self, celsius: Array, now: Moving) -> Array:
        """Heat lost to air, sky and ground and by evaporation less what sun and rain bring, (n,). [W]"""
        edge = edge_flows(self.fixed, self.held, celsius, now)
        through_skin = now.conducted[-1] + now.carried[-1] + now.latent[-1]
        gained = edge["sun"] + edge["rain"] + edge["returned"]
        lost: Array = through_skin + edge["long_wave"] + edge["ground"] + now.drained[0] - gained
        return lost


def flows(piles: Piles, state: PileState, weather: DailyWeather) -> FlowEntries:
    """Every flow through the heaps at this moment, in the weather of its first day. [W, kg/s]

    See `entries` for the names, as in `flows(...)["evaporation"]`.
    """
    return PreparedHeaps.of(piles, state, weather).entries()
