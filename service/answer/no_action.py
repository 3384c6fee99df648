"""Why nothing is advised against a cause that is likely: a warning, another move, the heat, or that none helps now."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Final

from rules import THRESHOLDS
from rules.actions.conflicts import CONFLICTS
from rules.actions.cures import CURES
from rules.catalogue import said
from rules.engine.inference import Inference
from rules.language.model import Act, Avoid, Rule
from service.render.wording import fill
from service.units.figures import figure
from service.units.quantities import System

LIKELY_FROM: Final = figure(
    0.5, "1", "From this share on a cause has an action beside it, or a sentence why it has none", "no source"
)


def why_no_action(
    cause: str, share: float, rules: Sequence[Rule], found: Inference, *, advised: Collection[str], system: System
) -> str | None:
    """The sentence for a cause that `rules` found, or None where an action answers it or it is not likely."""
    cures = CURES[cause]
    if share < LIKELY_FROM or set(cures) & set(advised):
        return None
    if found.facts.get("overheating") is True or found.facts.get("fire_danger") is True:
        return said("cause.too-hot")
    warning = _surest_warning(cures, found)
    if warning is not None:
        return said(
            "cause.warned-off",
            title=said(f"action.{warning[0]}.title"),
            because=fill(said(f"rule.{warning[1].id}"), found.facts, THRESHOLDS, system),
        )
    goes_on = found.facts.get("drawing") is True and found.facts.get("plan_says") in ("more", "as_now")
    if cause == "overdrawn" and goes_on:
        return said("cause.overdrawn-by-plan")
    asked = [rule.gives.action for rule in found.fired if isinstance(rule.gives, Act) and rule.gives.action in cures]
    for conflict in CONFLICTS:
        if conflict.drops in asked and conflict.keeps in advised:
            return said(f"conflict.{conflict.keeps}.{conflict.drops}")
    if asked:
        return said("cause.no-gain", title=said(f"action.{asked[0]}.title"))
    return said(f"cause.none.{cause}" if rules else "cause.only-likely")


def _surest_warning(cures: Collection[str], found: Inference) -> tuple[str, Rule] | None:
    """The surest rule that warns off one of the moves, with that move."""
    against = [
        (-rule.confidence, rule.id, rule.gives.action, rule)
        for rule in found.fired
        if isinstance(rule.gives, Avoid) and rule.gives.action in cures
    ]
    if not against:
        return None
    _, _, action, rule = min(against)
    return action, rule
