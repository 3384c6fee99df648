"""Where things lie in a planned heap: its own measures, the loop's tube, the duct."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, pi
from typing import Final

import numpy as np

from rules.tables.heap_building import DUCT_W_M_K, RING_FROM_CENTRE, RING_HEIGHT, TUBE_SPACING_M
from service.heat.physics.air_duct import capacity_flow
from service.heat.physics.fittings import LOOP_INNER_SPREAD
from service.heat.physics.geometry import BURIED_WITHIN, HEIGHT_OVER_RADIUS, exposed_area, radius
from service.heat.physics.piles import WATER_HEAT
from service.heat.physics.spread import EIGHTY_PERCENT
from service.heat.physics.water_loop import TubeMaterial, default_conductances, running_conductance
from service.planning.ranges import three
from service.planning.shapes.sizing import LEAST_WARMTH_K
from service.planning.spirals import Turns, buried_radius, cut_to, joints_length, least, spirals_length
from service.units.estimate import Estimate
from service.units.figures import figure

LEAST_ABOVE_GROUND_SHARE: Final = figure(
    0.3, "1", "In a low heap its lowest turn lies no higher than this share of the height", "no source"
)
RUNNING_SHARE: Final = figure(
    0.5, "1", "Share of the time fan or pump is planned to run: half leaves room for cold nights", "no source"
)
PLANNED_INLET_C: Final = figure(
    20.0,
    "degC",
    "Water that comes back from a house that it heats; a loop that was told is taken to start cooler",
    "no source",
)
WATER_RISE_K: Final = figure(8.0, "K", "Rise of the water in the loop that the flow is chosen for", "no source")
AIR_INLET_C: Final = figure(6.0, "degC", "Air that goes into the duct of a planned heap", "no source")
AIR_EFFECTIVENESS: Final = figure(
    0.7, "1", "Share of the way to the heap's warmth that the duct is to bring its air", "no source"
)
LEAST_ABOVE_GROUND_M: Final = figure(0.3, "m", "No turn of tube lies lower", "no source")
LONGEST_TUBE_M: Final = figure(2000.0, "m", "No more tube is planned", "no source")
LEAST_TURNS: Final = figure(0.5, "turns", "A layer with less room than this has no tube", "no source")
MOST_LAYERS: Final = figure(24, "layers", "No more layers are planned", "no source")
DUCT_SPACING_M: Final = figure(0.3, "m", "Between turns of duct, and at least between its layers", "no source")
DUCT_ABOVE_GROUND_M: Final = figure(0.15, "m", "No duct lies lower", "no source")
DUCT_BESIDE_TUBE_M: Final = figure(0.1, "m", "So far is a duct kept from a tube", "no source")
DUCT_LEAST_BEND_M: Final = figure(0.3, "m", "A ribbed pipe of 10 cm bends no closer (common practice)", "no source")


@dataclass(frozen=True, slots=True)
class HeapShape:
    """A rounded heap: as-laid volume, foot diameter and height. [m3, m]"""

    laid_m3: float

    @property
    def radius_m(self) -> float:
        """Radius of the foot. [m]"""
        return float(radius(self.laid_m3))

    @property
    def height_m(self) -> float:
        """Height in the middle. [m]"""
        return HEIGHT_OVER_RADIUS * self.radius_m

    @property
    def foot_m2(self) -> float:
        """Ground it covers. [m2]"""
        return pi * self.radius_m**2

    @property
    def skin_m2(self) -> float:
        """Surface above ground. [m2]"""
        return float(exposed_area(np.array(self.radius_m)))

    @property
    def buried_m3(self) -> float:
        """Volume of the inner part that tube or duct may lie in. [m3]"""
        return self.laid_m3 * BURIED_WITHIN**3


@dataclass(frozen=True, slots=True)
class _Turned:
    """What is laid in turns: length, its layers from the lowest up, and whether the heap has too little room for it."""

    length_m: Estimate
    layers: tuple[Turns, ...]
    foot_radius_m: float
    running_w: float
    crowded: bool

    @property
    def above_ground_m(self) -> float:
        """Height of the lowest layer. [m]"""
        return self.layers[0].height_m

    @property
    def rises_m(self) -> float:
        """From layer to layer, and from the lowest and the highest out to the foot's edge. [m]"""
        return joints_length(self.layers, self.foot_radius_m)


