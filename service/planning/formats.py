"""A plan's dates as a calendar (RFC 5545) and its months as a table (RFC 4180)."""

from __future__ import annotations

import csv
import hashlib
import io
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from service.planning.shapes.season_answer import PlanDate, SeasonPlan

JSON: Final = "application/json"
CALENDAR: Final = "text/calendar"
TABLE: Final = "text/csv"
CHART: Final = "image/svg+xml"
_STAMP: Final = datetime(2000, 1, 1, tzinfo=UTC)
"""Time stamp of every event: the same plan gives the same bytes."""


def calendar_of(plan: SeasonPlan) -> str:
    """Every date of the plan as an event of the whole day, with the plan's headline in the calendar's description.

    The calendar library is loaded when it is first asked for.
    """
    from service.render.icalendar import CalendarEvent, calendar_file

    events = [
        CalendarEvent(f"{_known(entry)}@warmheap", _STAMP, date.fromisoformat(entry.date), entry.title, entry.text)
        for entry in plan.calendar
    ]
    return calendar_file("-//warmheap//season//EN", events, about=plan.headline).decode()


def _known(entry: PlanDate) -> str:
    return hashlib.sha256(f"{entry.date}|{entry.what}|{entry.heap}".encode()).hexdigest()[:20]


def table_of(plan: SeasonPlan) -> str:
    """One row a month: need, heat from the heaps and stove's share, each with its range; units are in the heading.

    Cells stay empty where nothing is planned.
    """
    names = ("night_needed", "needed", "from_pile", "stove_share")
    rows = [(month, (month.night_needed, month.needed, month.from_pile, month.stove_share)) for month in plan.months]
    units = [part["unit"] if part else "" for part in rows[0][1]] if rows else [""] * len(names)
    heads = [
        f"{name}_{end}_{unit}" for name, unit in zip(names, units, strict=True) for end in ("value", "low", "high")
    ]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(["month", "nights", *(head.rstrip("_") for head in heads)])
    for month, parts in rows:
        ranges = [(part["value"], part["low"], part["high"]) if part else ("", "", "") for part in parts]
        writer.writerow([month.month, month.nights, *(end for ends in ranges for end in ends)])
    return text.getvalue()


def winter_chart(plan: SeasonPlan) -> str:
    """The plan as a chart; the drawing library is loaded when it is first asked for."""
    from service.planning.season_chart import season_as_svg

    return season_as_svg(plan)
