"""Heat balance, energy ledger and tonight's bargain, in the reader's units and in words."""

from __future__ import annotations

import math
from collections.abc import Collection
from typing import Final, Literal

from rules.catalogue import said
from rules.engine.inference import Inference
from rules.tables.thresholds import COOL_SOON
from service.actions.rank import FIRE_ACTION
from service.answer.quantities import burst_shown, quantity
from service.answer.shapes.heat import Energy, HeatBalance, Tonight
from service.picture.account import Accounts
from service.picture.drawplan.quick_plan import drawn_otherwise
from service.picture.drawplan.record import Plan
from service.picture.record import Picture
from service.picture.tonight import rest_by_plan, tonight_draw
from service.render.shape import Quantity
from service.render.wording import in_words
from service.units.estimate import Estimate
from service.units.figures import figure
from service.units.quantities import System

NOTHING_ASKED_W: Final = figure(1.0, "W", "A draw below this is told as none", "no source")
WORTH_TELLING_APART: Final = figure(
    1.5, "1", "From this much over the season draw on the burst draw is told beside it", "no source"
)
ABOUT_AS_MUCH: Final = figure(
    0.9, "1", "A plan that draws at least this share of what is drawn now is not against it", "no source"
)


def balance_shown(accounts: Accounts, system: System) -> HeatBalance:
    """Heat made, lost, drawn and stored now; null where it cannot be told."""

    def power(estimate: Estimate | None) -> Quantity | None:
        return quantity(estimate, "power", system)

    return {
        "made": power(accounts.made),
        "lost": {"ground_and_air": power(accounts.ground_and_air), "evaporation": power(accounts.evaporation)},
        "drawn": {
            "air": {"sensible": power(accounts.air_sensible), "latent": power(accounts.air_latent)},
            "water": power(accounts.water),
        },
        "stored": power(accounts.stored),
        "unexplained": power(accounts.unexplained),
    }


def draws_by_plan(picture: Picture, moves: Collection[str]) -> bool:
    """Whether what is drawn follows a plan that uses the heap up by its date, so that nothing is said against it."""
    plan = picture.plan
    if "raise_draw" in moves:
        return True
    if plan is not None and drawn_otherwise(plan.way, picture):
        return False
    goes_on = plan is not None and plan.forbidden is None and plan.running >= ABOUT_AS_MUCH * plan.running_now
    return goes_on and not {"reduce_draw", "pause_draw"} & set(moves)


Rest = Literal["fire", "cold", "paused"]


def why_at_rest(found: Inference, plan: Plan | None, moves: Collection[str]) -> Rest | None:
    """Why nothing is to be drawn now by the rest of the answer, or None."""
    if FIRE_ACTION in moves:
        return "fire"
    if "raise_draw" in moves:
        return None
    return rest_by_plan(found.facts, plan) or ("paused" if "pause_draw" in moves else None)


def energy_shown(picture: Picture, system: System, *, planned: bool, rest: Rest | None, raised: bool) -> Energy:
    """The ledger: what is in the wood, what can be used, and the three draws that never stand for each other.

    `planned` and `rest` as `draws_by_plan` and `why_at_rest` tell; `raised` where drawing more is advised.
    """
    accounts = picture.accounts
    return {
        "total": quantity(accounts.total, "energy", system),
        "usable_left": quantity(accounts.usable_left, "energy", system),
        "burst_draw": burst_shown(accounts.burst_draw, accounts.season_draw, system),
        "season_draw": quantity(accounts.season_draw, "power", system),
        "asked": quantity(accounts.asked, "power", system),
        "verdict": _energy_verdict(picture, system, planned=planned, rest=rest, raised=raised),
    }


def _energy_verdict(picture: Picture, system: System, *, planned: bool, rest: Rest | None, raised: bool) -> str:
    accounts, days = picture.accounts, in_words(round(picture.goal.days), "days", system)
    season = accounts.season_draw
    if rest == "fire":
        return said("energy.fire")
    can, asked = in_words(season.value, "W", system), accounts.asked
    if raised and season.value < max(NOTHING_ASKED_W, 0.0 if asked is None else asked.value):
        best = in_words(season.value if season.value >= NOTHING_ASKED_W else season.high, "W", system)
        return said("energy.used-up-by-plan", days=days, power=best)
    if rest is not None and season.high >= NOTHING_ASKED_W:
        most_w = season.value if season.value >= NOTHING_ASKED_W else season.high
        text = said(f"energy.{rest}", power=in_words(most_w, "W", system))
    elif season.high < NOTHING_ASKED_W:
        text = said("energy.nothing", days=days)
    elif season.value < NOTHING_ASKED_W:
        best = in_words(season.high, "W", system)
        text = said("energy.probably-nothing", days=days, best=best)
    elif (cool_in := float(picture.derived.facts.get("days_until_cool", math.inf))) <= COOL_SOON.value:
        limit, until = in_words(picture.goal.keep_core_above_c, "degC", system), in_words(cool_in, "days", system)
        text = said("energy.can-give-yet-falls", days=days, power=can, limit=limit, until=until)
    else:
        text = said("energy.can-give", days=days, power=can)
    if (
        rest is None
        and accounts.burst_draw is not None
        and accounts.burst_draw.value > WORTH_TELLING_APART * max(season.value, NOTHING_ASKED_W)
        and (asked is None or asked.value < accounts.burst_draw.value)  # more is drawn than that already
    ):
        burst = in_words(accounts.burst_draw.value, "W", system)
        text += " " + said("energy.burst", power=burst)
    if asked is not None and asked.value > max(season.value, NOTHING_ASKED_W) and planned:
        text += " " + said("energy.asked-by-plan")
    elif asked is not None and asked.value > max(season.high, NOTHING_ASKED_W):
        text += " " + said("energy.asked-too-much")
    elif asked is not None and asked.value > max(season.value, NOTHING_ASKED_W):
        text += " " + said("energy.asked-perhaps-too-much")
    return text


def tonight_shown(picture: Picture, system: System, rest: Rest | None) -> Tonight:
    """What the house needs tonight, what the heap can give, and what is left for the stove.

    `rest` as `why_at_rest` tells: then nothing is counted on, whatever the heap could give.
    """
    rests = rest is not None or picture.status.season == "off"
    need, give = picture.house_needs, tonight_draw(picture.derived.facts, picture.accounts, rests=rests)
    short = None
    if need is not None:
        low, middle, high = (0.0, 0.0, 0.0) if give is None else (give.low, give.value, give.high)
        short = Estimate(max(need.value - middle, 0.0), max(need.low - high, 0.0), max(need.high - low, 0.0), "derived")
    return {
        "needed": quantity(need, "power", system),
        "from_pile": quantity(give, "power", system),
        "short_by": quantity(short, "power", system),
        "verdict": _tonight_verdict(picture, need, give, short, system, rest=rest),
    }


def _tonight_verdict(
    picture: Picture,
    need: Estimate | None,
    give: Estimate | None,
    short: Estimate | None,
    system: System,
    *,
    rest: Rest | None,
) -> str:
    if picture.status.season == "off":
        return said("tonight.not-heated")
    if give is None:
        return said("tonight.nothing-fitted")
    if need is None or short is None:
        return said("tonight.say-more")
    if need.value <= NOTHING_ASKED_W:
        return said("tonight.no-need")
    if rest is not None:
        return said("tonight.rests", power=in_words(need.value, "W", system))
    if short.value <= NOTHING_ASKED_W:
        return said("tonight.covered")
    share = round(100 * min(give.value / need.value, 1.0))
    stove = in_words(short.value, "W", system)
    return said("tonight.short", share=str(share), power=stove)
