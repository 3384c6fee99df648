"""What the house needs by the hour, and how much of the heat it was brought it can use."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .heaps import GLAZING_U, Heaps
from .weather import Hour

Array = NDArray[np.float64]

LEAK_CHANGES_H = 0.8
SUN_TAKEN = 0.45  # share of the sunshine on the floor that warms it
FLOOR_SHARE = 0.42  # of the glazed area
STORE_WH_M2 = 25.0  # what a square metre of glazing's house can lay by for the next hours
STORE_LEAK_H = 0.08

_U = np.array(list(GLAZING_U.values()))


def loss_w_k(heaps: Heaps) -> Array:
    """Heat loss of each house. [W/K]"""
    u = _U[heaps.house_kind.astype(int)]
    return u * heaps.house_area_m2 + LEAK_CHANGES_H * heaps.house_volume_m3 * 0.335


def need_w(heaps: Heaps, hour: Hour) -> Array:
    """What each house needs to keep its night target, by day too. [W]"""
    sun = SUN_TAKEN * FLOOR_SHARE * heaps.house_area_m2 * hour.sun_w_m2
    return np.maximum(loss_w_k(heaps) * (heaps.night_target_c - hour.air_c) - sun, 0.0)


class Houses:
    """Houses with a small store of warmth: what is brought beyond the need of the hour lasts for some hours."""

    def __init__(self, heaps: Heaps) -> None:
        self.room = STORE_WH_M2 * 3600.0 * heaps.house_area_m2
        self.stored = np.zeros(heaps.count)

    def use(self, brought_j: Array, wanted_j: Array) -> Array:
        """Heat of one hour that served the need, from what is brought and what was laid by. [J]"""
        held = self.stored * (1.0 - STORE_LEAK_H) + brought_j
        used = np.minimum(held, wanted_j)
        self.stored = np.minimum(held - used, self.room)
        return used
