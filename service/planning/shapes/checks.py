"""What must fit together in a planning question, beyond each field by itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from service.planning.shapes.common import MONTHS, MOST_DAYS, Outdoor, Period, PlannedDraw, PlannedHouse
from service.status.checks import Misfit, Place
from service.status.quantities import refused
from service.units.quantities import spell

HOTTEST_OUTLET_C: Final = 90.0
_ONE_DAY: Final = timedelta(days=1)


def house_misfits(place: Place, house: PlannedHouse) -> Iterator[Misfit]:
    """A house without a volume says nothing."""
    if house.volume is None:
        yield (*place, "volume"), refused('the air volume of the house is needed, such as "2600 ft3" or "74 m3"')
    if house.foot is not None and house.perimeter is None:
        yield (*place, "perimeter"), refused("give the length of the foot of the walls, or leave out how it is built")


def outdoor_misfits(place: Place, outdoor: Outdoor) -> Iterator[Misfit]:
    """One table at most, in order and with nothing twice."""
    tables = [name for name in ("hourly", "daily", "monthly") if getattr(outdoor, name) is not None]
    if len(tables) > 1:
        yield (*place, tables[1]), refused(f"give one table only: {' and '.join(tables)} are given")
    if not tables and outdoor.design is None:
        yield (*place, "design"), refused('give the coldest night to plan for as "design", or a table of temperatures')
    for name in tables:
        rows = getattr(outdoor, name)
        if not (rows.values if name == "hourly" else rows):
            yield (*place, name), refused("the table is empty")
    for name in ("daily", "monthly"):
        for index, row in enumerate(getattr(outdoor, name) or []):
            if row.low > row.high:
                yield (*place, name, index), refused("the low is above the high; are they swapped?")
    yield from _order_misfits(place, outdoor)


def _order_misfits(place: Place, outdoor: Outdoor) -> Iterator[Misfit]:
    days = [row.date for row in outdoor.daily or []]
    for index in range(1, len(days)):
        if days[index] - days[index - 1] != _ONE_DAY:
            detail = "the days must follow one another without gaps"
            yield (*place, "daily", index, "date"), refused(detail, read=str(days[index]))
            break
    months = [row.month for row in outdoor.monthly or []]
    for index, month in enumerate(months):
        if month in months[:index]:
            yield (*place, "monthly", index, "month"), refused("this month is given twice", read=str(month))
            return
    begins = [month for month in months if (month - 2) % 12 + 1 not in months]
    if len(begins) > 1:
        named = " and ".join(MONTHS[month - 1] for month in begins)
        yield (*place, "monthly"), refused(f"the months must follow one another; there are gaps before {named}")


def period_misfits(place: Place, period: Period) -> Iterator[Misfit]:
    """The last day comes after the first, and not years after it."""
    days = (period.until - period.start).days + 1
    if days < 1:
        yield (*place, "until"), refused("the last day lies before the first", read=str(period.until))
    elif days > MOST_DAYS:
        yield (*place, "until"), refused("that is too long", read=f"{days} days", allowed=f"at most {MOST_DAYS} days")


def draw_misfits(place: Place, draw: PlannedDraw) -> Iterator[Misfit]:
    """A flow is needed to count anything, and nothing comes out of a duct or loop boiling."""
    for name in ("air", "water"):
        drawn = getattr(draw, name)
        if drawn is None:
            continue
        if not drawn.flow:
            yield (*place, name, "flow"), refused("the flow while it runs is needed to count what is carried; not 0")
        if drawn.outlet is not None and drawn.outlet > HOTTEST_OUTLET_C:
            read = spell(drawn.outlet, "degC")
            detail = "that is too hot to plan with"
            yield (*place, name, "outlet"), refused(detail, read=read, allowed=f"up to {HOTTEST_OUTLET_C:g} degC")
