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
from service.heat.tempering import tempered
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
FEWEST_LEFT: Final = figure(
    0.25,
    "1",
    "Share of the members that a log leaves in the count at least: 1 over the sum of squared weights",
    "no source",
)
NEVER: Final = np.inf
"""Days until the core is too cool where it is not within those looked at."""
AT_THE_LIMIT_K: Final = figure(1e-6, "K", "A core that reads the limit itself is not below it", "no source")


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


def days_until_below(days: Array, told_c: Array, limit_c: float) -> Array:
    """Days until each core as told, (k, n), is below the limit, (n,): 0 where it is so now, infinite where it never is.

    `days` (k,) begin now. The doubt of a reading that is at the limit does not put half the members below it already.
    """
    below = told_c < limit_c
    if np.median(told_c[0]) >= limit_c - AT_THE_LIMIT_K:
        below[0] = False
    first: Array = np.where(below.any(axis=0), days[below.argmax(axis=0)], NEVER)
    return first


def log_weights(core_c: Array, facts: Facts) -> Array | None:
    """Weights of members by the core's slope as read against what each has the core do in the next day, (n,), sum 1.

    None where no slope was read, or where it is that of another draw: pump or fan ran until it was found standing.
    """
    if "core_trend_k_per_day" not in facts or facts.get("drawn_until_stopped") is True:
        return None
    error = np.hypot(MODEL_SLOPE_SD_K_DAY, float(facts["core_trend_error_k_per_day"]))
    distance = (core_c[1] - core_c[0] - float(facts["core_trend_k_per_day"])) / error
    likelihood = -0.5 * (TAIL + 1.0) * np.log1p(distance * distance / TAIL)
    return tempered(likelihood, FEWEST_LEFT * likelihood.size)
