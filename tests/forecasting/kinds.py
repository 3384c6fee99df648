"""Kinds of heaps and weeks by which forecasts are judged: known beforehand, or seen only in hindsight."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from service.heat.learning.situation import FEATURES
from tests.forecasting.samples import LEADS, Sample

AT_7: Final = int(np.flatnonzero(LEADS == 7.0)[0])
FLAT_K, COLLAPSE_K = 5.0, 15.0  # in a week
YOUNG_DAYS = 10.0
NEWBORN_DAYS = 3.0


def _feature(each: Sample, name: str) -> float:
    return float(each.features[FEATURES.index(name), AT_7])


def _change(each: Sample) -> float:
    return float(each.came_c[AT_7] - each.now_c)


def _is_newborn(each: Sample) -> bool:
    return bool(_feature(each, "newborn") > np.exp(-NEWBORN_DAYS / 1.5))


BEFOREHAND: Final[dict[str, Callable[[Sample], bool]]] = {
    "with a log": lambda each: each.told != "single" and not _is_newborn(each),
    "one reading, no log": lambda each: each.told == "single" and not _is_newborn(each),
    "newborn": _is_newborn,
    "young": lambda each: _feature(each, "young") > np.exp(-YOUNG_DAYS / 8.0) and not _is_newborn(each),
    "above 68 degC": lambda each: each.now_c >= 68.0,
    "draw just changed": lambda each: _feature(each, "draw_changed") > np.exp(-1.0),
}
HINDSIGHT: Final[dict[str, Callable[[Sample], bool]]] = {
    "flat week (hindsight)": lambda each: each.told != "single" and abs(_change(each)) < FLAT_K,
    "collapse (hindsight)": lambda each: each.told != "single" and _change(each) < -COLLAPSE_K,
}
