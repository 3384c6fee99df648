"""What actions gain by a rough look ahead: cheap enough for answers without what-ifs, so that these rank alike.

The members are those of the heap before its log is learned from, weighed by its smell and by the trend of its core.
The heat model takes them to the goal's date in three long strides. That tells gains from losses as finer steps do; the
numbers themselves are not told to anybody.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from rules.language.conditions import Facts
from rules.tables.thresholds import HOLDING_FROM
from service.actions.dosing.records import Dose
from service.actions.gains import Effects
from service.actions.whatif import gained, heat_counted, horizon_of, modelled, with_and_without
from service.heat.learning.fit import TELLING_SMELLS, by_smell
from service.heat.physics.arrays import Array
from service.heat.physics.kernel import HOT_C, stride
from service.heat.physics.members import usual_members, weather_now
from service.heat.physics.piles import Piles, State, Weather, joined
from service.picture.record import Picture

STRIDES: Final = (1 / 15, 1 / 3, 1.0)
"""Where the strides end, as shares of the time to the goal: 2, 10 and 30 days of the usual month (our own)."""

DRY_FEELS: Final = frozenset({"dusty", "dry"})
GOES_ON_WITHIN: Final = 1.0
"""How far the slope of a core over the next days strays from its past one [K/day] (our own)."""


@dataclass(frozen=True, slots=True)
class Considered:
    """One heap and the doses of what is advised for it, the first action first."""

    picture: Picture
    doses: Mapping[str, Sequence[Dose]]

    @property
    def in_doubt(self) -> bool:
        """Whether a look ahead could put something else first: what the model does not know it cannot put last."""
        first = next(iter(self.doses), "")
        return first in modelled(self.doses) and not (first == "add_water" and self._squeezes_dry)

    @property
    def _squeezes_dry(self) -> bool:
        """A warm heap that squeezes dry gains by water, so nothing need be looked ahead for (our own)."""
        facts = self.picture.derived.facts
        return facts.get("moisture_feel") in DRY_FEELS and float(facts["core_c"]) >= HOLDING_FROM.value


def rough_gains(heaps: Sequence[Considered]) -> list[dict[str, float]]:
    """What each action gains on each heap, for the ranking, as `whatif.gain_of` says; all heaps in one run."""
    names = [modelled(heap.doses) if heap.in_doubt else () for heap in heaps]
    asked = [place for place, found in enumerate(names) if found]
    gains: list[dict[str, float]] = [{} for _ in heaps]
    if asked:
        for place, found in zip(asked, _gains([heaps[place] for place in asked]), strict=True):
            gains[place] = found
    return gains


def _gains(heaps: Sequence[Considered]) -> list[dict[str, float]]:
    blocks, weathers, sizes, scores = [], [], [], []
    for heap in heaps:
        estimate = heap.picture.estimate
        weather, (piles, state, _) = weather_now(estimate), usual_members(estimate)
        own = with_and_without(estimate, piles, state, {name: heap.doses[name] for name in modelled(heap.doses)})
        blocks += own
        weathers += [weather] * len(own)
        sizes.append(sum(block.rate.size for block, _ in own))
        told = estimate.smell in TELLING_SMELLS
        scores.append(by_smell(estimate.smell, piles, state, weather) if told else np.zeros(piles.rate.size))
    rows = _run(heaps, blocks, weathers, sizes)
    return [_of_one(heap, score, parts) for heap, score, parts in zip(heaps, scores, rows, strict=True)]


def _run(
    heaps: Sequence[Considered],
    blocks: Sequence[tuple[Piles, State]],
    weathers: Sequence[Weather],
    sizes: Sequence[int],
) -> Iterator[tuple[Array, ...]]:
    """Heat in both counts, hot days, heat made and first slope of the core, of each heap's columns."""
    limits = np.repeat([heap.picture.goal.keep_core_above_c for heap in heaps], sizes)
    days = np.repeat([horizon_of(heap.picture.goal.days) for heap in heaps], sizes)
    piles = joined([block for block, _ in blocks])
    air, wind = (np.concatenate([getattr(each, part) for each in weathers], axis=1) for part in ("air_c", "wind_m_s"))
    run = stride(piles, joined([state for _, state in blocks]), Weather.of(air, wind), np.outer(STRIDES, days))
    slope = (run.core_c[1] - run.core_c[0]) / run.days[1]
    rows = (heat_counted(run, piles, limits, air[0]), run.hot_days(HOT_C), run.ledger["made"], slope)
    ends = np.cumsum(sizes)[:-1]
    return zip(*(np.split(row, ends, axis=-1) for row in rows), strict=True)


def _of_one(heap: Considered, score: Array, rows: tuple[Array, ...]) -> dict[str, float]:
    heat_j, hot_days, made_j, slope = rows
    names = tuple(modelled(heap.doses))
    heat, hot = heat_j.reshape(2, len(names) + 1, -1), hot_days.reshape(len(names) + 1, -1)
    made, accounts = float(np.median(made_j[: hot.shape[1]])), heap.picture.accounts
    horizon = horizon_of(heap.picture.goal.days)
    effects = Effects(names, gained(names, heat), hot[1:] - hot[0], made, horizon, accounts.usable_left.value)
    score = score + _by_trend(heap.picture.derived.facts, slope[: hot.shape[1]])
    weights = np.exp(score - score.max())
    return effects.gains(weights / weights.sum())


def _by_trend(facts: Facts, slope: Array) -> Array:
    """Logarithmic likelihood of each member by how well its core goes on from its trend, where that is known."""
    if "core_trend_k_per_day" not in facts:
        return np.zeros(slope.size)
    error = math.hypot(float(facts["core_trend_error_k_per_day"]), GOES_ON_WITHIN)
    result: Array = -0.5 * ((slope - float(facts["core_trend_k_per_day"])) / error) ** 2
    return result
