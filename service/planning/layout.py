"""Where things lie in a planned heap: its own measures, the loop's tube, the duct."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, pi
from typing import Final

import numpy as np

from rules.heap_building import DUCT_W_M_K, RING_FROM_CENTRE, RING_HEIGHT, TUBE_FROM_FACE, TUBE_SPACING_M
from service.estimate import Estimate
from service.physics.geometry import BURIED_WITHIN, HEIGHT_OVER_RADIUS, exposed_area, radius
from service.physics.members import LOOP_INNER_SPREAD
from service.physics.moist_air import DRY_AIR_HEAT
from service.physics.spread import EIGHTY_PERCENT
from service.physics.water_loop import WATER_HEAT, Tube, default_conductances, running_conductance
from service.planning.ranges import three

RUNNING_SHARE: Final = 0.5
"""Share of the time fan or pump is planned to run: half leaves room for cold nights (our own)."""
DEFAULT_INLET_C: Final = 20.0
WATER_RISE_K: Final = 8.0
"""Rise of the water in the loop that the flow is chosen for (our own)."""
AIR_INLET_C: Final = 6.0
AIR_EFFECTIVENESS: Final = 0.7
"""Share of the way to the heap's warmth that the duct is to bring its air (our own)."""
AIR_DENSITY: Final = 1.25
LEAST_ABOVE_GROUND_M: Final = 0.3
LONGEST_TUBE_M: Final = 2000.0
_HALVINGS: Final = 60


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
class LoopLayout:
    """Tube of a loop: length, distance between turns, where its rings lie, and the flow it is meant for.

    `crowded` tells that the tube needed would lie closer than its turns can draw; the length is then what has room.
    """

    length_m: Estimate
    spacing_m: float
    layers: int
    from_centre_m: tuple[float, float]
    from_face_m: float
    above_ground_m: float
    flow_kg_s: float
    running_w: float
    crowded: bool


@dataclass(frozen=True, slots=True)
class DuctLayout:
    """A closed duct laid in rings: length, rings, where they lie, and the flow it is meant for."""

    length_m: Estimate
    rings: int
    from_centre_m: float
    from_face_m: float
    above_ground_m: float
    flow_m3_s: float
    running_w: float


def volume_within(diameter_m: float | None, height_m: float) -> float:
    """Largest as-laid volume of a rounded heap within a width and a height. [m3]"""
    most = height_m / HEIGHT_OVER_RADIUS
    if diameter_m is not None:
        most = min(most, diameter_m / 2.0)
    return float(most**3 / radius(1.0) ** 3)


def loop_layout(shape: HeapShape, draw_w: float, limit_c: float, tube: Tube, inlet_c: float) -> LoopLayout:
    """The tube that takes the draw in half the time from a heap that has cooled to its limit."""
    running = draw_w / RUNNING_SHARE
    warmth = max(limit_c - inlet_c, 5.0)
    flow = running / (WATER_HEAT * min(WATER_RISE_K, 0.5 * warmth))
    needed = running / warmth

    def length_for(factor: float) -> float:
        def falls_short(length: float) -> bool:
            inner, outer = default_conductances(tube, length)
            return float(running_conductance(flow, inner * factor, outer, RUNNING_SHARE)) < needed

        return _least(falls_short, LONGEST_TUBE_M)

    worse = np.exp(LOOP_INNER_SPREAD * EIGHTY_PERCENT)
    length = three([length_for(1.0), length_for(float(worse)), length_for(float(1.0 / worse))])
    _, tight, wide = TUBE_SPACING_M.value
    room = shape.buried_m3 / tight**2
    crowded = length.value > room
    if crowded:
        length = three([room, room, room])
    spacing = min(max((shape.buried_m3 / max(length.value, 1e-9)) ** 0.5, tight), wide)
    inner_radius = BURIED_WITHIN * shape.radius_m
    layers = max(1, ceil((BURIED_WITHIN * shape.height_m - LEAST_ABOVE_GROUND_M) / spacing))
    return LoopLayout(
        length_m=length,
        spacing_m=spacing,
        layers=layers,
        from_centre_m=(min(spacing, 0.5 * inner_radius), inner_radius),
        from_face_m=TUBE_FROM_FACE.value[0] * shape.radius_m,
        above_ground_m=min(LEAST_ABOVE_GROUND_M, 0.3 * shape.height_m),
        flow_kg_s=flow,
        running_w=running,
        crowded=crowded,
    )


def duct_layout(shape: HeapShape, draw_w: float, limit_c: float) -> DuctLayout:
    """The closed duct that takes the draw in half the time, its air warmed seven tenths of the way.

    UA = -mc ln(1 - effectiveness), over the conductance of a metre.
    """
    running = draw_w / RUNNING_SHARE
    capacity = running / (AIR_EFFECTIVENESS * (limit_c - AIR_INLET_C))
    conductance = -capacity * float(np.log(1.0 - AIR_EFFECTIVENESS))
    length = three([conductance / per_metre for per_metre in DUCT_W_M_K.value])
    ring = RING_FROM_CENTRE.value[0] * shape.radius_m
    return DuctLayout(
        length_m=length,
        rings=max(1, ceil(length.value / (2 * pi * ring))),
        from_centre_m=ring,
        from_face_m=shape.radius_m - ring,
        above_ground_m=RING_HEIGHT.value[0] * shape.height_m,
        flow_m3_s=capacity / DRY_AIR_HEAT / AIR_DENSITY,
        running_w=running,
    )


def _least(falls_short: Callable[[float], bool], most: float) -> float:
    """Least length that no longer falls short, by bisection; `most` where all do."""
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if middle > 0.0 and falls_short(middle):
            low = middle
        else:
            high = middle
    return high
