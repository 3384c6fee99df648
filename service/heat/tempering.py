"""Weights of members by how likely each made what was read, flattened so far that enough of them count."""

from __future__ import annotations

from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.units.figures import figure

FLATTENED: Final = figure(0.8, "1", "Each step towards even weights takes this share of the log's say", "no source")
MOST_FLATTENINGS: Final = figure(24, "1", "So many of those steps leave next to none of the log's say", "no source")


def tempered(likelihood: Array, fewest: float) -> Array:
    """Weights (sum 1) from logarithmic likelihoods, (n,); flattened until no fewer than `fewest` members count.

    How many count is 1 over the sum of squared weights. What hardly any member fits tells of what the members do not
    know, not that the one nearest to it is right.
    """
    flatter = 1.0
    for _ in range(MOST_FLATTENINGS):
        weights = np.exp(flatter * (likelihood - likelihood.max()))
        weights /= weights.sum()
        if 1.0 / np.square(weights).sum() >= fewest:
            break
        flatter *= FLATTENED
    result: Array = weights
    return result
