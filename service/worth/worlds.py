"""What would be known and done if a question were answered so, on the members that fit the answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from rules.actions.records import ACTIONS
from rules.engine.inference import infer_plainly
from rules.language.model import Avoid
from rules.tables.questions import Answer, Question
from service.actions.advised_move import Advised
from service.actions.gains import Effects
from service.actions.rank import PRIOR_SHARE, rank
from service.course.ways import ways_of
from service.heat.physics.arrays import Array
from service.heat.physics.piles import with_cover
from service.picture.account import accounts_from, put_facts
from service.picture.member_account import Counted
from service.picture.next_week import course_of_members, told_of_strides
from service.picture.picture import completed, seen_in
from service.picture.record import Picture
from service.units.figures import figure
from service.worth.heaps import Heaps, account_under_goal
from service.worth.likelihood import likelihoods
from service.worth.questions import status_if

WARNED_OF: Final = figure(
    0.15, "1", "Share of the heap's heat that an action the rules warn of is taken to cost", "no source"
)
LEAST_CHANCE: Final = figure(0.01, "1", "Answers less likely than this are not gone into", "no source")


@dataclass(frozen=True, slots=True)
class World:
    """One answer with its chance, what would be advised then, what the rules would warn of, and what actions bring."""

    answer: Answer
    chance: float
    ranked: list[Advised]
    warned: frozenset[str]
    expected: dict[str, float]

    @property
    def first_action(self) -> str:
        """What would be done first."""
        return self.ranked[0].action.id

    def worth_of(self, action: str) -> float:
        """Expected share of the heap's heat that an action brings.

        By simulation where there was one; else what the catalogue expects of it where it is advised, a loss where the
        rules warn of it, and nothing otherwise.
        """
        if action in self.expected:
            return self.expected[action]
        if action in self.warned:
            return -WARNED_OF
        advised = {item.action.id for item in self.ranked}
        return PRIOR_SHARE[ACTIONS[action].gains.expected] if action in advised else 0.0


@dataclass(frozen=True, slots=True)
class Now:
    """What is known now, the members that fit it, and what actions gain on them."""

    picture: Picture
    heaps: Heaps
    effects: Effects

    def worlds(self, question: Question) -> Iterator[World]:
        """The likely answers of a question; their chances sum to nearly 1."""
        rows = likelihoods(question, self.picture, self.heaps)
        for answer, row in zip(question.answers, rows, strict=True):
            joint = self.heaps.weights * row
            chance = float(joint.sum())
            if chance >= LEAST_CHANCE:
                yield self._world(question.field, answer, chance, joint / chance)

    def _world(self, field: str, answer: Answer, chance: float, weights: Array) -> World:
        seen = seen_in(status_if(answer, self.picture))
        no_news = bool(np.ptp(weights / self.heaps.weights) < 1e-9)
        counted = self._counted(field, answer.sets.get(field))
        known = None if no_news else weights
        accounts = accounts_from(counted, seen.derived.facts, known, known)
        put_facts(accounts, seen.derived)
        heap, limit_c = self.picture.heap, seen.goal.keep_core_above_c
        same = counted is self.heaps.counted
        told_c = self.heaps.told_c if same else told_of_strides(heap, counted.core_ahead_c)
        course = course_of_members(told_c, limit_c, weights)
        facts = completed(seen, accounts, heap, course).derived.facts
        found = infer_plainly(facts)
        on_hand = seen.status.on_hand
        ranked = rank(
            found.fired,
            on_hand=None if on_hand is None else frozenset(on_hand),
            freezing=facts.get("freezing") is True,
            gains=self.effects.gains(weights),
            cool_soon=found.facts.get("cool_soon") is True,
        )
        warned = frozenset(rule.gives.action for rule in found.fired if isinstance(rule.gives, Avoid))
        return World(answer, chance, ranked, warned, self.effects.expected(weights))

    def _counted(self, field: str, value: Any) -> Counted:
        """The heat account, with another cover or draw where the answer tells of one."""
        heaps = self.heaps
        if field == "/pile/cover":
            return account_under_goal(
                self.picture,
                with_cover(heaps.piles, value, wrap=self.picture.estimate.wrapped),
                heaps.state,
                heaps.weather,
            )
        ways = ways_of(self.picture) if field == "/draw" else []
        if not ways:
            return heaps.counted
        drawn = ways[0].drawing(heaps.piles, np.full(heaps.weights.size, float(value)))
        return account_under_goal(self.picture, drawn, heaps.state, heaps.weather)
