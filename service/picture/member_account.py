"""The heat account member by member: every flow of now, the energy ledger, and the days ahead in strides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from service.heat.physics.ahead import strides
from service.heat.physics.arrays import Array
from service.heat.physics.balance import balance
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import PreparedHeaps
from service.heat.physics.ledger import EnergyLedger, energy
from service.heat.physics.members import degradable_left
from service.heat.physics.piles import Piles, PileState
from service.units.estimate import PileEstimate


@dataclass(frozen=True, slots=True)
class Counted:
    """The heat account of one heap by member, (n,): flows by name [W], the energy ledger, and what is stored where.

    `celsius` and `capacity` [J/K] are (4, n); `stock_j` is the heat above the goal's limit. `core_ahead_c` is the core
    on each of `ahead.DAYS` from now, (4, n).
    """

    flows: Mapping[str, Array]
    energy: EnergyLedger
    celsius: Array
    capacity: Array
    outdoor_c: Array
    degradable_left: Array
    stock_j: Array
    core_ahead_c: Array


def heat_accounts(
    estimates: Sequence[PileEstimate],
    piles: Piles,
    state: PileState,
    weather: DailyWeather,
    *,
    days: float | Array,
    keep_core_above_c: float | Array,
) -> list[Counted]:
    """Count the heat of the members of each heap, which lie side by side, equally many of each.

    `days` and `keep_core_above_c` are the goals', of all or of each column.
    """
    moment = PreparedHeaps.of(piles, state, weather)
    celsius, capacity = moment.held.celsius, moment.held.capacity
    warm = np.maximum(celsius - keep_core_above_c, 0.0)
    ahead, to_goal = strides(moment, state, days), {"days": days, "keep_core_above_c": keep_core_above_c}
    ledgers = energy(estimates, piles, state, weather, **to_goal, moment=moment, freed_j=ahead.freed_j)
    flows, stock, left = balance(moment), np.add.reduce(capacity * warm), degradable_left(piles, state)
    outdoor, n = np.broadcast_to(weather.air_c[0], stock.shape), stock.size // len(estimates)
    return [
        Counted(
            flows={name: values[own] for name, values in flows.items()},
            energy=ledger,
            celsius=celsius[:, own],
            capacity=capacity[:, own],
            outdoor_c=outdoor[own],
            degradable_left=left[own],
            stock_j=stock[own],
            core_ahead_c=ahead.core_c[:, own],
        )
        for place, ledger in enumerate(ledgers)
        for own in [slice(place * n, (place + 1) * n)]
    ]