@dataclass(frozen=True, slots=True)
class LoopLayout(_Turned):
    """Tube of a loop: length, distance between turns, its layers from the lowest up, and the flow it is meant for.

    `crowded` tells that the tube needed would lie closer than its turns can draw; the length is then what has room.
    """

    spacing_m: float
    flow_kg_s: float

    @property
    def from_centre_m(self) -> tuple[float, float]:
        """Innermost and outermost turn. [m]"""
        return min(each.inner_m for each in self.layers), max(each.outer_m for each in self.layers)

    @property
    def from_face_m(self) -> float:
        """From the outermost turn to the outer face at its foot. [m]"""
        return self.foot_radius_m - self.from_centre_m[1]


@dataclass(frozen=True, slots=True)
class DuctLayout(_Turned):
    """A closed duct laid in turns: length, its layers from the lowest up, and the flow it is meant for.

    `crowded` tells that the heap has no room for all of it; the length is then what has room.
    """

    flow_m3_s: float

    @property
    def rings(self) -> int:
        """Turns, an incomplete one counted as one."""
        return max(1, ceil(sum(each.turns for each in self.layers) - 1e-6))

    @property
    def from_centre_m(self) -> float:
        """Outermost turn. [m]"""
        return max(each.outer_m for each in self.layers)

    @property
    def from_face_m(self) -> float:
        """From the outermost turn to the outer face at its foot. [m]"""
        return self.foot_radius_m - self.from_centre_m


def volume_within(diameter_m: float | None, height_m: float) -> float:
    """Largest as-laid volume of a rounded heap within a width and a height. [m3]"""
    most = height_m / HEIGHT_OVER_RADIUS
    if diameter_m is not None:
        most = min(most, diameter_m / 2.0)
    return float(most**3 / radius(1.0) ** 3)


def loop_layout(shape: HeapShape, draw_w: float, limit_c: float, tube: TubeMaterial, inlet_c: float) -> LoopLayout:
    """The tube that takes the draw in half the time from a heap that has cooled to its limit."""
    running = draw_w / RUNNING_SHARE
    warmth = max(limit_c - inlet_c, LEAST_WARMTH_K)
    flow = running / (WATER_HEAT * min(WATER_RISE_K, 0.5 * warmth))
    needed = running / warmth

    def length_for(factor: float) -> float:
        def falls_short(length: float) -> bool:
            inner, outer = default_conductances(tube, length)
            return float(running_conductance(flow, inner * factor, outer, RUNNING_SHARE)) < needed

        return least(falls_short, LONGEST_TUBE_M)

    worse = np.exp(LOOP_INNER_SPREAD * EIGHTY_PERCENT)
    length = three([length_for(1.0), length_for(float(worse)), length_for(float(1.0 / worse))])
    _, tight, wide = TUBE_SPACING_M.value
    spacing = wide - least(lambda closer: _room(shape, wide - closer) < length.value, wide - tight)
    layers = _loop_layers(shape, spacing, length.value)
    room = spirals_length(layers)
    crowded = length.value > room
    return LoopLayout(
        length_m=three([room, room, room]) if crowded else length,
        spacing_m=spacing,
        layers=cut_to(layers, length.value, keep_outer=False),
        foot_radius_m=shape.radius_m,
        flow_kg_s=flow,
        running_w=running,
        crowded=crowded,
    )


def _room(shape: HeapShape, spacing_m: float) -> float:
    return spirals_length(_loop_layers(shape, spacing_m, LONGEST_TUBE_M))


