"""Heat a house needs, hour by hour and night by night, three times over: most likely, in the best case, in the worst.

The best case is a tight house in a mild winter with a low target; the worst the contrary.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.planning.climate import Climate
from service.planning.house import HouseLoss, Targets
from service.planning.ranges import three
from service.units.estimate import Estimate

CASES: Final = ("value", "low", "high")
_WARMER: Final = {"value": 0.0, "low": 1.0, "high": -1.0}


@dataclass(frozen=True, slots=True)
class Demand:
    """Need of each hour in the three cases, (3, hours) [W], and kelvins below the target by night and by day.

    `night_kelvins` and `day_kelvins` are (3, hours) too; times the loss per kelvin they are the need.
    """

    climate: Climate
    need_w: Array
    night_kelvins: Array
    day_kelvins: Array

    def by_night(self, hourly: Array) -> Array:
        """Sums of an hourly series, (…, hours), over each night and the half days beside it, (…, nights)."""
        night = self.climate.night_of_hour
        starts = np.flatnonzero(np.diff(night, prepend=-1))
        result: Array = np.add.reduceat(hourly, starts, axis=-1)
        return result

    def total(self, hourly: Array) -> Estimate:
        """The sum of an hourly series, (3, hours)."""
        return three(hourly.sum(axis=-1).tolist())


def demand_of(loss: HouseLoss, targets: Targets, climate: Climate) -> Demand:
    """The need of every hour; by day none where no temperature is asked for then, for the sun is left to do it."""
    night = climate.is_night
    kelvins_night, kelvins_day, need = [], [], []
    for case in CASES:
        air = climate.air_c + _WARMER[case] * climate.doubt_k
        by_night = night * np.maximum(getattr(targets.night_c, case) - air, 0.0)
        by_day = np.zeros_like(air)
        if targets.day_c is not None:
            by_day = (1.0 - night) * np.maximum(targets.day_c - air, 0.0)
        kelvins_night.append(by_night)
        kelvins_day.append(by_day)
        need.append(getattr(loss.by_night, case) * by_night + getattr(loss.by_day, case) * by_day)
    return Demand(climate, np.array(need), np.array(kelvins_night), np.array(kelvins_day))


def coldest_need(loss: HouseLoss, targets: Targets, outdoor_c: Estimate) -> Estimate:
    """Heat needed in the coldest night, Q = (U A + n V c + F P)(T_inside - T_outside). [W]"""
    return need_at(loss.by_night, targets, outdoor_c)


def need_at(loss_w_k: Estimate, targets: Targets, outdoor_c: Estimate) -> Estimate:
    """Heat that a loss per kelvin takes in that cold; never below 0. [W]"""
    inside = targets.night_c
    return three(
        [
            loss_w_k.value * max(inside.value - outdoor_c.value, 0.0),
            loss_w_k.low * max(inside.low - outdoor_c.high, 0.0),
            loss_w_k.high * max(inside.high - outdoor_c.low, 0.0),
        ]
    )
