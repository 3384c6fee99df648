"""Published ranges a fresh mix is held against. Limits of a standing heap live with the rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import COMMON_PRACTICE, MANITOBA, NEW_BRUNSWICK, WSU_AVAILABLE_CARBON

AIR_SPACE_NOTE: Final = Source(
    SourceKind.HANDBOOK,
    "Technical Note 24, Composting Basics: free air space works above 20 % and is best from 35 to 60 %",
    HowKnown.READ,
    "online.documentine.com, technical note 24",
)
AIR_SPACE_RATE: Final = Source(
    SourceKind.HANDBOOK,
    "Haug, Practical Handbook of Compost Engineering, 1993: from 30 % free air space rot is hardly slowed",
    HowKnown.FROM_MEMORY,
)
DENSITY_NOTE: Final = Source(
    SourceKind.HANDBOOK,
    "The Theory and Operation of Composting, 2009: 600 to 700 kg/m3 for active mixes; light chip heaps lie below",
    HowKnown.READ,
)


@dataclass(frozen=True, slots=True)
class Span:
    """From `low` to `high`; None where a side is open."""

    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MixRange:
    """What is best and what still works for one quantity of a mix, in `unit`, with who says so."""

    id: str
    unit: Literal["1", "%", "kg/m3", "degC"]
    meaning: str
    preferred: Span | None
    reasonable: Span
    preferred_source: Source | None
    reasonable_source: Source


_ALL: Final = (
    MixRange(
        id="c_to_n",
        unit="1",
        meaning="carbon that can rot in time, to nitrogen",
        preferred=Span(26.0, 38.0),
        reasonable=Span(20.0, 40.0),
        preferred_source=WSU_AVAILABLE_CARBON,
        reasonable_source=MANITOBA,
    ),
    MixRange(
        id="c_to_n_total",
        unit="1",
        meaning="all carbon to nitrogen, that of wood included",
        preferred=Span(25.0, 30.0),
        reasonable=Span(20.0, 40.0),
        preferred_source=MANITOBA,
        reasonable_source=MANITOBA,
    ),
    MixRange(
        id="moisture",
        unit="%",
        meaning="water in the wet mass",
        preferred=Span(50.0, 60.0),
        reasonable=Span(40.0, 65.0),
        preferred_source=MANITOBA,
        reasonable_source=NEW_BRUNSWICK,
    ),
    MixRange(
        id="free_air_space",
        unit="%",
        meaning="air-filled share of the volume as laid",
        preferred=Span(35.0, 60.0),
        reasonable=Span(30.0, None),
        preferred_source=AIR_SPACE_NOTE,
        reasonable_source=AIR_SPACE_RATE,
    ),
    MixRange(
        id="soft_matter",
        unit="%",
        meaning="share of the fresh mass, liquids aside, that packs and shuts out air",
        preferred=None,
        reasonable=Span(None, 50.0),
        preferred_source=None,
        reasonable_source=COMMON_PRACTICE,
    ),
    MixRange(
        id="bulk_density",
        unit="kg/m3",
        meaning="wet mass over volume as laid",
        preferred=None,
        reasonable=Span(200.0, 700.0),
        preferred_source=None,
        reasonable_source=DENSITY_NOTE,
    ),
    MixRange(
        id="expected_peak",
        unit="degC",
        meaning="hottest the core is likely to get in the first weeks",
        preferred=Span(54.0, 60.0),
        reasonable=Span(43.0, 65.0),
        preferred_source=MANITOBA,
        reasonable_source=MANITOBA,
    ),
)
RANGES: Final[dict[str, MixRange]] = {each.id: each for each in _ALL}
"""By id; `c_to_n` is the one to steer by where there is wood."""
