"""The members of a heap that fit its log, and what they say of the days ahead."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from service.heat.learning import blend
from service.heat.learning import chance as unforeseen
from service.heat.learning.chance import Unforeseen
from service.heat.learning.fit import MODEL_MEMORY_DAYS, TELLING_SMELLS, drawn_by_weight, fit
from service.heat.learning.log import counted_log
from service.heat.learning.log_run import run_through
from service.heat.learning.situation import Situation, situation_of
from service.heat.physics.arrays import Array, along
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.fittings import with_outlets_read
from service.heat.physics.losses import wetness
from service.heat.physics.members import DEFAULT_MEMBERS
from service.heat.physics.piles import Piles, PileState, dry_matter, heat_capacity, node_temperatures
from service.heat.physics.spread import points
from service.units.estimate import HIGH_SHARE, LOW_SHARE, PileEstimate
from service.units.figures import figure

TRIED: Final = figure(512, "1", "Members that are run through the log; those that fit are kept", "no source")
MET_WITHIN_K: Final = figure(
    2.0, "K", "Today's reading counts as met within so much of the members' median, misfit included", "no source"
)
ORDINARY_DOUBT_K: Final = figure(
    1.5,
    "K",
    "Half of the 80 % range of an ordinary reading, which the learned ranges hold already (common practice)",
    "derived",
)


@dataclass(frozen=True, slots=True)
class Learned:
    """Members that fit what was told of a heap, with their weights (sum 1) and the usual weather over them.

    `read_c` is today's reading with its doubt. `misfit_k` is by how much each should read more today; it fades. Where
    no member comes near the reading they are moved to it. `chosen` are the numbers of the members that a log chose.
    """

    piles: Piles
    state: PileState
    weights: Array
    usual: DailyWeather
    today: Unforeseen
    misfit_k: Array
    read_c: Array
    situation: Situation
    chosen: tuple[int, ...] = ()

    @property
    def has_log(self) -> bool:
        """Whether readings of more than one time chose the members."""
        return self.situation.log_days > 0.0

    def weather(self, days: float, usual: DailyWeather | None = None) -> DailyWeather:
        """Weather and pace of the days ahead, member by member, about the usual."""
        return unforeseen.ahead(usual or self.usual, int(np.ceil(days)) + 1, self.today)

    def spans(self, edges: tuple[float, ...]) -> DailyWeather:
        """The same as means over the spans that end at these days ahead."""
        return unforeseen.spans_ahead(self.usual, edges, self.today)

    def as_read(self, estimate: PileEstimate) -> tuple[Piles, PileState]:
        """The members moved to today's reading of the core, the rest of each in proportion to its warmth, and loop and
        duct to the outlets that were read.

        For what is counted now; ahead is run from `piles` and `state`, about which the forecasts were tuned.
        """
        celsius, air_c = node_temperatures(self.piles, self.state), self.usual.air_c[0]
        excess = celsius - air_c
        share = np.clip(excess / np.where(np.abs(excess[0]) > 1.0, excess[0], 1.0), 0.0, 1.0)
        share[0] = 1.0
        moved = celsius + share * (self.read_c - celsius[0])
        state = replace(self.state, enthalpy_j=heat_capacity(self.piles, self.state) * moved)
        wet = wetness(np.add.reduce(state.water_kg), np.add.reduce(dry_matter(self.piles, state)))
        return with_outlets_read(estimate, self.piles, moved, wet), state

    def modelled(self, days: Array, core_c: Array) -> Array:
        """The members' cores with what is left of their misfit at these days ahead, both (k, n). [degC]"""
        result: Array = core_c + self.misfit_k * np.exp(-days / MODEL_MEMORY_DAYS)[:, None]
        return result

    def told_core(self, days: Array, core_c: Array) -> Array:
        """The core as it should be told, from the members' own at these days ahead, both (k, n). [degC]

        Its quantiles are the forecast and its range; differences between members mean nothing in it.
        """
        return blend.told_core(self.situation, days, self.modelled(days, core_c), self.doubt_k)

    @property
    def doubt_k(self) -> float:
        """By how much today's reading is more doubtful than an ordinary one, half of its 80 % range. [K]"""
        low, high = along(self.read_c[None, :], (LOW_SHARE, HIGH_SHARE))[:, 0]
        return float(np.sqrt(max((0.5 * (high - low)) ** 2 - ORDINARY_DOUBT_K**2, 0.0)))


@lru_cache(maxsize=8)
def learned(estimate: PileEstimate, n: int = DEFAULT_MEMBERS, tried: int = TRIED) -> Learned:
    """n members of equal weight that fit an estimate and its log; the same estimate gives the same members.

    Kept for whoever asks for the same heap next, as the log is run through but once; not to be written to.
    """
    log = counted_log(estimate)
    even, read = np.full(n, 1.0 / n), points("core", n).around(estimate.core_c)
    if log.length_days == 0.0 and estimate.smell not in TELLING_SMELLS and not estimate.carried:
        run = run_through(estimate, log, n)
        situation = situation_of(estimate, log, 0.0)
        return Learned(run.piles, run.state, even, run.usual, run.today, np.zeros(n), read, situation)
    run = run_through(estimate, log, tried)
    found = fit(estimate, log, run)
    index = drawn_by_weight(found.weights, n)
    usual = replace(run.usual, air_c=run.usual.air_c[:, index], wind_m_s=run.usual.wind_m_s[:, index])
    piles, state, misfit = run.piles.take(index), run.state.take(index), found.misfit_k[index]
    misses = float(np.abs(log.core_c[:, None] - run.core_c[:, index]).mean())
    situation = situation_of(estimate, log, misses)
    chosen = tuple(index.tolist())
    heap = Learned(piles, state, even, usual, run.today.take(index), misfit, read, situation, chosen)
    unmet = abs(float(np.median(read - node_temperatures(piles, state)[0] - misfit)))
    if unmet <= MET_WITHIN_K:
        return heap
    piles, state = heap.as_read(estimate)
    return replace(heap, piles=piles, state=state, misfit_k=np.zeros(n))
