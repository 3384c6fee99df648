"""Why a rule fired, did not hold, or cannot be told: its condition read with what is missing and what may yet change.

Three-valued after Kleene. Beyond `holds`, two things leave a test open instead of false: a fact that has to be known
and is not, and a fact whose value rests on something nobody told (`Open`). What is true here is true for the engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from rules import FIRST_PASS
from rules.engine.envelope import DECIMALS
from rules.language import findings
from rules.language.conditions import (
    All,
    AnyOf,
    Condition,
    Facts,
    Known,
    Leaf,
    Test,
    Value,
    holds,
    joined_truth,
    leaves,
    tested_leaves,
)
from rules.language.model import Rule, concluded


class RuleState(StrEnum):
    """What can be said of a rule."""

    FIRED = "fired"
    DID_NOT_HOLD = "did_not_hold"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class Open:
    """Why a fact's value is not the last word: the status fields it rests on and nobody gave.

    `could_be` names what a text could turn out to be, None for anything; `only_higher` marks a lower bound.
    """

    fields: tuple[str, ...]
    could_be: frozenset[str] | None = None
    only_higher: bool = False

    def may_make_true(self, test: Test) -> bool:
        """Whether a test that fails now could hold once those fields are given."""
        if self.only_higher:
            return test.op in ("$gt", "$gte")
        return self.could_be is None or test.op != "$eq" or test.limit in self.could_be

    def may_make_false(self, test: Test) -> bool:
        """Whether a test that holds now could fail once those fields are given."""
        if self.only_higher:
            return test.op not in ("$gt", "$gte")
        return self.could_be is None or test.op != "$eq" or bool(self.could_be - {str(test.limit)})


OpenFacts = Mapping[str, Open]


@dataclass(frozen=True, slots=True)
class TestedLeaf:
    """One test of a condition; `decides` tells whether it is among those that make the whole what it is."""

    leaf: Leaf
    decides: bool


def truth(condition: Condition, facts: Facts, open_facts: OpenFacts, *, strict: bool = False) -> bool | None:
    """Whether the condition is true, false, or cannot be told (None).

    `strict` also leaves open what holds for now: because nobody said otherwise (`unknown()` and `not_seen()`), or on
    an open fact.
    """
    match condition:
        case Known(fact, True):
            return True if fact in facts else None
        case Known(fact, False) if fact in findings.DECLARED and facts.get(fact) is False:
            return True  # settled: no rule can give it, so the engine does not see it
        case Known(fact, False) if fact in findings.DECLARED and fact in facts:
            return None if fact in open_facts else False  # found for now, and it may still fall
        case Known(fact, False):
            return False if fact in facts else None if strict else True
        case Test(fact):
            found, doubt = holds(condition, facts), open_facts.get(fact)
            if doubt is None or found is None:
                return found
            if found:
                return None if strict and doubt.may_make_false(condition) else True
            return None if doubt.may_make_true(condition) else False
        case All(parts):
            return joined_truth([truth(part, facts, open_facts, strict=strict) for part in parts], decides=False)
        case AnyOf(parts):
            return joined_truth([truth(part, facts, open_facts, strict=strict) for part in parts], decides=True)
    raise TypeError(f"not a condition: {condition!r}")


@dataclass(frozen=True, slots=True)
class Settled:
    """Facts with every finding that can be told, true or false, and what of all that is open.

    A finding that was drawn for now, on what is open or because nobody said otherwise, is true and open at once;
    `hangs_on` names the facts it may still fall with.
    """

    facts: dict[str, Value]
    open: OpenFacts
    hangs_on: Mapping[str, tuple[str, ...]]


def settled(known: Facts, open_facts: OpenFacts) -> Settled:
    """Settle the findings: true if a rule giving it fired, false if none of them can."""
    facts = {name: _as_the_engine_reads(value) for name, value in known.items()}
    doubts = dict(open_facts)
    by_finding: dict[str, list[Rule]] = {}
    for rule in FIRST_PASS:
        by_finding.setdefault(concluded(rule), []).append(rule)
    concluded_now: dict[str, Value] = {}
    hangs_on: dict[str, tuple[str, ...]] = {}
    for finding, rules in by_finding.items():
        found = joined_truth([truth(rule.when, facts, open_facts) for rule in rules], decides=True)
        if found is None:
            continue
        concluded_now[finding] = found
        sure = joined_truth([truth(rule.when, facts, open_facts, strict=True) for rule in rules], decides=True)
        if found and sure is None:
            doubts[finding] = Open(())
            hangs_on[finding] = tuple(sorted({fact for rule in rules for fact in _held_for_now(rule, facts, doubts)}))
    return Settled({**facts, **concluded_now}, doubts, hangs_on)


def _held_for_now(rule: Rule, facts: Facts, doubts: OpenFacts) -> Iterator[str]:
    """Facts by which a rule that fired may still fail."""
    if truth(rule.when, facts, doubts) is not True:
        return
    for leaf in leaves(rule.when):
        if truth(leaf, facts, doubts) is True and truth(leaf, facts, doubts, strict=True) is None:
            yield leaf.fact


def _as_the_engine_reads(value: Value) -> Value:
    return value if isinstance(value, bool | str) else round(float(value), DECIMALS)


def state_of(rule: Rule, case: Settled) -> RuleState:
    """The rule's state."""
    found = truth(rule.when, case.facts, case.open)
    return RuleState.CANNOT_TELL if found is None else RuleState.FIRED if found else RuleState.DID_NOT_HOLD


def readings(condition: Condition, case: Settled) -> list[TestedLeaf]:
    """Every test of the condition, left to right, with the value it met and whether it decides."""
    seen = _truths(condition, case, decides=True)
    return [
        TestedLeaf(replace(leaf, truth=found), decides)
        for leaf, (found, decides) in zip(tested_leaves(condition, case.facts), seen, strict=True)
    ]


def _truths(condition: Condition, case: Settled, *, decides: bool) -> Iterator[tuple[bool | None, bool]]:
    """Truth of each test in order; a part decides its whole if it is as true, false or open as the whole is."""
    found = truth(condition, case.facts, case.open)
    match condition:
        case All(parts) | AnyOf(parts):
            for part in parts:
                agrees = truth(part, case.facts, case.open) is found
                yield from _truths(part, case, decides=decides and agrees)
        case _:
            yield found, decides
