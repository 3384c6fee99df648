"""Calendar days and moments as people name them."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final

_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH: Final = (
    r"(?P<{0}>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?"
    r"|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_FEASTS: Final = {
    "new year's eve": (12, 31),
    "new years eve": (12, 31),
    "new year's": (1, 1),
    "new years": (1, 1),
    "christmas eve": (12, 24),
    "christmas": (12, 25),
    "xmas": (12, 25),
    "boxing day": (12, 26),
    "halloween": (10, 31),
}
"""Feasts that fall on the same day each year, the longer names first."""
DAY_PATTERN: Final = re.compile(
    r"(?P<iso>\d{4})-(?P<iso_month>\d\d)-(?P<iso_day>\d\d)(?![\d\w-])"
    rf"|(?P<day>\d{{1,2}})(?:st|nd|rd|th)?(?: of)? {_MONTH.format('month')}\b(?: (?P<year>\d{{4}})\b)?"
    rf"|{_MONTH.format('month_first')} (?P<day_after>\d{{1,2}})(?:st|nd|rd|th)?(?![\d\w.])"
    r"(?:,? (?P<year_after>\d{4})\b)?"
    rf"|(?P<feast>{'|'.join(_FEASTS)})(?:'s)?(?: day)?\b"
    r"|(?P<plain_day>1[3-9]|2\d|3[01])[./](?P<plain_month>0?[1-9]|1[0-2])[./](?P<plain_year>20\d\d)(?![\d/.])"
    r"|(?P<us_month>0?[1-9]|1[0-2])/(?P<us_day>1[3-9]|2\d|3[01])/(?P<us_year>20\d\d)(?![\d/.])"
)
"""A day by number and month's name, as year-month-day, or by its feast; in figures with slashes or points only where
the day is above twelve, for else it is read two ways."""


@dataclass(frozen=True, slots=True)
class NamedDay:
    """A day of the calendar; without a year it is the nearest one that fits."""

    month: int
    day: int
    year: int | None = None

    def last_before(self, today: date) -> date | None:
        """The newest such day up to today; None where there is none."""
        return self._nearest([today.year, today.year - 1], lambda day: day <= today)

    def next_after(self, today: date) -> date | None:
        """The first such day from today on; None where there is none."""
        return self._nearest([today.year, today.year + 1], lambda day: day >= today)

    def _nearest(self, years: list[int], fits: Callable[[date], bool]) -> date | None:
        for year in [self.year] if self.year is not None else years:
            try:
                day = date(year, self.month, self.day)
            except ValueError:
                continue
            if fits(day):
                return day
        return None


def day_written(found: re.Match[str]) -> NamedDay:
    """The day a match of DAY_PATTERN names."""
    if found["iso"] is not None:
        return NamedDay(int(found["iso_month"]), int(found["iso_day"]), int(found["iso"]))
    if found["feast"] is not None:
        return NamedDay(*_FEASTS[found["feast"]])
    for way in ("plain", "us"):
        if found[f"{way}_day"] is not None:
            return NamedDay(*(int(found[f"{way}_{part}"]) for part in ("month", "day", "year")))
    name = found["month"] or found["month_first"]
    year = found["year"] or found["year_after"]
    day = int(found["day"] or found["day_after"])
    return NamedDay(_MONTHS.index(name[:3]) + 1, day, int(year) if year else None)


def days_back(weekday: int, now: datetime) -> int:
    """Days since the last such weekday (0 is Monday) before today: 1 to 7."""
    return (now.weekday() - weekday - 1) % 7 + 1


def moment_on(day: date, now: datetime) -> datetime:
    """Noon of a day, or now if noon is still to come."""
    return min(datetime.combine(day, time(12), now.tzinfo or UTC), now)


def moment_back(days: float, now: datetime) -> datetime:
    """So many days before now, at this time of day, to the second."""
    return (now - timedelta(days=days)).replace(microsecond=0)
