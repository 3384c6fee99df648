"""The core's slope from its readings, and how sure it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from service.units.figures import figure

READING_ERROR_K = 1.0
"""Standard error of one probe reading, placement included (common practice, no source)."""
WINDOW_DAYS: Final = figure(
    10.0, "days", "Older readings say little about today's slope (common practice)", "no source"
)
SHORTEST_SPAN_DAYS: Final = figure(
    0.5, "days", "Readings closer together than this have no slope worth the name", "no source"
)
SURE_AT: Final = figure(1.28, "1", "Standard errors a slope must exceed to be called real: 80 % two-sided", "no source")
DECLINE_DAYS: Final = figure(14.0, "days", "A fall that goes on for so long is one, however slow", "no source")
FEWEST_OF_A_DECLINE: Final = figure(3, "readings", "Readings that a slow decline takes at the least", "no source")
LEAST_DECLINE_K = SURE_AT * math.sqrt(2.0) * READING_ERROR_K
"""The error of a difference of two readings, 80 % two-sided [K]."""
PART_OF_EACH_HALF: Final = figure(
    0.15, "1", "Share of the whole fall that either half of the time must have", "no source"
)


@dataclass(frozen=True, slots=True)
class Trend:
    """Slope of the core and its standard error [K/day]."""

    slope: float
    error: float

    def is_beyond_error(self) -> bool:
        """Whether the slope is larger than the readings' own error."""
        return abs(self.slope) > SURE_AT * self.error


def core_trend(readings: Sequence[tuple[float, float]]) -> Trend | None:
    """Least-squares slope of the core.

    Parameters
    ----------
    readings
        (days before now, core in degC), in any order, today's included.

    Returns
    -------
    Trend or None
        None where fewer than two readings, or only readings close together, were given.

    References
    ----------
    Ordinary least squares with known error, NIST/SEMATECH e-Handbook, 4.1.4.1 (from memory).
    """
    recent = [(days, core) for days, core in readings if days <= WINDOW_DAYS]
    if _span(recent) < SHORTEST_SPAN_DAYS:
        recent = sorted(readings)[: len(recent) + 1]
    if _span(recent) < SHORTEST_SPAN_DAYS:
        return None
    mean_day = sum(days for days, _ in recent) / len(recent)
    mean_core = sum(core for _, core in recent) / len(recent)
    spread = sum((days - mean_day) ** 2 for days, _ in recent)
    slope = -sum((days - mean_day) * (core - mean_core) for days, core in recent) / spread
    return Trend(slope, READING_ERROR_K / math.sqrt(spread))


def declines_steadily(readings: Sequence[tuple[float, float]]) -> bool:
    """Whether the core has fallen steadily for two weeks or more up to now, however slowly.

    No reading stands above an earlier one by more than a probe's error, the whole fall is beyond that of two readings,
    and the later half of the time has its part of it: a drop that is over is no decline. The earlier half
    has its part too, or each reading stands below the one before: many a decline grows steeper.

    Parameters
    ----------
    readings
        (days before now, core in degC), in any order, today's included.
    """
    rows = sorted(readings, reverse=True)
    if len(rows) < FEWEST_OF_A_DECLINE:
        return False
    for start in range(len(rows) - FEWEST_OF_A_DECLINE + 1):
        if rows[start][0] - rows[-1][0] >= DECLINE_DAYS and _is_decline(rows[start:]):
            return True
    return False


def _is_decline(rows: Sequence[tuple[float, float]]) -> bool:
    cores = [core for _, core in rows]
    lowest = cores[0]
    for core in cores:
        if core > lowest + READING_ERROR_K:
            return False
        lowest = min(lowest, core)
    fall = cores[0] - cores[-1]
    before = _core_at(rows, 0.5 * (rows[0][0] + rows[-1][0]))
    part = PART_OF_EACH_HALF * fall
    begun = cores[0] - before >= part or all(later < earlier for earlier, later in pairwise(cores))
    return fall > LEAST_DECLINE_K and begun and before - cores[-1] >= part


def _core_at(rows: Sequence[tuple[float, float]], days: float) -> float:
    """The core so many days before now, straight between the readings around it. [degC]"""
    for (earlier, a), (later, b) in pairwise(rows):
        if later <= days:
            share = 0.0 if earlier <= later else (earlier - days) / (earlier - later)
            return a + share * (b - a)
    return rows[-1][1]


def _span(readings: Sequence[tuple[float, float]]) -> float:
    days = [day for day, _ in readings]
    return max(days) - min(days) if days else 0.0
