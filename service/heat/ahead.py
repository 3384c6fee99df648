"""What the present course leads to in the next days, as facts that the rules judge by, and members weighed by the log.

Every answer has it, with what-ifs or without, from the same members: so both judge alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from rules.language.conditions import Facts
from service.heat.physics.ahead import DAYS
from service.heat.physics.arrays import Array
from service.units.figures import figure

MODEL_SLOPE_SD_K_DAY: Final = figure(
    1.2, "K/day", "How far the past slope of a core strays from what its own member has it do next", "no source"
)
TAIL: Final = figure(
    4.0,
    "1",
    "Degrees of freedom of that error: heavy tails, so that a strange log leaves more than one member",
    "no source",
)
NEVER: Final = np.inf
"""Days until the core is too cool where it is not within those looked at."""


@dataclass(frozen=True, slots=True)
class Falls:
    """How far the core falls in 3 and 7 days [K, below 0 where it rises], and days until it is below the limit, (n,).

    0 where the core is below the limit already; a core that stays above it for the days looked at never gets there.
    """

    in_3_days_k: Array
    in_7_days_k: Array
    until_cool_days: Array


def falls_of(core_c: Array, limit_c: float | Array) -> Falls:
    """The falls of cores told for each of `DAYS`, (4, n)."""
    now, _, third, seventh = core_c
    until = np.full(now.shape, NEVER)
    for place in range(len(DAYS) - 1, 0, -1):
        before, after = core_c[place - 1], core_c[place]
        crosses = (before >= limit_c) & (after < limit_c)
        share = (before - limit_c) / np.maximum(before - after, 1e-9)
        until = np.where(crosses, DAYS[place - 1] + share * (DAYS[place] - DAYS[place - 1]), until)
    return Falls(now - third, now - seventh, np.where(now >= limit_c, until, 0.0))


def log_weights(core_c: Array, facts: Facts) -> Array | None:
    """Weights of members by the core's slope as read against what each has the core do in the next day, (n,), sum 1.

    None where no slope was read, or where it is that of another draw: pump or fan ran until it was found standing.
    """
    if "core_trend_k_per_day" not in facts or facts.get("drawn_until_stopped") is True:
        return None
    error = np.hypot(MODEL_SLOPE_SD_K_DAY, float(facts["core_trend_error_k_per_day"]))
    distance = (core_c[1] - core_c[0] - float(facts["core_trend_k_per_day"])) / error
    weights = (1.0 + distance * distance / TAIL) ** (-0.5 * (TAIL + 1.0))
    result: Array = weights / weights.sum()
    return result
