"""Shape of the heap and its four radial nodes.

The heap is a half-ellipsoid, 0.9 radii high. Conduction is solved in the sphere of the same volume to surface
ratio, repeated so often that the volume agrees. Four nodes with faces at R (i/4)^0.6 came closest to a fine grid.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from service.heat.physics.arrays import Array

NODES = 4
HEIGHT_OVER_RADIUS = 0.9
VOLUME_COEFFICIENT = 2.0 / 3.0 * np.pi * HEIGHT_OVER_RADIUS  # V = c r^3
EXPOSED_COEFFICIENT = 0.95 * 2.0 * np.pi  # A = c r^2; 0.95: slightly flatter than a half-sphere
GROUND_COEFFICIENT = np.pi
EXPOSED_SHARE = EXPOSED_COEFFICIENT / (EXPOSED_COEFFICIENT + GROUND_COEFFICIENT)

FACES = (np.arange(NODES + 1) / NODES) ** 0.6  # radii over R
CUMULATIVE = FACES[1:] ** 3  # volume inside each outer face, over the whole
VOLUME_SHARES = np.diff(FACES**3)
MEDIAN_RADII = (CUMULATIVE - 0.5 * VOLUME_SHARES) ** (1.0 / 3.0)  # half of a node's volume lies inside, over R

_SPHERE_OVER_HEAP_RADIUS = 3.0 * VOLUME_COEFFICIENT / (EXPOSED_COEFFICIENT + GROUND_COEFFICIENT)
_SPHERES = VOLUME_COEFFICIENT / (4.0 / 3.0 * np.pi * _SPHERE_OVER_HEAP_RADIUS**3)
COARSE_GRID = 0.8  # correction for only four nodes, fitted to 24 shells in a trial

# Conductance between neighbouring nodes, and from the outermost to its surface, over conductivity and heap radius.
_LEGS = 1.0 / MEDIAN_RADII - 1.0 / np.append(MEDIAN_RADII[1:], 1.0)
CONDUCTANCE_SHAPES = COARSE_GRID * _SPHERES * 4.0 * np.pi * _SPHERE_OVER_HEAP_RADIUS / _LEGS

BURIED_WITHIN = 0.7  # loops and ducts lie within this share of R
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
