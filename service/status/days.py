"""Days between moments, and the readings of a log by how long ago they were taken."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from service.status.models import Status
from service.units.estimate import SECONDS_PER_DAY

LONGEST_AGO_DAYS: Final = 18262.5
"""Fifty years: further back nothing is read (our own)."""


def readings_before_now(status: Status) -> list[tuple[float, float]]:
    """(days before `as_of`, core in degC) of every history reading, oldest first."""
    history = sorted(status.history or [], key=lambda reading: reading.at)
    return [(days_between(reading.at, status.as_of), reading.core) for reading in history]


def days_between(earlier: datetime, later: datetime) -> float:
    """Days from `earlier` to `later`, never negative."""
    return max((later - earlier).total_seconds() / SECONDS_PER_DAY, 0.0)


def days_since(day: date, now: datetime) -> float:
    """Whole days from a date to `now`, never negative."""
    return float(max((now.date() - day).days, 0))
