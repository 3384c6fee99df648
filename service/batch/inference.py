"""From the facts of many heaps to their fired rules, by the same three passes as `rules.engine.inference`.

This is the evaluation in plain comparisons that checks the engine on every single answer; the engine takes one heap
at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from rules import CAUTIONS, FIRST_PASS, READS, RULES, SECOND_PASS
from rules.actions.records import ACTIONS
from rules.engine.inference import Inference
from rules.language import facts
from rules.language.conditions import Facts
from rules.language.model import EVERY_ANSWER, Caution, Finding, Rule
from service.batch.columns import FactColumns, Mask

_READ: Final = sorted(frozenset[str]().union(*READS.values()) & facts.DECLARED.keys())


class Inferences:
    """What follows from the facts of each heap: findings and advice first, and cautions once the advice is known."""

    def __init__(self, known: Sequence[Facts]) -> None:
        """Run the first two passes. Raises ValueError for facts that cannot be, of any of the heaps."""
        self._columns = FactColumns(known, facts.DECLARED, _READ)
        fired = self._fired(FIRST_PASS)
        concluded = self._conclude(fired)
        fired |= self._fired(SECOND_PASS)
        self.of_each = [
            Inference({**before, **after}, tuple(rules))
            for before, after, rules in zip(known, concluded, self._by_heap(fired), strict=True)
        ]

    def cautions_beside(self, advised: Sequence[Sequence[str]]) -> list[tuple[Rule, ...]]:
        """The cautions that hold for the actions advised to each heap, by id."""
        beside = {action: np.array([action in actions for actions in advised]) for action in ACTIONS}
        always = np.ones(self._columns.count, dtype=np.bool_)
        fired: dict[str, Mask] = {}
        for rule in CAUTIONS:
            assert isinstance(rule.gives, Caution)
            masks = [always if action == EVERY_ANSWER else beside[action] for action in rule.gives.actions]
            concerned = np.logical_or.reduce(masks)
            if concerned.any():
                fired[rule.id] = concerned & self._columns.certainly(rule.when)
        return [tuple(rules) for rules in self._by_heap(fired)]

    def _fired(self, rules: Sequence[Rule]) -> dict[str, Mask]:
        return {rule.id: self._columns.certainly(rule.when) for rule in rules}

    def _conclude(self, fired: dict[str, Mask]) -> list[dict[str, bool]]:
        """Add the findings to the columns; those of each heap."""
        drawn: dict[str, Mask] = {}
        for rule_id, where in fired.items():
            conclusion = RULES[rule_id].gives
            assert isinstance(conclusion, Finding)
            earlier = drawn.get(conclusion.name)
            drawn[conclusion.name] = where if earlier is None else earlier | where
        of_each: list[dict[str, bool]] = [{} for _ in range(self._columns.count)]
        for name, where in drawn.items():
            self._columns.conclude(name, where)
            for place in np.flatnonzero(where).tolist():
                of_each[place][name] = True
        return of_each

    def _by_heap(self, fired: dict[str, Mask]) -> list[list[Rule]]:
        """The rules that fired for each heap, by id."""
        of_each: list[list[Rule]] = [[] for _ in range(self._columns.count)]
        for rule_id in sorted(fired):
            rule = RULES[rule_id]
            for place in np.flatnonzero(fired[rule_id]).tolist():
                of_each[place].append(rule)
        return of_each
