"""Fit the forecast's table to the kinds of heaps that are known beforehand, on heaps its weights were not learned on.

`python -m tests.forecasting.calibration` after `training`, from the top of the repository; ten minutes. Few numbers
are fitted: by how much the range of each kind is wider or narrower, near and far, so that it holds 80 % with the least
interval score, and how far each way is believed of plateaus. What comes out is to be judged on fresh
seeds.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import Final

import numpy as np

from rules.tables.forecast import FORECAST
from service.heat.learning.situation import FEATURES
from service.heat.learning.ways import WAYS
from tests.forecasting.changed import changed_logs
from tests.forecasting.fitting import Array, Data, Fitted, calibrated
from tests.forecasting.kinds import NEWBORN_DAYS
from tests.forecasting.newborn import newborn_samples
from tests.forecasting.samples import TRUTHS, Sample, learned_versions, samples_of
from tests.forecasting.training import TABLE, litter_samples, stacked, written
from tests.measured import litter

SEED, HEAPS = 4121, 150
YOUNG_SEED, YOUNG_HEAPS = 4122, 240
CHANGED_SEED, CHANGED_HEAPS = 4123, 200
NEWBORN_SEED, NEWBORN_HEAPS = 4124, 50
WAYS_BY: Final = ("plateau", "plateau_lead")
RANGE_BY: Final = (
    "always",
    "lead",
    "no_log",
    "no_log_lead",
    "newborn",
    "newborn_lead",
    "young",
    "young_lead",
    "young_hot",
    "young_cool",
    "plateau",
    "plateau_lead",
    "calm",
    "calm_lead",
    "draw_changed",
    "changed_lead",
)
"""Features whose coefficients are fitted anew."""
INSIDE: Final = np.array([0.945, 0.88])
"""Shares that each side of the range shall hold: 80 % in all where cells that are held too seldom are widened, and more
below, for what falls, falls far."""
INSIDE_NEWBORN: Final = np.array([0.945, 0.97])
"""Of newborn heaps more, most of all upwards: those with published milestones warm up faster than made-up ones."""


def calibration_samples(heaps: int) -> list[Sample]:
    """Samples of all truths, of more young heaps, and of the open half of the litter stack."""
    found: list[Sample] = []
    for truth, make in TRUTHS.items():
        told = make(SEED, heaps) + [log for log in make(YOUNG_SEED, YOUNG_HEAPS) if log.kind == "young"]
        told += changed_logs(truth, CHANGED_SEED, CHANGED_HEAPS)
        found += samples_of(truth, told, learned_versions)
        found += newborn_samples(truth, NEWBORN_SEED, NEWBORN_HEAPS)
    return found + litter_samples(litter.TUNING, learned_versions)


def fitted_now() -> Fitted:
    """What the table holds."""
    ways = np.array([_row(FORECAST.ways.get(name, {})) for name in WAYS[1:]])
    return Fitted(ways, _row(FORECAST.below), _row(FORECAST.above))


def _row(coefficients: Mapping[str, float]) -> Array:
    return np.array([coefficients.get(name, 0.0) for name in FEATURES])


def flags(names: tuple[str, ...]) -> Array:
    """1 for the features named, 0 for the others."""
    return np.isin(FEATURES, names).astype(np.float64)


def inside_of(data: Data) -> Array:
    """What each side of the range shall hold of each row, (2, n)."""
    newborn = data.features[:, FEATURES.index("newborn")] > np.exp(-NEWBORN_DAYS / 1.5)
    result: Array = np.where(newborn, INSIDE_NEWBORN[:, None], INSIDE[:, None])
    return result


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.forecasting.calibration", description=__doc__)
    parser.add_argument("--heaps", type=int, default=HEAPS, help="simulated heaps of each truth")
    some = calibration_samples(parser.parse_args().heaps)
    data = stacked(some)
    found = calibrated(data, fitted_now(), flags(WAYS_BY), flags(RANGE_BY), inside_of(data))
    TABLE.write_text(written(found), encoding="utf-8")
    print(f"{TABLE.name}: calibrated on {len(some)} statuses")


if __name__ == "__main__":
    main()
