"""Ways to draw that are worth a try."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

By = Literal["core", "off", "as_now"]
Hours = Literal["all", "night"]

PAIRS: Final = ((55.0, 42.0), (45.0, 33.0))
"""Core at which the draw starts and stops [degC], the usual one first (our own: what lies between them differs little,
as whole simulated winters show)."""
HYSTERESIS_K: Final = 10.0
"""Least distance of the two where a person's own limit lifts the lower one [K] (our own)."""
HOTTEST_START_C: Final = 65.0
"""A heap is never left to climb beyond this before heat is drawn [degC]: near where its microbes die (our own)."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to draw: by the core between two temperatures [degC], not at all, or as it is drawn now."""

    by: By
    start_c: float
    stop_c: float
    hours: Hours

    @property
    def key(self) -> tuple[str, float, float, str]:
        """What tells it from others."""
        return self.by, self.start_c, self.stop_c, self.hours


AS_NOW: Final = Candidate("as_now", 0.0, 0.0, "all")
OFF: Final = Candidate("off", PAIRS[0][0], PAIRS[0][1], "all")


def candidates_of(limit_c: float | None) -> list[Candidate]:
    """As now, off, and each pair by night and around the clock; a person's own limit lifts the pairs over it."""
    lifted = dict.fromkeys(pair if limit_c is None else _over(pair, limit_c) for pair in PAIRS)
    return [AS_NOW, OFF, *_both(list(lifted))]


def _both(pairs: list[tuple[float, float]]) -> Iterator[Candidate]:
    for hours in ("all", "night"):
        for start, stop in pairs:
            yield Candidate("core", start, stop, "night" if hours == "night" else "all")


def _over(pair: tuple[float, float], limit_c: float) -> tuple[float, float]:
    stop = max(pair[1], limit_c)
    return max(pair[0], min(stop + HYSTERESIS_K, max(HOTTEST_START_C, stop + 1.0))), stop
