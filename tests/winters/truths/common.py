"""Constants of matter that no truth may choose for itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

DRY_HEAT, WATER_HEAT, AIR_HEAT = 1500.0, 4186.0, 1006.0  # J/(kg K)
LATENT = 2.45e6  # J/kg
BURNING_HEAT = 17.5e6  # J/kg of dry matter


def humidity(celsius: Array) -> Array:
    """Water in saturated air, kg per kg of dry air (Magnus, from memory)."""
    share = np.minimum(0.006030 * np.exp(17.62 * celsius / (celsius + 243.1)), 0.65)
    result: Array = 0.622 * share / (1.0 - share)
    return result
