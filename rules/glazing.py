"""How fast a greenhouse loses heat, by what it is glazed with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rules.model import Source
from rules.sources import EP406


@dataclass(frozen=True, slots=True)
class Glazing:
    """Heat loss of one kind of glazing: U-value [W/(m2.K)] and air changes [1/h], each with low and high."""

    id: str
    u_value: tuple[float, float, float]
    air_changes: tuple[float, float, float]
    source: Source


GLAZINGS: Final = {
    glazing.id: glazing
    for glazing in (
        Glazing("single_film", (6.8, 6.0, 7.4), (1.0, 0.75, 1.5), EP406),
        Glazing("double_film", (4.0, 3.4, 4.5), (0.75, 0.5, 1.0), EP406),
        Glazing("glass", (6.2, 5.7, 6.8), (1.25, 0.75, 2.0), EP406),
        Glazing("double_glass", (3.8, 3.4, 4.5), (1.0, 0.75, 1.5), EP406),
        Glazing("twin_wall", (3.5, 3.0, 4.0), (1.0, 0.5, 1.5), EP406),
    )
}
"""Central value, low, high. 1 Btu/(h.ft2.degF) = 5.678 W/(m2.K)."""

UNKNOWN_GLAZING: Final = Glazing("unknown", (5.0, 3.5, 7.0), (1.0, 0.5, 2.0), EP406)
"""The span of all kinds, for a house whose glazing was not given."""
