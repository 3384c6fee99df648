"""The ensemble of one heap as the value of an answer reads it, handed out in one place."""

from __future__ import annotations

from dataclasses import dataclass

from service.actions.whatif import Ahead
from service.heat.learning.members import learned
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.piles import Piles, PileState, dry_matter
from service.picture.member_account import Counted, heat_accounts
from service.picture.next_week import told_of_strides
from service.picture.record import Picture


@dataclass(frozen=True, slots=True)
class Heaps:
    """Members that fit what was told: their weights (sum 1), heat account, and what was looked ahead for.

    `told_c` is the core as told at each of `DAYS` from the strides of the account, (4, n). [degC]
    """

    piles: Piles
    state: PileState
    weights: Array
    weather: DailyWeather
    counted: Counted
    told_c: Array
    ahead: Ahead | None

    @property
    def moisture(self) -> Array:
        """Water in the wet mass, each member (n,)."""
        water = self.state.water_kg.sum(axis=0)
        result: Array = water / (water + dry_matter(self.piles, self.state).sum(axis=0))
        return result


def heaps_of(picture: Picture, ahead: Ahead | None) -> Heaps:
    """The members of a heap, those that `ahead` was run with: the only place where questions ask for them."""
    heap = learned(picture.estimate) if ahead is None else ahead.heap
    piles, state = heap.as_read(picture.estimate)
    counted = account_under_goal(picture, piles, state, heap.usual)
    told_c = told_of_strides(picture.heap, counted.core_ahead_c)
    return Heaps(piles, state, heap.weights, heap.usual, counted, told_c, ahead)


def account_under_goal(picture: Picture, piles: Piles, state: PileState, weather: DailyWeather) -> Counted:
    """The heat account of these members under the goal of the picture."""
    goal = picture.goal
    limit_c = goal.keep_core_above_c
    return heat_accounts([picture.estimate], piles, state, weather, days=goal.days, keep_core_above_c=limit_c)[0]
