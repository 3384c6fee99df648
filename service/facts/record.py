"""What each step of the derivation hands on: facts for the rules and a list of what was assumed."""

from __future__ import annotations

from dataclasses import dataclass, field

from rules.catalogue import said
from rules.engine.envelope import MAX_NUMBER
from rules.language.conditions import Value
from service.units.estimate import Estimate
from service.units.quantities import Dimension


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value nobody gave. `quantity` names the kind of quantity, for the unit it is shown in.

    `because` is the id of the text that says why, and `quoted` what is filled into it: an answer may be told in more
    than one language.
    """

    pointer: str
    estimate: Estimate
    quantity: Dimension
    because: str
    quoted: tuple[tuple[str, str], ...] = ()

    @property
    def why(self) -> str:
        """Why it was assumed, in words."""
        return said(self.because, **dict(self.quoted))


@dataclass(slots=True)
class Derived:
    """Facts gathered so far; a fact that cannot be told is simply not put in."""

    facts: dict[str, Value] = field(default_factory=dict)
    assumed: list[Assumption] = field(default_factory=list)

    def put(self, **facts: Value | None) -> None:
        """Keep each fact that is known; None means it cannot be told. Raises ValueError where one is told already."""
        for name, value in facts.items():
            if value is None:
                continue
            if name in self.facts:
                raise ValueError(f"put twice: {name}")
            self.facts[name] = _bounded(value)

    def assume(self, pointer: str, estimate: Estimate, quantity: Dimension, because: str, **quoted: str) -> Estimate:
        """Note an assumed value and hand it back; `because` is the id of the text that says why."""
        self.assumed.append(Assumption(pointer, estimate, quantity, because, tuple(quoted.items())))
        return estimate


def _bounded(value: Value) -> Value:
    """A ratio over next to nothing can be larger than the rule engine holds; no limit lies out there."""
    return max(-MAX_NUMBER, min(value, MAX_NUMBER)) if isinstance(value, float) else value
