"""Milestones that were published of heaps without a log, and what the service tells of such a heap when it is built.

Sizes and weather that were not published are told as such or left out; what we assumed is in `told`. A row agrees by
its median where that lies in the published span, give or take the probe's 2 K, by its range where only the 80 % range
meets it; else the service is too high or too low.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from service.outlook.forecast import forecast_core
from service.status.reading import read_status

Array = NDArray[np.float64]

DAYS: Final = tuple(float(day) for day in range(1, 91))
PROBE_K: Final = 2.0
WILLOW: Final = "doi 10.1007/s12155-015-9686-y"
LATER: Final = "doi 10.1007/s12155-016-9800-9"
BOXES: Final = "Martins et al. 2023"
BUILDER: Final = "its builder: common practice, no source"
MAGAZINE: Final = "magazine: common practice, no source"


def _day(day: int) -> Callable[[Array], float]:
    return lambda core: float(core[day - 1])


def _highest(first: int = 1, last: int = 90) -> Callable[[Array], float]:
    return lambda core: float(core[first - 1 : last].max())


def _mean(first: int, last: int) -> Callable[[Array], float]:
    return lambda core: float(core[first - 1 : last].mean())


def _steepest(first: int, last: int) -> Callable[[Array], float]:
    return lambda core: float((core[first - 1 : last - 1] - core[first:last]).max())


@dataclass(frozen=True, slots=True)
class Milestone:
    """One published figure: heap, what it says, its span, how it is read from a course of the core, what is found."""

    heap: str
    what: str
    low: float
    high: float
    of: Callable[[Array], float]
    verdict: str
    source: str
    unit: str = "degC"

    def told(self) -> tuple[float, float, float]:
        """Low, median and high, each read from that course."""
        low, median, high = (self.of(course) for course in _courses(self.heap))
        return min(low, median, high), median, max(low, median, high)

    def found(self) -> str:
        """How it compares."""
        low, median, high = self.told()
        if self.low - PROBE_K <= median <= self.high + PROBE_K:
            return "median"
        if high < self.low - PROBE_K:
            return "too low"
        return "too high" if low > self.high + PROBE_K else "range"


def _body(material: Any, core: float, outdoor: float, size: dict[str, Any] | None, **more: Any) -> dict[str, Any]:
    parts = [{"material": name, "amount": amount} for name, amount in material] if material else None
    pile: dict[str, Any] = {"age": 0, "cover": "none"}
    pile |= {"size": size} if size else {}
    pile |= {"ingredients": parts} if parts else {}
    return {
        "as_of": "2026-03-01T08:00:00Z",
        "pile": pile,
        "equipment": [],
        "temperatures": {"core": core, "outdoor": outdoor},
        **more,
    }


HEAPS: Final[dict[str, tuple[str, dict[str, Any]]]] = {
    "East Midlands": (
        "wood chips at 13 degC, air 10 and 100 m3 assumed",
        _body([("wood_chips_green", "100 m3")], 13.0, 10.0, None),
    ),
    "Rothamsted": (
        "wood chips at 24 degC, air 15 and 100 m3 assumed",
        _body([("wood_chips_green", "100 m3")], 24.0, 15.0, None),
    ),
    "a later pile": (
        "wood chips at 15 degC, air 10 and 100 m3 assumed",
        _body([("wood_chips_green", "100 m3")], 15.0, 10.0, None),
    ),
    "open boxes": (
        "food scraps and prunings, 1 m3, at 20 degC, air 20 (assumed)",
        _body([("food_scraps", "0.5 m3"), ("prunings", "0.5 m3")], 20.0, 20.0, {"volume": 1.0}),
    ),
    "11 m3 of chips, 3 of manure": (
        "the same at 12 degC, air 10 (assumed), before anything is drawn",
        _body([("wood_chips", "11 m3"), ("horse_manure", "3 m3")], 12.0, 10.0, {"volume": 14.0}),
    ),
    "1980": (
        "four parts of chips to one of manure at 12 degC, air 8 and 30 m3 assumed",
        _body([("wood_chips", "24 m3"), ("horse_manure", "6 m3")], 12.0, 8.0, None),
    ),
    "wire cage": (
        "grass, leaves and prunings, 1 m3, at 22 degC, air 22 (assumed)",
        _body([("grass_clippings", "0.5 m3"), ("leaves", "0.5 m3")], 22.0, 22.0, {"volume": 1.0}),
    ),
    "large heaps": (
        "three parts of chips to one of manure, 25 m3, at 15 degC, air 10 (assumed)",
        _body([("wood_chips", "19 m3"), ("horse_manure", "6 m3")], 15.0, 10.0, {"volume": 25.0}),
    ),
}
"""Name: what was told in words, and as a status."""


@cache
def _courses(heap: str) -> tuple[Array, Array, Array]:
    median, low, high = forecast_core(read_status(HEAPS[heap][1]), DAYS)
    return low, median, high


MILESTONES: Final = (
    Milestone("East Midlands", "core on day 12", 66, 66, _day(12), "range", WILLOW),
    Milestone("East Midlands", "core on days 65 to 90", 20, 40, _mean(65, 90), "range", WILLOW),
    Milestone("Rothamsted", "core on day 5", 60, 60, _day(5), "range", WILLOW),
    Milestone("Rothamsted", "hottest, day 6", 64, 64, _highest(), "median", WILLOW),
    Milestone("Rothamsted", "core on days 31 to 60", 30, 40, _mean(31, 60), "range", WILLOW),
    Milestone("a later pile", "top on day 10", 62, 62, _day(10), "range", LATER),
    Milestone("a later pile", "core on day 20", 58, 58, _day(20), "range", LATER),
    Milestone("a later pile", "over 50 to day 28", 50, 62, _day(28), "median", LATER),
    Milestone("open boxes", "hottest", 55.6, 58.7, _highest(), "median", BOXES),
    Milestone(
        "open boxes",
        "steepest fall, days 13 to 17",
        7,
        8,
        _steepest(13, 17),
        "too low",
        BOXES,
        "K a day",
    ),
    Milestone(
        "11 m3 of chips, 3 of manure",
        "core on day 7",
        68,
        68,
        _day(7),
        "range",
        BUILDER,
    ),
    Milestone("1980", "core on day 12", 49, 49, _day(12), "median", MAGAZINE),
    Milestone("1980", "core on days 12 to 50", 49, 49, _mean(12, 50), "range", MAGAZINE),
    Milestone("wire cage", "core on day 3", 69, 69, _day(3), "too low", "Public Lab research note 13197, 2016"),
    Milestone("large heaps", "core on day 5", 60, 70, _day(5), "range", "Cornell, Compost Physics"),
)


def milestones_shown() -> str:
    """The table."""
    lines = [f"{'milestone':<52}{'published':>12}{'told, 80 % range':>26}  compares by"]
    for heap in dict.fromkeys(each.heap for each in MILESTONES):
        lines.append(f"{heap}. Told: {HEAPS[heap][0]}.")
        for each in (each for each in MILESTONES if each.heap == heap):
            low, median, high = each.told()
            span = f"{each.low:g}" if each.low == each.high else f"{each.low:g}-{each.high:g}"
            told = f"{median:.1f} ({low:.1f} to {high:.1f})"
            lines.append(f"  {f'{each.what} [{each.unit}]':<50}{span:>12}{told:>26}  {each.found()} ({each.source})")
    return "\n".join(lines)
