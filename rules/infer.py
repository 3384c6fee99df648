"""Facts to fired rules, in two passes: findings first, then what to do about them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from rules import FIRST_PASS, RULES, SECOND_PASS, facts, findings
from rules.conditions import Facts, Value
from rules.engine import RuleSet
from rules.model import Finding, Rule

Pass = Callable[[Facts], frozenset[str]]


@dataclass(frozen=True, slots=True)
class Inference:
    """What followed from the facts: all facts with the findings among them, and the rules that fired, by id."""

    facts: dict[str, Value]
    fired: tuple[Rule, ...]


@cache
def _first() -> RuleSet:
    return RuleSet([(rule.id, rule.when) for rule in FIRST_PASS], facts.DECLARED)


@cache
def _second() -> RuleSet:
    return RuleSet([(rule.id, rule.when) for rule in SECOND_PASS], facts.DECLARED | findings.DECLARED)


def warm_up() -> None:
    """Build the rule sets now instead of at the first question."""
    infer({"age_days": 1.0, "core_c": 20.0})


def infer(known: Facts) -> Inference:
    """Run both passes on the engine.

    A finding is put among the facts when a rule that gives it fired; the second pass reads it from there.
    Raises `rules.engine.EngineError` where the engine fails twice.
    """
    return _two_passes(known, _first().fired, _second().fired)


def infer_plainly(known: Facts) -> Inference:
    """The same two passes in plain Python: for the many re-runs behind a question, where the engine would be slow."""
    return _two_passes(known, _first().fired_plainly, _second().fired_plainly)


def _two_passes(known: Facts, first: Pass, second: Pass) -> Inference:
    observed = dict(known)
    concluded = [RULES[rule_id] for rule_id in first(observed)]
    observed.update({_concluded(rule): True for rule in concluded})
    decided = [RULES[rule_id] for rule_id in second(observed)]
    return Inference(observed, tuple(sorted([*concluded, *decided], key=lambda rule: rule.id)))


def with_findings_settled(known: Facts) -> dict[str, Value]:
    """Facts with every finding that can be told, true or false: for explaining why a rule did not fire."""
    settled = dict(infer_plainly(known).facts)
    ruled_out = _first().ruled_out(known)
    open_findings = {_concluded(rule) for rule in FIRST_PASS if rule.id not in ruled_out}
    for rule in FIRST_PASS:
        if _concluded(rule) not in open_findings:
            settled[_concluded(rule)] = False
    return settled


def _concluded(rule: Rule) -> str:
    assert isinstance(rule.gives, Finding)
    return rule.gives.name
