"""Conditions turned into plain Python, which checks the rule engine on every evaluation.

It answers "is this certainly true?": a test on a missing fact is not. All rules become one function in Python's own
words, for it runs three times beside every answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from rules.language.conditions import All, AnyOf, Condition, Facts, Known, Test, facts_read

_SIGNS: Final[dict[str, str]] = {"$lt": "<", "$lte": "<=", "$gt": ">", "$gte": ">=", "$eq": "==", "$neq": "!="}


def compile_all(rules: Mapping[str, Condition]) -> Callable[[Facts], frozenset[str]]:
    """A function giving the ids of those `rules` whose condition is certainly true of some facts.

    No fact may be None or NaN.
    """
    names = sorted(frozenset[str]().union(*map(facts_read, rules.values())))
    places = {name: f"f{place}" for place, name in enumerate(names)}
    lines = ["def fired(facts):", " known = facts.get", " ids = []"]
    lines += [f" {place} = known({name!r})" for name, place in places.items()]
    lines += [f" if {_written(condition, places)}: ids.append({rule_id!r})" for rule_id, condition in rules.items()]
    scope: dict[str, Callable[[Facts], frozenset[str]]] = {}
    exec(compile("\n".join([*lines, " return frozenset(ids)"]), "<rules>", "exec"), scope)
    return scope["fired"]


def _written(condition: Condition, places: Mapping[str, str]) -> str:
    """The condition in Python's words; a fact that is missing is None there."""
    match condition:
        case Test(fact, op, limit):
            return f"({places[fact]} is not None and {places[fact]} {_SIGNS[op]} {limit!r})"
        case Known(fact, present):
            return f"({places[fact]} is {'not ' if present else ''}None)"
        case All(parts):
            return f"({' and '.join(_written(part, places) for part in parts)})"
        case AnyOf(parts):
            return f"({' or '.join(_written(part, places) for part in parts)})"
    raise TypeError(f"not a condition: {condition!r}")
