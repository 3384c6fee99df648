"""What a plan is told to bring: heat of the members' run, put right by what runs and winters had to do with each other.

The heat told is a power of the run's times a factor for what else tells of the heap, held near the run; see
`rules/tables/plan_heat.py`. The run that counts is of the members once the work that is advised is done.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log
from typing import Final

from rules.tables.plan_heat import LEAST, MEAN, MOST, RUN_POWER
from service.units.estimate import Estimate, PileEstimate

JOULES_PER_KWH: Final = 3.6e6
LEAST_KWH: Final = 8.0
"""Added to every heat before its logarithm is taken [kWh] (our own)."""
MORE_THAN_RUN, YOUNG_MORE, LESS_THAN_RUN = 1.5, 1.5, 3.0
"""Heat told is at most and at least so many times that of the run, and so agrees with the what-ifs, which are runs of
the same members; a heap that may still be getting hot is told up to so much more [1] (our own)."""
MEDIUM_AGE, MEDIUM_DAYS, MEDIUM_CN, MEDIUM_CORE_C = 40.0, 60.0, 45.0, 38.0
FIRST_DAYS, OLDEST_DAYS = 5.0, 180.0
MOST_APART_K: Final = 20.0
YOUNG_DAYS, SETTLED_DAYS = 8.0, 15.0
"""Scales of what tells of a heap: a core says little of a heap that has not had time to get warm (our own); nothing was
learned of heaps older than OLDEST_DAYS."""
WANTED_SHARES: Final = (1.5, 3.0)
"""A house that one day tells of wants up to so many times what is foreseen, likely and at most: in one simulated winter
of ten a third more, in one of twenty three quarters (our own)."""


def tells_of(estimate: PileEstimate, days: float) -> Mapping[str, float]:
    """What tells how the run of a heap over so many days must be put right, by the table's names. [1]"""
    age = estimate.age_days
    apart_k = min(max(estimate.core_c.value - MEDIUM_CORE_C, -MOST_APART_K), MOST_APART_K)
    return {
        "always": 1.0,
        "age": log((min(age, OLDEST_DAYS) + FIRST_DAYS) / MEDIUM_AGE),
        "days": log(max(days, 1.0) / MEDIUM_DAYS),
        "lean": log(max(estimate.cn_degradable.value, 1.0) / MEDIUM_CN),
        "core": 0.1 * apart_k * (1.0 - exp(-age / SETTLED_DAYS)),
    }


def youth(estimate: PileEstimate) -> float:
    """1 for a heap that was just built, fading as it gets hot. [1]"""
    return exp(-estimate.age_days / YOUNG_DAYS)


def told_kwh(run_kwh: float, young: float, tells: Mapping[str, float], coefficients: Mapping[str, float]) -> float:
    """Heat told of a run by what was learned, never far from the run itself. [kWh]"""
    told = sum(coefficients[name] * value for name, value in tells.items())
    learned: float = exp(told) * (run_kwh + LEAST_KWH) ** RUN_POWER - LEAST_KWH
    return min(max(learned, run_kwh / LESS_THAN_RUN), run_kwh * (MORE_THAN_RUN + YOUNG_MORE * young))


def brings(run_j: float, estimate: PileEstimate, days: float, wanted_j: float) -> Estimate:
    """Useful heat with its range, from the mean of a run over so many days; no more than the house may want. [J]"""
    middle = told_kwh(run_j / JOULES_PER_KWH, youth(estimate), tells_of(estimate, days), MEAN)

    def within(kwh: float, most_j: float) -> float:
        return min(max(kwh, 0.0) * JOULES_PER_KWH, most_j)

    likely_j, most_j = (share * wanted_j for share in WANTED_SHARES)
    return Estimate(
        within(middle, likely_j),
        within(LEAST * (middle + LEAST_KWH) - LEAST_KWH, likely_j),
        within(MOST * (middle + LEAST_KWH) - LEAST_KWH, most_j) if run_j > 0.0 else 0.0,
        "derived",
    )
