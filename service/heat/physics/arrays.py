"""The one array type of the heat model."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def along(values: Array, shares: Sequence[float]) -> Array:
    """Points of each row at shares of its members, (shares, rows), straight between: a quick `np.quantile`."""
    ordered = np.sort(values, axis=-1)
    places = np.multiply(shares, values.shape[-1] - 1.0)
    below = places.astype(np.intp)
    part = (places - below)[:, None]
    low, high = ordered[:, below].T, ordered[:, np.minimum(below + 1, values.shape[-1] - 1)].T
    result: Array = low + part * (high - low)
    return result


def flow_or_usual(flow_kg_s: Array, usual_kg_s: float) -> Array:
    """The flow while running; the usual one where pump or fan is off or was not told. [kg/s]"""
    result: Array = np.where(flow_kg_s > 0.0, flow_kg_s, usual_kg_s)
    return result
