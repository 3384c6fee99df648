"""A plan's dates as a calendar (RFC 5545) and its months as a table (RFC 4180)."""

from __future__ import annotations

import csv
import hashlib
import io
from typing import TYPE_CHECKING, Final

from service.render.icalendar import as_file, escaped

if TYPE_CHECKING:
    from service.planning.shapes.season_answer import SeasonPlan

JSON: Final = "application/json"
CALENDAR: Final = "text/calendar"
TABLE: Final = "text/csv"
CHART: Final = "image/svg+xml"
_STAMP: Final = "20000101T000000Z"
"""Time stamp of every event: the same plan gives the same bytes."""


def calendar_of(plan: SeasonPlan) -> str:
    """Every date of the plan as an event of the whole day, with the plan's headline in the calendar's description."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//warmheap//season//EN",
        "CALSCALE:GREGORIAN",
        f"X-WR-CALDESC:{escaped(plan.headline)}",
    ]
    for entry in plan.calendar:
        known = f"{entry.date}|{entry.what}|{entry.heap}"
        lines += [
            "BEGIN:VEVENT",
            f"UID:{hashlib.sha256(known.encode()).hexdigest()[:20]}@warmheap",
            f"DTSTAMP:{_STAMP}",
            f"DTSTART;VALUE=DATE:{entry.date.replace('-', '')}",
            f"SUMMARY:{escaped(entry.title)}",
            f"DESCRIPTION:{escaped(entry.text)}",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return as_file(lines).decode()


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


def chart_of(plan: SeasonPlan) -> str:
    """The plan as a chart; the drawing library is loaded when it is first asked for."""
    from service.planning.season_chart import season_as_svg

    return season_as_svg(plan)
