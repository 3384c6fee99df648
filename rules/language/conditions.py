"""Conditions over facts: one tree, read three ways (by the engine, by plain Python, and by a person asking why not).

A missing fact is unknown. Every test on it is unknown too (three-valued logic after Kleene), so a rule fires only
when its condition is certainly true.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

Value = float | bool | str
Facts = Mapping[str, Value]
FactKind = Literal["number", "flag", "text"]

_OPERATORS: Final[dict[str, Callable[[Any, Any], bool]]] = {
    "$lt": operator.lt,
    "$lte": operator.le,
    "$gt": operator.gt,
    "$gte": operator.ge,
    "$eq": operator.eq,
    "$neq": operator.ne,
}
_OPPOSITES: Final[dict[str, str]] = {
    "$lt": "$gte",
    "$lte": "$gt",
    "$gt": "$lte",
    "$gte": "$lt",
    "$eq": "$neq",
    "$neq": "$eq",
}


@dataclass(frozen=True, slots=True)
class Threshold:
    """A named limit with its unit and backing; used in conditions and quoted in reasons."""

    id: str
    value: float
    unit: str
    meaning: str
    source: Any


class Condition:
    """Base of the tree; `&` and `|` join conditions."""

    __slots__ = ()

    def __bool__(self) -> bool:
        """Refused: `and`, `or`, `not` and `30 < fact < 40` would silently drop half of the condition."""
        raise TypeError("a condition has no truth of its own: join conditions with & and |, one comparison each")

    def __and__(self, other: Condition) -> All:
        return All((*_parts(self, All), *_parts(other, All)))

    def __or__(self, other: Condition) -> AnyOf:
        return AnyOf((*_parts(self, AnyOf), *_parts(other, AnyOf)))


@dataclass(frozen=True, slots=True)
class Test(Condition):
    """One comparison of a fact with a constant. `threshold` names the limit where it is one of ours."""

    fact: str
    op: str
    limit: Value
    threshold: str | None = None


@dataclass(frozen=True, slots=True)
class Known(Condition):
    """Whether a fact is present (`present=True`) or absent; never unknown itself."""

    fact: str
    present: bool


@dataclass(frozen=True, slots=True)
class All(Condition):
    """Every part holds."""

    parts: tuple[Condition, ...]

    def __post_init__(self) -> None:
        _refuse_empty(self.parts)


@dataclass(frozen=True, slots=True)
class AnyOf(Condition):
    """At least one part holds."""

    parts: tuple[Condition, ...]

    def __post_init__(self) -> None:
        _refuse_empty(self.parts)


def _refuse_empty(parts: tuple[Condition, ...]) -> None:
    # The engine never returns from an empty list of conditions.
    if not parts:
        raise ValueError("a list of conditions is empty")


def _parts(condition: Condition, kind: type[All] | type[AnyOf]) -> tuple[Condition, ...]:
    return condition.parts if isinstance(condition, kind) else (condition,)


@dataclass(frozen=True, slots=True)
class Fact:
    """Something a condition may name. `unit` is `1` for pure numbers, empty for flags and texts.

    `field` is the pointer of the field that it repeats as it was told; empty where it is worked out. `tells` are the
    fields that make it known, `sways` the others that its value follows from, so that "cannot be told" can say what to
    give; a pointer names the whole list where a fact comes from a list (`/history`, `/signs`). `estimated` says that it
    is worked out with whatever had to be assumed among its fields.
    """

    name: str
    kind: FactKind
    unit: str
    meaning: str
    values: tuple[str, ...] = ()
    field: str = ""
    tells: tuple[str, ...] = ()
    sways: tuple[str, ...] = ()
    estimated: bool = False

    @property
    def fields(self) -> tuple[str, ...]:
        """Every field it comes from."""
        return self.tells + self.sways

    def _test(self, op: str, limit: Threshold | float) -> Test:
        if self.kind != "number":
            raise TypeError(f"{self.name} is a {self.kind}: only numbers have an order")
        if isinstance(limit, Threshold):
            if limit.unit != self.unit:
                raise ValueError(f"{self.name} is in {self.unit}, {limit.id} in {limit.unit}")
            return Test(self.name, op, limit.value, limit.id)
        return Test(self.name, op, float(limit))

    def __lt__(self, limit: Threshold | float) -> Test:
        return self._test("$lt", limit)

    def __le__(self, limit: Threshold | float) -> Test:
        return self._test("$lte", limit)

    def __gt__(self, limit: Threshold | float) -> Test:
        return self._test("$gt", limit)

    def __ge__(self, limit: Threshold | float) -> Test:
        return self._test("$gte", limit)

    def one_of(self, *values: str) -> Condition:
        """The text equals one of `values`, each of which must be one the fact can take."""
        if self.kind != "text":
            raise TypeError(f"{self.name} is a {self.kind}: one_of is for texts")
        unheard = set(values) - set(self.values)
        if unheard or not values:
            raise ValueError(f"{self.name} never takes {sorted(unheard)}")
        tests = tuple(Test(self.name, "$eq", value) for value in values)
        return tests[0] if len(tests) == 1 else AnyOf(tests)

    def is_true(self) -> Test:
        """The flag is known and set."""
        return self._flag(True)

    def is_false(self) -> Test:
        """The flag is known and not set."""
        return self._flag(False)

    def _flag(self, value: bool) -> Test:
        if self.kind != "flag":
            raise TypeError(f"{self.name} is a {self.kind}, not a flag")
        return Test(self.name, "$eq", value)

    def not_seen(self) -> Condition:
        """The flag is unset or unknown: for an exception that only counts when somebody reported it."""
        return AnyOf((self._flag(False), Known(self.name, present=False)))

    def known(self) -> Known:
        """The fact is present."""
        return Known(self.name, present=True)

    def unknown(self) -> Known:
        """The fact is absent."""
        return Known(self.name, present=False)


@dataclass(frozen=True, slots=True)
class Found(Fact):
    """Something a rule may find: drawn or not, never drawn as false, so that one word says that it was not."""

    def is_false(self) -> Test:
        """Refused: see `not_seen`."""
        raise TypeError(f"{self.name} is found or not: say not_seen")

    def not_seen(self) -> Condition:
        """No rule found it."""
        return Known(self.name, present=False)

    def known(self) -> Known:
        """Refused: see `is_true`."""
        raise TypeError(f"{self.name} is found or not: say is_true")

    def unknown(self) -> Known:
        """Refused: see `not_seen`."""
        raise TypeError(f"{self.name} is found or not: say not_seen")


def holds(condition: Condition, facts: Facts) -> bool | None:
    """Whether `condition` is true, false, or cannot be told (None) from `facts`, after Kleene's strong logic."""
    match condition:
        case Test(fact, op, limit):
            return None if fact not in facts else _OPERATORS[op](facts[fact], limit)
        case Known(fact, present):
            return (fact in facts) is present
        case All(parts):
            return joined_truth([holds(part, facts) for part in parts], decides=False)
        case AnyOf(parts):
            return joined_truth([holds(part, facts) for part in parts], decides=True)
    raise TypeError(f"not a condition: {condition!r}")


