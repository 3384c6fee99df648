"""Random rule sets against random facts: the engine, the compiled conditions and an oracle must give the same rules.

The oracle works on the generator's own nested tuples and shares no code with the rules package. Run it by
`python tests/differential.py SEED RULE_SETS FACTS_EACH`; it prints one line and exits 1 on any difference.
"""

from __future__ import annotations

import logging
import operator
import random
import sys
from collections.abc import Callable
from typing import Any

from rules.engine.adapter import RuleSet
from rules.engine.envelope import MAX_PATHS, check_condition, checked_facts
from rules.language.conditions import All, AnyOf, Condition, Fact, Known, Test

Spec = tuple[Any, ...]

WORDS = (
    "dry",
    "Dry",
    "dry ",
    "",
    'a "quoted" word',
    "back\\slash",
    "new\nline",
    "tab\there",
    "nul\x00in",
    "caf\u00e9",
    "cafe\u0301",
    "\U0001f525",
    "true",
    "1",
    "null",
    "{}",
    "x" * 200,
)
LIMITS = (-1e9, -273.15, -0.0001, 0.0, 0.0001, 0.5, 3.0, 39.9999, 40.0, 40.0001, 75.0, 1e6, 1e9)
FACTS = {
    **{name: Fact(name, "number", "1", "a number") for name in (f"number_{i}" for i in range(16))},
    **{name: Fact(name, "flag", "", "a flag") for name in (f"flag_{i}" for i in range(8))},
    **{name: Fact(name, "text", "", "a text", WORDS) for name in (f"text_{i}" for i in range(6))},
}
RIGHT: dict[str, Callable[[Any, Any], bool]] = {
    "$lt": operator.lt,
    "$lte": operator.le,
    "$gt": operator.gt,
    "$gte": operator.ge,
    "$eq": operator.eq,
    "$neq": operator.ne,
}
WRONG = RIGHT | {"$lte": operator.lt}


def random_spec(rng: random.Random, depth: int) -> Spec:
    """A condition as nested tuples: ("all"|"any", specs), ("known"|"unknown", fact) or (op, fact, limit)."""
    if depth > 0 and rng.random() < 0.6:
        return rng.choice(["all", "any"]), [random_spec(rng, depth - 1) for _ in range(rng.randint(1, 4))]
    name = rng.choice(list(FACTS))
    kind = FACTS[name].kind
    if rng.random() < 0.12:
        return rng.choice(["known", "unknown"]), name
    if kind == "number":
        return rng.choice(list(RIGHT)), name, rng.choice(LIMITS)
    return rng.choice(["$eq", "$neq"]), name, rng.random() < 0.5 if kind == "flag" else rng.choice(WORDS)


def random_facts(rng: random.Random) -> dict[str, Any]:
    """Some facts known, numbers often at or just beside a limit and with more decimals than are kept."""
    share = rng.choice([0.0, 0.3, 0.7, 1.0])
    facts: dict[str, Any] = {}
    for name, fact in FACTS.items():
        if rng.random() >= share:
            continue
        if fact.kind == "number":
            near = rng.choice(LIMITS) + rng.choice([0.0, 0.0, 0.0001, -0.0001, 0.00003, 1e-9])
            facts[name] = max(-1e9, min(1e9, rng.choice([near, float(round(near)), rng.uniform(-50, 100)])))
            if rng.random() < 0.1:
                facts[name] = int(facts[name])
        else:
            facts[name] = rng.random() < 0.5 if fact.kind == "flag" else rng.choice(WORDS)
    return facts


def built(spec: Spec) -> Condition:
    """The same condition in the project's terms."""
    match spec:
        case ("all", parts):
            return All(tuple(built(part) for part in parts))
        case ("any", parts):
            return AnyOf(tuple(built(part) for part in parts))
        case ("known" | "unknown" as word, name):
            return Known(name, present=word == "known")
        case (op, name, limit):
            return Test(name, op, limit)
    raise AssertionError(spec)


def oracle(spec: Spec, facts: dict[str, Any], compare: dict[str, Callable[[Any, Any], bool]] = RIGHT) -> bool:
    """Whether the condition is certainly true, by the book: numbers kept to four decimals, a missing fact never is."""
    match spec:
        case ("all", parts):
            return all(oracle(part, facts, compare) for part in parts)
        case ("any", parts):
            return any(oracle(part, facts, compare) for part in parts)
        case ("known", name):
            return name in facts
        case ("unknown", name):
            return name not in facts
        case (op, name, limit):
            if name not in facts:
                return False
            value = facts[name]
            return compare[op](value if isinstance(value, bool | str) else round(value, 4), limit)
    raise AssertionError(spec)


def random_rules(rng: random.Random, count: int) -> dict[str, Spec]:
    """Rules that pass the check on loading; those with too many alternatives are drawn again."""
    rules: dict[str, Spec] = {}
    while len(rules) < count:
        spec = random_spec(rng, rng.randint(0, 4))
        try:
            check_condition("drawn", built(spec), FACTS)
        except ValueError as error:
            assert str(MAX_PATHS) in str(error) or "lists" in str(error)
            continue
        rules[f"rule-{len(rules)}"] = spec
    return rules


def differences(
    seed: int, rule_sets: int, facts_each: int, compare: dict[str, Callable[[Any, Any], bool]] = RIGHT
) -> tuple[int, int]:
    """How many evaluations differ between engine, compiled conditions and oracle; and how often a rule fired."""
    rng = random.Random(seed)
    wrong = fired = 0
    for _ in range(rule_sets):
        rules = random_rules(rng, rng.randint(1, 100))
        rule_set = RuleSet([(rule_id, built(spec)) for rule_id, spec in rules.items()], FACTS)
        for _ in range(facts_each):
            facts = random_facts(rng)
            expected = {rule_id for rule_id, spec in rules.items() if oracle(spec, facts, compare)}
            # fired() gives the compiled conditions' answer, so the engine's own is taken from behind it.
            answers = (
                rule_set.fired(facts),
                rule_set._evaluate(checked_facts(facts, FACTS, rule_set._read)),
                rule_set.fired_plainly(facts),
            )
            wrong += any(answer != expected for answer in answers)
            fired += len(expected)
    return wrong, fired


if __name__ == "__main__":
    logging.basicConfig(level=logging.WARNING)
    wrong, fired = differences(*map(int, sys.argv[1:4]))
    print(f"{wrong} differences, {fired} firings")
    sys.exit(wrong > 0)
