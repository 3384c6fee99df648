"""The heap in its layers from the ground up: a coarse bed, soft and coarse in turn, a coarse cap.

Layers are level slices of the half-ellipsoid inside the cap; the cap lies on it like a skin. Each thing's amounts in
the layers add up to what is to be brought.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, pi
from typing import Final, Literal

from service.mix.carrying import is_coarse
from service.mix.matter import MixPart
from service.planning.layout import HeapShape
from service.planning.spirals import least

BED_SHARE: Final = 0.2
"""Share of the coarse stuff that is laid first, as the order of laying says."""
CAP_M: Final = 0.1
THICKEST_SOFT_M: Final = 0.1
"""A hand's width (common practice)."""
THICKEST_LIFT_M: Final = 0.4
MOST_PAIRS: Final = 12
CAP_SHARE: Final = 0.2
"""No more of the coarse stuff than this is kept for the cap."""
LayerKind = Literal["bed", "soft", "coarse", "cap"]


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: its heights in the middle of the heap [m], what is in it [kg], and its share of the bulk to be wetted.

    The cap's heights are those over the middle.
    """

    kind: LayerKind
    from_m: float
    to_m: float
    parts: tuple[MixPart, ...]
    wet_share: float

    @property
    def thickness_m(self) -> float:
        """In the middle of the heap. [m]"""
        return self.to_m - self.from_m

    @property
    def volume_m3(self) -> float:
        """As laid. [m3]"""
        return _volume(self.parts)


@dataclass(frozen=True, slots=True)
class Inside:
    """The half-ellipsoid within the cap. [m]"""

    radius_m: float
    height_m: float

    def below(self, height_m: float) -> float:
        """Its volume below a height. [m3]"""
        share = min(height_m / self.height_m, 1.0)
        return pi * self.radius_m**2 * self.height_m * (share - share**3 / 3.0)

    def filled_to(self, volume_m3: float) -> float:
        """Height up to which a volume fills it. [m]"""
        return least(lambda height: self.below(height) < volume_m3, self.height_m)


def layers_of(shape: HeapShape, parts: Sequence[MixPart]) -> tuple[tuple[Layer, ...], Inside]:
    """The layers, from the ground up, and the heap within its cap. What is liquid or mineral is not counted."""
    bulk = [part for part in parts if not part[0].is_liquid and "mineral" not in part[0].material.traits]
    grown = shape.laid_m3 / max(_volume(bulk), 1e-9)
    coarse = [part for part in bulk if is_coarse(part[0])]
    soft = [part for part in bulk if not is_coarse(part[0])]
    kept = min(CAP_M * shape.skin_m2, CAP_SHARE * _volume(coarse) * grown)
    cap = _times(coarse, kept / grown / _volume(coarse)) if coarse else ()
    share = 1.0 - kept / shape.laid_m3
    inside = Inside(shape.radius_m * share ** (1 / 3), shape.height_m * share ** (1 / 3))
    bed = _times(coarse, BED_SHARE)
    rest = _times(coarse, 1.0 - BED_SHARE - (_volume(cap) / _volume(coarse) if coarse else 0.0))
    wetted = _volume(bulk)
    layers: list[Layer] = []
    height = inside.filled_to(_volume(bed) * grown)
    if coarse:
        layers.append(Layer("bed", 0.0, height, bed, _volume(bed) / wetted))
    layers += _body(inside, height, rest, soft, wetted)
    if coarse:
        layers.append(Layer("cap", inside.height_m, shape.height_m, cap, _volume(cap) / wetted))
    return tuple(layers), inside


def _body(
    inside: Inside, from_m: float, coarse: Sequence[MixPart], soft: Sequence[MixPart], wetted: float
) -> list[Layer]:
    """Soft and coarse in turn, thin enough; or lifts of the one there is."""
    if not soft or not coarse:
        kind: LayerKind = "coarse" if coarse else "soft"
        count = max(1, ceil((inside.height_m - from_m) / THICKEST_LIFT_M))
        return _pairs(inside, from_m, count, {kind: coarse or soft}, wetted)
    found: list[Layer] = []
    for count in range(1, MOST_PAIRS + 1):
        found = _pairs(inside, from_m, count, {"soft": soft, "coarse": coarse}, wetted)
        if max(layer.thickness_m for layer in found if layer.kind == "soft") <= THICKEST_SOFT_M:
            break
    return found


def _pairs(
    inside: Inside, from_m: float, count: int, courses: dict[LayerKind, Sequence[MixPart]], wetted: float
) -> list[Layer]:
    """So many pairs of the same height, each with its courses by volume."""
    start, whole = inside.below(from_m), inside.below(inside.height_m) - inside.below(from_m)
    edges = [from_m + (inside.height_m - from_m) * number / count for number in range(count + 1)]
    everything = sum(_volume(course) for course in courses.values())
    layers: list[Layer] = []
    at, filled = from_m, 0.0
    for number in range(count):
        part = (inside.below(edges[number + 1]) - inside.below(edges[number])) / whole
        for kind, course in courses.items():
            filled += part * _volume(course) / everything
            top = inside.filled_to(start + whole * min(filled, 1.0))
            laid = _times(course, part)
            layers.append(Layer(kind, at, top, laid, _volume(laid) / wetted))
            at = top
    return layers


def _volume(parts: Sequence[MixPart]) -> float:
    return sum(mass / stuff.figures["density"].value for stuff, mass in parts)


def _times(parts: Sequence[MixPart], factor: float) -> tuple[MixPart, ...]:
    return tuple((stuff, mass * factor) for stuff, mass in parts)
