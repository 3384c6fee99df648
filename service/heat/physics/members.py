"""What is not known about a heap as an ensemble: every member is one heap that fits what was reported.

Priors without a source are our judgement and marked so; the spreads are standard deviations of the logarithm.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import exp
from typing import Final

import numpy as np

from service.heat.physics import air_duct, decay, outlets, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.geometry import MEDIAN_RADII, sphere_radius
from service.heat.physics.losses import SOLID_DENSITY, WATER_DENSITY, cover_of, wetness
from service.heat.physics.piles import CONDUCTIVITY_W_MK, PERMEABILITY_M2, DailyWeather, Piles, PileState
from service.heat.physics.spread import EIGHTY_PERCENT, points
from service.units.estimate import AirDraw, Estimate, PileEstimate, Untold, WaterDraw

DEFAULT_MEMBERS: Final = 64

# No source, chosen so that starts and durations of heaps come out as reported.
RATE_SPREAD = 0.5
LOSS_SPREAD = 0.35
CONDUCTIVITY_SPREAD = 0.3
PERMEABILITY_SPREAD = 0.7
NITROGEN_SPREAD = 0.3
LOOP_INNER_SPREAD = 0.4
LOOP_OUTER_SPREAD = 0.4
DUCT_SPREAD = 0.6
LIFETIME_ENVIRONMENT = (0.35, 0.85)  # mean factor of warmth, water and air over a heap's past and future
SHELL_WARMTH = (0.40, 0.15)  # outermost node over core, both over outdoors: mean and standard deviation

OUTER_PROBE_DEPTH_M = 0.22  # the outer reading is taken 15 to 30 cm deep
LOWEST_AIR_SPACE = 0.12
BULK_DENSITY_LIMITS = (120.0, 900.0)  # kg/m3
MOISTURE_LIMITS = (0.08, 0.82)
MOST_DEGRADABLE = 0.9
DEFAULT_INLET_C = 10.0
"""Where the inlet was not read: a cool greenhouse or a tank in it."""
LEAST_OF_LOW: Final = 0.5
"""Nothing untold of a draw is taken as less than this part of its range's low end (our own)."""

AIR: Final = ("air_flow_kg_s", "air_share", "air_conductance_w_k", "air_through_heap")
WATER: Final = ("water_flow_kg_s", "water_hour_share", "water_day_share", "loop_inner_w_k", "loop_outer_w_k")
"""What is nothing where neither duct nor loop is fitted."""

_SQUARES = MEDIAN_RADII**2


def members(estimate: PileEstimate, n: int = DEFAULT_MEMBERS) -> tuple[Piles, PileState, Array]:
    """n heaps that fit an estimate, with equal weights that sum to 1.

    The same estimate gives the same members, and member j of two estimates shares its draws: compare them in pairs.

    Raises
    ------
    ValueError
        A mass, volume, share or ratio of the estimate is not above zero.
    """
    driest, wettest = MOISTURE_LIMITS
    moisture = np.minimum(np.maximum(points("moisture", n).around(estimate.moisture), driest), wettest)
    mass = points("mass", n).around_log(estimate.mass_kg)
    dry, water = mass * (1.0 - moisture), mass * moisture
    volume = _volume(estimate, mass, dry, water, n)
    rate = points("rate", n).around_log(estimate.pace)
    nitrogen = decay.nitrogen_factor(
        points("nitrogen", n).around_log(_at_least(estimate.cn_degradable, NITROGEN_SPREAD))
    )
    inert, fast, slow, degradable = aged_pools(estimate, dry, rate * nitrogen, n)
    celsius = _temperatures(estimate, volume, n)
    wet = wetness(water, dry)
    cover = cover_of(estimate.cover, wrap=estimate.wrapped)
    ones = np.ones(n)
    piles = Piles(
        volume_m3=volume,
        dry_kg=dry,
        inert_kg=inert,
        degradable_kg=degradable,
        rate=rate,
        loss=points("loss", n).factor(LOSS_SPREAD),
        nitrogen=nitrogen,
        hottest_c=points("hottest", n).around(estimate.hottest_c),
        conductivity_w_mk=CONDUCTIVITY_W_MK * points("conductivity", n).factor(CONDUCTIVITY_SPREAD),
        permeability_m2=PERMEABILITY_M2 * points("permeability", n).factor(PERMEABILITY_SPREAD),
        cover_resistance=cover.resistance * ones,
        vapour_returned=cover.vapour_returned * ones,
        draught_left=cover.draught_left * ones,
        sun_beneath=cover.sun_beneath * ones,
        sun_on_top=cover.sun_on_top * ones,
        rain_let_in=cover.rain_let_in * ones,
        fixed_draw_w=np.zeros(n),
        draw_from_day=np.zeros(n),
        **_air(estimate, volume, celsius, wet),
        **_water(estimate, celsius, n),
    )
    return piles, PileState.of(piles, celsius, fast, slow, water), np.full(n, 1.0 / n)


