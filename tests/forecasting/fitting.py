"""Weights of the ways and half-widths of the range, fitted to samples by a smooth descent, alike in every run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

Array = NDArray[np.float64]

SMOOTH_K: Final = 0.5
STEPS, RATE, SHRINK = 1500, 0.03, 1e-3
MOST_STEPS, WAYS_SHRINK = 200, 1.5e-3
LOW_SHARE, HIGH_SHARE = 0.055, 0.92
"""Wider than 80 % at first, the more so below: what falls, falls far."""
ROUNDS, ROUND_STEPS, ROUND_RATE = 10, 200, 0.01
"""Of calibration: after each, cells that fared badly count for more."""
MOST_TIMES: Final = 12.0
BETTER: Final = 0.95
"""No mean error shall be more than so much of that of the best simple way, in no cell."""
LEAST_HELD: Final = 0.75
"""Nor shall the range hold less often."""
NARROWEST_K: Final = 0.5
SIMPLE: Final = (0, 2)
"""Places of the ways that are rivals: as it is now, and a damped line."""


@dataclass(frozen=True, slots=True)
class Data:
    """Every sample at every lead of which is known what came, a row each: (n, ways), (n, features), what came less now,
    (n,), and weights, (n,). `cells` says which rows belong to a kind known beforehand of one truth at one lead,
    (n, cells): 1 or 0.
    """

    ways: Array
    features: Array
    came: Array
    weights: Array
    cells: Array


@dataclass(frozen=True, slots=True)
class Fitted:
    """Coefficients: of all ways but the first (ways - 1, features), and of the logarithms of both half-widths."""

    ways: Array
    below: Array
    above: Array


def shares(coefficients: Array, features: Array) -> Array:
    """Weight of each way, (n, ways)."""
    logits = features @ coefficients.T
    logits = np.concatenate([np.zeros_like(logits[:, :1]), logits], axis=1)
    logits -= logits.max(axis=1, keepdims=True)
    powers = np.exp(logits)
    result: Array = powers / powers.sum(axis=1, keepdims=True)
    return result


def middle(coefficients: Array, data: Data) -> Array:
    """Median forecast less now, (n,). [K]"""
    result: Array = (shares(coefficients, data.features) * data.ways).sum(axis=1)
    return result


def half_widths(coefficients: Array, features: Array) -> Array:
    """Half-width of the range on one side, (n,). [K]"""
    result: Array = np.exp(np.clip(features @ coefficients, np.log(NARROWEST_K), 4.5))
    return result


def fit(data: Data) -> Fitted:
    """Weights first, by the mean error; then each side of the range, by its quantile."""
    features = data.features.shape[1]
    nothing = np.zeros((data.ways.shape[1] - 1, features))
    ways = _least_error(data, data.weights, nothing, np.ones(features))
    beyond = data.came - middle(ways, data)
    start = np.zeros((2, features))
    start[:, 0] = 1.5
    shares_in = np.array([1.0 - LOW_SHARE, HIGH_SHARE])
    sides = _descend(lambda c: _range_slope(c, data, beyond, data.weights, shares_in) + SHRINK * c, start)
    return Fitted(ways, sides[0], sides[1])


def calibrated(data: Data, fitted: Fitted, ways_by: Array, range_by: Array, inside: Array) -> Fitted:
    """The same coefficients with those of some features fitted anew, for the least error and the least interval score.

    `ways_by` and `range_by` are 1 for these features and 0 for all others, (features,); `inside` is the share of what
    came that each side of the range shall hold, of each row, (2, n). The coefficients are drawn towards what
    they were, and fitted in rounds: cells that missed what is wanted count for more in the next.
    """
    ways = _in_rounds(
        data,
        fitted.ways,
        anew=lambda _, weights: _least_error(data, weights, fitted.ways, ways_by),
        missed=lambda c: _errs(middle(c, data), data),
    )
    beyond = data.came - middle(ways, data)
    start = np.array([fitted.below, fitted.above])

    def sides_anew(value: Array, weights: Array) -> Array:
        def pull(c: Array) -> Array:
            return range_by * (_range_slope(c, data, beyond, weights, inside) + SHRINK * (c - start))

        return _descend(pull, value, steps=ROUND_STEPS, rate=ROUND_RATE)

    sides = _in_rounds(data, start, anew=sides_anew, missed=lambda c: _left_out(c, data, beyond))
    return Fitted(ways, sides[0], sides[1])


def _in_rounds(
    data: Data, start: Array, *, anew: Callable[[Array, Array], Array], missed: Callable[[Array], Array]
) -> Array:
    """`anew` fits from a value on by weights; `missed` tells how many times each cell missed what is wanted."""
    value, times, weights = start, np.ones(data.cells.shape[1]), data.weights
    for _ in range(ROUNDS):
        value = anew(value, weights)
        times = np.clip(times * missed(value), 1.0, MOST_TIMES)
        weights = data.weights * np.exp(data.cells @ np.log(times))
    return value


def _least_error(data: Data, weights: Array, start: Array, free: Array) -> Array:
    """Coefficients of the ways with the least mean error, drawn towards `start`; only those of `free` features move."""
    moving = np.flatnonzero(free)

    def coefficients(x: Array) -> Array:
        result: Array = start.copy()
        result[:, moving] += x.reshape(len(start), moving.size)
        return result

    def objective(x: Array) -> tuple[float, Array]:
        value, slope = _error(coefficients(x), data, weights)
        return value + 0.5 * WAYS_SHRINK * float(x @ x), slope[:, moving].reshape(-1) + WAYS_SHRINK * x

    nothing = np.zeros(len(start) * moving.size)
    found = minimize(objective, nothing, jac=True, method="L-BFGS-B", options={"maxiter": MOST_STEPS})
    return coefficients(np.asarray(found.x, dtype=np.float64))


def _descend(slope: Callable[[Array], Array], start: Array, *, steps: int = STEPS, rate: float = RATE) -> Array:
    value, mean, square = start.copy(), np.zeros_like(start), np.zeros_like(start)
    for step in range(1, steps + 1):
        g = slope(value)
        mean, square = 0.9 * mean + 0.1 * g, 0.99 * square + 0.01 * g * g
        now = rate * min(1.0, 3.0 * (1.0 - step / (steps + 1)))
        value = value - now * (mean / (1.0 - 0.9**step)) / (np.sqrt(square / (1.0 - 0.99**step)) + 1e-6)
    return value


def _of_cells(values: Array, data: Data) -> Array:
    """Mean of each cell, (cells,)."""
    result: Array = values @ data.cells / data.cells.sum(axis=0)
    return result


def _errs(said: Array, data: Data) -> Array:
    """By how many times each cell errs by more than is wanted."""
    rivals = np.array([_of_cells(np.abs(data.ways[:, way] - data.came), data) for way in SIMPLE]).min(axis=0)
    result: Array = (_of_cells(np.abs(said - data.came), data) / (BETTER * rivals)) ** 2
    return result


def _left_out(sides: Array, data: Data, beyond: Array) -> Array:
    """By how many times each cell is left out of its range oftener than is wanted."""
    low, high = (half_widths(side, data.features) for side in sides)
    result: Array = _of_cells(((beyond < -low) | (beyond > high)).astype(np.float64), data) / (1.0 - LEAST_HELD)
    return result


def _error(coefficients: Array, data: Data, weights: Array) -> tuple[float, Array]:
    """Mean error, smooth near nothing [K], and its slope by the coefficients."""
    weight = shares(coefficients, data.features)
    said = (weight * data.ways).sum(axis=1)
    gap = said - data.came
    smooth = np.sqrt(gap * gap + SMOOTH_K**2)
    each = weight * (data.ways - said[:, None]) * (weights * gap / smooth)[:, None]
    slope: Array = each[:, 1:].T @ data.features / weights.sum()
    return float((weights * smooth).sum() / weights.sum()), slope


def _range_slope(sides: Array, data: Data, beyond: Array, weights: Array, inside: Array) -> Array:
    """Of both sides, (2, features), that shall each hold such a share of what came, (2,) or (2, n)."""
    pulls = []
    for side, past, share in zip(sides, (-beyond, beyond), inside, strict=True):
        half = half_widths(side, data.features)
        pulls.append(np.where(past > half, -share, 1.0 - share) * half * weights)
    result: Array = np.array(pulls) @ data.features / (weights * 8.0).sum()
    return result
