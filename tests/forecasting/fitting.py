"""Weights of the ways and half-widths of the range, fitted to samples by a smooth descent, alike in every run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SMOOTH_K: Final = 0.5
STEPS, RATE, SHRINK = 1500, 0.03, 1e-3
LOW_SHARE, HIGH_SHARE = 0.055, 0.92
"""Wider than 80 %, the more so below: what falls, falls far, and new heaps are held less than those learned from (our
own)."""
NARROWEST_K: Final = 0.5


@dataclass(frozen=True, slots=True)
class Data:
    """Every sample at every lead of which is known what came, a row each: (n, ways), (n, features), what came less now,
    (n,), and weights, (n,)."""

    ways: Array
    features: Array
    came: Array
    weights: Array


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
    ways = _descend(lambda c: _error_slope(c, data), np.zeros((data.ways.shape[1] - 1, data.features.shape[1])))
    said = middle(ways, data)
    start = np.zeros(data.features.shape[1])
    start[0] = 1.5
    below = _descend(lambda c: _range_slope(c, data, said - data.came, 1.0 - LOW_SHARE), start)
    above = _descend(lambda c: _range_slope(c, data, data.came - said, HIGH_SHARE), start)
    return Fitted(ways, below, above)


def _descend(slope: Callable[[Array], Array], start: Array) -> Array:
    value, mean, square = start.copy(), np.zeros_like(start), np.zeros_like(start)
    for step in range(1, STEPS + 1):
        g = slope(value) + SHRINK * value
        mean, square = 0.9 * mean + 0.1 * g, 0.99 * square + 0.01 * g * g
        rate = RATE * min(1.0, 3.0 * (1.0 - step / (STEPS + 1)))
        value = value - rate * (mean / (1.0 - 0.9**step)) / (np.sqrt(square / (1.0 - 0.99**step)) + 1e-6)
    return value


def _error_slope(coefficients: Array, data: Data) -> Array:
    weight = shares(coefficients, data.features)
    said = (weight * data.ways).sum(axis=1)
    gap = said - data.came
    pull = data.weights * gap / np.sqrt(gap * gap + SMOOTH_K**2)
    each = weight * (data.ways - said[:, None]) * pull[:, None]
    result: Array = each[:, 1:].T @ data.features / data.weights.sum()
    return result


def _range_slope(coefficients: Array, data: Data, beyond: Array, share: float) -> Array:
    half = half_widths(coefficients, data.features)
    pull = np.where(beyond > half, -share, 1.0 - share) * half * data.weights
    result: Array = pull @ data.features / (data.weights * 8.0).sum()
    return result
