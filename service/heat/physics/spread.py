"""Evenly spread points for the ensemble: the same numbers on every machine, with nothing random at run time.

Each unknown has its own multiples of the square root of a prime, modulo 1, replaced by the middle of their ranks: so
its n values are perfectly even, and those of two unknowns hardly correlate (the primes were picked for that).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from math import exp
from statistics import NormalDist
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.physics.arrays import Array
from service.units.estimate import Estimate

EIGHTY_PERCENT = 1.2815515655446004  # half-width of the 80 % range in standard deviations

PRIMES: Final = MappingProxyType(
    {
        "rate": 541,
        "loss": 557,
        "conductivity": 131,
        "permeability": 11,
        "nitrogen": 883,
        "moisture": 577,
        "mass": 283,
        "volume": 1321,
        "fast": 2,
        "slow": 271,
        "environment": 281,
        "core": 709,
        "shell": 79,
        "outdoor": 269,
        "wind": 179,
        "loop_inner": 607,
        "loop_outer": 167,
        "duct": 997,
        "recoverable": 223,
        "water_reach": 439,
        "feed_reach": 971,
        "warmth_kept": 757,
        "hottest": 647,
        "drift": 673,
        "unexplained": 811,
        "room_gained": 911,
        "freed": 659,
        "untold": 73,
        "film": 1163,
    }
)


@dataclass(frozen=True, slots=True)
class Estimates:
    """One number of many heaps with its 80 % range, each (heaps, 1)."""

    value: Array
    low: Array
    high: Array

    @classmethod
    def of(cls, estimates: Sequence[Estimate]) -> Estimates:
        """From one estimate per heap."""
        table = np.array([(estimate.value, estimate.low, estimate.high) for estimate in estimates])
        return cls(table[:, :1], table[:, 1:2], table[:, 2:])

    def floored(self, least: float) -> Estimates:
        """Nothing below `least`."""
        return Estimates(np.maximum(self.value, least), np.maximum(self.low, least), np.maximum(self.high, least))

    def at_least(self, log_sd: float) -> Estimates:
        """The range widened to at least this logarithmic standard deviation."""
        factor = exp(log_sd * EIGHTY_PERCENT)
        low, high = np.minimum(self.low, self.value / factor), np.maximum(self.high, self.value * factor)
        return Estimates(self.value, low, high)


def numbers(values: Iterable[float]) -> Array:
    """One number per heap, (heaps, 1)."""
    return np.array(list(values), dtype=np.float64)[:, None]


def flags(values: Iterable[bool]) -> NDArray[np.bool_]:
    """One flag per heap, (heaps, 1)."""
    return np.array(list(values), dtype=np.bool_)[:, None]


@dataclass(frozen=True, slots=True)
class Points:
    """The spread of one unknown, (n,): even shares 0 to 1, and the normal deviates of those shares.

    Estimates of many heaps give values of (heaps, n).
    """

    shares: Array
    normals: Array
    above: Array  # normals above zero over 1.28, else 0: steps of half the 80 % range upwards
    below: Array  # the same downwards, zero or negative

    def between(self, low: float, high: float) -> Array:
        """Values evenly between two bounds."""
        return low + (high - low) * self.shares

    def around(self, estimate: Estimate | Estimates) -> Array:
        """Values whose median and 80 % range are those of an estimate."""
        value = estimate.value
        result: Array = value + (estimate.high - value) * self.above + (value - estimate.low) * self.below
        return result

    def around_log(self, estimate: Estimate | Estimates) -> Array:
        """The same on a logarithmic scale, for what must stay above zero.

        Raises
        ------
        ValueError
            An estimate is not above zero.
        """
        low, value, high = estimate.low, estimate.value, estimate.high
        if not np.all((low > 0.0) & (low <= value) & (value <= high)):
            raise ValueError(f"an estimate on a logarithmic scale must be above 0 and in order, not {estimate}")
        upwards, downwards = np.log(estimate.high / estimate.value), np.log(estimate.value / estimate.low)
        result: Array = estimate.value * np.exp(upwards * self.above + downwards * self.below)
        return result

    def factor(self, log_sd: float) -> Array:
        """Log-normal factors with median 1."""
        result: Array = np.exp(log_sd * self.normals)
        return result


@cache
def points(name: str, n: int) -> Points:
    """The n points of one unknown of `PRIMES`; computed once, not to be written to."""
    fractions = np.modf(np.arange(1, n + 1) * np.sqrt(float(PRIMES[name])))[0]
    shares = (np.argsort(np.argsort(fractions)) + 0.5) / n
    inverse = NormalDist().inv_cdf
    normals = np.array([inverse(share) for share in shares.tolist()])
    steps = normals / EIGHTY_PERCENT
    arrays = (shares, normals, np.maximum(steps, 0.0), np.minimum(steps, 0.0))
    for array in arrays:
        array.flags.writeable = False
    return Points(*arrays)
