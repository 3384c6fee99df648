"""What the heap can give tonight: one figure for the bargain with the stove, for the rules and for the ledger."""

from __future__ import annotations

from typing import Final, Literal

from rules.language.conditions import Facts
from rules.tables.thresholds import COLD_BELOW
from service.picture.account import Accounts
from service.picture.drawplan.record import Plan, minutes_of
from service.units.estimate import Estimate
from service.units.figures import figure

COOLS_OVERNIGHT_K: Final = figure(
    2.0, "K", "How far the core may cool in one night when tonight comes first", "no source"
)
NIGHT_S: Final = figure(10 * 3600.0, "s", "A winter night's hours of heating", "no source")


def share_of_need_percent(facts: Facts, accounts: Accounts, need: Estimate, *, rests: bool) -> float:
    """Share of what the house needs tonight that the heap can give, 0 to 100. [%]"""
    give = tonight_draw(facts, accounts, rests=rests)
    return 0.0 if give is None else 100 * min(give.value / need.value, 1.0)


NOTHING: Final = Estimate(0.0, 0.0, 0.0, "derived")


def rest_by_plan(facts: Facts, plan: Plan | None) -> Literal["cold", "paused"] | None:
    """Why nothing is to be drawn now by the heap's own state or its plan, or None."""
    drawn = plan is not None and minutes_of(plan) > 0.0  # the plan may take what little a cool core still gives
    if float(facts["core_c"]) < COLD_BELOW.value and facts.get("emptying") is not True and not drawn:
        return "cold"
    young = facts.get("too_young_to_judge") is True and facts.get("drawing") is not True
    forbidden = plan is not None and (plan.forbidden is not None or plan.held in ("paused", "rest"))
    return "paused" if forbidden or young else None


def tonight_draw(facts: Facts, accounts: Accounts, *, rests: bool) -> Estimate | None:
    """What the heap can give tonight [W]: the season draw, or more where tonight comes first.

    Then the core may cool a little overnight, within what loop or duct can carry. Nothing while the draw `rests`, or
    while pump and fan stand still, or have to; None where nothing is fitted.
    """
    if facts.get("has_air_duct") is False and facts.get("has_water_loop") is False:
        return None
    if rests or facts.get("draw_stands") is True:
        return NOTHING
    season = accounts.season_draw
    if facts.get("prefer") != "tonight":
        return season
    extra = accounts.capacity_j_k.value * COOLS_OVERNIGHT_K / NIGHT_S
    most = accounts.burst_draw

    def capped(value: float, cap: float | None) -> float:
        return value if cap is None else min(value, cap)

    return Estimate(
        capped(season.value + extra, most.value if most else None),
        capped(season.low + extra / 2, most.low if most else None),
        capped(season.high + extra, most.high if most else None),
        "derived",
    )
