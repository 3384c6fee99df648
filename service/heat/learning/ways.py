"""The ways in which a core may go on, of which a forecast is put together."""

from __future__ import annotations

from typing import Final

import numpy as np

from service.heat.learning.situation import Situation
from service.heat.physics.arrays import Array
from service.units.figures import figure

WAYS: Final = ("stay", "model", "damped", "level", "cool", "cold", "warm")
"""As it is now; as the middle of the model's members goes; a line that flattens out; the line's own value now; cooling
towards the air outside; as the colder and as the warmer quarter of the members go."""
QUARTILES: Final = figure((0.25, 0.5, 0.75), "1", "Shares of the members whose cores `ways_k` is given", "derived")
DAMPED_DAYS: Final = figure(6.0, "days", "How long it takes a slope to fade to 1/e", "no source")
COOLED_DAYS: Final = figure(20.0, "days", "How long it takes an idle heap to cool to 1/e", "no source")


def damped_k(situation: Situation, days: Array) -> Array:
    """How far a damped line goes from now. [K]"""
    result: Array = situation.slope * DAMPED_DAYS * -np.expm1(-days / DAMPED_DAYS)
    return result


def ways_k(situation: Situation, days: Array, quartiles_c: Array) -> Array:
    """How far each of WAYS goes from today's reading at each lead, (ways, k). [K]

    `quartiles_c` are the QUARTILES of the model's members, (3, k).
    """
    cold, middle, warm = quartiles_c - situation.now_c
    level = np.full_like(days, situation.level_c - situation.now_c)
    cooled = (situation.outdoor_c - situation.now_c) * -np.expm1(-days / COOLED_DAYS)
    return np.array([np.zeros_like(days), middle, damped_k(situation, days), level, cooled, cold, warm])
