"""What each action would buy: the same members run with and without it, compared in pairs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.actions.dosing.records import Dose
from service.actions.effects import CHANGES, REBUILDS, fresh_heap
from service.actions.order import LIKELY, NEXT_TO_NOTHING
from service.heat.learning.members import Learned, learned
from service.heat.physics.arrays import Array
from service.heat.physics.balance import of_members
from service.heat.physics.kernel import HOT_DAY_C, Run, simulate
from service.heat.physics.piles import (
    Piles,
    PileState,
    heat_capacity,
    joined,
    node_temperatures,
)
from service.picture.drawplan.record import Plan
from service.picture.next_week import STEP_H
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure, figures

LONGEST_DAYS: Final = figure(
    60.0, "days", "What-ifs look no further ahead; beyond it the weather is anybody's guess", "no source"
)
LEAST_SHARE, LEAST_HEAT_J = figures(
    (0.01, "1"),
    (3.6e6, "J"),
    why="A gain under this share of the usable heat or under a kilowatt-hour, and under LEAST_HOT_DAYS, is "
    "too small to matter",
    how_known="no source",
)
LEAST_HOT_DAYS: Final = figure(0.5, "days", "Half a hot day; see LEAST_SHARE", "no source")

AGREE: Final = figure(
    0.8, "1", "Share of members that must gain before a gain is told where the others gain nothing", "no source"
)

LOST: Final = figure(
    -1e-6, "1", "The gain of what likely loses heat is at most this, so that its sign tells", "no source"
)

FOLLOWS_THE_PLAN: Final = frozenset({"raise_draw", "reduce_draw"})
"""Moves that set the draw to the plan: what they change is what the plan does."""
ON_THE_WAY: Final = (None, "set")
"""What an answer may hold a plan to (`Plan.held`) while such a move still leads to it."""
CHANGES_OF_THE_DRAW: Final = frozenset({"reduce_draw", "pause_draw", "raise_draw"})
"""Moves that only take heat sooner or later: judged by what comes out above the goal's limit."""


@dataclass(frozen=True, slots=True)
class MoveEffect:
    """What an action changes up to the horizon: heat [J], hot days, and the share of members that gain:
    heat, or hot days where heat is lost for them.

    Heat is what is drawn by then plus what is left in the heap; of a change of the draw only as far as it is above the
    goal's limit (see `heat_counted`). `by_member` holds heat and hot days for each member, (2, n).
    """

    heat_j: Estimate
    hot_days: Estimate
    chance_of_gain: float
    share_of_heat: float
    by_member: Array

    @property
    def can_be_told(self) -> bool:
        """Whether heat or hot days differ from nothing with four members in five agreeing."""
        clear = any(not spread.low <= 0.0 <= spread.high for spread in (self.heat_j, self.hot_days))
        return clear or (self.heat_j.low == 0.0 < self.heat_j.value and self.chance_of_gain >= AGREE)

    @property
    def loses(self) -> bool:
        """Whether it likely loses heat without a hot day won."""
        return self.heat_j.value < 0.0 and self.hot_days.value <= 0.0

    def too_small(self, usable_j: float) -> bool:
        """Whether the gain matters to nobody: hardly any of the usable heat, and not half a hot day."""
        return self.heat_j.value < least_gain_j(usable_j) and self.hot_days.value < LEAST_HOT_DAYS

    def gain(self, usable_j: float) -> float:
        """For the ranking, see `gain_of`."""
        heat, hot = self.heat_j, self.hot_days
        small = self.too_small(usable_j)
        return gain_of((heat.low, heat.value), (hot.low, hot.value), self.share_of_heat, small=small)


def least_gain_j(usable_j: float) -> float:
    """The least gain of heat that matters to anybody. [J]"""
    return max(LEAST_SHARE * usable_j, LEAST_HEAT_J)


@dataclass(frozen=True, slots=True)
class Ahead:
    """The heap left as it is and the effect of each action.

    `core_c` is the core by day and member, `told_c` the same as its range should be told, `made_j` the heat made up to
    the last day, `heap` the members all of this rests on, `usable_j` the heat that is still usable, beside which a gain
    may be too small to matter.
    """

    days: Array
    core_c: Array
    told_c: Array
    made_j: float
    effects: Mapping[str, MoveEffect]
    heap: Learned
    usable_j: float = 0.0

    def gains(self) -> dict[str, float]:
        """What each action gains, for the ranking; see `gain_of`."""
        return {action: effect.gain(self.usable_j) for action, effect in self.effects.items()}


def gain_of(heat: tuple[float, float], hot_days: tuple[float, float], share: float, *, small: bool) -> float:
    """Share of the heap's heat that an action clearly gains; 0 where that cannot be told from nothing.

    NEXT_TO_NOTHING where it is clear but too small to matter, LIKELY where the middle matters and the low end loses
    nothing, and below 0 where the action likely loses heat without a hot day won. `heat` and `hot_days` are the low
    end and the middle.
    """
    if heat[1] < 0.0 and hot_days[1] <= 0.0:
        return min(share, LOST)
    if heat[0] <= 0.0 and hot_days[0] <= 0.0:
        return LIKELY if heat[0] == 0.0 < heat[1] and not small else 0.0
    return NEXT_TO_NOTHING if small else share


