"""The core a few days ahead in three strides: a rough look, cheap enough for every answer.

Masses and weather are held as they are now, and of each step of the heat model (see `kernel`) only its linearised half
is taken. `tests/physics/test_ahead.py` holds it to runs of half a day.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.flows import Moment
from service.heat.physics.kernel import aim, bounded_draw
from service.heat.physics.step import DAY_S

STRIDES_DAYS: Final = (1.0, 2.0, 4.0)
DAYS: Final = (0.0, 1.0, 3.0, 7.0)
"""Days from now at which the core is told: now, and after each stride."""


def core_ahead(moment: Moment) -> Array:
    """The core now and after 1, 3 and 7 days if nothing is changed, (4, n). [degC]"""
    fixed, held = moment.fixed, moment.held
    core = [held.celsius[0]]
    for days in STRIDES_DAYS:
        seconds = days * DAY_S
        _, celsius = aim(bounded_draw(fixed, held, seconds), held, seconds)
        held = replace(held, celsius=celsius)
        core.append(celsius[0])
    return np.array(core)
