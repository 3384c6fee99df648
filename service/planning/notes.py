"""What to know of the numbers of a planning answer: sentences with their sources."""

from __future__ import annotations

from typing import Final

from rules.catalogue import said
from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import COMMON_PRACTICE, EP406, STATIC_PRUNINGS_PILE, WIND_AT_SKIN
from rules.tables.glazing import NIGHT_CURTAIN_SAVES
from service.mix.shapes.sources import NoteTold
from service.mix.sources import notes_shown
from service.planning.climate import Climate
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.units.figures import figure

OWN_MODEL: Final = Source(
    SourceKind.PHYSICS, "the heat model of this service, tested on no measured log", HowKnown.DERIVED
)
SUPPLEMENT_BELOW: Final = figure(
    0.5, "1", "Share of the coldest night's need below which a heap is called a supplement", "no source"
)


def house_notes(request: GreenhouseRequest, climate: Climate | None, night_share: float | None) -> list[NoteTold]:
    """The sentences that apply to this answer."""
    told: list[tuple[str, Source]] = [("method", EP406)]
    if climate is None:
        told.append(("no-table", OWN_MODEL))
    else:
        told.append(
            ("no-sun", OWN_MODEL)
            if request.house.day_target is not None
            else ("night-only", NIGHT_CURTAIN_SAVES.source)
        )
        if climate.table == "monthly":
            told.append(("months-hide", COMMON_PRACTICE))
    if request.house.perimeter is None:
        told.append(("no-foot", EP406))
    told.append(("windy", WIND_AT_SKIN))
    if request.pile is not None:
        told.append(("steady", OWN_MODEL))
        if night_share is not None and night_share < SUPPLEMENT_BELOW:
            told.append(("supplement", STATIC_PRUNINGS_PILE))
    if request.draw is not None and request.draw.air is not None and request.draw.air.path == "through_heap":
        told.append(("heap-air", COMMON_PRACTICE))
    return notes_shown((said(f"house.note.{name}"), source) for name, source in told)
