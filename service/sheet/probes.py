"""Where to read the heap's warmth."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

from rules.catalogue import said
from service.planning.layout import HeapShape

CORE_HEIGHT: Final = 0.5
MIDWAY: Final = 0.5
"""Heights and distances over the heap's own (common practice)."""
OUTER_DEPTH_M: Final = 0.25
"""An outer reading is one taken 15 to 30 cm deep."""


@dataclass(frozen=True, slots=True)
class ProbeSpot:
    """A place to read: where its tip lies, where it enters the skin, how deep that is, and what it tells. [m]"""

    letter: str
    from_centre_m: float
    above_ground_m: float
    enters_m: float
    enters_at_m: float

    @property
    def what(self) -> str:
        """What it tells, in words."""
        return said(f"sheet.probe.{self.letter}")

    @property
    def depth_m(self) -> float:
        """Length of probe inside the heap."""
        across, down = self.enters_m - self.from_centre_m, self.enters_at_m - self.above_ground_m
        return sqrt(across * across + down * down)


def face_at(shape: HeapShape, height_m: float) -> float:
    """Distance of the outer face from the middle, at a height. [m]"""
    return shape.radius_m * sqrt(max(1.0 - (height_m / shape.height_m) ** 2, 0.0))


def probes_of(shape: HeapShape) -> tuple[ProbeSpot, ...]:
    """Core, midway and outer; all may be read with one long probe thermometer."""
    radius, height = shape.radius_m, shape.height_m

    over = 0.8 * height
    midway, low = 0.6 * height, 0.35 * height
    outer = max(face_at(shape, low) - OUTER_DEPTH_M, 0.0)
    return (
        ProbeSpot("A", 0.0, CORE_HEIGHT * height, face_at(shape, over), over),
        ProbeSpot("B", MIDWAY * radius, 0.4 * height, face_at(shape, midway), midway),
        ProbeSpot("C", outer, low, face_at(shape, low), low),
    )
