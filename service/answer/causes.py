"""What may explain a disappointing heap: the causes that rules found, and those that the ensemble holds likely."""

from __future__ import annotations

from collections.abc import Collection
from types import MappingProxyType
from typing import Final

from rules.engine.inference import Inference
from rules.language.conditions import Facts
from rules.language.findings import CAUSES
from rules.language.model import Finding, Rule
from rules.tables.thresholds import LITTLE_LEFT_BELOW
from service.answer.no_action import why_no_action
from service.answer.shapes.advice import LikelyCause
from service.units.figures import figure
from service.units.quantities import System

CAUSES_BY_WANT: Final = MappingProxyType(
    {
        "water": ("too_dry", "dry_core_under_wet_skin"),
        "nitrogen": ("starved_of_nitrogen",),
        "air": ("short_of_air", "waterlogged", "too_wet", "channelling"),
        "draw": ("overdrawn",),
        "cold": ("cold_soaked", "losing_to_weather", "too_small"),
        "substrate": ("spent",),
    }
)

"""The causes behind each want of `learning.limits`, the one to name first where no rule has found any."""
DOING_WELL: Final = frozenset({"overheating", "warming", "hot"})
"""Phases in which nothing needs explaining, so that only what rules found is told."""
WORTH_NAMING: Final = figure(
    0.1, "1", "Causes that no rule found are told from this share of the ensemble on", "no source"
)


def likely_causes(found: Inference, advised: Collection[str], system: System) -> list[LikelyCause]:
    """Causes with their shares of the belief and the rules that found them, likeliest first.

    What a rule found has the rule's confidence; a want of the ensemble counts as its share, on its own or on top of
    the rule's: one of two independent witnesses is enough. Where no rule found any, the shares are the ensemble's own,
    which may leave much unexplained. What rules have excluded is not told. Where none of the
    actions `advised` answers a likely cause, a sentence says why.
    """
    behind: dict[str, list[Rule]] = {}
    for rule in found.fired:
        if isinstance(rule.gives, Finding) and rule.gives.name in CAUSES:
            behind.setdefault(rule.gives.name, []).append(rule)
    doubts = {cause: 1.0 - max(rule.confidence for rule in rules) for cause, rules in behind.items()}
    for cause, share in _by_ensemble(found, frozenset(behind)).items():
        doubts[cause] = doubts.get(cause, 1.0) * (1.0 - share)
    total = sum(1.0 - doubt for doubt in doubts.values())
    if not behind:  # the ensemble alone: what it leaves unexplained is no belief in what it names
        total = max(total, 1.0)
    causes: list[LikelyCause] = []
    for cause, doubt in doubts.items():
        share, rules = round((1.0 - doubt) / total, 2), behind.get(cause, [])
        why = why_no_action(cause, share, rules, found, advised=advised, system=system)
        causes.append({"cause": cause, "share": share, "rules": [rule.id for rule in rules], "no_action": why})
    return sorted(causes, key=lambda cause: (-cause["share"], cause["cause"]))


def _is_ruled_out(cause: str, facts: Facts) -> bool:
    """What rules have excluded; and no heap is spent of which the answer says that a good part is still there."""
    left = facts.get("degradable_left_percent")
    if cause == "spent" and isinstance(left, float) and left >= LITTLE_LEFT_BELOW.value:
        return True
    return facts.get(cause) is False


def _by_ensemble(found: Inference, by_rules: frozenset[str]) -> dict[str, float]:
    """Share of the ensemble for each cause; a want's share is split among its causes that rules found."""
    facts = found.facts
    shares: dict[str, float] = {}
    for want, causes in CAUSES_BY_WANT.items():
        name = f"limited_by_{want}_percent"
        if name not in facts:  # counted in full answers only
            continue
        share = float(facts[name]) / 100
        seen = [cause for cause in causes if cause in by_rules]
        if seen:
            shares |= dict.fromkeys(seen, share / len(seen))
        elif share >= WORTH_NAMING and facts["phase"] not in DOING_WELL:
            open_ones = [cause for cause in causes if not _is_ruled_out(cause, facts)]
            shares |= dict.fromkeys(open_ones[:1], share)
    return shares