@lru_cache(maxsize=8)
def usual_members(estimate: PileEstimate) -> tuple[Piles, PileState, Array]:
    """As `members`, as many as usual; kept for whoever asks for them next, and not to be written to."""
    return members(estimate)


def weather_now(estimate: PileEstimate, n: int = DEFAULT_MEMBERS) -> DailyWeather:
    """Today's weather for each member: air and wind as estimated, sun and sky of a mean winter day."""
    air = points("outdoor", n).around(estimate.outdoor_c)
    wind = np.maximum(points("wind", n).around(estimate.wind_m_s), 0.0)
    return DailyWeather.of(air[None, :], wind[None, :])


def aged_pools(estimate: PileEstimate, dry_kg: Array, speed: Array, n: int) -> tuple[Array, Array, Array, Array]:
    """Inert, fast and slow dry matter today, and what was degradable when the heap was built, each (n,). [kg]

    The pools the heap was built with have shrunk through its age at a lifetime mean of warmth, water and air; today's
    dry matter is what is left of the first.
    """
    fast, slow = _built_shares(estimate, n)
    aged = speed * points("environment", n).between(*LIFETIME_ENVIRONMENT) * estimate.age_days
    fast_left = fast * np.exp(-decay.FAST_PER_DAY * aged)
    slow_left = slow * np.exp(-decay.SLOW_PER_DAY * aged)
    inert = 1.0 - fast - slow
    built = dry_kg / (inert + fast_left + slow_left)
    return inert * built, fast_left * built, slow_left * built, (fast + slow) * built


def degradable_left(piles: Piles, state: PileState) -> Array:
    """Share of the degradable dry matter the heap was built with that is still there, each member (n,). [1]"""
    result: Array = (state.fast_kg + state.slow_kg).sum(axis=0) / piles.degradable_kg
    return result


def _built_shares(estimate: PileEstimate, n: int) -> tuple[Array, Array]:
    """Fast and slow shares of the dry matter when the heap was built."""
    fast = points("fast", n).around_log(_floored(estimate.fast_share))
    slow = points("slow", n).around_log(_floored(estimate.slow_share))
    bound = np.minimum(1.0, MOST_DEGRADABLE / (fast + slow))
    return fast * bound, slow * bound


def _at_least(estimate: Estimate, log_sd: float) -> Estimate:
    """The estimate, its range widened to at least this logarithmic standard deviation."""
    factor = exp(log_sd * EIGHTY_PERCENT)
    low, high = min(estimate.low, estimate.value / factor), max(estimate.high, estimate.value * factor)
    return Estimate(estimate.value, low, high, estimate.basis)


def _floored(share: Estimate) -> Estimate:
    """A share of the dry matter, with nothing in it below a thousandth: logarithms need a number."""
    return Estimate(max(share.value, 1e-3), max(share.low, 1e-3), max(share.high, 1e-3), share.basis)


def _volume(estimate: PileEstimate, mass: Array, dry: Array, water: Array, n: int) -> Array:
    """Volumes that go with the masses. [m3]

    Unless both were measured they rest on one guess of the size and move together; solids and water must have room.
    """
    both = estimate.mass_kg.basis == "measured" and estimate.volume_m3.basis == "measured"
    volume = points("volume" if both else "mass", n).around_log(estimate.volume_m3)
    lightest, heaviest = BULK_DENSITY_LIMITS
    filled = (dry / SOLID_DENSITY + water / WATER_DENSITY) / (1.0 - LOWEST_AIR_SPACE)
    result: Array = np.minimum(np.maximum(np.maximum(volume, mass / heaviest), filled), mass / lightest)
    return result


