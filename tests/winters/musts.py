"""What must hold of a winter lived by the advice, each as a ratio with its bound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from .lives import Lived
from .policies import HABITS

PLAN, FIRST = "three-and-plan", "first-and-plan"


def musts(lives: Mapping[str, Lived]) -> Iterator[tuple[str, float, float, bool]]:
    """Each must that these lives can tell: what, measured, bound, and whether more is better."""
    heat = {name: float(lived.heat_kwh.mean()) for name, lived in lives.items()}
    dead = {name: float(lived.dead.mean()) for name, lived in lives.items()}
    habits = [name for name in HABITS if name in lives]
    best = max((heat[name] for name in habits), default=0.0)
    if PLAN in lives and "work-and-thermostat" in lives:
        yield "heat of plan over work with thermostat", heat[PLAN] / heat["work-and-thermostat"], 0.97, True
        yield "dead by plan less dead with thermostat", dead[PLAN] - dead["work-and-thermostat"], 0.0, False
    if PLAN in lives and best > 0.0:
        yield "heat of plan over the best habit", heat[PLAN] / best, 1.8, True
    if PLAN in lives and "hindsight" in lives:
        yield "heat of plan over hindsight", heat[PLAN] / heat["hindsight"], 0.70, True
    if FIRST in lives and best > 0.0:
        yield "heat of the first action and plan over the best habit", heat[FIRST] / best, 1.0, True
    for factor in (2, 4):
        if PLAN in lives and f"three-season-x{factor}" in lives:
            yield (
                f"heat of plan over season draw times {factor}",
                heat[PLAN] / heat[f"three-season-x{factor}"],
                1.0,
                True,
            )


def must_lines(lives: Mapping[str, Lived]) -> Iterator[str]:
    """The musts in words."""
    for what, measured, bound, more in musts(lives):
        held = measured >= bound if more else measured <= bound
        yield f"{'reached' if held else 'MISSED'}: {what}: {measured:.2f} (bound {bound:.2f})"
