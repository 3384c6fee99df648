"""Conditions turned into plain Python functions, which check the rule engine on every evaluation.

They answer "is this certainly true?": a test on a missing fact is not. Being certainly false is the certain truth
of the negated condition.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from rules.conditions import All, AnyOf, Condition, Facts, Known, Test

Predicate = Callable[[Facts], bool]
_Lookup = Mapping[str, Any]

# One small function per operator: the comparison is then a single bytecode, not a call into `operator`.
_TESTS: Final[dict[str, Callable[[str, Any], Callable[[_Lookup], bool]]]] = {
    "$lt": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value < limit,
    "$lte": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value <= limit,
    "$gt": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value > limit,
    "$gte": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value >= limit,
    "$eq": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value == limit,
    "$neq": lambda name, limit: lambda facts: (value := facts.get(name)) is not None and value != limit,
}
_OPPOSITES: Final[dict[str, str]] = {
    "$lt": "$gte",
    "$lte": "$gt",
    "$gt": "$lte",
    "$gte": "$lt",
    "$eq": "$neq",
    "$neq": "$eq",
}


def compile_condition(condition: Condition) -> Predicate:
    """A function telling whether `condition` is certainly true of some facts; none of them may be None or NaN."""
    match condition:
        case Test(fact, op, limit):
            return _TESTS[op](fact, limit)
        case Known(fact, True):
            return lambda facts: fact in facts
        case Known(fact, False):
            return lambda facts: fact not in facts
        case All(parts):
            return _every([compile_condition(part) for part in parts])
        case AnyOf(parts):
            return _any([compile_condition(part) for part in parts])
    raise TypeError(f"not a condition: {condition!r}")


def _every(parts: list[Predicate]) -> Predicate:
    # A loop and not all(...): the generator would cost more than the tests.
    def every(facts: Facts) -> bool:
        for part in parts:  # noqa: SIM110
            if not part(facts):
                return False
        return True

    return every


def _any(parts: list[Predicate]) -> Predicate:
    def some(facts: Facts) -> bool:
        for part in parts:  # noqa: SIM110
            if part(facts):
                return True
        return False

    return some


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


def compile_all(rules: Mapping[str, Condition]) -> Callable[[Facts], frozenset[str]]:
    """A function giving the ids of those `rules` whose condition is certainly true of some facts."""
    tests = [(rule_id, compile_condition(condition)) for rule_id, condition in rules.items()]
    return lambda facts: frozenset([rule_id for rule_id, test in tests if test(facts)])
