"""When to begin the next heap, so that it is warm when this one is too cool to draw."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from service.course.heap import time_range
from service.course.run import Course, days_until_warm
from service.course.shape import BeginOn
from service.heat.physics.arrays import Array
from service.units.estimate import Estimate
from service.units.figures import figure

READY_OVER_K: Final = figure(5.0, "K", "How far over the limit a new heap must be to be drawn", "no source")
BUILD_DAYS: Final = figure(2.0, "days", "To fetch the material and build (common practice)", "no source")


@dataclass(frozen=True, slots=True)
class NextHeap:
    """Days a new heap takes to warm up, and the days on which to begin it; None where there is no telling or no need.

    `start` is in days from today; below zero is late already and told as today.
    """

    warm_up: Estimate | None
    start: Estimate | None

    def dates(self, today: date) -> BeginOn | None:
        """The days to begin: most likely, earliest and latest."""
        if self.start is None:
            return None
        likely, earliest, latest = (
            (today + timedelta(days=int(days))).isoformat()
            for days in (self.start.value, self.start.low, self.start.high)
        )
        return {"value": likely, "low": earliest, "high": latest}


def next_heap(new: Course, cool_days: Array, limit_c: float, weights: Array, days: int) -> NextHeap:
    """Hold the warm-up of a new heap against the day this one gets too cool.

    Parameters
    ----------
    new
        A new heap of the same size begun today, at rest.
    cool_days
        Days until this heap is too cool, each member; infinite where it stays warm.
    """
    ready = days_until_warm(new, limit_c + READY_OVER_K)
    lead = np.minimum(ready, float(days)) + BUILD_DAYS
    return NextHeap(
        time_range(ready, weights, float(days)), time_range(np.maximum(cool_days - lead, 0.0), weights, float(days))
    )
