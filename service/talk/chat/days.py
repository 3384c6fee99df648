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
_MONTHS_OF_A_YEAR: Final = 12
_FEASTS: Final = {
    "day after christmas": (12, 26),
    "day before christmas": (12, 24),
    "day after new year's": (1, 2),
    "day before new year's": (12, 31),
    "new year's eve": (12, 31),
    "new years eve": (12, 31),
    "new year's": (1, 1),
    "new years": (1, 1),
    "new year": (1, 1),
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
    rf"|{_MONTH.format('month_first')} (?:the )?(?P<day_after>\d{{1,2}})(?:st|nd|rd|th)?(?![\d\w]|\.\d)"
    r"(?:,? (?P<year_after>\d{4})\b)?"
    rf"|(?P<feast>{'|'.join(_FEASTS)})(?:'s)?(?: day)?\b"
    r"|(?P<plain_day>1[3-9]|2\d|3[01])[./](?P<plain_month>0?[1-9]|1[0-2])[./](?P<plain_year>20\d\d)(?![\d/]|\.\d)"
    r"|(?P<md_month>0?[1-9]|1[0-2])/(?P<md_day>1[3-9]|2\d|3[01])(?=[ ,:;]+\d{2,3}(?!\d))"
    r"|(?!24/7)(?P<dm_day>1[3-9]|2\d|3[01])[/.](?P<dm_month>0?[1-9]|1[0-2])\.?(?=[ ,:;]+\d{2,3}(?!\d))"
    r"|(?P<lone_day>\d{1,2})(?:st|nd|rd|th)(?= |,|\.|$)(?! (?:day|week|month|of|time|layer|year|heap|pile))"
    r"|(?P<us_month>0?[1-9]|1[0-2])/(?P<us_day>1[3-9]|2\d|3[01])/(?P<us_year>20\d\d)(?![\d/]|\.\d)"
)
"""A day by number and month's name, as year-month-day, or by its feast; in figures with slashes or points only where
the day is above twelve, for else it is read two ways; without a year only before a reading, as in a table."""


@dataclass(frozen=True, slots=True)
class NamedDay:
    """A day of the calendar; without a year it is the nearest one that fits."""

    month: int | None
    day: int
    year: int | None = None

    def last_before(self, today: date) -> date | None:
        """The newest such day up to today; None where there is none."""
        if self.month is None:
            return self._in_months(today, -1)
        return self._nearest([today.year, today.year - 1], lambda day: day <= today)

    def next_after(self, today: date) -> date | None:
        """The first such day from today on; None where there is none."""
        if self.month is None:
            return self._in_months(today, 1)
        return self._nearest([today.year, today.year + 1], lambda day: day >= today)

    def _in_months(self, today: date, step: int) -> date | None:
        """The nearest such day of this month, the one beside it, or the one beyond."""
        for month in range(today.month - 1, today.month - 1 + 3 * step, step):
            try:
                day = date(today.year + month // 12, month % 12 + 1, self.day)
            except ValueError:
                continue
            if (day - today).days * step >= 0:
                return day
        return None

    def _nearest(self, years: list[int], fits: Callable[[date], bool]) -> date | None:
        for year in [self.year] if self.year is not None else years:
            try:
                day = date(year, self.month or 1, self.day)
            except ValueError:
                continue
            if fits(day):
                return day
        return None


_ORDINALS: Final = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh"),
    *("twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth"),
    *("twentieth", *(f"twenty {each}" for each in ("first", "second", "third", "fourth", "fifth", "sixth"))),
    *("twenty seventh", "twenty eighth", "twenty ninth", "thirtieth", "thirty first"),
)
_SPELLED: Final = "|".join(sorted((each.replace(" ", "[ -]") for each in _ORDINALS), key=len, reverse=True))
_SPELLED_DATE: Final = re.compile(
    rf"\b{_MONTH.format('before')} (?:the )?(?P<day>{_SPELLED})\b"
    rf"|\b(?P<first>{_SPELLED})(?: of)? {_MONTH.format('after')}\b"
)


_LONE_ORDINAL: Final = re.compile(
    rf"\b((?:on|since|from) the) ({_SPELLED})\b(?! (?:of|day|week|month|time|night|go|try|heap|pile|side)\b)"
)
"""`on the fifteenth`, of this month or the one before."""
_BUILT_ON: Final = re.compile(
    r"\b(built|made|started|piled|stacked|finished|since|from|begun)( on| it| it on| in|:)?"
    r" (\d{1,2})/(\d{1,2})(?![\d/.,%])"
)
_IN_TABLE: Final = re.compile(
    r"(?<![\d./-])(?!24/7)(\d{1,2})([/.])(\d{1,2})(?![\d/])\.?(?=[ :]+-?\d{2,3}(?!\d|[./]\d))"
)
"""A date before a reading, as in a table."""


def with_dates(text: str) -> str:
    """A text with dates that are spelled out, such as "november twentieth", in figures; and those of a table by name.

    Of a table's dates which number is the day follows from those above twelve; else they stay as they are.
    """
    text = _BUILT_ON.sub(_built_by_name, _SPELLED_DATE.sub(_in_figures, text))
    text = _LONE_ORDINAL.sub(lambda found: f"{found[1]} {_ordinal(found[2])}", text)
    told = [(int(found[1]), int(found[3])) for found in _IN_TABLE.finditer(text)]
    day_first = any(first > _MONTHS_OF_A_YEAR >= second for first, second in told)
    day_second = any(second > _MONTHS_OF_A_YEAR >= first for first, second in told)
    if len(told) < 2 or day_first == day_second:
        return text
    return _IN_TABLE.sub(lambda found: _by_name(found, 1 if day_first else 3), text)


def _built_by_name(found: re.Match[str]) -> str:
    """`built 11/15` with its month's name, where one number is above twelve."""
    first, second = int(found[3]), int(found[4])
    day, month = (first, second) if first > _MONTHS_OF_A_YEAR else (second, first)
    if not (day > _MONTHS_OF_A_YEAR >= month >= 1):
        return found[0]
    return f"{found[1]}{found[2] or ''} {day} {_MONTHS[month - 1]}"


def _by_name(found: re.Match[str], day: int) -> str:
    """A date with its month's name, `day` the group of the day."""
    month = int(found[4 - day])
    return f"{found[day]} {_MONTHS[month - 1]}" if 1 <= month <= _MONTHS_OF_A_YEAR else found[0]


def _ordinal(spelled: str) -> str:
    """`fifteenth` as 15th."""
    day = _ORDINALS.index(spelled.replace("-", " ")) + 1
    return f"{day}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(day % 10 if day not in (11, 12, 13) else 0, 'th') }"


def _in_figures(found: re.Match[str]) -> str:
    day = _ORDINALS.index((found["day"] or found["first"]).replace("-", " ")) + 1
    return f"{day} {found['before'] or found['after']}"


def day_written(found: re.Match[str]) -> NamedDay:
    """The day a match of DAY_PATTERN names."""
    if found["iso"] is not None:
        return NamedDay(int(found["iso_month"]), int(found["iso_day"]), int(found["iso"]))
    if found["feast"] is not None:
        return NamedDay(*_FEASTS[found["feast"]])
    for way in ("plain", "us"):
        if found[f"{way}_day"] is not None:
            return NamedDay(*(int(found[f"{way}_{part}"]) for part in ("month", "day", "year")))
    if found["lone_day"] is not None:
        return NamedDay(None, int(found["lone_day"]))
    for way in ("md", "dm"):
        if found[f"{way}_day"] is not None:
            return NamedDay(int(found[f"{way}_month"]), int(found[f"{way}_day"]))
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
