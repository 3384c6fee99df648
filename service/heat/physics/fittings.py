"""Loop and duct of every member: how they run, and what a read outlet says of them.

Arrays are (heaps, members), node arrays (4, heaps, members); what was told of a heap is one number for all its members.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from service.heat.physics import air_duct, outlets, water_loop
from service.heat.physics.arrays import Array
from service.heat.physics.piles import DEFAULT_INLET_C, Piles
from service.heat.physics.spread import Estimates, flags, numbers, points
from service.units.estimate import ALL_TOLD, AirDraw, Estimate, PileEstimate, WaterDraw
from service.units.figures import figure

# No source, chosen so that starts and durations of heaps come out as reported.
LOOP_INNER_SPREAD: Final = figure(
    0.4,
    "1",
    "Standard deviation of the logarithm of a loop's inner conductance: chosen so that starts and "
    "durations of heaps come out as reported",
    "derived",
)
LOOP_OUTER_SPREAD: Final = figure(
    0.4, "1", "The same of its outer one: chosen so that starts and durations of heaps come out as reported", "derived"
)
DUCT_SPREAD: Final = figure(
    0.6,
    "1",
    "The same of a duct's conductance: chosen so that starts and durations of heaps come out as reported",
    "derived",
)
LEAST_OF_LOW: Final = figure(
    0.5, "1", "Nothing untold of a draw is taken as less than this part of its range's low end", "no source"
)

AIR: Final = ("air_flow_kg_s", "air_share", "air_conductance_w_k", "air_through_heap")
WATER: Final = ("water_flow_kg_s", "water_hour_share", "water_day_share", "loop_inner_w_k", "loop_outer_w_k")
"""What is nothing where neither duct nor loop is fitted."""

FittedDraw = AirDraw | WaterDraw


def duct_of(estimates: Sequence[PileEstimate], volume: Array, celsius: Array, wet: Array) -> dict[str, Array | float]:
    """Air draw of each member: flow, share of the time, and a conductance that gives the outlet where it was read."""
    draws = [e.air for e in estimates]
    there = [e.air is not None or bool(e.has_air_duct) for e in estimates]
    inlet = _inlets(draws)
    if not any(there):
        return {**dict.fromkeys(AIR, 0.0), "air_inlet_c": inlet}
    n = volume.shape[-1]
    through = flags(draw is not None and draw.path == "through_heap" for draw in draws)
    asked, hours, days = _running(draws, [0.0 if draw is None else draw.flow_m3_s for draw in draws], n)
    flow, _ = air_duct.capacity_flow(asked, inlet)
    usual = np.where(
        through, air_duct.default_conductance(volume, True), air_duct.default_conductance(volume, False)
    ) * points("duct", n).factor(DUCT_SPREAD)
    touched = through.astype(np.float64)
    flow, conductance = _duct_read(draws, flow, usual, inlet_c=inlet, celsius=celsius, through=touched, wet=wet)
    return {
        "air_flow_kg_s": flow,
        "air_share": hours * days,
        "air_inlet_c": inlet,
        "air_conductance_w_k": np.where(flags(there), conductance, 0.0),
        "air_through_heap": touched,
    }


def loop_of(estimates: Sequence[PileEstimate], celsius: Array) -> dict[str, Array | float]:
    """Water draw of each member: flow, shares, and conductances that give the outlet where it was read."""
    draws = [e.water for e in estimates]
    there = [e.water is not None or bool(e.has_water_loop) for e in estimates]
    inlet = _inlets(draws)
    if not any(there):
        return {**dict.fromkeys(WATER, 0.0), "water_inlet_c": inlet}
    n, fitted = celsius.shape[-1], flags(there)
    tubes: list[water_loop.TubeMaterial] = [(draw.tube if draw else None) or "plastic" for draw in draws]
    length = numbers((draw.tube_length_m if draw else None) or water_loop.DEFAULT_LENGTH_M for draw in draws)
    usual_inner = numbers(water_loop.INNER_W_M_K[tube] for tube in tubes) * length
    inner = usual_inner * points("loop_inner", n).factor(LOOP_INNER_SPREAD)
    outer = water_loop.OUTER_W_M_K * length * points("loop_outer", n).factor(LOOP_OUTER_SPREAD)
    flow, hours, days = _running(draws, [0.0 if draw is None else draw.flow_kg_s for draw in draws], n)
    flow, inner, outer = _loop_read(draws, flow, inner, outer, hours=hours, inlet_c=inlet, celsius=celsius)
    return {
        "water_flow_kg_s": flow,
        "water_hour_share": hours,
        "water_day_share": days,
        "water_inlet_c": inlet,
        "loop_inner_w_k": np.where(fitted, inner, 0.0),
        "loop_outer_w_k": np.where(fitted, outer, 0.0),
    }


def with_outlets_read(estimate: PileEstimate, piles: Piles, celsius: Array, wet: Array) -> Piles:
    """The same members of one heap with loop and duct that give the outlets that were read, at these temperatures.

    `celsius` are the nodes', (4, n), and `wet` is the wetness of each, (n,), see `losses.wetness`.
    """
    air, water, nodes = estimate.air, estimate.water, celsius[:, None]
    # A flow that was told is scaled from what was told; the members may carry one scaled before.
    parts: dict[str, Array] = {}
    if air is not None and _is_read(air):
        told = air_duct.capacity_flow(air.flow_m3_s, piles.air_inlet_c)[0]
        flow, inlet = told if air.untold.flow is None else piles.air_flow_kg_s, piles.air_inlet_c[None]
        through = piles.air_through_heap[None]
        parts["air_flow_kg_s"], parts["air_conductance_w_k"] = _duct_read(
            [air], flow[None], piles.air_conductance_w_k[None], inlet_c=inlet, celsius=nodes, through=through, wet=wet
        )
    if water is not None and _is_read(water):
        pumped = np.full_like(piles.rate, water.flow_kg_s) if water.untold.flow is None else piles.water_flow_kg_s
        loop = pumped[None], piles.loop_inner_w_k[None], piles.loop_outer_w_k[None]
        hours, inlet = piles.water_hour_share[None], piles.water_inlet_c[None]
        found = _loop_read([water], *loop, hours=hours, inlet_c=inlet, celsius=nodes)
        parts |= zip(("water_flow_kg_s", "loop_inner_w_k", "loop_outer_w_k"), found, strict=True)
    return replace(piles, **{name: values[0] for name, values in parts.items()})


def _inlets(draws: Sequence[FittedDraw | None]) -> Array:
    return numbers(DEFAULT_INLET_C if draw is None or draw.inlet_c is None else draw.inlet_c for draw in draws)


def _is_read(draw: FittedDraw | None) -> bool:
    """Whether the outlet of something that runs was read."""
    if draw is None or draw.outlet_c is None:
        return False
    return draw.flow_m3_s > 0.0 if isinstance(draw, AirDraw) else draw.flow_kg_s * draw.hour_share > 0.0


def _outlets(draws: Sequence[FittedDraw | None]) -> Array:
    return numbers(0.0 if draw is None else draw.outlet_c or 0.0 for draw in draws)


def _scales(draws: Sequence[FittedDraw | None], scale: Array) -> Array:
    """How far a read outlet scales the flow: one that nobody told is left as it is."""
    told = flags(_is_read(draw) and draw is not None and draw.untold.flow is None for draw in draws)
    return np.where(told, scale, 1.0)


def _duct_read(
    draws: Sequence[AirDraw | None],
    flow: Array,
    usual: Array,
    *,
    inlet_c: Array,
    celsius: Array,
    through: Array,
    wet: Array,
) -> tuple[Array, Array]:
    """Flow and conductance of ducts: those that give the outlet where it was read, else as they are."""
    read = [_is_read(draw) for draw in draws]
    if not any(read):
        return flow, usual
    found = outlets.duct_read(flow, inlet_c, _outlets(draws), celsius=celsius, through=through, wetness=wet)
    scale = _scales(draws, found.scale)
    return scale * flow, np.where(flags(read), scale * found.conductance_w_k, usual)


def _loop_read(
    draws: Sequence[WaterDraw | None],
    flow: Array,
    inner: Array,
    outer: Array,
    *,
    hours: Array,
    inlet_c: Array,
    celsius: Array,
) -> tuple[Array, Array, Array]:
    """Flow and conductances of loops: those that give the outlet where it was read, else as they are."""
    read = [_is_read(draw) for draw in draws]
    if not any(read):
        return flow, inner, outer
    outlet = _outlets(draws)
    found = outlets.loop_read(flow, hours, inlet_c=inlet_c, outlet_c=outlet, celsius=celsius, outer_w_k=outer)
    scale, told = _scales(draws, found.scale), flags(read)
    return scale * flow, np.where(told, scale * found.inner_w_k, inner), np.where(told, scale * found.outer_w_k, outer)


def _running(draws: Sequence[FittedDraw | None], flows: Sequence[float], n: int) -> tuple[Array, Array, Array]:
    """Flow and shares of the hour and the day: as told, or spread over the range where not; nothing where no flow is.

    What was not told is high or low together, so that the median draw is that of the usual values, and its range wide.
    """
    on = [draw if draw is not None and flow > 0.0 else None for draw, flow in zip(draws, flows, strict=True)]
    untold = [ALL_TOLD if draw is None else draw.untold for draw in on]
    return (
        _spread([max(flow, 0.0) for flow in flows], [each.flow for each in untold], np.inf, n),
        _spread([d.hour_share if d else 0.0 for d in on], [each.hour_share for each in untold], 1.0, n),
        _spread([d.day_share if d else 0.0 for d in on], [each.day_share for each in untold], 1.0, n),
    )


def _spread(values: Sequence[float], ends: Sequence[tuple[float, float] | None], most: float, n: int) -> Array:
    """The value for all, or values with this 80 % range, never below half its low end."""
    told = numbers(values)
    if all(end is None for end in ends):
        return told
    pairs = zip(values, ends, strict=True)
    about = [Estimate(value, *(end or (value, value)), "assumed") for value, end in pairs]
    least = numbers(0.0 if end is None else LEAST_OF_LOW * end[0] for end in ends)
    around = points("untold", n).around(Estimates.of(about))
    return np.where(flags(end is None for end in ends), told, np.minimum(np.maximum(around, least), most))
