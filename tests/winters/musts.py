"""What must hold of a winter lived by the advice, each as a ratio with its bound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from .lives import Lived
from .policies import HABITS
from .table import told_over_came, told_range_held

PLAN, FIRST, ALONE = "three-and-plan", "first-and-plan", "plan-alone"
APART: Final = 0.25


def musts(
    lives: Mapping[str, Lived], more_dead: float = 0.0, apart: float = APART
) -> Iterator[tuple[str, float, float, bool]]:
    """Each must that these lives can tell: what, measured, bound, and whether more is better.

    `more_dead` is how much larger a share of dead heaps is let pass, and `apart` how far what is told may lie from what
    came: a few heaps cannot tell one dead heap from none, nor a mean within a quarter (drawn again from 24 heaps, the
    ratio of twelve lies at .70 to 1.20 on layers and .92 to 1.55 on plane, nine times in ten). A policy that fewer
    heaps were lived by than the others is left out.
    """
    most = max((lived.heat_kwh.size for lived in lives.values()), default=0)
    lives = {name: lived for name, lived in lives.items() if lived.heat_kwh.size == most}
    heat = {name: float(lived.heat_kwh.mean()) for name, lived in lives.items()}
    dead = {name: float(lived.dead.mean()) for name, lived in lives.items()}
    habits = [name for name in HABITS if name in lives]
    best = max((heat[name] for name in habits), default=0.0)
    if PLAN in lives and "work-and-thermostat" in lives:
        yield "heat of plan over work with thermostat", heat[PLAN] / heat["work-and-thermostat"], 0.97, True
        yield "dead by plan less dead with thermostat", dead[PLAN] - dead["work-and-thermostat"], more_dead, False
    if PLAN in lives and best > 0.0:
        yield "heat of plan over the best habit", heat[PLAN] / best, 1.8, True
    if PLAN in lives and "hindsight" in lives:
        yield "heat of plan over hindsight", heat[PLAN] / heat["hindsight"], 0.70, True
    if FIRST in lives and best > 0.0:
        yield "heat of the first action and plan over the best habit", heat[FIRST] / best, 1.0, True
    if ALONE in lives and best > 0.0:
        yield "heat of the plan alone over the best habit", heat[ALONE] / best, 1.0, True
    for factor in (2, 4):
        if PLAN in lives and f"three-season-x{factor}" in lives:
            yield (
                f"heat of plan over season draw times {factor}",
                heat[PLAN] / heat[f"three-season-x{factor}"],
                1.0,
                True,
            )
    if PLAN in lives and len(lives[PLAN].told_heat_kwh):
        yield "heat told apart from what came", abs(told_over_came(lives[PLAN]) - 1.0), apart, False
        yield "range of the heat told held", told_range_held(lives[PLAN]), 0.75, True


def must_lines(lives: Mapping[str, Lived], more_dead: float = 0.0, apart: float = APART) -> Iterator[str]:
    """The musts in words."""
    for what, measured, bound, more in musts(lives, more_dead, apart):
        held = measured >= bound if more else measured <= bound
        yield f"{'reached' if held else 'MISSED'}: {what}: {measured:.2f} (bound {bound:.2f})"
