"""Tube and duct laid out: flat spirals, one a layer, in the inner part of a half-ellipsoid; lengths are those laid.

A spiral of pitch p is r = a φ with a = p / 2π; its length from φ1 to φ2 is a/2 [φ √(1 + φ²) + asinh φ] between them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asinh, hypot, pi, sqrt
from typing import Final

from service.heat.physics.geometry import BURIED_WITHIN
from service.units.figures import figure

_HALVINGS: Final = figure(60, "halvings", "No number holds more digits of a radius", "derived")


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


def spirals_length(layers: Sequence[Turns]) -> float:
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

    if spirals_length(layers) <= length_m:
        return tuple(layers)
    return shortened(least(lambda share: spirals_length(shortened(share)) < length_m, 1.0))


@dataclass(frozen=True, slots=True)
class Wound:
    """How a layer is wound so that it joins its neighbours: outwards or inwards, and the angle of its outer end.

    The first layer comes in from outside on the right (angle 0, against the clock) and winds inwards; the next winds
    outwards over it, going on round the same way; and so on.
    """

    turns: Turns
    inwards: bool
    outer_angle: float

    @property
    def hand(self) -> int:
        """1 where the angle grows outwards, else -1."""
        return 1 if self.inwards else -1

    def angle(self, radius_m: float) -> float:
        """Angle at which the coil is so far from the centre. [rad]"""
        return self.outer_angle + self.hand * 2.0 * pi * (radius_m - self.turns.outer_m) / self.turns.pitch_m

    def crossings(self, angle: float) -> list[float]:
        """Distances from the centre at which the coil crosses a ray from it, from the outermost inwards. [m]"""
        offset = self.hand * (self.outer_angle - angle) / (2.0 * pi) % 1.0
        radius = self.turns.outer_m - offset * self.turns.pitch_m
        found = []
        while radius >= self.turns.inner_m - 1e-9:
            found.append(radius)
            radius -= self.turns.pitch_m
        return found


def wound(layers: Sequence[Turns]) -> tuple[Wound, ...]:
    """The layers from the lowest up, wound as one length."""
    found: list[Wound] = []
    outer_angle = 0.0
    for number, turns in enumerate(layers):
        if number % 2:
            below = found[-1]
            inner = below.angle(below.turns.inner_m)
            outer_angle = inner + 2.0 * pi * (turns.inner_m - turns.outer_m) / turns.pitch_m
        found.append(Wound(turns, number % 2 == 0, outer_angle))
    return tuple(found)


def joints_length(layers: Sequence[Turns], foot_radius_m: float) -> float:
    """Length of what joins the layers and leads from the lowest and the highest straight out to the foot's edge. [m]"""
    total = hypot(foot_radius_m - layers[0].outer_m, layers[0].height_m)
    for number, (low, high) in enumerate(pairwise(layers)):
        across = high.outer_m - low.outer_m if number % 2 else high.inner_m - low.inner_m
        total += hypot(high.height_m - low.height_m, across)
    last = layers[-1]
    end = last.inner_m if len(layers) % 2 else last.outer_m
    return total + hypot(foot_radius_m - end, last.height_m)


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
