"""What a log tells of the past: readings since the heap was last changed, and how long its draw has been as it is."""

from __future__ import annotations

from typing import Final, Literal

from service.facts.drawing import stopped
from service.facts.probes import probe_health
from service.facts.work import WORK_FACTS
from service.status.days import days_between, days_since
from service.status.models import Status
from service.units.figures import figure

REDRAWN: Final = WORK_FACTS["days_since_draw_change"]
CHANGES_THE_HEAP: Final = frozenset().union(*WORK_FACTS.values()) - REDRAWN
"""Work after which older readings tell of another heap."""
DRAWN_MORE_BEFORE: Final = frozenset({"reduce_draw", "pause_draw"})
FOUND_STANDING_DAYS: Final = figure(
    1.0,
    "days",
    "For so long a pump or fan that is found standing is taken to have stood: it is told once it is seen",
    "no source",
)


def readings_since_work(status: Status) -> tuple[tuple[float, float], ...]:
    """(days before now, core in degC) since the heap was last watered, fed, opened or covered, oldest first.

    Readings of a failing probe are left out.
    """
    ages = [days_between(work.at, status.as_of) for work in status.done or [] if work.action in CHANGES_THE_HEAP]
    since = min(ages, default=float("inf"))
    return tuple((days, core) for days, core in probe_health(status).sound if 0.0 < days <= since)


def draw_before(status: Status) -> tuple[float | None, Literal["nothing", "less", "more", "as_set"]]:
    """For how many days the draw has been as it is, None if that was not told, and what was drawn before."""
    if stopped(status):
        return FOUND_STANDING_DAYS, "as_set"
    work_done = [work for work in status.done or [] if work.action in REDRAWN]
    changes = [(days_between(work.at, status.as_of), work.action) for work in work_done]
    if changes:
        days, action = min(changes)
        return days, "more" if action in DRAWN_MORE_BEFORE else "less"
    begun = [draw.since for draw in (status.draw.air, status.draw.water) if draw and draw.since] if status.draw else []
    return (max(days_since(day, status.as_of) for day in begun), "nothing") if begun else (None, "nothing")
