"""What actions gain, over members with weights: for the ranking, and for what is lost by acting on too little."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from service.actions.whatif import LEAST_HOT_DAYS, Ahead, gain_of, least_gain_j
from service.heat.physics.arrays import Array
from service.units.estimate import RANGE_SHARES


@dataclass(frozen=True, slots=True)
class Effects:
    """Heat [J] and hot days gained by each action that was looked ahead for, (actions, n), in the order of `names`."""

    names: tuple[str, ...]
    heat_j: Array
    hot_days: Array
    made_j: float
    days: float
    usable_j: float = 0.0

    @classmethod
    def of(cls, ahead: Ahead | None) -> Effects:
        """The effects of a look ahead; none where there was none."""
        if ahead is None or not ahead.effects:
            return cls((), np.zeros((0, 1)), np.zeros((0, 1)), 1.0, 1.0)
        both = np.array([effect.by_member for effect in ahead.effects.values()])
        return cls(tuple(ahead.effects), both[:, 0], both[:, 1], ahead.made_j, float(ahead.days[-1]), ahead.usable_j)

    def gains(self, weights: Array) -> dict[str, float]:
        """Share of the heap's heat each action gains, as `Ahead.gains`, over members with weights."""
        return self._gains(_thirds(np.concatenate([self.heat_j, self.hot_days]), weights)) if self.names else {}

    def gains_if_off(self, weights: Array, share: float) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
        """The same as it is, and with all heat and hot days less, and more, by a share of half their ranges."""
        thirds = _thirds(np.concatenate([self.heat_j, self.hot_days]), weights)
        off = share * 0.5 * (thirds[2] - thirds[0])
        return self._gains(thirds), self._gains(thirds - off), self._gains(thirds + off)

    def _gains(self, thirds: Array) -> dict[str, float]:
        heat, hot = np.split(thirds, 2, axis=1)
        shares = np.maximum(heat[1] / self.made_j if self.made_j > 0 else 0.0 * heat[1], hot[1] / self.days)
        small = (heat[1] < least_gain_j(self.usable_j)) & (hot[1] < LEAST_HOT_DAYS)
        return {
            name: gain_of(
                (float(heat[0, place]), float(heat[1, place])),
                (float(hot[0, place]), float(hot[1, place])),
                float(shares[place]),
                small=bool(small[place]),
            )
            for place, name in enumerate(self.names)
        }

    def expected(self, weights: Array) -> dict[str, float]:
        """Expected share of the heap's heat, or of hot days where that is more, that each action gains."""
        if not self.names:
            return {}
        total = weights.sum()
        heat, hot = self.heat_j @ weights / total, self.hot_days @ weights / total
        shares = np.maximum(heat / self.made_j if self.made_j > 0 else 0.0 * heat, hot / self.days)
        return dict(zip(self.names, shares.tolist(), strict=True))


def _thirds(values: Array, weights: Array) -> Array:
    """10, 50 and 90 % points of each row, (3, rows), straight between middles of weight."""
    order = np.argsort(values, axis=1)
    ordered, weight = np.take_along_axis(values, order, axis=1), weights[order]
    middles = (np.cumsum(weight, axis=1) - 0.5 * weight) / weights.sum()
    rows, last = np.arange(len(values)), values.shape[1] - 1
    found = []
    for share in RANGE_SHARES:
        above = np.minimum((middles < share).sum(axis=1), last)
        below = np.maximum(above - 1, 0)
        low, high = middles[rows, below], middles[rows, above]
        part = np.clip((share - low) / np.maximum(high - low, 1e-12), 0.0, 1.0)
        found.append(ordered[rows, below] + part * (ordered[rows, above] - ordered[rows, below]))
    return np.array(found)
