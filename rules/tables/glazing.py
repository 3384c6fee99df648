"""How fast a greenhouse loses heat: by its glazing, its leaks and its foot; and what a curtain or water would save."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import EP406, GREENHOUSE_GLAZING
from rules.tables.figures import PlanFigure, Three


@dataclass(frozen=True, slots=True)
class GlazingRecord:
    """Heat loss of one kind of glazing: U-value [W/(m2.K)] and air changes [1/h], each with low and high."""

    id: str
    u_value: Three
    air_changes: Three
    source: Source


GLAZINGS: Final = {
    glazing.id: glazing
    for glazing in (
        GlazingRecord("single_film", (6.8, 6.0, 7.4), (1.0, 0.75, 1.5), EP406),
        GlazingRecord("double_film", (4.0, 3.4, 4.5), (0.75, 0.5, 1.0), EP406),
        GlazingRecord("glass", (6.2, 5.7, 6.8), (1.25, 0.75, 2.0), EP406),
        GlazingRecord("double_glass", (3.8, 3.4, 4.5), (1.0, 0.75, 1.5), EP406),
        GlazingRecord("twin_wall", (3.5, 3.0, 4.0), (1.0, 0.5, 1.5), EP406),
    )
}
"""Central value, low, high. 1 Btu/(h.ft2.degF) = 5.678 W/(m2.K)."""

UNKNOWN_GLAZING: Final = GlazingRecord("unknown", (5.0, 3.5, 7.0), (1.0, 0.5, 2.0), EP406)
"""The span of all kinds, for a house whose glazing was not given."""

PUBLISHED_U: Final[dict[str, tuple[float, float]]] = {"single": (5.68, 6.81), "double": (3.41, 3.97)}
"""U of any single and any double glazing [W/(m2.K)]: 1.0-1.2 and 0.6-0.7 Btu/(h.ft2.degF) (GREENHOUSE_GLAZING)."""

DOUBLE_SAVES: Final = PlanFigure(
    "double_saves", (0.35, 0.30, 0.42), "1", "heat loss saved by a second layer of glazing", GREENHOUSE_GLAZING
)
"""About 35 % (read there), 34 % (Rasheed, Lee and Lee, Spanish J. Agric. Res. 2017, read); 42 % by the table above."""

AIR_CHANGES: Final[dict[str, PlanFigure]] = {
    figure.id: figure
    for figure in (
        PlanFigure("tight", (0.75, 0.5, 1.0), "1/h", "new, or double film blown up", EP406),
        PlanFigure("well_kept", (1.25, 1.0, 2.0), "1/h", "old but well kept", EP406),
        PlanFigure("leaky", (3.0, 2.0, 4.0), "1/h", "old, with gaps", EP406),
    )
}
"""Air changes an hour by how tight the house is."""

_PERIMETER: Final = Source(
    SourceKind.HANDBOOK, "perimeter method for slabs and footings, ASHRAE Handbook - Fundamentals", HowKnown.FROM_MEMORY
)
PERIMETER_LOSS: Final[dict[str, PlanFigure]] = {
    figure.id: figure
    for figure in (
        PlanFigure("bare", (1.38, 1.0, 1.8), "W/(m.K)", "foot of the walls, bare", _PERIMETER),
        PlanFigure("insulated", (0.69, 0.5, 0.9), "W/(m.K)", "foot of the walls, insulated", _PERIMETER),
    )
}
"""Heat lost along the foot of the walls; 0.8 and 0.4 Btu/(h.ft.degF)."""

NIGHT_CURTAIN_SAVES: Final = PlanFigure(
    "night_curtain_saves",
    (0.35, 0.20, 0.50),
    "1",
    "share of the night's loss through the glazing that a closed curtain saves",
    Source(
        SourceKind.HANDBOOK,
        "Sanford, Thermal Curtains, eXtension: bills cut by 30 to 50 %, materials by 20 to 75 %",
        HowKnown.READ,
        "publish.extension.org",
    ),
)
"""A study sheet of North Carolina State says 20-40 % of the fuel of a year (read)."""
WATER_SWING_K: Final = PlanFigure(
    "water_swing",
    (3.0, 1.5, 5.0),
    "delta_degC",
    "by how much barrels of water in the house warm by day and cool by night",
    Source(SourceKind.COMMON_PRACTICE, "common practice, no source", HowKnown.NO_SOURCE),
)
"""Set by their skin: about 12 W/K for a barrel of 200 L, 4 K cooler house, 14 hours."""
