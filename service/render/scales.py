"""Axes of a chart: round steps, and where a value lies on the page."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Final

ROUND_STEPS: Final = (1.0, 2.0, 5.0, 10.0)
DAY_STEPS: Final = (1, 2, 7, 14)
MOST_DAY_TICKS: Final = 9


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from values to places on the page."""

    low: float
    high: float
    first: float
    last: float

    def __call__(self, value: float) -> float:
        """The place of a value, in tenths."""
        return round(self.first + (value - self.low) / (self.high - self.low) * (self.last - self.first), 1)


def round_ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers that enclose both ends, at most about `most` of them."""
    rough = max(high - low, 1e-6) / most
    power = 10.0 ** floor(log10(rough))
    step = next(step * power for step in ROUND_STEPS if step * power >= rough * (1 - 1e-9))
    return [step * number for number in range(floor(low / step), ceil(high / step) + 1)]


def day_ticks(days: int) -> list[int]:
    """Days from today, at most about nine, with the first."""
    step = next(step for step in DAY_STEPS if days / step <= MOST_DAY_TICKS)
    return list(range(0, days + 1, step))
