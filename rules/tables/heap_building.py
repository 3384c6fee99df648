"""Figures for building a heap that gives heat: how high, how long beforehand, how tube and duct lie in it."""

from __future__ import annotations

from typing import Final

from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import BUGGELN_FIRE, COMMON_PRACTICE
from rules.tables.figures import PlanFigure

HIGHEST_HEAP_M: Final = PlanFigure(
    "highest_heap", (3.0, 3.0, 4.5), "m", "height above which fire is likelier", BUGGELN_FIRE
)
"""Ten to fifteen feet; we plan no heap higher than the lower of the two."""
LEAD_DAYS: Final = PlanFigure(
    "lead", (21.0, 14.0, 35.0), "days", "from building a heap to the first draw", COMMON_PRACTICE
)
"""Large heaps are hot in 3 to 5 days (Cornell, read); four to one of chips and manure reached 49 degC in 12 days
(a magazine's report of 1980, read). A week more lets the outer parts warm through."""

TRADE_RATING_W_KG: Final = PlanFigure(
    "trade_rating",
    (2.1, 1.9, 2.7),
    "W/kg",
    "output that rules of thumb promise per wet mass, whatever the mix and the time",
    COMMON_PRACTICE,
)
"""About 6,500 BTU/h for a short ton. Physics does not bear it out: it is shown only to be judged."""

_OWN: Final = Source(SourceKind.PHYSICS, "worked out from the conductances of the heat model", HowKnown.DERIVED)
TUBE_SPACING_M: Final = PlanFigure(
    "tube_spacing", (0.3, 0.2, 0.5), "m", "between neighbouring turns: each draws on a sleeve of 10 cm or more", _OWN
)
DUCT_W_M_K: Final = PlanFigure(
    "duct", (2.0, 1.2, 3.2), "W/(m.K)", "heat through the wall of a ribbed pipe of 10 cm, per metre", _OWN
)
"""About 7 W/(m2.K) of air side on 0.31 m2 a metre (our own)."""
RING_FROM_CENTRE: Final = PlanFigure(
    "ring", (0.5, 0.4, 0.6), "1", "radius of a ring of duct over that of the heap", COMMON_PRACTICE
)
RING_HEIGHT: Final = PlanFigure(
    "ring_height", (0.35, 0.25, 0.45), "1", "height of a ring of duct over that of the heap", COMMON_PRACTICE
)
