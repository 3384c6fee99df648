"""Heat balance of a heap at this moment on its ensemble, and the range of an ensemble's numbers."""

from __future__ import annotations

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.flows import PreparedHeaps
from service.heat.physics.members import DEFAULT_MEMBERS, members, weather_now
from service.units.estimate import RANGE_SHARES, SECONDS_PER_DAY, Estimate, PileEstimate


def balance(moment: PreparedHeaps) -> dict[str, Array]:
    """Heat and water flows of each member now, (n,), by the words of the answer.

    `made_w` is counted from decay; `ground_and_air_w` (conduction, wind, sky and draught less sunshine) and
    `evaporation_w` are lost; `air_sensible_w`, `air_latent_w` and `water_w` are drawn; `stored_w` is what the model
    leaves over. `heat_capacity_j_k` turns an observed trend of the whole heap into heat stored.
    """
    now = moment.entries()
    return {
        "made_w": now["made"],
        "ground_and_air_w": now.ground_and_air,
        "evaporation_w": now["evaporation"],
        "air_sensible_w": now["air_sensible"],
        "air_latent_w": now["air_latent"],
        "water_w": now["water"],
        "stored_w": now.stored,
        "heat_capacity_j_k": np.add.reduce(moment.held.capacity),
        "water_off_kg_day": SECONDS_PER_DAY * now["air_carried"],
    }


def balance_now(estimate: PileEstimate, n: int = DEFAULT_MEMBERS) -> dict[str, Array]:
    """`balance` of a fresh ensemble of this estimate, in its present weather."""
    piles, state, _ = members(estimate, n)
    return balance(PreparedHeaps.of(piles, state, weather_now(estimate, n)))


def of_members(values: Array) -> Estimate:
    """Median and 80 % range of an ensemble of equal weights."""
    low, median, high = quantiles(values)
    return Estimate(median, low, high, "derived")


def quantiles(values: Array, weights: Array | None = None) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points of an ensemble's values, (n,); equal weights unless given."""
    if weights is None:
        ordered = np.sort(values).tolist()
        low, median, high = (_between(ordered, share) for share in RANGE_SHARES)
        return low, median, high
    order = np.argsort(values)
    ordered, weight = values[order], weights[order]
    middles = np.cumsum(weight) - 0.5 * weight
    low, median, high = np.interp(np.array(RANGE_SHARES) * weight.sum(), middles, ordered).tolist()
    return low, median, high


def _between(ordered: list[float], share: float) -> float:
    """The point of a sorted list with this share below it, straight between neighbours (middles of ranks)."""
    place = share * len(ordered) - 0.5
    below = min(max(int(place), 0), len(ordered) - 1)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (max(place, 0.0) - below) * (ordered[above] - ordered[below])