def _temperatures(estimate: PileEstimate, volume: Array, n: int) -> Array:
    """Node temperatures, (4, n): a parabola through the core and the outer reading, or a usual shell. [degC]"""
    core = points("core", n).around(estimate.core_c)
    air = points("outdoor", n).around(estimate.outdoor_c)
    if estimate.outer_c is None:
        mean, deviation = SHELL_WARMTH
        warmth = np.minimum(np.maximum(mean + deviation * points("shell", n).normals, 0.1), 0.9)
        outer, square = air + warmth * (core - air), np.full(n, _SQUARES[-1])
    else:
        outer = np.full(n, estimate.outer_c)
        place = np.maximum(1.0 - OUTER_PROBE_DEPTH_M / sphere_radius(volume), MEDIAN_RADII[1])
        square = np.minimum(place, 0.95) ** 2
    drop = (core - outer) / (square - _SQUARES[0])
    celsius = core - drop * (_SQUARES[:, None] - _SQUARES[0])
    coldest, warmest = np.minimum(np.minimum(core, outer), air), np.maximum(np.maximum(core, outer), air)
    result: Array = np.minimum(np.maximum(celsius, coldest), warmest)
    return result


def _air(estimate: PileEstimate, volume: Array, celsius: Array, wet: Array) -> dict[str, Array]:
    """Air draw of each member: flow, share of the time, and a conductance that gives the outlet where it was read."""
    n, draw = volume.size, estimate.air
    ones = np.ones(n)
    if draw is None and not estimate.has_air_duct:
        return {**dict.fromkeys(AIR, 0.0 * ones), "air_inlet_c": DEFAULT_INLET_C * ones}
    through = draw is not None and draw.path == "through_heap"
    usual = air_duct.default_conductance(volume, through) * points("duct", n).factor(DUCT_SPREAD)
    inlet = DEFAULT_INLET_C if draw is None or draw.inlet_c is None else draw.inlet_c
    flow, share = 0.0 * ones, 0.0 * ones
    if draw is not None and draw.flow_m3_s > 0.0:
        volume_flow, hours, days = running(draw.flow_m3_s, draw.hour_share, draw.day_share, draw.untold, n)
        flow, _ = air_duct.capacity_flow(volume_flow, inlet * ones)
        share = hours * days
    return {
        "air_flow_kg_s": flow,
        "air_share": share,
        "air_inlet_c": inlet * ones,
        "air_conductance_w_k": usual,
        "air_through_heap": float(through) * ones,
        **_duct_read(draw, flow, inlet * ones, celsius=celsius, wet=wet),
    }


def _water(estimate: PileEstimate, celsius: Array, n: int) -> dict[str, Array]:
    """Water draw of each member: flow, shares, and conductances that give the outlet where it was read."""
    ones, draw = np.ones(n), estimate.water
    if draw is None and not estimate.has_water_loop:
        return {**dict.fromkeys(WATER, 0.0 * ones), "water_inlet_c": DEFAULT_INLET_C * ones}
    tube = draw.tube if draw is not None and draw.tube is not None else "plastic"
    length = draw.tube_length_m if draw is not None and draw.tube_length_m else water_loop.DEFAULT_LENGTH_M
    usual_inner, usual_outer = water_loop.default_conductances(tube, length)
    inner = usual_inner * points("loop_inner", n).factor(LOOP_INNER_SPREAD)
    outer = usual_outer * points("loop_outer", n).factor(LOOP_OUTER_SPREAD)
    inlet = DEFAULT_INLET_C if draw is None or draw.inlet_c is None else draw.inlet_c
    flow, hours, days = 0.0 * ones, 0.0 * ones, 0.0 * ones
    if draw is not None and draw.flow_kg_s > 0.0:
        flow, hours, days = running(draw.flow_kg_s, draw.hour_share, draw.day_share, draw.untold, n)
    return {
        "water_flow_kg_s": flow,
        "water_hour_share": hours,
        "water_day_share": days,
        "water_inlet_c": inlet * ones,
        "loop_inner_w_k": inner,
        "loop_outer_w_k": outer,
        **_loop_read(draw, flow, hours, inlet_c=inlet * ones, celsius=celsius, outer_w_k=outer),
    }


