"""What lies over a heap: the cover that was told, and what the work done says lies under or about it."""

from __future__ import annotations

from typing import Final

from service.heat.physics.losses import CoverName
from service.status.days import days_between
from service.status.models import Status
from service.units.figures import figure

FILM: Final = "cover_with_clear_film"
WRAP: Final = "insulate"
LIFTED: Final = "lift_cover"
WRAP_LASTS_DAYS: Final = figure(
    120.0, "days", "A wrap of straw or bales keeps its shape for a winter (common practice)", "no source"
)


def cover_on(status: Status) -> tuple[CoverName | None, bool]:
    """The cover, None where neither told nor laid, and whether a thick wrap lies about it.

    One word tells what is seen; film that was laid first stays under straw that came later. What lay on the heap when
    a cover was lifted is gone.
    """
    told: CoverName | None = status.pile.cover
    if told == "none":
        return told, False
    film, wrap = _laid(status, FILM), _laid(status, WRAP)
    if told is None:
        return ("clear_film" if film else "straw" if wrap else None), film and wrap
    if told == "straw":
        return ("clear_film", True) if film else (told, False)
    return told, wrap


def _laid(status: Status, action: str) -> bool:
    """Whether this was laid on within a winter and no cover has been lifted since."""
    done = status.done or []
    lifted = min((days_between(work.at, status.as_of) for work in done if work.action == LIFTED), default=float("inf"))
    ages = [days_between(work.at, status.as_of) for work in done if work.action == action]
    return bool(ages) and min(ages) < min(lifted, WRAP_LASTS_DAYS)
