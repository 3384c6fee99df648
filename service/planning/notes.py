"""What to know of the numbers of a planning answer: sentences with their sources."""

from __future__ import annotations

from typing import Any, Final

from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import COMMON_PRACTICE, EP406, STATIC_PRUNINGS_PILE, WIND_AT_SKIN
from rules.tables.glazing import NIGHT_CURTAIN_SAVES
from service.planning.climate import Climate
from service.planning.ranges import source_shown
from service.planning.shapes.greenhouse import GreenhouseRequest

OWN_MODEL: Final = Source(
    SourceKind.PHYSICS, "the heat model of this service, tested on no measured log", HowKnown.DERIVED
)
SUPPLEMENT_BELOW: Final = 0.5
"""Share of the coldest night's need below which a heap is called a supplement (our own)."""

METHOD: Final = (
    "Need is glazing and leaks and, where it was given, the foot of the walls, times the warmth over outside."
)
NO_SUN: Final = (
    "No sun is counted. By day it does most of the work in a small house; the stove needs less than this then."
)
NIGHT_ONLY: Final = (
    "Only the hours from six in the evening to eight in the morning count. Most heating falls in the night."
)
MONTHS_HIDE: Final = "Monthly means hide cold spells. Nights can be far colder than the coldest shown."
NO_FOOT: Final = "No loss to the ground along the walls is counted; give the length of the foot to count it."
WINDY: Final = "Wind raises the loss of thin glazing and blows through gaps. The high end is for windy nights."
SUPPLEMENT: Final = (
    "The heap is a supplement, not the heating: a full-size heap of prunings that warmed a farmhouse for a year gave "
    "2.75 kW on the mean."
)
STEADY: Final = "The heap's draw is a mean over day and night to the end of its goal, not what it can give for an hour."
NO_TABLE: Final = "With a table of temperatures the season, its months and the stove's share by night are told too."
HEAP_AIR: Final = (
    "Air that has passed through the heap holds little oxygen, and gases that harm. It must not end in a closed house."
)


def house_notes(request: GreenhouseRequest, climate: Climate | None, night_share: float | None) -> list[dict[str, Any]]:
    """The sentences that apply to this answer."""
    told: list[tuple[str, Source]] = [(METHOD, EP406)]
    if climate is None:
        told.append((NO_TABLE, OWN_MODEL))
    else:
        told.append(
            (NO_SUN, OWN_MODEL) if request.house.day_target is not None else (NIGHT_ONLY, NIGHT_CURTAIN_SAVES.source)
        )
        if climate.table == "monthly":
            told.append((MONTHS_HIDE, COMMON_PRACTICE))
    if request.house.perimeter is None:
        told.append((NO_FOOT, EP406))
    told.append((WINDY, WIND_AT_SKIN))
    if request.pile is not None:
        told.append((STEADY, OWN_MODEL))
        if night_share is not None and night_share < SUPPLEMENT_BELOW:
            told.append((SUPPLEMENT, STATIC_PRUNINGS_PILE))
    if request.draw is not None and request.draw.air is not None and request.draw.air.path == "through_heap":
        told.append((HEAP_AIR, COMMON_PRACTICE))
    return [{"text": text, "source": source_shown(source)} for text, source in told]
