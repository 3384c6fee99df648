"""Three truths with one plain interface and no equations in common.

A truth is built from `Heaps` and the names of their covers, takes an hour of weather and a duty of the carrier
(0 to 1) at a time, and gives the heat drawn. Work is done to it by methods; what a grower could read is read from it.
None of it knows the service.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from ..heaps import Heaps
from ..weather import Hour
from .kin import Kin
from .layers import Layers
from .plane import Plane

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


class Truth(Protocol):
    """A set of heaps that live by the hour. All arrays are (n,)."""

    def hour(self, weather: Hour, duty: Array) -> Array:
        """Live an hour; the heat drawn. [J]"""

    def core_c(self) -> Array:
        """What a well placed, perfect probe reads."""

    def outer_c(self) -> Array:
        """The same some 20 cm below the skin."""

    def material_c(self) -> Array:
        """The material about the pipe or duct."""

    def arm_moisture(self) -> Array:
        """Moisture of a handful from arm's depth, of the wet mass."""

    def mean_moisture(self) -> Array:
        """Moisture of the whole heap, of the wet mass."""

    def oxygen(self) -> Array:
        """Oxygen in the core over that of fresh air."""

    def volume_share(self) -> Array:
        """Volume over that when built."""

    def add_water(self, kg: Array) -> None:
        """Pour water of 10 degC on; it soaks in unevenly, and some runs off."""

    def feed(self, nitrogen_kg: Array) -> None:
        """Work nitrogen in; it reaches part of the heap."""

    def cover(self, film: Array, wrap: Array, roof: Array, vented: Array) -> None:
        """Lay a film, a thick wrap or a rain roof on, or cut a vent in the film: 1 or 0 each."""

    def loosen(self, heaps: Mask) -> None:
        """Lay these heaps back loosely; they cool meanwhile."""

    def bulk(self, dry_chips_m3: Array) -> None:
        """Mix dry chips in."""


TRUTHS: Final[dict[str, Callable[[Heaps], Truth]]] = {"kin": Kin, "layers": Layers, "plane": Plane}
