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
from service.units.figures import figure, figures

JOULES_PER_KWH: Final = 3.6e6
LEAST_KWH: Final = figure(8.0, "kWh", "Added to every heat before its logarithm is taken", "no source")
MORE_THAN_RUN, YOUNG_MORE, LESS_THAN_RUN = figures(
    (1.5, "1"),
    (1.5, "1"),
    (3.0, "1"),
    why="Heat told is at most and at least so many times that of the run, and so agrees with the what-ifs, "
    "which are runs of the same members; a heap that may still be getting hot is told up to so much more",
    how_known="no source",
)
MEDIUM_AGE: Final = figure(40.0, "days", "The middling age that a heap is compared with", "no source")
MEDIUM_DAYS: Final = figure(60.0, "days", "The middling time to the goal that a heap is compared with", "no source")
MEDIUM_CN: Final = figure(45.0, "1", "The middling C:N that a heap is compared with", "no source")
MEDIUM_CORE_C: Final = figure(38.0, "degC", "The middling core that a heap is compared with", "no source")
FIRST_DAYS: Final = figure(5.0, "days", "Added to a heap's age before its logarithm is taken", "no source")
OLDEST_DAYS: Final = figure(180.0, "days", "Nothing was learned of older heaps: they count as this old", "derived")
MOST_APART_K: Final = figure(20.0, "K", "A core counts as no further from the middling one than this", "no source")
FROM_MIDDLING: Final = figure(0.1, "1/K", "What each kelvin counts that a core is off the middling one", "derived")
YOUNG_DAYS: Final = figure(8.0, "days", "Scale of a heap's youth", "no source")
SETTLED_DAYS: Final = figure(
    15.0, "days", "A core says little of a heap that has not had time to get warm: scale of that time", "no source"
)
WANTED_SHARES: Final = figure(
    (1.5, 3.0),
    "1",
    "A house that one day tells of wants up to so many times what is foreseen, likely and at most: in "
    "one simulated winter of ten a third more, in one of twenty three quarters",
    "no source",
)


def tells_of(estimate: PileEstimate, days: float) -> Mapping[str, float]:
    """What tells how the run of a heap over so many days must be put right, by the table's names. [1]"""
    age = estimate.age_days
    apart_k = min(max(estimate.core_c.value - MEDIUM_CORE_C, -MOST_APART_K), MOST_APART_K)
    return {
        "always": 1.0,
        "age": log((min(age, OLDEST_DAYS) + FIRST_DAYS) / MEDIUM_AGE),
        "days": log(max(days, 1.0) / MEDIUM_DAYS),
        "lean": log(max(estimate.cn_degradable.value, 1.0) / MEDIUM_CN),
        "core": FROM_MIDDLING * apart_k * (1.0 - exp(-age / SETTLED_DAYS)),
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
