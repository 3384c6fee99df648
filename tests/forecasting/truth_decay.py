"""How fast the simulated heaps decay: factors of warmth, water and oxygen, all of other forms than the service's."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .truth_piles import Piles

Array = NDArray[np.float64]

HEAT_J_KG = np.array([16.6e6, 17.4e6, 18.6e6])[:, None, None]  # by pool: sugars, cellulose, wood with lignin
HEAT_PER_OXYGEN = 14.0e6  # J/kg
WATER_PER_DRY_MATTER = 0.56


def warmth_factor(piles: Piles, celsius: Array) -> Array:
    """Factor of temperature, each heap by its own curve; at most about 1, never below 0."""
    result = _cardinal(piles, celsius)
    other = np.flatnonzero(piles.haug_like)
    shifted = celsius[:, other] - piles.shift_k[other]
    result[:, other] = _two_exponentials(np.log(piles.warm_base[other]), np.log(piles.hot_base[other]), shifted)
    return result


def _two_exponentials(warm: Array, hot: Array, celsius: Array) -> Array:
    """Growth less killing, exp(warm (T - 20)) - exp(hot (T - 60)), scaled to 1 at its peak."""
    best = (np.log(warm / hot) - 20.0 * warm + 60.0 * hot) / (hot - warm)
    peak = np.exp(warm * (best - 20.0)) - np.exp(hot * (best - 60.0))
    result: Array = np.maximum(np.exp(warm * (celsius - 20.0)) - np.exp(hot * (celsius - 60.0)), 0.0) / peak
    return result


def _cardinal(piles: Piles, celsius: Array) -> Array:
    """The cardinal temperature form with the heap's own three temperatures (Rosso et al. 1993)."""
    low, best, high = piles.coldest_c, piles.best_c, piles.hottest_c
    t = np.clip(celsius, low, high)
    span = best - low
    below = span * (span * (t - best) - (best - high) * (best + low - 2.0 * t))
    result: Array = (t - high) * (t - low) ** 2 / below
    return result


def water_factor(piles: Piles, wetness: Array) -> Array:
    """Factor of water per dry matter: half at the heap's thirst, a Hill curve of order 4."""
    ratio = (wetness / piles.thirst) ** 2
    ratio = ratio * ratio
    result: Array = ratio / (1.0 + ratio)
    return result


def vapour_activity(wetness: Array) -> Array:
    """Relative humidity of pore air over material of this wetness: 0.66 at 0.2 kg/kg, 0.99 at 0.5."""
    result: Array = 1.0 - np.exp(-12.0 * np.maximum(wetness, 0.0) ** 1.5)
    return result


def oxygen_levels(exchange: Array, demand: Array, before: Array, half: Array) -> Array:
    """Oxygen over that of fresh air in each shell, steady: what comes in through the faces is used.

    The saturation in the use is taken at the level before, so the system is linear; it settles over a few steps.

    Parameters
    ----------
    exchange
        Oxygen carried through each outer face per unit of level, (shells, n). [kg/s]
    demand
        Oxygen use in fresh air. [kg/s]
    """
    use = demand * (1.0 + half) / (before + half)
    pivot, right = [exchange[0] + use[0]], [np.zeros_like(half)]
    shells = len(exchange)
    for shell in range(1, shells):
        inner = exchange[shell - 1]
        ratio = inner / pivot[-1]
        pivot.append(inner * (1.0 - ratio) + exchange[shell] + use[shell])
        right.append(np.zeros_like(half))
    right[-1] = exchange[-1]
    result = np.empty_like(exchange)
    result[-1] = right[-1] / pivot[-1]
    for shell in range(shells - 2, -1, -1):
        result[shell] = exchange[shell] * result[shell + 1] / pivot[shell]
    return result


def oxygen_factor(level: Array, half: Array) -> Array:
    """Factor of the oxygen level, 1 in fresh air."""
    result: Array = (1.0 + half) * level / (level + half)
    return result


def pool_rates(piles: Piles, pools: Array, start: Array) -> Array:
    """Dry matter lost from each pool at the best of all, (3, shells, n). [kg/s]

    The fast pool decays at almost a constant rate while there is plenty, and then stops rather suddenly; the others
    in proportion to what is left.
    """
    result = piles.rates_per_s[:, None, :] * pools
    left = pools[0] / start
    result[0] *= (1.0 + piles.exhaustion) / (left + piles.exhaustion)
    return result