def _loop_layers(shape: HeapShape, spacing_m: float, length_m: float) -> tuple[Turns, ...]:
    """Full layers, as few as have room for a length, about the height of the warmest part; all there are else."""
    lowest = min(LEAST_ABOVE_GROUND_M, LEAST_ABOVE_GROUND_SHARE * shape.height_m)
    middle = RING_HEIGHT.value[0] * shape.height_m
    inner = min(spacing_m, 0.5 * BURIED_WITHIN * shape.radius_m)
    best: tuple[Turns, ...] = ()
    for count in range(1, MOST_LAYERS + 1):
        start = max(lowest, middle - 0.5 * (count - 1) * spacing_m)
        heights = [start + number * spacing_m for number in range(count)]
        radii = [buried_radius(shape.radius_m, shape.height_m, height) for height in heights]
        layers = tuple(
            Turns(height, inner, outer, spacing_m)
            for height, outer in zip(heights, radii, strict=True)
            if outer >= inner + LEAST_TURNS * spacing_m
        )
        if spirals_length(layers) > spirals_length(best):
            best = layers
        if spirals_length(best) >= length_m or len(layers) < count:
            break
    return best or (_small_turn(shape, lowest, spacing_m),)


def _small_turn(shape: HeapShape, height_m: float, spacing_m: float) -> Turns:
    """What fits into a heap too small for a turn at full distance."""
    outer = buried_radius(shape.radius_m, shape.height_m, height_m)
    return Turns(height_m, 0.5 * outer, outer, min(spacing_m, 0.5 * outer))


def duct_layout(shape: HeapShape, draw_w: float, limit_c: float, loop: LoopLayout | None = None) -> DuctLayout:
    """The closed duct that takes the draw in half the time, its air warmed seven tenths of the way.

    UA = -mc ln(1 - effectiveness), over the conductance of a metre. Beside a loop it lies midway between the loop's
    layers.
    """
    running = draw_w / RUNNING_SHARE
    capacity = running / (AIR_EFFECTIVENESS * (limit_c - AIR_INLET_C))
    conductance = -capacity * float(np.log(1.0 - AIR_EFFECTIVENESS))
    length = three([conductance / per_metre for per_metre in DUCT_W_M_K.value])
    layers = _duct_layers(shape, length.value, loop)
    room = spirals_length(layers)
    crowded = length.value > room
    return DuctLayout(
        length_m=three([room, room, room]) if crowded else length,
        layers=cut_to(layers, length.value, keep_outer=True),
        foot_radius_m=shape.radius_m,
        flow_m3_s=capacity / float(capacity_flow(1.0, AIR_INLET_C)[1]),
        running_w=running,
        crowded=crowded,
    )


def _duct_layers(shape: HeapShape, length_m: float, loop: LoopLayout | None) -> tuple[Turns, ...]:
    """Full layers, as few as have room for a length: the first at the usual height, then one above, one below."""
    middle, step = RING_HEIGHT.value[0] * shape.height_m, DUCT_SPACING_M
    if loop is not None:
        step = ceil(DUCT_SPACING_M / loop.spacing_m - 1e-9) * loop.spacing_m
        middle = _between(shape, loop, middle)
    outer = RING_FROM_CENTRE.value[0] * shape.radius_m
    found: list[Turns] = []
    for number in range(MOST_LAYERS):
        height = middle + step * ((number + 1) // 2) * (1 if number % 2 else -1)
        reach = min(outer, buried_radius(shape.radius_m, shape.height_m, height))
        if found and (height < DUCT_ABOVE_GROUND_M or reach < outer):
            continue
        found.append(Turns(height, min(DUCT_LEAST_BEND_M, 0.5 * reach), reach, DUCT_SPACING_M))
        if spirals_length(found) >= length_m:
            break
    return tuple(sorted(found, key=lambda each: each.height_m))


def _between(shape: HeapShape, loop: LoopLayout, wanted_m: float) -> float:
    """Height midway between two layers of a loop, or beside the last, nearest to a height where a turn has room."""
    places = [loop.above_ground_m + (number + 0.5) * loop.spacing_m for number in range(-1, len(loop.layers))]
    roomy = [place for place in places if place >= DUCT_ABOVE_GROUND_M and _reach(shape, place) >= DUCT_LEAST_BEND_M]
    if roomy:
        return min(roomy, key=lambda place: abs(place - wanted_m))
    return loop.above_ground_m + DUCT_BESIDE_TUBE_M


def _reach(shape: HeapShape, height_m: float) -> float:
    return buried_radius(shape.radius_m, shape.height_m, height_m)
