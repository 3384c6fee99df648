"""The members of a heap that fit its log, and what they say of the days ahead."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.estimate import PileEstimate
from service.learning import unforeseen
from service.learning.fit import MODEL_MEMORY_DAYS, TELLING_SMELLS, drawn_by_weight, fit
from service.learning.log import log_of
from service.learning.log_run import run_through
from service.learning.unforeseen import Unforeseen
from service.physics.arrays import Array
from service.physics.members import DEFAULT_MEMBERS
from service.physics.piles import Piles, State, Weather
from service.physics.spread import points

TRIED: Final = 512
"""Members that are run through the log; those that fit are kept."""
WIDENED: Final = 1.35
UNEXPLAINED_K: Final = 2.3
UNEXPLAINED_GROWS: Final = 0.3
UNEXPLAINED_NOW_DAYS: Final = 0.1
"""What the range still lacks: members stand this much further from their median, and each has an error of its own, as
after a tenth of a day today, that grows as this power of the days. Fitted on simulated heaps of a finer model, so that
the 80 % range holds 82-83 % there: a margin for all that was chosen on the same heaps."""


@dataclass(frozen=True, slots=True)
class Learned:
    """Members that fit what was told of a heap, with their weights (sum 1) and the usual weather over them.

    `misfit_k` is by how much each should read more today; it fades.
    """

    piles: Piles
    state: State
    weights: Array
    usual: Weather
    today: Unforeseen
    misfit_k: Array

    def weather(self, days: float, usual: Weather | None = None) -> Weather:
        """Weather and pace of the days ahead, member by member, about the usual."""
        return unforeseen.ahead(usual or self.usual, int(np.ceil(days)) + 1, self.today)

    def told_core(self, days: Array, core_c: Array) -> Array:
        """The core as it should be told, from the members' own at these days ahead, both (k, n). [degC]

        Its quantiles are the range of the forecast; differences between members mean nothing in it.
        """
        told = core_c + self.misfit_k * np.exp(-days / MODEL_MEMORY_DAYS)[:, None]
        median = np.median(told, axis=1, keepdims=True)
        grown = (days + UNEXPLAINED_NOW_DAYS) ** UNEXPLAINED_GROWS
        own = UNEXPLAINED_K * grown[:, None] * points("unexplained", self.misfit_k.size).normals
        result: Array = median + WIDENED * (told - median) + own
        return result


def learned(estimate: PileEstimate, n: int = DEFAULT_MEMBERS, tried: int = TRIED) -> Learned:
    """n members of equal weight that fit an estimate and its log; the same estimate gives the same members."""
    log = log_of(estimate)
    even = np.full(n, 1.0 / n)
    if log.length_days == 0.0 and estimate.smell not in TELLING_SMELLS:
        run = run_through(estimate, log, n)
        return Learned(run.piles, run.state, even, run.usual, run.today, np.zeros(n))
    run = run_through(estimate, log, tried)
    found = fit(estimate, log, run)
    index = drawn_by_weight(found.weights, n)
    usual = replace(run.usual, air_c=run.usual.air_c[:, index], wind_m_s=run.usual.wind_m_s[:, index])
    return Learned(
        run.piles.take(index), run.state.take(index), even, usual, run.today.take(index), found.misfit_k[index]
    )
