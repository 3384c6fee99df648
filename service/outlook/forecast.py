"""Where the core goes if nothing is changed: the forecast of one heap from what its grower told."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from service.heat.learning.members import learned
from service.heat.physics.arrays import Array
from service.heat.physics.kernel import simulate
from service.picture.next_week import STEP_H
from service.picture.picture import seen_in
from service.status.models import Status
from service.units.estimate import RANGE_SHARES


def forecast_core(status: Status, days: Sequence[float]) -> tuple[Array, Array, Array]:
    """Median, low and high (80 % range) of the core at each of these days ahead. [degC]"""
    heap = learned(seen_in(status).estimate)
    wanted = np.asarray(days, dtype=np.float64)
    longest = float(np.ceil(wanted.max()))
    run = simulate(heap.piles, heap.state, heap.weather(longest), max(longest, 1.0), STEP_H)
    core = heap.told_core(run.days, run.core_c)
    low, median, high = np.quantile(core, RANGE_SHARES, axis=1)
    at = [np.interp(wanted, run.days, band) for band in (median, low, high)]
    return at[0], at[1], at[2]
