"""A question about a heap to be built, worked out: draw, limit, bounds, days and air, mix."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from rules.catalogue import said
from rules.language.status_words import Cover
from rules.tables.heap_building import HIGHEST_HEAP_M, LEAD_DAYS
from service.actions.dosing.build import LEAST_HEAP_M3
from service.facts.record import Derived
from service.facts.weather import WIND_SPEEDS
from service.heat.physics.piles import Piles, PileState
from service.planning.climate import climate_of
from service.planning.demand import demand_of
from service.planning.heap import DEFAULT_MANURE, PlannedMix, heaps, planned_estimate, planned_mix
from service.planning.house import house_loss, targets_of
from service.planning.layout import PLANNED_INLET_C, volume_within
from service.planning.season_trial import MEMBERS, DrawSeason
from service.planning.shapes.sizing import DEFAULT_LIMIT_C, LargestHeap, SizingRequest
from service.planning.stretch import Stretch, stretch_of
from service.problems.problem import Problem
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure
from service.units.quantities import Dimension

DEFAULT_CHANCE: Final = figure(
    0.5, "1", "Chance at which a heap is sized, where none is asked for: as likely too small as too large", "no source"
)
UntoldPart = tuple[str, object, float, Dimension, str]
"""A field: its pointer, what was given, the value that stands in for it, its dimension, and the id of why."""
DEFAULT_MIX: Final = "chips-and-manure"
SMALLEST_SPAN: Final = figure(
    1.25, "1", "Where the largest heap is small, sizes are sought down to this factor below it", "no source"
)
COOLER_INLET_K: Final = figure(
    10.0, "K", "Water that goes into a planned loop is at least so much cooler than the core's limit", "no source"
)
LEAST_DRAW_W: Final = figure(5.0, "W", "A draw of less than this is called nothing", "no source")


@dataclass(frozen=True, slots=True)
class HeapOrder:
    """The question worked out: draw [W], limit [degC], chance (0 to 1), bounds [m3 as laid], days, air, mix, cover."""

    asked_w: float
    limit_c: float
    chance: float
    bounds_m3: tuple[float, float]
    stretch: Stretch
    season: DrawSeason
    mix: PlannedMix
    cover: Cover

    def estimate(self, mix: PlannedMix) -> PileEstimate:
        """What is believed of a heap of this mix at the upper bound."""
        return planned_estimate(mix, self.bounds_m3[1], self.stretch.material_c, self.cover)

    def heaps(self, mix: PlannedMix, laid_m3: float) -> tuple[Piles, PileState]:
        """The members of such a heap of another size."""
        return heaps(self.estimate(mix), np.full(MEMBERS, laid_m3 / self.bounds_m3[1]), MEMBERS)


def order_of(request: SizingRequest, derived: Derived) -> HeapOrder:
    """Work out what is asked."""
    lead = round(LEAD_DAYS.value[0]) if request.lead is None else round(request.lead)
    stretch = stretch_of(request.outdoor, request.period, request.days, lead, derived)
    limit = DEFAULT_LIMIT_C if request.keep_core_above is None else request.keep_core_above
    _assume_defaults(request, derived)
    return HeapOrder(
        asked_w=_asked_w(request, derived),
        limit_c=limit,
        chance=DEFAULT_CHANCE if request.chance is None else request.chance / 100,
        bounds_m3=_bounds(request.largest),
        stretch=stretch,
        season=DrawSeason(lead, stretch.days, stretch.weather(request.wind), limit),
        mix=planned_mix(request.mix, feed=request.feed is not False),
        cover=request.cover or "none",
    )


def _asked_w(request: SizingRequest, derived: Derived) -> float:
    """The draw asked for, or the share of the house's mean need over those days. [W]"""
    if request.heat.power is not None:
        return request.heat.power
    assert request.house is not None and request.outdoor is not None and request.heat.share is not None
    climate = climate_of(request.outdoor, request.period)
    if climate is None:
        detail = "the table of temperatures has no day of the period"
        raise Problem("invalid-request", f"/period: {detail}.", [{"pointer": "/period", "detail": f"{detail}."}])
    demand = demand_of(house_loss(request.house, derived), targets_of(request.house, derived), climate)
    mean = float(demand.need_w[0].mean())
    return max(mean * request.heat.share / 100, LEAST_DRAW_W)


def assume_untold(told: Iterable[UntoldPart], derived: Derived) -> None:
    """List what stands in for each field that was not given."""
    mix = said(f"heap-plan.mix.{DEFAULT_MIX}")
    for pointer, given, value, dimension, because in told:
        if given is None:
            derived.assume(pointer, Estimate(value, value, value, "assumed"), dimension, because, mix=mix)


def _assume_defaults(request: SizingRequest, derived: Derived) -> None:
    """List what stands in for what was not asked."""
    told: list[UntoldPart] = [
        ("/keep_core_above", request.keep_core_above, DEFAULT_LIMIT_C, "temperature", "heap-plan.why.limit"),
        ("/lead", request.lead, LEAD_DAYS.value[0], "duration", "heap-plan.why.lead"),
        ("/mix", request.mix, DEFAULT_MANURE, "percent", "heap-plan.why.mix"),
        ("/wind", request.wind, WIND_SPEEDS["normal"].value, "speed", "heap-plan.why.wind"),
    ]
    assume_untold(told, derived)
    if wants_loop(request.equipment) and (request.loop is None or request.loop.inlet is None):
        inlet = loop_inlet_c(request)
        why = "heap-plan.why.loop-inlet"
        derived.assume("/loop/inlet", Estimate(inlet, inlet, inlet, "assumed"), "temperature", why)


def _bounds(largest: LargestHeap | None) -> tuple[float, float]:
    """Smallest heap worth building and largest there may be, as laid. [m3]"""
    height = HIGHEST_HEAP_M.value[0]
    if largest is None:
        return LEAST_HEAP_M3, volume_within(None, height)
    most = volume_within(largest.diameter, largest.height or height)
    if largest.volume is not None:
        most = min(most, largest.volume)
    return min(LEAST_HEAP_M3, most / SMALLEST_SPAN), most


def wants_loop(equipment: Sequence[str] | None) -> bool:
    """Whether a loop is to be laid: unless only a duct is asked for."""
    return not equipment or "water_loop" in equipment


def loop_inlet_c(request: SizingRequest) -> float:
    """Water going into the heap: as told, or 20 degC, or 10 K below a cooler limit. [degC]"""
    if request.loop is not None and request.loop.inlet is not None:
        return request.loop.inlet
    limit = DEFAULT_LIMIT_C if request.keep_core_above is None else request.keep_core_above
    return min(PLANNED_INLET_C, limit - COOLER_INLET_K)
