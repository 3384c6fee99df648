"""Facts to fired rules, in three passes: findings, then what to do about them, then cautions for what is advised."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from typing import Final

from rules import CAUTIONS, FIRST_PASS, RULES, SECOND_PASS
from rules.actions.records import ACTIONS
from rules.engine.adapter import RuleSet, differed
from rules.language import facts, findings
from rules.language.conditions import AnyOf, Condition, Fact, Facts, Value
from rules.language.model import EVERY_ANSWER, Caution, Rule, concluded

_fired_so_far: Final[Counter[str]] = Counter()
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


_ADVISED = {f"advised_{action}": Fact(f"advised_{action}", "flag", "", "It is advised.") for action in ACTIONS}


@cache
def _third() -> RuleSet:
    known = facts.DECLARED | findings.DECLARED | _ADVISED
    return RuleSet([(rule.id, _beside_its_actions(rule)) for rule in CAUTIONS], known)


def _beside_its_actions(rule: Rule) -> Condition:
    """The rule's condition, and that one of its actions is advised: the engine's cost follows what fires."""
    assert isinstance(rule.gives, Caution)
    if EVERY_ANSWER in rule.gives.actions:
        return rule.when
    tests = tuple(_ADVISED[f"advised_{action}"].is_true() for action in rule.gives.actions)
    return (tests[0] if len(tests) == 1 else AnyOf(tests)) & rule.when


def warm_up() -> None:
    """Build the rule sets now instead of at the first question."""
    cautions_beside(infer({"age_days": 1.0, "core_c": 20.0}), ["wait"])


def infer(known: Facts) -> Inference:
    """Run the first two passes on the engine.

    A finding is put among the facts when a rule that gives it fired; the second pass reads it from there.
    Raises `rules.engine.adapter.EngineError` where the engine fails twice.
    """
    found = _two_passes(known, _first().fired, _second().fired)
    _fired_so_far.update(rule.id for rule in found.fired)
    return found


def take_counts() -> tuple[dict[str, int], dict[str, int]]:
    """How often each rule fired on the engine and was differed on by it, in this process, since last taken."""
    counts = dict(_fired_so_far), dict(differed)
    _fired_so_far.clear()
    differed.clear()
    return counts


def infer_plainly(known: Facts) -> Inference:
    """The same two passes in plain Python: for batches and re-runs behind a question, where the engine is slow."""
    return _two_passes(known, _first().fired_plainly, _second().fired_plainly)


def cautions_beside(found: Inference, advised: Iterable[str], *, plainly: bool = False) -> tuple[Rule, ...]:
    """The cautions that hold for the actions advised, by id; `plainly` as in `infer_plainly`."""
    known = found.facts | {f"advised_{action}": True for action in advised}
    fired = _third().fired_plainly(known) if plainly else _third().fired(known)
    return tuple(RULES[rule_id] for rule_id in sorted(fired))


def _two_passes(known: Facts, first: Pass, second: Pass) -> Inference:
    observed = dict(known)
    findings_drawn = [RULES[rule_id] for rule_id in first(observed)]
    observed.update({concluded(rule): True for rule in findings_drawn})
    decided = [RULES[rule_id] for rule_id in second(observed)]
    return Inference(observed, tuple(sorted([*findings_drawn, *decided], key=lambda rule: rule.id)))
