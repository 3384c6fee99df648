"""The plan as it stands in an answer: for a thermostat, for a timer and for a hand on a valve."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, Final

from rules.catalogue import said
from service.answer.quantities import quantity, round_off
from service.picture.drawplan.record import Plan, hours_of, minutes_of
from service.picture.record import Picture
from service.render.wording import in_words
from service.units.estimate import Estimate
from service.units.quantities import System, to_units

LEAST_HEAT_J: Final = 3.6e6
"""Less useful heat than one kilowatt-hour is not told as a gain [J] (our own)."""
BEYOND_SEASON: Final = 1.1
"""From here on a plan's mean draw is said to be more than can be kept up [1] (our own)."""
DAY_S: Final = 86_400.0


def plan_shown(plan: Plan | None, picture: Picture, system: System) -> dict[str, Any] | None:
    """Every field of `draw_plan`, or None where there is no plan."""
    if plan is None:
        return None
    chosen = plan.chosen
    return {
        "way": plan.way,
        "by": chosen.by,
        "start_at": _degrees(chosen.start_c, system),
        "stop_at": _degrees(chosen.stop_c, system),
        "unit": to_units(0.0, "temperature", system)[1],
        "minutes_per_hour": minutes_of(plan),
        "hours_per_day": hours_of(plan),
        "hours": chosen.hours,
        "heat": quantity(plan.heat, "energy", system),
        "heat_as_now": quantity(plan.heat_as_now, "energy", system),
        "nights_short": quantity(plan.nights_short, "ratio", system),
        "chance_heap_dies": None if plan.dies is None else round(plan.dies, 2),
        "months": [],
        "why": why(plan, picture, system),
        "text": text(plan, picture, system),
    }


def _degrees(celsius: float, system: System) -> float:
    return round_off(round(to_units(celsius, "temperature", system)[0]))


def why(plan: Plan, picture: Picture, system: System) -> str:
    """Why this plan and not another."""
    if plan.forbidden is not None:
        return said("plan.why-off")
    if plan.dies is None or plan.dies_undrawn is None or plan.heat is None:
        return said("plan.why-usual")
    chances = {"members": str(plan.members), "dies": str(round(100 * plan.dies))}
    if plan.limit_c is not None:
        told = said("plan.why-limit", limit=in_words(plan.limit_c, "degC", system), **chances)
    else:
        told = said("plan.why-chosen", undrawn=str(round(100 * plan.dies_undrawn)), **chances)
    mean_w = plan.heat.value / (plan.days * DAY_S)
    if mean_w > BEYOND_SEASON * picture.accounts.season_draw.value:
        told += " " + said("plan.why-more", until=_until(plan, picture))
    return told


def text(plan: Plan, picture: Picture, system: System) -> str:
    """The plan in plain sentences, for whoever has to carry it out."""
    device = said("plan.pump" if plan.way == "water" else "plan.fan")
    start, stop = (in_words(c, "degC", system) for c in (plan.chosen.start_c, plan.chosen.stop_c))
    if plan.forbidden is not None:
        return said(f"plan.{plan.forbidden}", device=device, stop=stop)
    hours = said(f"plan.{plan.chosen.hours}")
    minutes = minutes_of(plan)
    parts = [said("plan.by-core", device=device, hours=hours, start=start, stop=stop)]
    if minutes > 0.0:
        parts.append(said("plan.by-hand", minutes=in_words(minutes, "min/h", system), hours=hours))
    else:
        parts.append(said("plan.by-hand-not-yet", start=start))
    parts.append(_brings(plan, picture, system))
    return " ".join(part for part in [*parts, said("plan.again")] if part)


def _brings(plan: Plan, picture: Picture, system: System) -> str:
    until = _until(plan, picture)
    if plan.heat is None or plan.heat_as_now is None:
        return ""
    if plan.heat.high < LEAST_HEAT_J:
        return said("plan.brings-little", until=until)
    value, low, high, now = (
        _energy(joules, system) for joules in (plan.heat.value, plan.heat.low, plan.heat.high, plan.heat_as_now.value)
    )
    return said("plan.brings", until=until, heat=value, low=low, high=high, now=now)


def _energy(joules: float, system: System) -> str:
    exactly = quantity(Estimate(joules, joules, joules, "derived"), "energy", system)
    assert exactly is not None
    return f"{exactly['value']:,.0f} {exactly['unit']}"


def _until(plan: Plan, picture: Picture) -> str:
    return (picture.status.as_of + timedelta(days=plan.days)).date().isoformat()
