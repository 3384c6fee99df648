"""One advised action, and what puts it before another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from rules.actions.records import Action
from rules.language.model import Act, Rule, Urgency

URGENCY_ORDER: Final = {urgency: place for place, urgency in enumerate(Urgency)}
EFFORT_ORDER: Final = {"easy": 0, "moderate": 1, "hard": 2}


@dataclass(frozen=True, slots=True)
class Advised:
    """One action with the rules that ask for it. `gain` is the share of the heap's heat gained or saved.

    `idle` where its own what-if shows no gain that counts, and another's does, or shows that it likely loses.
    """

    action: Action
    urgency: Urgency
    rules: tuple[Rule, ...]
    gain: float
    obtainable: bool
    idle: bool = False

    @property
    def confidence(self) -> float:
        """Of the surest rule behind it, 0 to 1."""
        return max(rule.confidence for rule in self.rules)

    @property
    def until_cleared(self) -> bool:
        """Whether it lasts until a danger is gone, and no amount of it is to be told."""
        return any(isinstance(rule.gives, Act) and rule.gives.until_cleared for rule in self.rules)

    @property
    def closing(self) -> bool:
        """Whether it is asked for to close an open loop, and for nothing else."""
        return all(isinstance(rule.gives, Act) and rule.gives.closing for rule in self.rules)

    def key(self) -> tuple[int, int, int, int, float, float, int, str]:
        """Smaller comes first; see `rank` for the order."""
        return (
            0 if self.action.safety and self.urgency in (Urgency.NOW, Urgency.TODAY) else 1,
            URGENCY_ORDER[self.urgency],
            1 if self.idle else 0,
            0 if self.obtainable else 1,
            -round(self.gain, 3),
            -self.confidence,
            EFFORT_ORDER[self.action.effort],
            self.action.id,
        )