def look_ahead(
    estimate: PileEstimate,
    actions: Mapping[str, Sequence[Dose]],
    days: float,
    heap: Learned | None = None,
    *,
    usable_j: float = 0.0,
    keep_above_c: float = HOT_DAY_C,
    left_share: float = 1.0,
) -> Ahead:
    """Run the heap as it is and with each action that the model knows, on members that fit its log.

    Parameters
    ----------
    estimate
        The heap today.
    actions
        Advised actions with their doses; those the model does not know get no effect.
    days
        To the goal's date; cut at LONGEST_DAYS.
    heap
        The members, where somebody has asked for them already.
    usable_j
        Heat that is still usable. [J]
    keep_above_c
        The goal's limit, by which changes of the draw are judged. [degC]
    left_share
        How much of what is left above it at the end counts for them: see `heat_counted`. [1]
    """
    horizon = horizon_of(days)
    known = heap or learned(estimate)
    names = modelled(actions)
    blocks = with_and_without(estimate, known.piles, known.state, {name: actions[name] for name in names})
    weather = known.weather(horizon).repeated(len(blocks))
    piles = joined([p for p, _ in blocks])
    run = simulate(piles, joined([s for _, s in blocks]), weather, horizon, STEP_H)
    heat = heat_counted(run, piles, keep_above_c, weather.air_c[0], left_share).reshape(2, len(blocks), -1)
    hot = run.hot_days(HOT_DAY_C).reshape(len(blocks), -1)
    made = float(np.median(run.ledger["made"][: known.weights.size]))
    effects = effects_of(names, heat, hot, made, horizon)
    core = run.core_c[:, : known.weights.size]
    return Ahead(run.days, core, known.told_core(run.days, core), made, effects, known, usable_j)


def effect_by_plan(ahead: Ahead, action: str, plan: Plan | None) -> MoveEffect:
    """The effect of an action; of one that sets the draw to a plan by which heat is gained, that of the plan."""
    effect = ahead.effects[action]
    over_now = None if plan is None or plan.held not in ON_THE_WAY else plan.over_now
    if action not in FOLLOWS_THE_PLAN or over_now is None or over_now.heat_j.value <= 0.0:
        return effect
    return replace(
        effect,
        heat_j=over_now.heat_j,
        hot_days=over_now.hot_days,
        chance_of_gain=float((over_now.by_member[0] > 0.0).mean()),
        share_of_heat=over_now.heat_j.value / ahead.made_j if ahead.made_j > 0.0 else 0.0,
    )


def horizon_of(days: float) -> float:
    """How far what-ifs look towards a goal. [days]"""
    return min(max(days, 1.0), LONGEST_DAYS)


def modelled(actions: Iterable[str]) -> list[str]:
    """Those of the actions that the model can carry out."""
    return [name for name in actions if name in CHANGES or name in REBUILDS]


def with_and_without(
    estimate: PileEstimate, piles: Piles, state: PileState, actions: Mapping[str, Sequence[Dose]]
) -> list[tuple[Piles, PileState]]:
    """The members as they are, and after each action."""
    changed = [
        fresh_heap(estimate) if name in REBUILDS else CHANGES[name](piles, state, doses)
        for name, doses in actions.items()
    ]
    return [(piles, state), *changed]


def effects_of(
    names: Sequence[str], heat_j: Array, hot_days: Array, made_j: float, days: float
) -> dict[str, MoveEffect]:
    """The effect of each action, from heat of both counts, (2, blocks, n), and hot days, (blocks, n).

    The first block is the heap as it is, the others those with each action.
    """
    heat = gained(names, heat_j)
    return {
        name: _effect(heat[place], hot_days[place + 1] - hot_days[0], made_j, days) for place, name in enumerate(names)
    }


def gained(names: Sequence[str], heat_j: Array) -> Array:
    """Heat gained by each action, (actions, n), each by the count that it is judged by. [J]"""
    counts = [1 if name in CHANGES_OF_THE_DRAW else 0 for name in names]
    return np.array([heat_j[count, place + 1] - heat_j[count, 0] for place, count in enumerate(counts)])


def heat_counted(
    run: Run, piles: Piles, limit_c: float | Array, air_c: Array, left_share: float | Array = 1.0
) -> Array:
    """Heat drawn by the end plus what is then left in the heap, in two counts, (2, n). [J]

    First all that was drawn, and what is left above the air outside; then only what was drawn with the core at or above
    the limit, and what is left above the limit: what is drawn below it only keeps the heap from coming back. Of that a
    share counts, `left_share`: none at the end of a season for which the heap is emptied.
    """
    drawn = np.diff(run.drawn_j, axis=0)
    celsius, capacity = node_temperatures(piles, run.state), heat_capacity(piles, run.state)

    def left(above_c: float | Array) -> Array:
        result: Array = (capacity * np.maximum(celsius - above_c, 0.0)).sum(axis=0)
        return result

    useful = (drawn * run.share_above(limit_c)).sum(axis=0)
    return np.array([drawn.sum(axis=0) + left(air_c), useful + left_share * left(limit_c)])


def _effect(heat_j: Array, hot_days: Array, made_j: float, horizon: float) -> MoveEffect:
    heat, hot = of_members(heat_j), of_members(hot_days)
    share = max(heat.value / made_j if made_j > 0 else 0.0, hot.value / horizon)
    gains = hot_days if heat.value < 0.0 < hot.value else heat_j  # by what is gained at all
    return MoveEffect(heat, hot, float((gains > 0).mean()), share, np.array([heat_j, hot_days]))
