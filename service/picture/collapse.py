"""What the members that fit the log say of the next week, where it is worse than the account lets one expect."""

from __future__ import annotations

from typing import Final

import numpy as np

from rules.tables.thresholds import FALLS_IN_A_WEEK, FALLS_IN_THREE_DAYS
from service.heat.ahead import falls_of
from service.heat.learning.learned import Learned
from service.heat.physics.ahead import DAYS
from service.heat.physics.kernel import simulate

WEEK_DAYS: Final = DAYS[-1]
STEP_H: Final = 24.0
"""As in `whatif`, so that this is the beginning of the outlook that is told. [h]"""


def collapse_by(heap: Learned, limit_c: float) -> dict[str, float]:
    """The facts of a collapse that the outlook will show; none where it shows no collapse."""
    run = simulate(heap.piles, heap.state, heap.weather(WEEK_DAYS), WEEK_DAYS, STEP_H)
    told_c = heap.told_core(run.days, run.core_c)
    median = np.median(told_c, axis=1)
    falls = falls_of(median[[int(day) for day in DAYS], None], limit_c)
    told = {
        "fall_3_days_k": (float(falls.in_3_days_k[0]), FALLS_IN_THREE_DAYS.value),
        "fall_7_days_k": (float(falls.in_7_days_k[0]), FALLS_IN_A_WEEK.value),
    }
    found = {name: value for name, (value, limit) in told.items() if value >= limit}
    below = told_c < limit_c
    first = np.sort(np.where(below.any(axis=0), run.days[below.argmax(axis=0)], np.inf))
    until = float(first[(first.size - 1) // 2])  # as the outlook tells it
    return found | ({"days_until_cool": until} if 0.0 < until <= WEEK_DAYS else {})
