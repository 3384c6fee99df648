"""The pairs of a plan month by month, where they change on the way."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from service.answer.quantities import round_off
from service.answer.shapes.draw_plan import DrawPlanMonth
from service.picture.drawplan.ahead import last_weeks_from
from service.picture.drawplan.candidates import Hours, candidates_of
from service.units.quantities import System, to_units

Pair = tuple[float, float]


def months_of(
    pair_on: Callable[[date], Pair], today: date, until: date, hours: Hours, system: System
) -> list[DrawPlanMonth]:
    """Start and stop of each month from today to a date, in the reader's degrees.

    `hours` are those of today; what is so hot that it is drawn by day too has cooled by the next month.
    """
    firsts = [today]
    while (later := (firsts[-1].replace(day=1) + timedelta(days=31)).replace(day=1)) <= until:
        firsts.append(later)
    return [
        {
            "month": f"{first:%Y-%m}",
            "start_at": degrees(start, system),
            "stop_at": degrees(stop, system),
            "hours": hours if first == today else "night",
        }
        for first, (start, stop) in ((first, pair_on(first)) for first in firsts)
    ]


def usual_months(first: date, last: date, limit_c: float | None, house_c: float, system: System) -> list[DrawPlanMonth]:
    """The usual plan of a heap that is yet to be built; a limit only where the person named one. [degC]"""
    chosen = candidates_of(limit_c, house_c=house_c)[2]
    late, final = last_weeks_from(last), chosen.in_last_weeks()

    def pair_on(day: date) -> Pair:
        now = final if day >= late else chosen
        return now.start_c, now.stop_c

    return months_of(pair_on, first, last, chosen.hours, system)


def degrees(celsius: float, system: System) -> float:
    """A core in whole degrees of the reader's."""
    return round_off(round(to_units(celsius, "temperature", system)[0]))
