"""The ways in which a core may go on, of which a forecast is put together."""

from __future__ import annotations

from typing import Final

import numpy as np

from service.heat.learning.situation import Situation
from service.heat.physics.arrays import Array
from service.units.figures import figure

WAYS: Final = ("stay", "model", "damped", "level", "cool")
"""As it is now; as the members of the model go; a line that flattens out; the line's own value now; cooling towards
the air outside."""
DAMPED_DAYS: Final = figure(6.0, "days", "How long it takes a slope to fade to 1/e", "no source")
COOLED_DAYS: Final = figure(20.0, "days", "How long it takes an idle heap to cool to 1/e", "no source")


def damped_k(situation: Situation, days: Array) -> Array:
    """How far a damped line goes from now. [K]"""
    result: Array = situation.slope * DAMPED_DAYS * -np.expm1(-days / DAMPED_DAYS)
    return result


def ways_k(situation: Situation, days: Array, model_c: Array) -> Array:
    """How far each of WAYS goes from today's reading at each lead, (ways, k). [K]

    `model_c` is the median of the model's members.
    """
    level = np.full_like(days, situation.level_c - situation.now_c)
    cooled = (situation.outdoor_c - situation.now_c) * -np.expm1(-days / COOLED_DAYS)
    return np.array([np.zeros_like(days), model_c - situation.now_c, damped_k(situation, days), level, cooled])
