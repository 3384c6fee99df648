"""Heat and water between the shells of the simulated heaps, and across their surface.

A heap is a paraboloid; its inside is the sphere of the same volume to surface ratio, in shells of equal thickness,
repeated until the volume agrees. Air goes in and out through every face: what goes in has the warmth and water of
the outer shell, what comes out those of the inner. Vapour also diffuses, inwards too.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from . import truth_decay as decay
from .truth_piles import Piles
from .truth_weather import humidity_ratio

Array = NDArray[np.float64]

SHELLS: Final = 16
DRY_HEAT, WATER_HEAT, AIR_HEAT, VAPOUR_HEAT = 1450.0, 4186.0, 1006.0, 1860.0  # J/(kg K)
LATENT_HEAT = 2.501e6  # J/kg at 0 degC
MOST_WATER = 2.6  # kg/kg that stays put
DRAIN_S = 6.0 * 3600.0
LOOP_WITHIN = 0.65  # of the radius
ENTHALPY, FAST, SLOW, WATER, ACTIVITY, OXYGEN = 0, 1, 3, 4, 5, 6  # rows of a state, (7, shells, n)

_EDGES = np.arange(SHELLS + 1)[:, None] / SHELLS
VOLUME_SHARES: Final = _EDGES[1:] ** 3 - _EDGES[:-1] ** 3
CUMULATIVE: Final = _EDGES[1:] ** 3
CENTRES: Final = (np.arange(SHELLS) + 0.5) / SHELLS
_IN_LOOP = np.clip(LOOP_WITHIN**3 - _EDGES[:-1] ** 3, 0.0, VOLUME_SHARES)
LOOP_SHARES: Final = _IN_LOOP / _IN_LOOP.sum()


@dataclass(frozen=True, slots=True)
class Air:
    """Weather of one hour and the loop's duty, each (n,)."""

    air_c: Array
    wind_m_s: Array
    sun_w_m2: Array
    sky_loss_w_m2: Array
    rain_kg_m2_s: Array
    vapour: Array
    ground_c: Array
    duty: Array
    pace: Array  # biological noise on all rates

    def take(self, columns: NDArray[np.intp]) -> Air:
        """Some of the heaps."""
        return Air(**{f.name: getattr(self, f.name)[columns] for f in fields(self)})


@dataclass(frozen=True, slots=True)
class Held:
    """What is kept through one outer step: everything but the fast feedbacks of temperature."""

    capacity: Array  # by shell, J/K
    activity: Array  # of water vapour, (shells, n)
    faces_w_k: Array  # conduction through inner faces, (shells - 1, n)
    air_kg_s: Array  # exchange and diffusion of air through each face, (shells, n)
    surface_w_k: Array
    sol_air_c: Array
    ground_w_k: Array
    loop_w_k: Array  # (shells, n)
    rates: Array  # dry matter lost per second at warmth factor 1, (3, shells, n)
    heat_w: Array  # heat made at warmth factor 1, (shells, n)
    growth: Array
    rain_kg_s: Array
    drain_kg_s: Array  # (shells, n), to the next shell inwards; from the innermost out

    def take(self, columns: NDArray[np.intp]) -> Held:
        """Some of the heaps."""
        return Held(**{f.name: getattr(self, f.name)[..., columns] for f in fields(self)})


def foot_radius(volume_m3: Array, aspect: Array) -> Array:
    """Foot radius of a paraboloid, V = pi r^2 h / 2. [m]"""
    return np.cbrt(2.0 * volume_m3 / (np.pi * aspect))


def exposed_area(radius_m: Array, aspect: Array) -> Array:
    """Curved surface of a paraboloid. [m2]"""
    result: Array = np.pi * radius_m**2 * ((1.0 + 4.0 * aspect**2) ** 1.5 - 1.0) / (6.0 * aspect**2)
    return result


def dry_matter(piles: Piles, state: Array) -> Array:
    """Dry matter by shell. [kg]"""
    inert = (piles.dry_kg - piles.pools.sum(axis=0)) * VOLUME_SHARES
    result: Array = inert + state[FAST : SLOW + 1].sum(axis=0)
    return result


def capacity(piles: Piles, state: Array) -> Array:
    """Heat capacity by shell. [J/K]"""
    result: Array = DRY_HEAT * dry_matter(piles, state) + WATER_HEAT * state[WATER]
    return result


