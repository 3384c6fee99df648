"""What a heap covers of a house's need, night by night, and what stays for the stove."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from service.heat.physics.arrays import Array
from service.planning.climate import HOURS, NIGHT_HOURS
from service.planning.demand import CASES, Demand
from service.planning.house import HouseLoss
from service.planning.ranges import three
from service.units.estimate import Estimate
from service.units.figures import figure

OTHER_END: Final = {"value": "value", "low": "high", "high": "low"}
"""The best case of the house goes with the most of the heap, the worst with the least."""
UNBOUNDED_W: Final = figure(1e12, "W", "Stands for no bound on what duct or loop carries", "no source")


@dataclass(frozen=True, slots=True)
class Coverage:
    """Need of each night and of the day beside it, and what the heap gives to each; all (3, nights) [Wh]."""

    night_need: Array
    night_from_pile: Array
    day_need: Array
    day_from_pile: Array

    @property
    def need(self) -> Array:
        """Night and day together."""
        return self.night_need + self.day_need

    @property
    def from_pile(self) -> Array:
        """Given to night and day together."""
        return self.night_from_pile + self.day_from_pile


def coverage_of(
    demand: Demand, draw_w: Estimate, most_w: float | None, when: Literal["when_needed", "always"]
) -> Coverage:
    """What a heap with this mean draw covers.

    Parameters
    ----------
    most_w
        What fan or pump can carry at a time; None where that is not known. [W]
    when
        `when_needed`: the day's heat is kept for the hours of need, the night first; `always`: the same every hour.
    """
    night = demand.climate.is_night
    most = UNBOUNDED_W if most_w is None else most_w
    drawn = np.array([[getattr(draw_w, OTHER_END[case])] for case in CASES])
    if when == "when_needed":
        return cover_by_budget(demand, drawn, most)
    night_need, day_need = (demand.by_night(demand.need_w * part) for part in (night, 1.0 - night))
    given = np.minimum(demand.need_w, np.minimum(drawn, most))
    return Coverage(night_need, demand.by_night(given * night), day_need, demand.by_night(given * (1.0 - night)))


def cover_by_budget(demand: Demand, drawn_w: Array, most_w: float = UNBOUNDED_W) -> Coverage:
    """What is covered where each day's heat is kept for the hours of need, the night first.

    Parameters
    ----------
    drawn_w
        Mean draw around each night in the three cases, (3, nights) or (3, 1). [W]
    most_w
        What can be carried at a time. [W]
    """
    night = demand.climate.is_night
    night_need, day_need = (demand.by_night(demand.need_w * part) for part in (night, 1.0 - night))
    carried = np.minimum(demand.need_w, most_w)
    budget = drawn_w * demand.by_night(np.ones_like(night))
    to_night = np.minimum(demand.by_night(carried * night), budget)
    to_day = np.minimum(demand.by_night(carried * (1.0 - night)), budget - to_night)
    return Coverage(night_need, to_night, day_need, to_day)


def night_power(draw_w: Estimate, most_w: float | None, when: Literal["when_needed", "always"]) -> Estimate:
    """What the heap can give through a whole cold night. [W]"""
    factor = HOURS / NIGHT_HOURS if when == "when_needed" else 1.0
    most = UNBOUNDED_W if most_w is None else most_w
    return three([min(getattr(draw_w, case) * factor, most) for case in CASES])


def warmth_held(power_w: Estimate, loss: HouseLoss, outdoor_c: Estimate) -> Estimate:
    """Temperature the heap alone holds in that cold: outside + power over loss. [degC]"""
    per_k = loss.by_night
    return three(
        [
            outdoor_c.value + power_w.value / per_k.value,
            outdoor_c.low + power_w.low / per_k.high,
            outdoor_c.high + power_w.high / per_k.low,
        ]
    )


def share_left(need: Array, given: Array) -> Estimate:
    """Share of a need, (3,), that the stove must give, 0 to 1; 0 where nothing is needed."""
    shares = []
    for place in range(len(CASES)):
        wanted = float(need[place])
        shares.append(max(1.0 - float(given[place]) / wanted, 0.0) if wanted > 0.0 else 0.0)
    return three(shares)
