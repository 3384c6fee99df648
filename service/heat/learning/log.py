"""The log of a heap as the model reads it: core readings up to now, and what was drawn while they were taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.spread import EIGHTY_PERCENT
from service.units.estimate import PileEstimate
from service.units.figures import figure

WINDOW_DAYS: Final = figure(
    7.0,
    "days",
    "Readings older than this mislead a model of four nodes more than they teach it: chosen on simulated heaps",
    "derived",
)
FEWEST: Final = figure(
    3, "readings", "Where the window holds fewer than so many readings, older ones are used", "no source"
)
OLDEST_DAYS: Final = figure(
    21.0, "days", "Readings up to this age are used where the window holds too few", "no source"
)
PROBE_SD_K: Final = figure(1.2, "K", "Standard error of a reading, placement included (common practice)", "no source")


@dataclass(frozen=True, slots=True)
class Log:
    """Readings of the core, oldest first and now's last: days (0 or less), values and standard errors [degC, K].

    `shared_k` is the standard error that all of them have in common: of a probe that does not reach the middle.
    """

    days: Array
    core_c: Array
    errors_k: Array
    shared_k: float

    @property
    def length_days(self) -> float:
        """From the first reading to now, in whole days."""
        return float(np.ceil(-self.days[0]))


def counted_log(estimate: PileEstimate) -> Log:
    """The readings that count: those of the last week, or the last three; now's alone where there are no others."""
    now = estimate.core_c
    middle, half_range = 0.5 * (now.low + now.high), 0.5 * (now.high - now.low)
    pairs = [(-days, core) for days, core in estimate.history if 0.0 < days <= OLDEST_DAYS]
    recent = [pair for pair in pairs if pair[0] >= -WINDOW_DAYS]
    kept = recent if len(recent) + 1 >= FEWEST else pairs[-(FEWEST - 1) :]
    days, core = np.array([*kept, (0.0, now.value)], dtype=np.float64).T
    errors = np.full(days.size, PROBE_SD_K)
    raised = middle - now.value
    errors[-1] = max((half_range - abs(raised)) / EIGHTY_PERCENT, PROBE_SD_K)
    return Log(days, core + raised, errors, abs(raised))
