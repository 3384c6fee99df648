"""Shape of the heap and its four radial nodes.

The heap is a half-ellipsoid, 0.9 radii high. Conduction is solved in the sphere of the same volume to surface
ratio, repeated so often that the volume agrees. Four nodes with faces at R (i/4)^0.6 came closest to a fine grid.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.arrays import Array
from service.units.figures import figure

NODES: Final = figure(4, "nodes", "Radial nodes a heap is counted in", "no source")
HEIGHT_OVER_RADIUS: Final = figure(
    0.9, "1", "Shape of a heap laid by hand: a little flatter than a half-sphere", "no source"
)
VOLUME_COEFFICIENT = 2.0 / 3.0 * np.pi * HEIGHT_OVER_RADIUS  # V = c r^3
EXPOSED_COEFFICIENT: Final = figure(
    0.95 * 2.0 * np.pi, "1", "Exposed face over the radius squared, slightly flatter than a half-sphere", "no source"
)
GROUND_COEFFICIENT = np.pi
EXPOSED_SHARE = EXPOSED_COEFFICIENT / (EXPOSED_COEFFICIENT + GROUND_COEFFICIENT)

FACES: Final = figure(
    (np.arange(NODES + 1) / NODES) ** 0.6,
    "1",
    "Radii of the faces of the nodes over the heap's: this power came closest to a fine grid",
    "derived",
)
CUMULATIVE = FACES[1:] ** 3  # volume inside each outer face, over the whole
VOLUME_SHARES = np.diff(FACES**3)
MEDIAN_RADII = (CUMULATIVE - 0.5 * VOLUME_SHARES) ** (1.0 / 3.0)  # half of a node's volume lies inside, over R

_SPHERE_OVER_HEAP_RADIUS = 3.0 * VOLUME_COEFFICIENT / (EXPOSED_COEFFICIENT + GROUND_COEFFICIENT)
_SPHERES = VOLUME_COEFFICIENT / (4.0 / 3.0 * np.pi * _SPHERE_OVER_HEAP_RADIUS**3)
COARSE_GRID: Final = figure(0.8, "1", "Correction for only four nodes, fitted to 24 shells in a trial", "derived")

# Conductance between neighbouring nodes, and from the outermost to its surface, over conductivity and heap radius.
_LEGS = 1.0 / MEDIAN_RADII - 1.0 / np.append(MEDIAN_RADII[1:], 1.0)
CONDUCTANCE_SHAPES = COARSE_GRID * _SPHERES * 4.0 * np.pi * _SPHERE_OVER_HEAP_RADIUS / _LEGS

BURIED_WITHIN: Final = figure(0.7, "1", "Loops and ducts lie within this share of R", "no source")
_BURIED = np.clip(BURIED_WITHIN**3 - FACES[:-1] ** 3, 0.0, VOLUME_SHARES)
BURIED_SHARES = _BURIED / _BURIED.sum()  # how a loop or duct is spread over the nodes


def radius(volume_m3: ArrayLike) -> Array:
    """Foot radius of the half-ellipsoid of this volume. [m]"""
    result: Array = np.cbrt(np.asarray(volume_m3) / VOLUME_COEFFICIENT)
    return result


def sphere_radius(volume_m3: ArrayLike) -> Array:
    """Radius R of the sphere with the heap's volume to surface ratio. [m]"""
    return _SPHERE_OVER_HEAP_RADIUS * radius(volume_m3)


def exposed_area(radius_m: Array) -> Array:
    """Surface towards the air. [m2]"""
    result: Array = EXPOSED_COEFFICIENT * radius_m * radius_m
    return result


def ground_area(radius_m: Array) -> Array:
    """Surface on the ground. [m2]"""
    result: Array = GROUND_COEFFICIENT * radius_m * radius_m
    return result