def hold(piles: Piles, state: Array, air: Air) -> Held:
    """Geometry, wetness, draught, conductances and rates of this moment; renews the oxygen level in the state."""
    dry = dry_matter(piles, state)
    heat_capacity = DRY_HEAT * dry + WATER_HEAT * state[WATER]
    celsius = state[ENTHALPY] / heat_capacity
    wetness = state[WATER] / dry
    volume = piles.volume_m3 * dry.sum(axis=0) / piles.dry_kg
    foot = foot_radius(volume, piles.foot_aspect)
    exposed, ground = exposed_area(foot, piles.foot_aspect), np.pi * foot**2
    radius = 3.0 * volume / (exposed + ground)
    pores = np.clip(1.0 - (dry / 1500.0 + state[WATER] / 1000.0) / (volume * VOLUME_SHARES), 0.03, 0.95)
    spheres = volume / (4.0 / 3.0 * np.pi * radius**3)
    areas = spheres * 4.0 * np.pi * (_EDGES[1:] * radius) ** 2
    step = radius / SHELLS
    conductivity = piles.conductivity_w_mk * (1.0 + piles.conductivity_slope * (celsius - 20.0))
    conductivity = conductivity * (0.55 + 0.45 * np.minimum(wetness, 2.0))
    through = conductivity[-1] * 2.0 / step
    film = piles.surface_factor * (9.0 + 4.0 * air.wind_m_s * piles.wind_factor)
    outside = 1.0 / film + piles.cover_resistance
    gain = piles.sun_absorbed * air.sun_w_m2 * np.where(piles.rain_let_in > 0.0, 1.0 / film, outside)
    breath = _breath(piles, air, celsius, pores, foot_m2=ground, areas=areas, step=step)
    bare = _bare_rates(piles, state, wetness, air.pace)
    oxygen = _oxygen(piles, state, celsius, breath, bare)
    drain = np.maximum(state[WATER] - MOST_WATER * dry, 0.0) / DRAIN_S
    loop = -piles.loop_flow_w_k * np.expm1(-piles.loop_ua_w_k / np.maximum(piles.loop_flow_w_k, 1e-9))
    return Held(
        capacity=heat_capacity,
        activity=decay.vapour_activity(wetness),
        faces_w_k=0.5 * (conductivity[1:] + conductivity[:-1]) * areas[:-1] / step,
        air_kg_s=breath,
        surface_w_k=exposed / (1.0 / through + outside),
        sol_air_c=air.air_c + gain - air.sky_loss_w_m2 / film,
        ground_w_k=ground / (1.0 / through + 0.6),
        loop_w_k=air.duty * loop * LOOP_SHARES,
        rates=bare * oxygen,
        heat_w=(decay.HEAT_J_KG * bare).sum(axis=0) * oxygen,
        growth=piles.growth_per_s * oxygen * decay.water_factor(piles, wetness),
        rain_kg_s=0.8 * exposed * piles.rain_let_in * air.rain_kg_m2_s,
        drain_kg_s=drain,
    )


def _breath(
    piles: Piles, air: Air, celsius: Array, pores: Array, *, foot_m2: Array, areas: Array, step: Array
) -> Array:
    """Air through each face by buoyancy, wind and diffusion. [kg/s of dry air]"""
    room = (pores * VOLUME_SHARES).sum(axis=0)
    warmth = np.maximum((celsius * VOLUME_SHARES).sum(axis=0) - air.air_c, 0.0)
    openness = piles.permeability_m2 * room**3 / (1.0 - room) ** 2
    draught = 1.2**2 * 9.81 / (1.8e-5 * 300.0) * openness * foot_m2 * warmth
    draught = draught + 3e-6 * piles.wind_factor * air.wind_m_s**2 * foot_m2
    draught = np.minimum(draught * piles.draught_left, 6e-4 * piles.volume_m3)
    diffusivity = 2.2e-5 * (1.0 + 0.006 * celsius) * pores**1.5 * piles.vapour_enhancement
    face = np.concatenate([0.5 * (diffusivity[1:] + diffusivity[:-1]), diffusivity[-1:]])
    face[-1] = face[-1] * piles.draught_left
    result: Array = draught * CUMULATIVE**piles.bypass + 1.15 * face * areas / step
    return result


def _bare_rates(piles: Piles, state: Array, wetness: Array, pace: Array) -> Array:
    """Dry matter lost per second at best warmth in fresh air, (3, shells, n)."""
    start = piles.pools[0] * VOLUME_SHARES
    common = pace * piles.nitrogen_factor * decay.water_factor(piles, wetness) * state[ACTIVITY]
    result: Array = decay.pool_rates(piles, state[FAST : SLOW + 1], start) * common
    return result


