"""Tube and duct laid out: flat spirals, one a layer, in the inner part of a half-ellipsoid; lengths are those laid.

A spiral of pitch p is r = a φ with a = p / 2π; its length from φ1 to φ2 is a/2 [φ √(1 + φ²) + asinh φ] between them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import asinh, pi, sqrt
from typing import Final

from service.physics.geometry import BURIED_WITHIN

_HALVINGS: Final = 60


@dataclass(frozen=True, slots=True)
class Turns:
    """One layer: height above ground, innermost and outermost distance from the centre, pitch between turns. [m]"""

    height_m: float
    inner_m: float
    outer_m: float
    pitch_m: float

    @property
    def length_m(self) -> float:
        """Length of the spiral. [m]"""
        return spiral_length(self.inner_m, self.outer_m, self.pitch_m)

    @property
    def turns(self) -> float:
        """How often it goes round."""
        return (self.outer_m - self.inner_m) / self.pitch_m


def spiral_length(inner_m: float, outer_m: float, pitch_m: float) -> float:
    """Length of a flat spiral between two distances from its centre. [m]"""
    scale = pitch_m / (2.0 * pi)

    def to(radius_m: float) -> float:
        angle = radius_m / scale
        return 0.5 * scale * (angle * sqrt(1.0 + angle * angle) + asinh(angle))

    return to(outer_m) - to(inner_m) if outer_m > inner_m else 0.0


def buried_radius(foot_radius_m: float, height_m: float, at_m: float) -> float:
    """Farthest from the centre that tube or duct may lie at a height; 0 above the inner part. [m]"""
    share = at_m / (BURIED_WITHIN * height_m)
    return BURIED_WITHIN * foot_radius_m * sqrt(max(1.0 - share * share, 0.0))


def length_of(layers: Sequence[Turns]) -> float:
    """Length of all layers. [m]"""
    return sum(layer.length_m for layer in layers)


def cut_to(layers: Sequence[Turns], length_m: float, *, keep_outer: bool) -> tuple[Turns, ...]:
    """The same layers with their spirals shortened alike until they have this length; all of them where it is too much.

    Parameters
    ----------
    keep_outer
        Whether the outermost turn stays where it is, or the innermost.
    """

    def shortened(share: float) -> tuple[Turns, ...]:
        return tuple(
            Turns(
                each.height_m,
                each.outer_m - share * (each.outer_m - each.inner_m) if keep_outer else each.inner_m,
                each.outer_m if keep_outer else each.inner_m + share * (each.outer_m - each.inner_m),
                each.pitch_m,
            )
            for each in layers
        )

    if length_of(layers) <= length_m:
        return tuple(layers)
    return shortened(least(lambda share: length_of(shortened(share)) < length_m, 1.0))


def least(falls_short: Callable[[float], bool], most: float) -> float:
    """Least value that no longer falls short, by bisection; `most` where all do."""
    low, high = 0.0, most
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if middle > 0.0 and falls_short(middle):
            low = middle
        else:
            high = middle
    return high
