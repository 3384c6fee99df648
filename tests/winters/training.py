"""Fit what a plan is told to bring to what came: `python -m tests.winters.training --heaps 48 --first 300`.

Prints what stands in `rules/tables/plan_heat.py`: coefficients for the given power of the run's heat, with a log link
and errors that grow with what is told, moved so that the truths' ratios lie evenly about 1 once all is held near the
run, and the shares between which what came lay in 88 of 100 questions. Lives winters of the tuning seeds, some five
seconds a heap and truth.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Any
from unittest import mock

import numpy as np
from numpy.typing import NDArray

from rules.tables.plan_heat import RUN_POWER
from service.answer.advice import advise
from service.picture.drawplan import choice
from service.picture.drawplan.plan_yield import JOULES_PER_KWH, LEAST_KWH, brings, tells_of, told_kwh, youth
from service.units.estimate import Estimate, PileEstimate

from . import lives
from .heaps import TUNE_SEED, Heaps, build
from .musts import PLAN
from .policies import POLICIES
from .truths import TRUTHS

Array = NDArray[np.float64]
Call = tuple[Mapping[str, float], float, float]
"""What tells of the heap, its youth and the run's heat [kWh]."""
Asked = tuple[Mapping[str, float], float, float, float]
"""The same and what came [kWh]."""
STEPS, MOVES, RIDGE, OUTSIDE = 60, 20, 10.0, 0.06


def asked(heaps: Heaps, truth: str) -> list[Asked]:
    """Every question of growers who follow the plan whose plan draws anything."""
    calls: list[Call] = []
    firsts: list[Call] = []

    def listening(run_j: float, estimate: PileEstimate, days: float, wanted_j: float) -> Estimate:
        calls.append((tells_of(estimate, days), youth(estimate), run_j / JOULES_PER_KWH))
        return brings(run_j, estimate, days, wanted_j)

    def asking(*args: Any, **options: Any) -> dict[str, Any]:
        calls.clear()
        answer: dict[str, Any] = advise(*args, **options)
        if (answer["draw_plan"] or {}).get("heat"):
            firsts.append(calls[max(len(calls) - 2, 0)])  # before the last, which is of the draw as it is now
        return answer

    with mock.patch.object(choice, "brings", listening), mock.patch.object(lives, "advise", asking):
        lived = lives.live(heaps, truth, POLICIES[PLAN])
    rows = zip(firsts, lived.told_heat_kwh, strict=True)
    return [(*call, float(row[5])) for call, row in rows if row[2] > 0.0]


def fitted(tells: Array, run: Array, came: Array) -> Array:
    """Coefficients of the logarithm beside the run's power, the first unbound and the others drawn to 0."""
    known, scale = RUN_POWER * np.log(run + LEAST_KWH), came.mean()
    bound = RIDGE * np.diag(np.arange(tells.shape[1]) > 0).astype(float)
    found = np.zeros(tells.shape[1])
    for _ in range(STEPS):
        told = np.exp(tells @ found + known)
        slope = tells.T @ (came + LEAST_KWH - told) / scale - bound @ found
        found = found + np.clip(np.linalg.solve((tells * told[:, None] / scale).T @ tells + bound, slope), -1.0, 1.0)
    return found


def main() -> None:
    """Live, fit, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.winters.training", description=__doc__)
    parser.add_argument("--heaps", type=int, default=48)
    parser.add_argument("--first", type=int, default=300)
    options = parser.parse_args()
    heaps = build(TUNE_SEED, options.heaps, options.first)
    by_truth = {truth: asked(heaps, truth) for truth in TRUTHS}
    rows = [row for each in by_truth.values() for row in each]
    names = list(rows[0][0])
    tells = np.array([[row[0][name] for name in names] for row in rows])
    run, came = np.array([row[2] for row in rows]), np.array([row[3] for row in rows])
    found = fitted(tells, run, came)
    truth = np.repeat(list(by_truth), [len(each) for each in by_truth.values()])
    for _ in range(MOVES):
        coefficients = dict(zip(names, found.tolist(), strict=True))
        told = np.array([told_kwh(each[2], each[1], each[0], coefficients) for each in rows])
        ratios = {name: told[truth == name].mean() / came[truth == name].mean() for name in by_truth}
        found[0] += np.log(2.0 / (min(ratios.values()) + max(ratios.values())))
    shares = (came + LEAST_KWH) / (told + LEAST_KWH)
    print({name: round(float(value), 2) for name, value in zip(names, found, strict=True)})
    print("between", np.quantile(shares, (OUTSIDE, 1.0 - OUTSIDE)).round(2))
    print("told over came:", {name: round(float(ratio), 2) for name, ratio in ratios.items()})


if __name__ == "__main__":
    main()