def _oxygen(piles: Piles, state: Array, celsius: Array, breath: Array, bare: Array) -> Array:
    """Oxygen factor by shell; the level is left in the state for the next step."""
    heat = (decay.HEAT_J_KG * bare).sum(axis=0) * decay.warmth_factor(piles, celsius)
    level = decay.oxygen_levels(0.232 * breath, heat / decay.HEAT_PER_OXYGEN, state[OXYGEN], piles.half_oxygen)
    state[OXYGEN] = level
    return decay.oxygen_factor(level, piles.half_oxygen)


@dataclass(frozen=True, slots=True)
class Flows:
    """What one inner step moves. Faces are the outer ones of each shell. [W], water in kg/s."""

    heating: Array  # by shell
    warmth: Array  # factor of temperature by shell
    vapour: Array  # through each face
    dripping: Array  # back from under the cover
    crossing: Array  # (4, n): by skin and ground, by air and water, by the loop, by draining


def flows(piles: Piles, held: Held, air: Air, enthalpy: Array) -> Flows:
    """All flows of heat at these temperatures."""
    celsius = enthalpy / held.capacity
    humidity = humidity_ratio(celsius, held.activity)
    fall = celsius - _outward(celsius, air.air_c)
    vapour = held.air_kg_s * (humidity - _outward(humidity, air.vapour))
    upstream = celsius - np.where(vapour > 0.0, 0.0, fall)
    outward = vapour * (LATENT_HEAT + VAPOUR_HEAT * upstream) + AIR_HEAT * held.air_kg_s * fall
    outward[:-1] += held.faces_w_k * fall[:-1]
    skin = held.surface_w_k * (celsius[-1] - held.sol_air_c) + held.ground_w_k * (celsius[-1] - air.ground_c)
    loop = held.loop_w_k * (celsius - piles.loop_inlet_c)
    drained = WATER_HEAT * held.drain_kg_s * celsius
    dripping = piles.vapour_returned * np.maximum(vapour[-1], 0.0)
    wet_in = WATER_HEAT * (dripping * celsius[-1] + held.rain_kg_s * np.maximum(air.air_c, 0.0))
    warmth = decay.warmth_factor(piles, celsius)
    heating = held.heat_w * warmth - outward - loop - drained
    heating[1:] += outward[:-1]
    heating[:-1] += drained[1:]
    heating[-1] += wet_in - skin
    crossing = np.array([skin, outward[-1] - wet_in, loop.sum(axis=0), drained[0]])
    return Flows(heating, warmth, vapour, dripping, crossing)


def settle(
    state: Array, held: Held, enthalpy: Array, *, warm_s: Array, vapour_kg: Array, dripped_kg: Array, seconds: float
) -> tuple[Array, Array]:
    """The state after an outer step, and heat made [J], water made and water gone [kg] in it, (3, n).

    `warm_s` is the warmth factor summed over time, `vapour_kg` what went through each face.
    """
    lost = held.rates * warm_s
    made = held.heat_w * warm_s
    born = decay.WATER_PER_DRY_MATTER * lost.sum(axis=0)
    drained = seconds * held.drain_kg_s
    rain = seconds * held.rain_kg_s
    new = state.copy()
    new[ENTHALPY] = enthalpy
    new[FAST : SLOW + 1] -= lost
    new[WATER] += born - vapour_kg - drained
    new[WATER, 1:] += vapour_kg[:-1]
    new[WATER, :-1] += drained[1:]
    new[WATER, -1] += dripped_kg + rain
    grown = new[ACTIVITY] * np.exp(held.growth * warm_s)
    new[ACTIVITY] = grown / (1.0 - new[ACTIVITY] + grown)
    gone = vapour_kg[-1] + drained[0] - dripped_kg - rain
    return new, np.array([made.sum(axis=0), born.sum(axis=0), gone])


def stiffness(held: Held, enthalpy: Array) -> Array:
    """Highest rate at which a shell's temperature answers to its neighbours, (n,). [1/s]"""
    celsius = enthalpy / held.capacity
    humidity = humidity_ratio(celsius, held.activity)
    slope = humidity * (1.0 + humidity / 0.622) * 4098.0 / (celsius + 237.3) ** 2
    per_kelvin = held.air_kg_s * (AIR_HEAT + LATENT_HEAT * slope)
    per_kelvin[:-1] += held.faces_w_k
    own = per_kelvin + held.loop_w_k
    own[1:] += per_kelvin[:-1]
    own[-1] += held.surface_w_k + held.ground_w_k
    result: Array = (own / held.capacity).max(axis=0)
    return result


def _outward(inner: Array, outside: Array) -> Array:
    return np.concatenate([inner[1:], outside[None]])
