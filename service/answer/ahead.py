"""What lies ahead, and what each action would change, in the reader's units."""

from __future__ import annotations

from datetime import timedelta
from typing import Final

import numpy as np

from rules.catalogue import said
from service.actions.whatif import Ahead, effect_by_plan
from service.answer.expectations import expected
from service.answer.quantities import quantity, round_off
from service.answer.shapes.advice import Outlook
from service.answer.shapes.heat import Effect
from service.course.run import first_cool_again
from service.heat.ahead import days_until_below
from service.heat.physics.balance import quantiles
from service.picture.drawplan.record import Plan
from service.picture.record import Picture
from service.units.estimate import RANGE_SHARES, Estimate
from service.units.figures import figure
from service.units.quantities import System, to_units

SHOWN_DAYS: Final = figure(
    (0, 1, 2, 3, 5, 7, 10, 14, 21, 30, 45, 60),
    "days",
    "Days ahead at which the core is told, as far as the goal reaches",
    "no source",
)

DOUBTED: Final = frozenset({"add_nitrogen", "cover_with_clear_film", "loosen_pile"})
"""Actions whose effect the model takes for granted, or does not know well enough to give it a sure sign."""


def effect_shown(ahead: Ahead | None, action: str, system: System, plan: Plan | None = None) -> Effect:
    """Heat and hot days as two numbers, never one score; all null where no what-if was run for the action.

    A change of the draw that follows the plan and gains by it changes what the plan was found to change, not what its
    timer would if nobody looked at the core again. One that is made for the heap's life is judged by its what-if.
    """
    if ahead is None or action not in ahead.effects:
        return {"heat_to_goal": None, "hot_days_gained": None, "chance_of_gain": None, "text": None, "note": None}
    effect = effect_by_plan(ahead, action, plan)
    notes = [] if effect.can_be_told else [said("effect.cannot-tell")]
    if effect.heat_j.value < 0.0 < effect.hot_days.value:
        notes.append(said("effect.trades"))
    if effect.too_small(ahead.usable_j) and not effect.loses:
        notes.append(said("effect.too-small"))
    if action in DOUBTED:
        notes.append(said(f"effect.{action}"))
    heat, days = quantity(effect.heat_j, "energy", system), quantity(effect.hot_days, "duration", system)
    return {
        "heat_to_goal": heat,
        "hot_days_gained": days,
        "chance_of_gain": round(effect.chance_of_gain, 2),
        "text": expected(effect, heat, days, ahead.usable_j),
        "note": " ".join(notes) or None,
    }


def advice_outlook_shown(ahead: Ahead | None, picture: Picture, system: System) -> Outlook:
    """The core if nothing is changed, with an 80 % band, and days until it is too cool to draw; empty if not run."""
    unit = to_units(0.0, "temperature", system)[1]
    if ahead is None:
        return {"unit": unit, "at": [], "core": {"low": [], "median": [], "high": []}, "days_until_cool": None}
    last = float(ahead.days[-1])
    days = [day for day in SHOWN_DAYS if day <= last]
    places = [int(np.argmin(np.abs(ahead.days - day))) for day in days]
    bands = [quantiles(ahead.told_c[place]) for place in places]

    def shown(which: int) -> list[float]:
        return [round_off(to_units(band[which], "temperature", system)[0]) for band in bands]

    cool = cool_days(ahead, picture.goal.keep_core_above_c)
    return {
        "unit": unit,
        "at": [(picture.status.as_of + timedelta(days=day)).isoformat() for day in days],
        "core": {"low": shown(0), "median": shown(1), "high": shown(2)},
        "days_until_cool": quantity(cool, "duration", system),
    }


def cool_days(ahead: Ahead, limit_c: float) -> Estimate | None:
    """Days until the core falls below the limit; None where half the members stay above it, or climb over it and stay.

    0 where it is below the limit now and stays so: a core that is still to climb over it is not too cool already.
    """
    first = days_until_below(ahead.days, ahead.told_c, limit_c)
    climbs = (first == 0.0) & (ahead.told_c >= limit_c).any(axis=0)
    first = np.where(climbs, first_cool_again(ahead.days, ahead.told_c, limit_c), first)
    low, median, high = (float(np.sort(first)[int(share * (first.size - 1))]) for share in RANGE_SHARES)
    if not np.isfinite(median):
        return None
    return Estimate(median, low, min(high, float(ahead.days[-1])), "derived")