def running(flow: float, hour_share: float, day_share: float, untold: Untold, n: int) -> tuple[Array, Array, Array]:
    """Flow and shares of the hour and the day of each member: as told, or spread over the range where not.

    What was not told is high or low together, so that the median draw is that of the usual values, and its range wide.
    """
    return (
        _spread(flow, untold.flow, np.inf, n),
        _spread(hour_share, untold.hour_share, 1.0, n),
        _spread(day_share, untold.day_share, 1.0, n),
    )


def _spread(value: float, ends: tuple[float, float] | None, most: float, n: int) -> Array:
    """The value for all, or values with this 80 % range, never below half its low end."""
    if ends is None:
        return np.full(n, value)
    about = points("untold", n).around(Estimate(value, *ends, "assumed"))
    result: Array = np.minimum(np.maximum(about, LEAST_OF_LOW * ends[0]), most)
    return result


def _duct_read(draw: AirDraw | None, flow: Array, inlet_c: Array, *, celsius: Array, wet: Array) -> dict[str, Array]:
    """Flow and conductance of a duct whose outlet was read; nothing where it was not."""
    if draw is None or draw.outlet_c is None or draw.flow_m3_s <= 0.0:
        return {}
    ones = np.ones_like(inlet_c)
    through = float(draw.path == "through_heap") * ones
    read = outlets.duct_read(flow, inlet_c, draw.outlet_c * ones, celsius=celsius, through=through, wetness=wet)
    scale = read.scale if draw.untold.flow is None else ones
    return {"air_flow_kg_s": scale * flow, "air_conductance_w_k": scale * read.conductance_w_k}


def _loop_read(
    draw: WaterDraw | None, flow: Array, hours: Array, *, inlet_c: Array, celsius: Array, outer_w_k: Array
) -> dict[str, Array]:
    """Flow and conductances of a loop whose outlet was read; nothing where it was not."""
    if draw is None or draw.outlet_c is None or draw.flow_kg_s * draw.hour_share <= 0.0:
        return {}
    ones = np.ones_like(inlet_c)
    outlet = draw.outlet_c * ones
    read = outlets.loop_read(flow, hours, inlet_c=inlet_c, outlet_c=outlet, celsius=celsius, outer_w_k=outer_w_k)
    scale = read.scale if draw.untold.flow is None else ones
    inner, outer = scale * read.inner_w_k, scale * read.outer_w_k
    return {"water_flow_kg_s": scale * flow, "loop_inner_w_k": inner, "loop_outer_w_k": outer}


def with_outlets_read(estimate: PileEstimate, piles: Piles, celsius: Array, wet: Array) -> Piles:
    """The same piles with loop and duct that give the outlets that were read, at these node temperatures.

    `wet` is the wetness of each, see `losses.wetness`.
    """
    air, water, ones = estimate.air, estimate.water, np.ones_like(piles.rate)
    flow, pumped = piles.air_flow_kg_s, piles.water_flow_kg_s
    # A flow that was told is scaled from what was told; the members may carry one scaled before.
    if air is not None and air.untold.flow is None:
        flow = air_duct.capacity_flow(air.flow_m3_s * ones, piles.air_inlet_c)[0]
    if water is not None and water.untold.flow is None:
        pumped = water.flow_kg_s * ones
    duct = _duct_read(air, flow, piles.air_inlet_c, celsius=celsius, wet=wet)
    hours, inlet, outer = piles.water_hour_share, piles.water_inlet_c, piles.loop_outer_w_k
    loop = _loop_read(water, pumped, hours, inlet_c=inlet, celsius=celsius, outer_w_k=outer)
    return replace(piles, **duct, **loop)