def joined_truth(truths: list[bool | None], *, decides: bool) -> bool | None:
    """What tests are together where one of them can decide; None where it is open."""
    if decides in truths:
        return decides
    return None if None in truths else not decides


def negated(condition: Condition) -> Condition:
    """The condition that is true where `condition` is false, false where it is true, and unknown where it is."""
    match condition:
        case Test(fact, op, limit, threshold):
            return Test(fact, _OPPOSITES[op], limit, threshold)
        case Known(fact, present):
            return Known(fact, not present)
        case All(parts):
            return AnyOf(tuple(negated(part) for part in parts))
        case AnyOf(parts):
            return All(tuple(negated(part) for part in parts))
    raise TypeError(f"not a condition: {condition!r}")


def leaves(condition: Condition) -> Iterator[Test | Known]:
    """Every test in the tree, left to right."""
    match condition:
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from leaves(part)
        case Test() | Known():
            yield condition


def facts_read(condition: Condition) -> frozenset[str]:
    """Names of the facts the condition reads."""
    return frozenset(leaf.fact for leaf in leaves(condition))


@dataclass(frozen=True, slots=True)
class Leaf:
    """One test of a condition against the facts, for saying why a rule fired or did not.

    `op` is as in `Test`, or `$ex` (present) and `$nex` (absent), which have no limit. `value` is None where the fact
    is missing; `truth` is None where it cannot be told. `gap` is how far a number lies from the limit, in the fact's
    unit and never negative.
    """

    fact: str
    op: str
    limit: Value | None
    value: Value | None
    truth: bool | None
    gap: float | None
    threshold: str | None


def tested_leaves(condition: Condition, facts: Facts) -> list[Leaf]:
    """Every test in the tree, left to right, with the value it met and what came of it."""
    return [_explain_leaf(leaf, facts) for leaf in leaves(condition)]


def _explain_leaf(leaf: Test | Known, facts: Facts) -> Leaf:
    value = facts.get(leaf.fact)
    truth = holds(leaf, facts)
    if isinstance(leaf, Known):
        return Leaf(leaf.fact, "$ex" if leaf.present else "$nex", None, value, truth, None, None)
    numbers = value is not None and not isinstance(leaf.limit, bool | str) and not isinstance(value, bool | str)
    gap = abs(value - leaf.limit) if numbers else None  # type: ignore[operator]
    return Leaf(leaf.fact, leaf.op, leaf.limit, value, truth, gap, leaf.threshold)
