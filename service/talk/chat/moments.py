"""The moments and spans of time that clauses name, as a status has them."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from rules.catalogue import said
from service.status.checks import FARTHEST_AHEAD
from service.status.days import LONGEST_AGO_DAYS
from service.talk.chat.days import NamedDay, days_back, moment_back, moment_on
from service.talk.chat.reading import (
    Node,
    Setting,
    Unclear,
    has,
    parts_in,
    pieces_in,
)
from service.talk.chat.tokens import WrittenNumber
from service.units.quantities import parse_quantity

DAYS_IN_WEEK: Final = 7
MORNING: Final = 7
NIGHT: Final = 22
"""The hours that "this morning" and "last night" stand for, by the person's own clock (our own)."""
MIDDLE_OF_MONTH: Final = 15


def span_days(node: Node) -> float:
    """Days of a span, such as `10 weeks and 3 days`; the second part is less than one of the first."""
    numbers: list[WrittenNumber] = [piece.value for piece in pieces_in(node, "DURATION")]
    days = [_days(number) for number in numbers]
    if len(days) > 1 and days[1] >= _days(WrittenNumber(1, numbers[0].unit)):
        raise Unclear(said("chat.two-spans"))
    return sum(days)


def _days(number: WrittenNumber) -> float:
    return parse_quantity(str(number), ("duration",), "metric").si


def before(span: Node, now: datetime) -> datetime:
    """The moment a span of time before now. Raises Unclear where no heap can be that old."""
    days = span_days(span)
    if days > LONGEST_AGO_DAYS:
        raise Unclear(said("chat.too-long-ago"))
    return moment_back(days, now)


def span_written(node: Node) -> str:
    """A span as the contract writes it: in its own unit where it has one, else in days."""
    written = [piece.value for piece in pieces_in(node, "DURATION")]
    if len(written) > 1:
        return f"{span_days(node):g} days"
    return str(written[0]).removesuffix("s") if written[0].value == 1 else str(written[0])


def moment(node: Node, setting: Setting) -> datetime | None:
    """The moment a `moment` node names, at or before now.

    None where there is none, such as 31 June, or two: `on Tuesday`, said on a Tuesday.
    """
    now = setting.now
    for span in parts_in(node, "span"):
        return before(span, now)
    for piece in (each for part in (node, *parts_in(node, "named_day")) for each in pieces_in(part)):
        match piece.terminal:
            case "YESTERDAY":
                return moment_back(1, now)
            case "TODAY":
                return _at_hour(piece.value if isinstance(piece.value, float) else None, now)
            case "LAST_NIGHT":
                return last_night(now)
            case "DAY_BEFORE":
                return moment_back(2, now)
            case "WEEKDAY":
                back = days_back(int(piece.value), now)
                said_last = any(has(part, "LAST") for part in (node, *parts_in(node, "named_day")))
                return moment_back(back, now) if back < DAYS_IN_WEEK or said_last else None
            case "DAY":
                day = day_before(piece.value, setting)
                return None if day is None else moment_on(day, now)
    return None


def _at_hour(hour: float | None, now: datetime) -> datetime | None:
    """That hour of today, without one this morning; None where it is still to come."""
    if hour is None:
        return min(now.replace(hour=MORNING, minute=0, second=0, microsecond=0), now)
    at = now.replace(hour=int(hour), minute=round(hour % 1 * 60) % 60, second=0, microsecond=0)
    return at if at <= now else None


def last_night(now: datetime) -> datetime:
    """The evening before now."""
    return moment_back(1, now).replace(hour=NIGHT, minute=0, second=0)


def day_before(named: NamedDay, setting: Setting) -> date | None:
    """The newest such day that is not after today; tomorrow's date counts where it may be today at home."""
    return (
        named.last_before((setting.now + FARTHEST_AHEAD).date())
        if named.year
        else named.last_before(setting.now.date())
    )


def day_in_month(node: Node) -> NamedDay | None:
    """The day that stands for a part of a month, its middle where no part is told; None where no month is named."""
    for month in pieces_in(node, "MONTH"):
        part = pieces_in(node, "PART_OF_MONTH")
        return NamedDay(int(month.value), int(part[0].value) if part else MIDDLE_OF_MONTH)
    return None
