"""What a step of the heat model holds still: the weather, the fittings, the masses and all that follows from them.

Four nodes. `Prepared` follows from the piles alone and is computed once per run, `Outdoors` once per day, and `Held`
once per step; what follows the temperatures is in `flows`.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.physics import air_duct, decay, geometry, losses, moist_air, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.geometry import BURIED_SHARES, CONDUCTANCE_SHAPES, VOLUME_SHARES
from service.heat.physics.piles import DRY_MATTER_HEAT, WATER_HEAT, Piles, PileState, columns_at
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure

FAST_PER_S = decay.FAST_PER_DAY / SECONDS_PER_DAY
SLOW_PER_S = decay.SLOW_PER_DAY / SECONDS_PER_DAY
NOTHING = np.zeros((geometry.NODES, 1))  # stands for all heaps at once where none of them has such a flow
SHARES = VOLUME_SHARES[:, None]
BURIED = BURIED_SHARES[:, None]

OUTDOOR_HUMIDITY: Final = figure(0.8, "1", "Of the air outside, of saturation", "no source")
HELD_WATER_RATIO: Final = figure(
    2.4, "kg/kg", "Water per dry matter (71 % moisture): more than that drains", "no source"
)
DRAIN_S = SECONDS_PER_DAY
DIFFUSION: Final = figure(
    4e-6,
    "kg/(s.m3)",
    "Of oxygen at air space 1, goes as its square (Papendick and Campbell); the value is ours",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Outdoors:
    """The weather of one step, each (1,) or (n,)."""

    air_c: Array
    film: Array
    humidity_ratio: Array
    sun_w_m2: Array
    sky_lift_k: Array
    rain_kg_m2_s: Array
    ground_c: Array
    pace: Array

    def take(self, index: NDArray[np.intp]) -> Outdoors:
        """The columns at these positions; a value for all piles stays one."""
        picked = [getattr(self, f.name) for f in fields(self)]
        return Outdoors(*[value if value.shape[-1] == 1 else columns_at(value, index) for value in picked])


def outdoors_by_day(weather: DailyWeather) -> list[Outdoors]:
    """The weather of each day, with what follows from it."""
    film = losses.surface_film(weather.wind_m_s)
    vapour = OUTDOOR_HUMIDITY * moist_air.saturation_pressure_quick(weather.air_c)
    ratio = moist_air.WATER_TO_AIR_MASS * vapour / (moist_air.STANDARD_PRESSURE_PA - vapour)
    sky = weather.sky_loss_w_m2 / film
    rain = weather.rain_mm_day / SECONDS_PER_DAY
    columns = (weather.air_c, film, ratio, weather.sun_w_m2, sky, rain, weather.ground_c, weather.pace)
    return [Outdoors(*[c[min(day, c.shape[0] - 1)] for c in columns]) for day in range(weather.days)]


@dataclass(frozen=True, slots=True)
class Prepared:
    """What follows from the piles alone, computed once per run. Node arrays (4, n), the rest (n,)."""

    piles: Piles
    inert: Array  # kg
    dry_per_volume: Array  # kg/m3
    speed: Array  # rate and nitrogen factors together
    loop: Array  # (4, n) W/K
    duct: Array  # (4, n) W/K
    duct_effectiveness: Array
    through: Array  # (4, n) kg/s of dry air through the material
    through_inlet_ratio: Array  # kg/kg
    fixed_draw: Array  # (4, n) W
    cardinal_slope: Array
    cardinal_offset: Array
    any_loop: bool  # whether water is drawn from any of these heaps, air by a duct,
    any_duct: bool
    any_through: bool  # or air through any of them
    any_fixed: bool  # whether any of them has a fixed draw

    @property
    def cardinals(self) -> decay.Cardinals:
        """The temperatures of decay."""
        return decay.Cardinals(self.piles.hottest_c, self.cardinal_slope, self.cardinal_offset)

    def take(self, index: NDArray[np.intp]) -> Prepared:
        """The columns at these positions."""
        parts = {name: columns_at(getattr(self, name), index) for name in _PREPARED_ARRAYS}
        return replace(self, piles=self.piles.take(index), **parts)  # type: ignore[arg-type]  # arrays alone

    def drawing(self, share: Array) -> Prepared:
        """The same piles with all draws at this share of their strength."""
        scaled = {name: getattr(self, name) * share for name in ("loop", "duct", "through", "fixed_draw")}
        return replace(self, **scaled)


_PREPARED_ARRAYS = tuple(f.name for f in fields(Prepared)[1:] if not f.name.startswith("any_"))


def prepare(piles: Piles) -> Prepared:
    """Conductances of loop and duct and other constants of these piles."""
    p = piles
    loop = water_loop.mean_conductance(
        p.water_flow_kg_s, p.loop_inner_w_k, p.loop_outer_w_k, p.water_hour_share, p.water_day_share
    )
    vapour = air_duct.INLET_HUMIDITY * moist_air.saturation_pressure_quick(p.air_inlet_c)
    inlet_ratio = moist_air.WATER_TO_AIR_MASS * vapour / (moist_air.STANDARD_PRESSURE_PA - vapour)
    capacity = p.air_flow_kg_s * (moist_air.DRY_AIR_HEAT + moist_air.VAPOUR_HEAT * inlet_ratio)
    effectiveness = air_duct.effectiveness(p.air_conductance_w_k, capacity)
    cardinals = decay.Cardinals.of(decay.BEST_C, p.hottest_c)
    duct = p.air_share * capacity * effectiveness * BURIED
    through = p.air_through_heap * p.air_share * p.air_flow_kg_s * BURIED
    return Prepared(
        p,
        inert=p.inert_kg * SHARES,
        dry_per_volume=p.dry_kg / p.volume_m3,
        speed=p.rate * p.nitrogen,
        loop=loop * BURIED,
        duct=duct,
        duct_effectiveness=effectiveness,
        through=through,
        through_inlet_ratio=inlet_ratio,
        fixed_draw=p.fixed_draw_w * BURIED,
        cardinal_slope=cardinals.slope,
        cardinal_offset=cardinals.offset,
        any_loop=bool(loop.any()),
        any_duct=bool(duct.any()),
        any_through=bool(through.any()),
        any_fixed=bool(p.fixed_draw_w.any()),
    )


@dataclass(frozen=True, slots=True)
class Held:
    """What a step holds still: the weather, masses, conductances and the temperature-free part of decay."""

    air: Outdoors
    capacity: Array  # (4, n) J/K
    celsius: Array  # (4, n) at the start
    environment: Array  # (4, n) rate factor of moisture, air space, nitrogen
    burning: Array  # (4, n) kg/s at the best temperature and fresh air
    conductance: Array  # (4, n) W/K to the next node; the last row to the air
    ground: Array  # (n,) W/K
    sun_lift_k: Array  # (n,)
    draught: Array  # (n,) kg/(s K)
    draught_limit: Array  # (n,) kg/s
    diffusion: Array  # (4, n) kg/s of oxygen
    wetness: Array  # (4, n) share of the full vapour pressure
    draining: Array  # (4, n) kg/s
    any_draining: bool
    rain: Array  # (n,) kg/s


def hold(fixed: Prepared, state: PileState, air: Outdoors) -> Held:
    """Evaluate everything that follows from the masses."""
    p, water = fixed.piles, state.water_kg
    dry = fixed.inert + state.fast_kg + state.slow_kg
    capacity = DRY_MATTER_HEAT * dry + WATER_HEAT * water
    total_dry = np.add.reduce(dry)
    volume = total_dry / fixed.dry_per_volume
    space = np.maximum(losses.air_space(dry, water, volume * SHARES), decay.LEAST_AIR_SPACE)
    mean_space = np.maximum(losses.air_space(total_dry, np.add.reduce(water), volume), decay.LEAST_AIR_SPACE)
    speed = fixed.speed * air.pace
    environment = speed * decay.moisture_factor(water / (water + dry)) * decay.air_space_factor(space)
    radius = geometry.radius(volume)
    exposed, ground = geometry.exposed_area(radius), geometry.ground_area(radius)
    conductance = (p.conductivity_w_mk * radius) * CONDUCTANCE_SHAPES[:, None]
    leg = conductance[3]
    to_ground = p.loss * losses.ground_conductance(leg * (1.0 - geometry.EXPOSED_SHARE), ground)
    to_air = losses.surface_conductance(leg * geometry.EXPOSED_SHARE, air.film, p.cover_resistance, exposed)
    conductance[3] = p.loss * to_air
    draught = losses.draught_coefficient(p.permeability_m2, ground, p.draught_left)
    excess = water - HELD_WATER_RATIO * dry
    any_draining = bool((excess > 0.0).any())
    opening = mean_space * (1.0 / losses.REFERENCE_AIR_SPACE)
    return Held(
        air=air,
        capacity=capacity,
        celsius=state.enthalpy_j / capacity,
        environment=environment,
        burning=environment * (FAST_PER_S * state.fast_kg + SLOW_PER_S * state.slow_kg),
        conductance=conductance,
        ground=to_ground,
        sun_lift_k=losses.sun_lift(air.sun_w_m2, air.film, p.cover_resistance, p.sun_beneath, p.sun_on_top),
        draught=p.loss * draught * (opening * opening * opening),
        draught_limit=losses.DRAUGHT_LIMIT_PER_S * volume,
        diffusion=DIFFUSION * volume * SHARES * space * space,
        wetness=losses.wetness(water, dry),
        draining=np.maximum(excess, 0.0) * (1.0 / DRAIN_S) if any_draining else NOTHING,
        any_draining=any_draining,
        rain=losses.RAIN_CAUGHT * p.rain_let_in * exposed * air.rain_kg_m2_s,
    )
