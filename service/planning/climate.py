"""The air outside over a stretch of days, hour by hour, from hourly, daily or monthly temperatures."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.facts.record import Derived
from service.heat.physics.arrays import Array
from service.planning.shapes.common import DayTemperatures, MonthTemperatures, Outdoor, Period
from service.units.estimate import Estimate
from service.units.figures import figure
from service.units.quantities import Dimension

HOURS: Final = 24
WARMEST_HOUR: Final = figure(
    15.0,
    "h",
    "A day runs as a cosine from its low at three in the night to its high at three in the afternoon",
    "no source",
)
NIGHT_FROM: Final = figure(
    18, "h", "Hour from which a night's heating counts: about the dark of a winter day", "no source"
)
NIGHT_UNTIL: Final = figure(8, "h", "Hour until which it counts", "no source")
NIGHT_HOURS: Final = HOURS - NIGHT_FROM + NIGHT_UNTIL
DOUBT_OF_MONTHS_K: Final = figure(
    1.5,
    "K",
    "How far a winter's mean lies from that of the climate table, 80 % half-range (from memory of year-to-year spread)",
    "from memory",
)
COLD_SPELL_K: Final = figure(
    Estimate(8.0, 5.0, 12.0, "assumed"),
    "K",
    "How far the coldest night of a winter falls below the mean low of its coldest month",
    "no source",
)
ANY_YEAR: Final = 2001
FIRST_MONTH: Final = 7
"""Year in which a table that names no dates begins, and the month a whole year begins with."""


@dataclass(frozen=True, slots=True)
class Climate:
    """Air by the hour from `begin` on [degC], and how far its level is in doubt (80 % half-range) [K].

    `dated` tells whether the days are real ones; `table` where they came from.
    """

    begin: datetime
    air_c: Array
    doubt_k: float
    dated: bool
    table: str

    @property
    def hour_of_day(self) -> Array:
        """Hour of the day of each value, by the clock of the place."""
        first = self.begin.hour + self.begin.minute / 60
        result: Array = (np.arange(self.air_c.size, dtype=np.float64) + first) % HOURS
        return result

    @property
    def is_night(self) -> Array:
        """1 for the hours that count as night, else 0."""
        hour = self.hour_of_day
        result: Array = ((hour >= NIGHT_FROM) | (hour < NIGHT_UNTIL)).astype(np.float64)
        return result

    @property
    def day_of_hour(self) -> NDArray[np.intp]:
        """Number of the day of each hour, from 0."""
        return (np.arange(self.air_c.size) + self.begin.hour) // HOURS

    @property
    def night_of_hour(self) -> NDArray[np.intp]:
        """Number of the night of each hour, from 0: from noon to noon, a first morning with the first evening."""
        number = (np.arange(self.air_c.size) + self.begin.hour - HOURS // 2) // HOURS
        return np.maximum(number, 0)

    @property
    def days(self) -> list[date]:
        """The days, in order."""
        return [self.begin.date() + timedelta(days=number) for number in range(int(self.day_of_hour[-1]) + 1)]

    def daily_mean(self) -> Array:
        """Mean air of each day. [degC]"""
        result: Array = np.bincount(self.day_of_hour, self.air_c) / np.bincount(self.day_of_hour)
        return result

    def mean_at(self, day: date) -> float:
        """Mean air of a day; of the nearest one where the table does not reach. [degC]"""
        means = self.daily_mean()
        return float(means[min(max((day - self.begin.date()).days, 0), means.size - 1)])

    def within(self, period: Period) -> Climate | None:
        """The hours of a period; None where the table has none of them."""
        day = self.day_of_hour
        first, last = (period.start - self.begin.date()).days, (period.until - self.begin.date()).days
        kept = np.flatnonzero((day >= first) & (day <= last))
        if kept.size == 0:
            return None
        return replace(self, begin=self.begin + timedelta(hours=int(kept[0])), air_c=self.air_c[kept])


def climate_of(outdoor: Outdoor, period: Period | None) -> Climate | None:
    """The climate of a table, cut to the period; None where there is no table or it has none of those days.

    Months are laid out over the period, or over a year from July on; only months of the table count.
    """
    if outdoor.monthly is not None:
        return _from_months(outdoor.monthly, period)
    if outdoor.daily is not None:
        found = _from_days(outdoor.daily)
    elif outdoor.hourly is not None:
        start = outdoor.hourly.start.replace(minute=0, second=0, microsecond=0)
        found = Climate(start, np.array(outdoor.hourly.values, dtype=np.float64), 0.0, dated=True, table="hourly")
    else:
        return None
    return found if period is None else found.within(period)


def coldest_night(outdoor: Outdoor, climate: Climate | None, derived: Derived) -> Estimate | None:
    """Coldest air to plan for [degC]: as asked, else the coldest of the table; months hide cold spells."""
    if outdoor.design is not None:
        return Estimate.exact(outdoor.design)
    if climate is None:
        return None
    low = float(climate.air_c.min())
    if climate.table != "monthly":
        return Estimate.exact(low)
    spell = COLD_SPELL_K
    guess = Estimate(low - spell.value, low - spell.high, low - spell.low, "assumed")
    why = "house.why.cold-spell"
    dimension: Dimension = "temperature"
    return derived.assume("/outdoor/design", guess, dimension, why)


def _cosine(lows: Sequence[float], highs: Sequence[float]) -> Array:
    low, high = np.array(lows, dtype=np.float64), np.array(highs, dtype=np.float64)
    swing = np.cos(2 * np.pi * (np.arange(HOURS) + 0.5 - WARMEST_HOUR) / HOURS)
    by_hour = 0.5 * (low + high)[:, None] + 0.5 * (high - low)[:, None] * swing
    result: Array = by_hour.reshape(-1)
    return result


def _midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day)


def _from_days(rows: Sequence[DayTemperatures]) -> Climate:
    air = _cosine([row.low for row in rows], [row.high for row in rows])
    return Climate(_midnight(rows[0].date), air, 0.0, dated=True, table="daily")


def _from_months(rows: Sequence[MonthTemperatures], period: Period | None) -> Climate | None:
    by_month = {row.month: row for row in rows}
    days = _first_run([day for day in _days_of(period, set(by_month)) if day.month in by_month])
    if not days:
        return None
    air = _cosine([by_month[day.month].low for day in days], [by_month[day.month].high for day in days])
    return Climate(_midnight(days[0]), air, DOUBT_OF_MONTHS_K, dated=period is not None, table="monthly")


def _days_of(period: Period | None, months: set[int]) -> list[date]:
    """Days of the period, or of the months named, from the first after a gap on; a whole year runs from July on."""
    if period is not None:
        count = (period.until - period.start).days + 1
        return [period.start + timedelta(days=number) for number in range(count)]
    first = next((month for month in sorted(months) if _before(month) not in months), FIRST_MONTH)
    ordered = [(first + number - 1) % 12 + 1 for number in range(len(months))]
    days = []
    for month in ordered:
        year = ANY_YEAR if month >= first else ANY_YEAR + 1
        days += [date(year, month, day) for day in range(1, calendar.monthrange(year, month)[1] + 1)]
    return days


def _before(month: int) -> int:
    return 12 if month == 1 else month - 1


def _first_run(days: list[date]) -> list[date]:
    """Days up to the first gap."""
    run = days[:1]
    for day in days[1:]:
        if (day - run[-1]).days != 1:
            break
        run.append(day)
    return run
