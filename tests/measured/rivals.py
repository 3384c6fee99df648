"""Three simple ways to forecast: as it is now, a straight line, and a line that flattens out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from service.status.models import Status
from tests.forecasting.baselines import Array, readings, straight_line

DAMPED_IN_DAYS: Final = 6.0
"""The slope of a damped line has faded to 1/e after so long (our own; six days did best in an earlier trial)."""


def as_now(status: Status, days: Sequence[float]) -> Array:
    """The last reading for ever. [degC]"""
    return np.full(len(days), readings(status)[1][-1])


def line(status: Status, days: Sequence[float]) -> Array:
    """The least-squares line through the last seven readings. [degC]"""
    now, slope = straight_line(status)
    result: Array = now + slope * np.asarray(days, dtype=np.float64)
    return result


def damped(status: Status, days: Sequence[float]) -> Array:
    """From the last reading on along that slope, ever less. [degC]"""
    slope = straight_line(status)[1]
    ahead = DAMPED_IN_DAYS * -np.expm1(-np.asarray(days, dtype=np.float64) / DAMPED_IN_DAYS)
    result: Array = readings(status)[1][-1] + slope * ahead
    return result


RIVALS: Final = {"as now": as_now, "line": line, "damped": damped}
