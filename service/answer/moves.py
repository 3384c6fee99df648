"""Actions and warnings as they stand in the answer: doses, steps, reasons and cautions in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from rules import READS, THRESHOLDS, findings
from rules.actions import ACTIONS, Action
from rules.conditions import Facts
from rules.infer import Inference
from rules.model import EVERY_ANSWER, Avoid, Caution, Finding, Rule, Source
from service.answer.quantities import quantity, round_off
from service.doses import Dose
from service.estimate import Estimate
from service.rank import Advised
from service.units import System
from service.wording import fill


def source_shown(source: Source) -> dict[str, str]:
    """Kind and citation of a source."""
    return {"kind": source.kind.value, "cite": source.cite}


def reason(rule: Rule, facts: Facts, system: System) -> dict[str, Any]:
    """Why a rule fired: its words with the values that triggered it, those values, and its source."""
    read = {name: facts[name] for name in sorted(READS[rule.id]) if name in facts}
    return {
        "rule": rule.id,
        "text": fill(rule.reason, facts, THRESHOLDS, system),
        "facts": {name: value if isinstance(value, (bool, str)) else round_off(value) for name, value in read.items()},
        "source": source_shown(rule.source),
    }


def reasons(rules: Iterable[Rule], found: Inference, system: System) -> list[dict[str, Any]]:
    """The reasons of these rules, each after the findings it rests on, none told twice."""
    told: dict[str, Rule] = {}
    for rule in rules:
        rests_on = {fact for fact in READS[rule.id] if fact in findings.DECLARED and fact in found.facts}
        for earlier in found.fired:
            if isinstance(earlier.gives, Finding) and earlier.gives.name in rests_on:
                told.setdefault(earlier.id, earlier)
        told.setdefault(rule.id, rule)
    return [reason(rule, found.facts, system) for rule in told.values()]


def cautions_for(
    action: str, place: int, cautions: Iterable[Rule], found: Inference, system: System
) -> list[dict[str, Any]]:
    """Those of the cautions that go with an action; the first action also bears those of every answer."""
    return [
        {
            "rule": rule.id,
            "text": fill(rule.reason, found.facts, THRESHOLDS, system),
            "source": source_shown(rule.source),
        }
        for rule in cautions
        if isinstance(rule.gives, Caution)
        and (action in rule.gives.actions or (place == 1 and EVERY_ANSWER in rule.gives.actions))
    ]


def steps_of(action: Action, *, freezing: bool, on_hand: frozenset[str] | None, system: System) -> list[str]:
    """Steps for today's weather; what is known to be lacking is named first, with what to do instead."""
    steps = action.frost_steps if freezing and action.frost_steps else action.steps
    lacking = on_hand is not None and bool(action.needs) and not on_hand.intersection(action.needs)
    if lacking and action.alternative:
        steps = (action.alternative, *steps)
    return [fill(step, {}, THRESHOLDS, system) for step in steps]


def dose_shown(dose: Dose, system: System) -> dict[str, Any]:
    """One dose in the reader's units."""
    shown = quantity(Estimate(dose.value, dose.low, dose.high, "derived"), dose.dimension, system)
    assert shown is not None
    return {
        "of": dose.of,
        **shown,
        "split": dose.split,
        "or_instead": [dose_shown(other, system) for other in dose.or_instead],
    }


def warnings(found: Inference, system: System) -> list[dict[str, Any]]:
    """Tempting wrong moves with the reasons against them."""
    against: dict[str, list[Rule]] = {}
    for rule in found.fired:
        if isinstance(rule.gives, Avoid):
            against.setdefault(rule.gives.action, []).append(rule)
    return [
        {
            "action": action,
            "title": ACTIONS[action].title,
            "reasons": reasons(rules, found, system),
        }
        for action, rules in sorted(against.items())
    ]


def action_shown(
    place: int,
    item: Advised,
    *,
    doses: Sequence[Dose],
    effect: dict[str, Any],
    cautions: Iterable[Rule],
    found: Inference,
    on_hand: frozenset[str] | None,
    system: System,
) -> dict[str, Any]:
    """One ranked action whole."""
    freezing = found.facts.get("freezing") is True
    return {
        "rank": place,
        "action": item.action.id,
        "title": item.action.title,
        "urgency": item.urgency.value,
        "effort": item.action.effort,
        "doses": [dose_shown(dose, system) for dose in doses],
        "steps": steps_of(item.action, freezing=freezing, on_hand=on_hand, system=system),
        "effect": effect,
        "reasons": reasons(item.rules, found, system),
        "cautions": cautions_for(item.action.id, place, cautions, found, system),
    }
