"""Forecasts that need no model: the core stays, or goes on in a straight line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.status.models import Status

Array = NDArray[np.float64]
Forecast = tuple[Array, Array, Array]

LINE_POINTS: Final = 7
HOTTEST_C: Final = 75.0


def readings(status: Status) -> tuple[Array, Array]:
    """Days before now (0 or less) and core readings, oldest first, now's last where there is one. [days, degC]"""
    pairs = [((entry.at - status.as_of).total_seconds() / 86_400.0, entry.core) for entry in status.history or []]
    if status.temperatures.core is not None:
        pairs.append((0.0, status.temperatures.core))
    days, core = np.array(sorted(pairs)).T
    return days, core


def straight_line(status: Status) -> tuple[float, float]:
    """Value now and slope per day of the least-squares line through the last seven readings. [degC, K/day]"""
    days, core = readings(status)
    days, core = days[-LINE_POINTS:], core[-LINE_POINTS:]
    apart = days - days.mean()
    spread = float((apart**2).sum())
    slope = float((apart * core).sum()) / spread if spread > 0.0 else 0.0
    return float(core.mean()) - slope * float(days.mean()), slope


def persistence(status: Status, days: Sequence[float]) -> Forecast:
    """The last reading for ever; the range is what came out around it on the train seeds."""
    return _around(np.full(len(days), readings(status)[1][-1]), days, PERSISTENCE_RANGE)


def line(status: Status, days: Sequence[float]) -> Forecast:
    """The straight line, however far it goes."""
    now, slope = straight_line(status)
    return _around(now + slope * np.asarray(days), days, LINE_RANGE)


def bounded_line(status: Status, days: Sequence[float]) -> Forecast:
    """The straight line, but no colder than outdoors and no hotter than 75 degC: a harder rival."""
    now, slope = straight_line(status)
    outdoor = status.temperatures.outdoor
    median = np.clip(now + slope * np.asarray(days), 0.0 if outdoor is None else outdoor, HOTTEST_C)
    return _around(median, days, BOUNDED_RANGE)


# 10 and 90 % points of truth less forecast at 3, 7 and 14 days, hot logs of the train seeds. [K]
PERSISTENCE_RANGE: Final = ((-15.9, 2.4), (-30.5, 1.9), (-43.6, 0.5))
LINE_RANGE: Final = ((-17.7, 3.1), (-32.5, 4.7), (-50.6, 12.6))
BOUNDED_RANGE: Final = ((-15.3, 3.1), (-28.0, 4.7), (-41.8, 8.5))


def _around(median: Array, days: Sequence[float], span: tuple[tuple[float, float], ...]) -> Forecast:
    """The range at 0, 3, 7 and 14 days, straight between, never past the median."""
    at = (0.0, 3.0, 7.0, 14.0)
    low = np.interp(days, at, (-2.0, *(pair[0] for pair in span)))
    high = np.interp(days, at, (2.0, *(pair[1] for pair in span)))
    return median, median + np.minimum(low, 0.0), median + np.maximum(high, 0.0)
