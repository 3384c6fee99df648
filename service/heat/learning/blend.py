"""The core as it is told: a weighted mean of the ways it may go on, and the members spread about it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from rules.tables.forecast import FORECAST
from service.heat.learning.situation import FEATURES, NOT_CHANGED_DAYS, Situation
from service.heat.learning.ways import QUARTILES, WAYS, damped_k, ways_k
from service.heat.physics.arrays import Array, along
from service.heat.physics.spread import points
from service.units.estimate import HIGH_SHARE, LOW_SHARE
from service.units.figures import figure, figures

NARROWEST_K, WIDEST_LOG = figures(
    (0.5, "K"),
    (4.5, "1"),
    why="Bounds of the half-width of a range: of no probe is more known, and e to the 4.5 K is wide enough",
    how_known="no source",
)
BELOW_AIR_K: Final = figure(
    5.0, "K", "No core goes further below the air outside, its usual swings counted", "no source"
)
HOTTEST_C: Final = figure(
    85.0,
    "degC",
    "No core goes further up by rot alone; fire is no matter of this forecast (common practice)",
    "no source",
)
EMPTIED_DAYS, EMPTIED_FROM_K, EMPTIED_OVER_K = figures(
    (3.0, "days"),
    (6.0, "K"),
    (6.0, "K"),
    why="From a fall by EMPTIED_FROM_K in EMPTIED_DAYS on, of even the warmest members, the model alone is "
    "believed by and by, and wholly EMPTIED_OVER_K further on (a heap of 1 to 2 t that nobody draws from "
    "falls by 1 to 2 K a day)",
    how_known="no source",
)
STOOD_DAYS: Final = figure(
    2.0, "days", "A heap that is told to have been drawn so for so long has stood it", "no source"
)
OWN_K: Final = figure(
    1.0, "K", "An error that each member has to itself, so that no range hangs on members that agree", "no source"
)


def told_core(situation: Situation, days: Array, modelled: Array, doubt_k: float) -> Array:
    """The members' cores as they should be told, (k, n). [degC]

    Their median is the weighted mean of WAYS, their 10 and 90 % points the learned range; the order of the members
    at a lead stays that of the model.

    Parameters
    ----------
    modelled
        The members' cores with their misfit, (k, n). [degC]
    doubt_k
        By how much today's reading is more doubtful than an ordinary one, half of its 80 % range. [K]
    """
    low, cold, median, warm, high = along(modelled, (LOW_SHARE, *QUARTILES, HIGH_SHARE))
    features = situation.features(days, median - situation.now_c, damped_k(situation, days), 0.5 * (high - low))
    centre = situation.now_c + (shares(features) * ways_k(situation, days, np.array([cold, median, warm]))).sum(axis=0)
    centre = centre + model_alone(situation, days, high) * (median - centre)
    below, above = (np.hypot(half_width(side, features), doubt_k) for side in (_BELOW, _ABOVE))
    apart = modelled - median[:, None] + OWN_K * points("unexplained", modelled.shape[1]).normals
    apart = apart - along(apart, (0.5,)).T
    least, most = along(apart, (LOW_SHARE, HIGH_SHARE))
    told = centre[:, None] + np.where(apart < 0.0, apart * (below / -least)[:, None], apart * (above / most)[:, None])
    coldest = min(situation.now_c, situation.outdoor_c) - BELOW_AIR_K
    hottest = max(situation.now_c + BELOW_AIR_K, HOTTEST_C)
    result: Array = np.clip(told, coldest, hottest)
    return result


def model_alone(situation: Situation, days: Array, high_c: Array) -> float:
    """How far the model alone is believed, 0 to 1.

    Wholly where what drew is found standing, for it alone knows of the draw that has ended; else as in `emptying`.
    """
    return 1.0 if situation.stopped else emptying(situation, days, high_c)


def emptying(situation: Situation, days: Array, high_c: Array) -> float:
    """How surely the draw empties the heap within days, 0 to 1.

    No idle heap cools by EMPTIED_FROM_K in EMPTIED_DAYS by itself: where even the warmest tenth of the members
    (`high_c` at `days`) falls so fast, more is drawn than is stored and made, and what cores usually do says nothing.
    That is believed only of heat that was measured, by an outlet; what the model guesses of a loop is no fact. And a
    heap that has stood the draw for days, or whose log has, outranks the model: then the draw is not what was told.
    """
    if not situation.draw_read or STOOD_DAYS <= situation.draw_days < NOT_CHANGED_DAYS or days[-1] <= 0.0:
        return 0.0
    seen_days = min(EMPTIED_DAYS, float(days[-1]))  # who looks less far ahead believes no less of it
    fall = situation.now_c - float(np.interp(seen_days, days, high_c))
    stood = situation.readings > 1 and situation.draw_days >= situation.log_days
    if stood and -situation.slope * seen_days < 0.5 * fall:
        return 0.0
    part = seen_days / EMPTIED_DAYS
    return float(np.clip((fall - EMPTIED_FROM_K * part) / (EMPTIED_OVER_K * part), 0.0, 1.0))


def shares(features: Array) -> Array:
    """Weight of each of WAYS at each lead, (ways, k); they sum to 1."""
    logits = _WAYS @ features
    powers = np.exp(logits - logits.max(axis=0))
    result: Array = powers / powers.sum(axis=0)
    return result


def half_width(side: Array, features: Array) -> Array:
    """Half-width of the range on one side, by its coefficients, at each lead, (k,). [K]"""
    result: Array = np.exp(np.clip(side @ features, np.log(NARROWEST_K), WIDEST_LOG))
    return result


def _row(coefficients: Mapping[str, float]) -> Array:
    return np.array([coefficients.get(name, 0.0) for name in FEATURES])


_WAYS: Final = np.array([_row(FORECAST.ways.get(name, {})) for name in WAYS])
_BELOW: Final = _row(FORECAST.below)
_ABOVE: Final = _row(FORECAST.above)
"""Coefficients in the order of FEATURES, made once."""
