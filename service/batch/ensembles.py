"""The ensembles of many heaps side by side, with the same members as `physics.members` gives each alone.

Arrays are (heaps, members) while the estimates are spread, and joined along one axis for the heat model.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp
from typing import Any

import numpy as np
from numpy.typing import NDArray

from service.heat.physics import air_duct, decay, outlets, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.geometry import MEDIAN_RADII, sphere_radius
from service.heat.physics.losses import SOLID_DENSITY, WATER_DENSITY, cover_of, wetness
from service.heat.physics.members import (
    BULK_DENSITY_LIMITS,
    CONDUCTIVITY_SPREAD,
    DEFAULT_INLET_C,
    DEFAULT_MEMBERS,
    DUCT_SPREAD,
    LEAST_OF_LOW,
    LIFETIME_ENVIRONMENT,
    LOOP_INNER_SPREAD,
    LOOP_OUTER_SPREAD,
    LOSS_SPREAD,
    LOWEST_AIR_SPACE,
    MOISTURE_LIMITS,
    MOST_DEGRADABLE,
    NITROGEN_SPREAD,
    OUTER_PROBE_DEPTH_M,
    PERMEABILITY_SPREAD,
    SHELL_WARMTH,
)
from service.heat.physics.piles import CONDUCTIVITY_W_MK, PERMEABILITY_M2, DailyWeather, Piles, PileState
from service.heat.physics.spread import EIGHTY_PERCENT, Points, points
from service.units.estimate import ALL_TOLD, AirDraw, Estimate, PileEstimate, WaterDraw

MEMBERS = DEFAULT_MEMBERS
_LEAST_SHARE = 1e-3
_SQUARES = MEDIAN_RADII**2
_COVER_FIELDS = ("vapour_returned", "draught_left", "sun_beneath", "sun_on_top", "rain_let_in")

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class NumberColumn:
    """One number of many heaps with its 80 % range, each (heaps, 1)."""

    value: Array
    low: Array
    high: Array

    @classmethod
    def of(cls, estimates: Iterable[Estimate]) -> NumberColumn:
        """From one estimate per heap."""
        table = np.array([(estimate.value, estimate.low, estimate.high) for estimate in estimates])
        return cls(*table.T[:, :, None])

    def floored(self, least: float) -> NumberColumn:
        """Nothing below `least`."""
        return NumberColumn(np.maximum(self.value, least), np.maximum(self.low, least), np.maximum(self.high, least))

    def at_least(self, log_sd: float) -> NumberColumn:
        """The range widened to at least this logarithmic standard deviation."""
        factor = exp(log_sd * EIGHTY_PERCENT)
        low, high = np.minimum(self.low, self.value / factor), np.maximum(self.high, self.value * factor)
        return NumberColumn(self.value, low, high)


def ensembles(estimates: Sequence[PileEstimate]) -> tuple[Piles, PileState, DailyWeather]:
    """Members of every heap, joined: those of heap i are the columns from 64 i on.

    Raises
    ------
    ValueError
        A mass, volume, share or ratio of an estimate is not above zero.
    """
    driest, wettest = MOISTURE_LIMITS
    moisture = np.minimum(np.maximum(_around("moisture", (e.moisture for e in estimates)), driest), wettest)
    mass = _around_log("mass", NumberColumn.of(e.mass_kg for e in estimates))
    dry, water = mass * (1.0 - moisture), mass * moisture
    volume = _volumes(estimates, mass, dry, water)
    rate = _around_log("rate", NumberColumn.of(e.pace for e in estimates))
    ratio = NumberColumn.of(e.cn_degradable for e in estimates).at_least(NITROGEN_SPREAD)
    nitrogen = decay.nitrogen_factor(_around_log("nitrogen", ratio))
    inert, fast, slow, degradable = _pools(estimates, dry, rate * nitrogen)
    outdoor = _around("outdoor", (e.outdoor_c for e in estimates))
    celsius = _temperatures(estimates, volume, outdoor)
    wet = wetness(water, dry)
    values = {
        "volume_m3": volume,
        "dry_kg": dry,
        "inert_kg": inert,
        "degradable_kg": degradable,
        "rate": rate,
        "nitrogen": nitrogen,
        "hottest_c": _around("hottest", (e.hottest_c for e in estimates)),
        **_same_for_all(),
        **_covers(estimates),
        **_air(estimates, volume, celsius, wet),
        **_water(estimates, celsius),
    }
    shape = (len(estimates), MEMBERS)
    piles = Piles(**{name: np.broadcast_to(value, shape).reshape(-1) for name, value in values.items()})
    wind = np.maximum(_around("wind", (e.wind_m_s for e in estimates)), 0.0)
    weather = DailyWeather.of(outdoor.reshape(1, -1), wind.reshape(1, -1))
    nodes = celsius.reshape(len(celsius), -1)
    return piles, PileState.of(piles, nodes, fast.reshape(-1), slow.reshape(-1), water.reshape(-1)), weather


def _same_for_all() -> dict[str, Any]:
    """What no estimate changes."""
    return {
        "loss": _points("loss").factor(LOSS_SPREAD),
        "conductivity_w_mk": CONDUCTIVITY_W_MK * _points("conductivity").factor(CONDUCTIVITY_SPREAD),
        "permeability_m2": PERMEABILITY_M2 * _points("permeability").factor(PERMEABILITY_SPREAD),
        "fixed_draw_w": 0.0,
        "draw_from_day": 0.0,
    }


def _points(name: str) -> Points:
    return points(name, MEMBERS)


def _around(name: str, estimates: Iterable[Estimate]) -> Array:
    """As `Points.around`, for many estimates."""
    column, spread = NumberColumn.of(estimates), _points(name)
    upwards, downwards = column.high - column.value, column.value - column.low
    result: Array = column.value + upwards * spread.above + downwards * spread.below
    return result


def _around_log(name: str, column: NumberColumn) -> Array:
    """As `Points.around_log`, for many estimates."""
    if not ((column.low > 0.0) & (column.low <= column.value) & (column.value <= column.high)).all():
        raise ValueError(f"estimates on a logarithmic scale must be above 0 and in order: {name}")
    spread = _points(name)
    upwards, downwards = np.log(column.high / column.value), np.log(column.value / column.low)
    result: Array = column.value * np.exp(upwards * spread.above + downwards * spread.below)
    return result


def _numbers(values: Iterable[float]) -> Array:
    return np.array(list(values), dtype=np.float64)[:, None]


def _flags(values: Iterable[bool]) -> Mask:
    return np.array(list(values), dtype=np.bool_)[:, None]


def _volumes(estimates: Sequence[PileEstimate], mass: Array, dry: Array, water: Array) -> Array:
    both = _flags(e.mass_kg.basis == "measured" and e.volume_m3.basis == "measured" for e in estimates)
    column = NumberColumn.of(e.volume_m3 for e in estimates)
    volume = np.where(both, _around_log("volume", column), _around_log("mass", column))
    lightest, heaviest = BULK_DENSITY_LIMITS
    filled = (dry / SOLID_DENSITY + water / WATER_DENSITY) / (1.0 - LOWEST_AIR_SPACE)
    result: Array = np.minimum(np.maximum(np.maximum(volume, mass / heaviest), filled), mass / lightest)
    return result


def _pools(estimates: Sequence[PileEstimate], dry: Array, speed: Array) -> tuple[Array, Array, Array, Array]:
    """As `members.aged_pools`."""
    fast = _around_log("fast", NumberColumn.of(e.fast_share for e in estimates).floored(_LEAST_SHARE))
    slow = _around_log("slow", NumberColumn.of(e.slow_share for e in estimates).floored(_LEAST_SHARE))
    bound = np.minimum(1.0, MOST_DEGRADABLE / (fast + slow))
    fast, slow = fast * bound, slow * bound
    age = _numbers(e.age_days for e in estimates)
    aged = speed * _points("environment").between(*LIFETIME_ENVIRONMENT) * age
    fast_left, slow_left = fast * np.exp(-decay.FAST_PER_DAY * aged), slow * np.exp(-decay.SLOW_PER_DAY * aged)
    inert = 1.0 - fast - slow
    built = dry / (inert + fast_left + slow_left)
    return inert * built, fast_left * built, slow_left * built, (fast + slow) * built


def _temperatures(estimates: Sequence[PileEstimate], volume: Array, air: Array) -> Array:
    """Node temperatures, (4, heaps, members), from the outer reading where there is one. [degC]"""
    core = _around("core", (e.core_c for e in estimates))
    read = _flags(e.outer_c is not None for e in estimates)
    mean, deviation = SHELL_WARMTH
    warmth = np.minimum(np.maximum(mean + deviation * _points("shell").normals, 0.1), 0.9)
    outer = np.where(read, _numbers(e.outer_c or 0.0 for e in estimates), air + warmth * (core - air))
    place = np.maximum(1.0 - OUTER_PROBE_DEPTH_M / sphere_radius(volume), MEDIAN_RADII[1])
    square = np.where(read, np.minimum(place, 0.95) ** 2, _SQUARES[-1])
    drop = (core - outer) / (square - _SQUARES[0])
    celsius = core - drop * (_SQUARES[:, None, None] - _SQUARES[0])
    coldest, warmest = np.minimum(np.minimum(core, outer), air), np.maximum(np.maximum(core, outer), air)
    result: Array = np.minimum(np.maximum(celsius, coldest), warmest)
    return result


def _covers(estimates: Sequence[PileEstimate]) -> dict[str, Array]:
    covers = [cover_of(e.cover, wrap=e.wrapped) for e in estimates]
    values = {name: _numbers(getattr(cover, name) for cover in covers) for name in _COVER_FIELDS}
    return {"cover_resistance": _numbers(cover.resistance for cover in covers), **values}


def _air(estimates: Sequence[PileEstimate], volume: Array, celsius: Array, wet: Array) -> dict[str, Any]:
    """Air draw; all nothing where neither draw nor duct is there."""
    draws = [e.air for e in estimates]
    fitted = _flags(e.air is not None or bool(e.has_air_duct) for e in estimates)
    through = _flags(draw is not None and draw.path == "through_heap" for draw in draws)
    inlet = _numbers(DEFAULT_INLET_C if draw is None or draw.inlet_c is None else draw.inlet_c for draw in draws)
    asked, hours, days = _running(draws, [0.0 if draw is None else draw.flow_m3_s for draw in draws])
    flow, _ = air_duct.capacity_flow(asked, inlet)
    usual = np.where(
        through, air_duct.default_conductance(volume, True), air_duct.default_conductance(volume, False)
    ) * _points("duct").factor(DUCT_SPREAD)
    read = _flags(draw is not None and draw.flow_m3_s > 0.0 and draw.outlet_c is not None for draw in draws)
    outlet = _numbers(0.0 if draw is None else draw.outlet_c or 0.0 for draw in draws)
    touched = through.astype(np.float64)
    found = outlets.duct_read(flow, inlet, outlet, celsius=celsius, through=touched, wetness=wet)
    told = _flags(draw is not None and draw.untold.flow is None for draw in draws)
    scale = np.where(read & told, found.scale, 1.0)
    return {
        "air_flow_kg_s": scale * flow,
        "air_share": hours * days,
        "air_inlet_c": inlet,
        "air_conductance_w_k": np.where(fitted, np.where(read, scale * found.conductance_w_k, usual), 0.0),
        "air_through_heap": touched,
    }


def _water(estimates: Sequence[PileEstimate], celsius: Array) -> dict[str, Any]:
    """Water draw; all nothing where neither draw nor loop is there."""
    draws = [e.water for e in estimates]
    fitted = _flags(e.water is not None or bool(e.has_water_loop) for e in estimates)
    tubes: list[water_loop.Tube] = [(draw.tube if draw else None) or "plastic" for draw in draws]
    length = _numbers((draw.tube_length_m if draw else None) or water_loop.DEFAULT_LENGTH_M for draw in draws)
    inner = _numbers(water_loop.INNER_W_M_K[tube] for tube in tubes) * length
    inner = inner * _points("loop_inner").factor(LOOP_INNER_SPREAD)
    outer = water_loop.OUTER_W_M_K * length * _points("loop_outer").factor(LOOP_OUTER_SPREAD)
    inlet = _numbers(DEFAULT_INLET_C if draw is None or draw.inlet_c is None else draw.inlet_c for draw in draws)
    flow, hours, days = _running(draws, [0.0 if draw is None else draw.flow_kg_s for draw in draws])
    read = _flags(
        draw is not None and draw.outlet_c is not None and draw.flow_kg_s * draw.hour_share > 0 for draw in draws
    )
    outlet = _numbers(0.0 if draw is None else draw.outlet_c or 0.0 for draw in draws)
    found = outlets.loop_read(flow, hours, inlet_c=inlet, outlet_c=outlet, celsius=celsius, outer_w_k=outer)
    told = _flags(draw is not None and draw.untold.flow is None for draw in draws)
    scale = np.where(read & told, found.scale, 1.0)
    return {
        "water_flow_kg_s": scale * flow,
        "water_hour_share": hours,
        "water_day_share": days,
        "water_inlet_c": inlet,
        "loop_inner_w_k": np.where(fitted, np.where(read, scale * found.inner_w_k, inner), 0.0),
        "loop_outer_w_k": np.where(fitted, np.where(read, scale * found.outer_w_k, outer), 0.0),
    }


def _running(draws: Sequence[AirDraw | WaterDraw | None], flows: Sequence[float]) -> tuple[Array, Array, Array]:
    """As `members.running`, and nothing where no flow is."""
    on = [draw is not None and flow > 0.0 for draw, flow in zip(draws, flows, strict=True)]
    hours = [draw.hour_share if draw is not None and runs else 0.0 for draw, runs in zip(draws, on, strict=True)]
    days = [draw.day_share if draw is not None and runs else 0.0 for draw, runs in zip(draws, on, strict=True)]
    untold = [ALL_TOLD if draw is None else draw.untold for draw in draws]
    return (
        _spread([max(flow, 0.0) for flow in flows], [each.flow for each in untold], np.inf),
        _spread(hours, [each.hour_share for each in untold], 1.0),
        _spread(days, [each.day_share for each in untold], 1.0),
    )


def _spread(values: Sequence[float], ends: Sequence[tuple[float, float] | None], most: float) -> Array:
    """As in `members`: the value for all members, or values with this 80 % range."""
    pairs = zip(values, ends, strict=True)
    about = _around("untold", (Estimate(value, *(end or (value, value)), "assumed") for value, end in pairs))
    least = _numbers(0.0 if end is None else LEAST_OF_LOW * end[0] for end in ends)
    told = _flags(end is None for end in ends)
    result: Array = np.where(told, _numbers(values), np.minimum(np.maximum(about, least), most))
    return result
