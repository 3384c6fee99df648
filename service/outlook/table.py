"""The outlook as a table in CSV (RFC 4180), one row a day."""

from __future__ import annotations

import csv
import io
from datetime import timedelta
from typing import Final

from service.course.outlook import CourseAhead
from service.outlook.answer import BAND, course_shown
from service.units.quantities import System

MEDIA_TYPE: Final = "text/csv"


def outlook_as_csv(outlook: CourseAhead, units: System | None = None) -> str:
    """A heading with units, then one row for each day: date, day, core, outdoor air, heat drawn so far."""
    status = outlook.picture.status
    system = units or status.units
    courses = {
        "core": course_shown(outlook.core_c, "temperature", system),
        "outdoor": course_shown(outlook.outdoor_c, "temperature", system),
        "heat_drawn": course_shown(outlook.drawn_j, "energy", system),
    }
    heading = ["date", "day", *(f"{name}_{end}_{course['unit']}" for name, course in courses.items() for end in BAND)]
    columns = [course[end] for course in courses.values() for end in BAND]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heading)
    for day, row in enumerate(zip(*columns, strict=True)):
        writer.writerow([(status.as_of.date() + timedelta(days=day)).isoformat(), day, *row])
    return text.getvalue()
