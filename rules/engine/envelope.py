"""What may be handed to the rule engine: conditions and facts are checked here, before it sees them.

The engine (durable-rules 2.0.28) coerces mixed types, reads NaN as null, cannot parse an exponent, ignores a second
key in a condition and compares field names by a 32-bit hash only. None of that is reported, so it must not happen.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from rules.language.conditions import All, AnyOf, Condition, Fact, Facts, Known, Test, Value, leaves

MAX_NUMBER: Final = 1e9
DECIMALS: Final = 4  # 0.0001 is the smallest step that is written without an exponent
MAX_TEXT: Final = 200
MAX_FACTS: Final = 200  # the engine holds 251 in one message
MAX_LISTS: Final = 14  # lists of conditions in one rule; the engine's sequence of 32 holds 15 with ours around it
MAX_PATHS: Final = 64  # the engine fires a rule once for each true way through it, at about 20 us each
KIND: Final = "kind"
SELF_TEST: Final = "half"

_NAME: Final = re.compile(r"[a-z][a-z0-9_]{0,59}")
_RESERVED: Final = re.compile(rf"id|sid|{KIND}|{SELF_TEST}|g[0-9]+")
_OPERATORS: Final[dict[str, frozenset[str]]] = {
    "number": frozenset({"$lt", "$lte", "$gt", "$gte", "$eq", "$neq"}),
    # Texts are compared as raw JSON bytes and flags as numbers: only equality means anything.
    "flag": frozenset({"$eq", "$neq"}),
    "text": frozenset({"$eq", "$neq"}),
}


EngineForm = dict[str, Any]
"""A condition as the rule engine takes it: operators and names of facts are its keys."""


def to_engine(condition: Condition) -> EngineForm:
    """The condition in the engine's own terms, exactly one key in each dict; this is what readers are shown."""
    match condition:
        case Test(fact, op, limit):
            constant = limit if isinstance(limit, bool | str) else float(limit)
            return {fact: constant} if op == "$eq" else {op: {fact: constant}}
        case Known(fact, present):
            return {"$ex" if present else "$nex": {fact: 1}}
        case All(parts):
            return {"$and": [to_engine(part) for part in parts]}
        case AnyOf(parts):
            return {"$or": [to_engine(part) for part in parts]}
    raise TypeError(f"not a condition: {condition!r}")


def check_condition(rule_id: str, condition: Condition, declared: Mapping[str, Fact]) -> None:
    """Refuse what the engine would misread.

    Raises ValueError, naming the rule and the fact, for an undeclared fact, an operator or a constant that does not
    fit the fact's kind, or more nesting or alternatives than the engine can hold.
    """
    for leaf in leaves(condition):
        if leaf.fact not in declared:
            raise ValueError(f"rule {rule_id}: no fact is called {leaf.fact}")
        fact = declared[leaf.fact]
        if isinstance(leaf, Known):
            continue
        if leaf.op not in _OPERATORS[fact.kind]:
            raise ValueError(f"rule {rule_id}: {leaf.op} does not fit {fact.name}, a {fact.kind}")
        try:
            kept = _checked_value(fact, leaf.limit)
        except ValueError as error:
            raise ValueError(f"rule {rule_id}: {error}") from None
        if kept != leaf.limit:
            raise ValueError(f"rule {rule_id}: {fact.name} is kept to {DECIMALS} decimals, {leaf.limit!r} has more")
    if _lists(condition) > MAX_LISTS:
        raise ValueError(f"rule {rule_id}: more than {MAX_LISTS} lists of conditions")
    if _paths(condition) > MAX_PATHS:
        raise ValueError(f"rule {rule_id}: more than {MAX_PATHS} ways to be true at once")


def _lists(condition: Condition) -> int:
    match condition:
        case All(parts) | AnyOf(parts):
            return 1 + sum(_lists(part) for part in parts)
    return 0


def _paths(condition: Condition) -> int:
    """In how many ways the condition can be true of the same facts, at most."""
    match condition:
        case All(parts):
            return math.prod(_paths(part) for part in parts)
        case AnyOf(parts):
            return 1 if _exclusive(parts) else sum(_paths(part) for part in parts)
    return 1


def _exclusive(parts: tuple[Condition, ...]) -> bool:
    """Whether the parts are different values of one fact, or its absence, so that only one can be true."""
    states: set[tuple[str, Value | None]] = set()
    for part in parts:
        match part:
            case Test(fact, "$eq", limit):
                states.add((fact, limit))
            case Known(fact, False):
                states.add((fact, None))
            case _:
                return False
    return len(states) == len(parts) and len({fact for fact, _ in states}) == 1


def check_names(facts: Sequence[Fact]) -> None:
    """Refuse fact names the engine keeps for itself or cannot tell apart, and text values it cannot carry.

    Raises ValueError naming the fact.
    """
    hashes: dict[int, str] = {}
    for fact in facts:
        if not _NAME.fullmatch(fact.name) or _RESERVED.fullmatch(fact.name):
            raise ValueError(f"{fact.name!r} cannot name a fact")
        twin = hashes.setdefault(_hash(fact.name), fact.name)
        if twin != fact.name:
            raise ValueError(f"the engine cannot tell {fact.name} from {twin}: rename one")
        for value in fact.values:
            _check_text(fact.name, value)
    if len(facts) > MAX_FACTS:
        raise ValueError(f"{len(facts)} facts are read, {MAX_FACTS} at most")


def _hash(name: str) -> int:
    """FNV-1a, 32 bits: all that the engine compares of a name."""
    value = 0x811C9DC5
    for byte in name.encode():
        value = (value ^ byte) * 0x01000193 & 0xFFFFFFFF
    return value


def _check_text(name: str, value: str) -> None:
    if len(value) > MAX_TEXT:
        raise ValueError(f"{name}: a text has at most {MAX_TEXT} characters, this one {len(value)}")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise ValueError(f"{name}: a text holds half of a surrogate pair") from None


def checked_facts(facts: Facts, declared: Mapping[str, Fact], read: Iterable[str]) -> dict[str, Value]:
    """Those of `facts` that are `read`, each checked and numbers rounded to 4 decimals.

    Raises ValueError, naming the fact, for an undeclared name, a value of another kind than declared, None, NaN, a
    number beyond 1e9, or a text that is not among the fact's declared values.
    """
    unheard = facts.keys() - declared.keys()
    if unheard:
        raise ValueError(f"no fact is called {min(unheard)}")
    return {name: _checked_value(declared[name], facts[name]) for name in read if name in facts}


def _checked_value(fact: Fact, value: object) -> Value:
    if fact.kind == "number":
        # NaN fails every comparison, so it is refused by the same test as infinities.
        if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= MAX_NUMBER:
            return round(float(value), DECIMALS)
    elif fact.kind == "flag":
        if isinstance(value, bool):
            return value
    elif isinstance(value, str) and value in fact.values:
        return value
    raise ValueError(f"{fact.name} is a {fact.kind} and cannot be {repr(value)[:60]}")
