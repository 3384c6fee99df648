"""The plan as it stands in an answer: for a thermostat, for a timer and for a hand on a valve."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from rules.actions.records import A_STEP_SHOWS_DAYS
from rules.catalogue import said
from rules.tables.plan_heat import HOUSE_THERMOSTAT
from service.actions.whatif import LEAST_HEAT_J
from service.answer.plan_months import degrees, months_of
from service.answer.quantities import quantity
from service.answer.shapes.draw_plan import DrawPlan, DrawPlanMonth, Switch
from service.picture.drawplan.ahead import NIGHT_HOURS
from service.picture.drawplan.candidates import HOTTEST_START_C, Hours
from service.picture.drawplan.record import MAY_WELL_DIE, Plan, hours_of, minutes_of, pair_on
from service.picture.record import Picture
from service.render.numbers import chance_in_words, quantity_in_words
from service.render.shape import Quantity
from service.render.wording import in_words
from service.units.estimate import SECONDS_PER_DAY, Estimate
from service.units.figures import figure
from service.units.quantities import System

FOR_WORK: Final = figure(
    0.1,
    "1",
    "A plan says so where more of its heat than this share is there for work that is still to be done",
    "no source",
)
BEYOND_SEASON: Final = figure(
    1.1, "1", "From here on a plan's mean draw is said to be more than can be kept up", "no source"
)


def plan_shown(plan: Plan | None, picture: Picture, system: System) -> DrawPlan | None:
    """Every field of `draw_plan`, or None where there is no plan."""
    if plan is None:
        return None
    today = picture.status.as_of.date()
    start_c, stop_c = pair_on(plan, today)
    return {
        "way": plan.way,
        "by": _by(plan, picture),
        "start_at": degrees(start_c, system),
        "stop_at": degrees(stop_c, system),
        "unit": "degC" if system == "metric" else "degF",
        "minutes_per_hour": minutes_of(plan),
        "hours_per_day": hours_of(plan),
        "hours": _hours(plan),
        "heat": quantity(plan.heat, "energy", system),
        "heat_as_now": quantity(plan.heat_as_now, "energy", system),
        "nights_short": quantity(plan.nights_short, "ratio", system),
        "chance_heap_dies": None if plan.dies is None else round(plan.dies, 2),
        "months": plan_months(plan, today, system),
        "why": why(plan, picture, system),
        "text": plan_in_words(plan, picture, system),
    }


def _by(plan: Plan, picture: Picture) -> Switch:
    """What switches: nothing where the draw is to stay off for now, and the timer where its setting is what is advised.

    Whatever the cores of later are: a thermostat set to them would draw otherwise until the next reading. One that is
    fitted already, and left as it is, goes on by its cores.
    """
    draw = picture.status.draw
    if plan.held in ("paused", "rest"):
        return "off"
    if plan.held in ("no_more", "set") or (plan.held == "as_now" and (draw is None or draw.control != "thermostat")):
        return "timer"
    by = plan.chosen.by
    return "timer" if by == "as_now" or (plan.timed and by == "core") else by


def _hours(plan: Plan) -> Hours:
    """When the timer's hours are: more than a night's go around the clock, whatever the hours of later are."""
    if plan.set_hours is None:
        return plan.chosen.hours
    return "all" if plan.set_hours > NIGHT_HOURS else "night"


def plan_months(plan: Plan, today: date, system: System) -> list[DrawPlanMonth]:
    """The pair of each month up to the goal's date, where it changes on the way; else nothing."""
    until = today + timedelta(days=plan.days)
    late = plan.last_weeks
    if plan.forbidden is not None or late is None or late <= today or pair_on(plan, today) == pair_on(plan, late):
        return []
    return months_of(lambda day: pair_on(plan, day), today, until, plan.chosen.hours, system)


def why(plan: Plan, picture: Picture, system: System) -> str:
    """Why this plan and not another."""
    if plan.forbidden is not None:
        return said("plan.why-off")
    if plan.dies is None or plan.dies_undrawn is None or plan.heat is None:
        return said("plan.why-usual")
    chances = {"members": str(plan.members), "dies": chance_in_words(plan.dies)}
    if plan.limit_c is not None:
        told = said("plan.why-limit", limit=in_words(plan.limit_c, "degC", system), **chances)
    else:
        told = said("plan.why-chosen", undrawn=chance_in_words(plan.dies_undrawn), **chances)
    if plan.dies_as_now is not None and plan.heat_as_now is not None and plan.heat_as_now.value > plan.heat.value:
        safer = plan.dies_as_now > plan.dies
        less = (
            "plan.why-less-limit" if plan.limit_c is not None else "plan.why-less" if safer else "plan.why-less-alike"
        )
        told += " " + said(less, until=_until(plan, picture), dies=chance_in_words(plan.dies_as_now))
    mean_w = plan.heat.value / (plan.days * SECONDS_PER_DAY)
    if mean_w > BEYOND_SEASON * picture.accounts.season_draw.value:
        told += " " + said("plan.why-more", until=_until(plan, picture))
    if plan.heat.value > picture.accounts.usable_left.high:
        left = "plan.why-usable-with-work" if _counts_on_work(plan) else "plan.why-usable"
        told += " " + said(left, limit=in_words(picture.goal.keep_core_above_c, "degC", system))
    return told


def plan_in_words(plan: Plan, picture: Picture, system: System) -> str:
    """The plan in plain sentences, for whoever has to carry it out."""
    device = said("plan.pump" if plan.way == "water" else "plan.fan")
    today = picture.status.as_of.date()
    start, stop = (in_words(c, "degC", system) for c in pair_on(plan, today))
    if plan.forbidden is not None:
        return said(f"plan.{plan.forbidden}", device=device, stop=stop)
    hours, minutes = said(f"plan.{plan.chosen.hours}"), minutes_of(plan)
    told = {"device": device, "hours": hours, "start": start, "stop": stop}
    told["minutes"] = in_words(minutes, "min/h", system)
    set_hours = hours_of(plan)
    told["set_hours"] = quantity_in_words(
        quantity(Estimate(set_hours, set_hours, set_hours, "derived"), "hours_per_day", system)
    )
    parts = [said(way, **told) for way in _ways(plan, minutes)]
    parts += [_house(plan, device, system), _while_hot(plan, system), _later(plan, today, system), _risk(plan)]
    parts += [_brings(plan, picture, system), _house_would(plan, device, system)]
    return " ".join(part for part in [*parts, said("plan.again")] if part)


def _ways(plan: Plan, minutes: float) -> list[str]:
    """The sentences that tell how: first what is held to until the next reading, or the timer's setting."""
    if plan.held is not None:
        held = "rest" if plan.held == "paused" else plan.held
        return [f"plan.held-{held.replace('_', '-')}", "plan.then"]
    running = "" if minutes > 0.0 else "-not-yet"
    return [f"plan.by-timer{running}"] if plan.timed else ["plan.by-core", f"plan.by-hand{running}"]


def _house(plan: Plan, device: str, system: System) -> str:
    """What becomes of a thermostat in the house, where one is fitted."""
    if plan.house is None:
        return ""
    words = "plan.house" if plan.house == "fitted" else "plan.house-aside"
    return said(words, device=device, hot=in_words(HOTTEST_START_C, "degC", system))


def _house_would(plan: Plan, device: str, system: System) -> str:
    """What a thermostat in the house would bring more, where none is known and that is worth a word."""
    if plan.house is not None or plan.heat is None:
        return ""
    low, mean, high = (share * plan.heat.value for share in HOUSE_THERMOSTAT)
    more = Estimate(mean, low, high, "derived")
    if more.value < LEAST_HEAT_J:
        return ""
    return said("plan.house-would", device=device, more=quantity_in_words(quantity(more, "energy", system)))


def _while_hot(plan: Plan, system: System) -> str:
    """Down to which core it is drawn by day too, where it is."""
    chosen = plan.chosen
    if chosen.hours == "night" or plan.held is not None or plan.house is not None:
        return ""
    return said("plan.while-hot", hot=in_words(chosen.by_day_from_c, "degC", system))


def _later(plan: Plan, today: date, system: System) -> str:
    """What changes in the last weeks, while they are still to come."""
    if plan.last_weeks is None or plan.last_weeks <= today or pair_on(plan, today) == pair_on(plan, plan.last_weeks):
        return ""
    start, stop = (in_words(c, "degC", system) for c in pair_on(plan, plan.last_weeks))
    return said("plan.last-weeks", day=plan.last_weeks.isoformat(), start=start, stop=stop)


def _risk(plan: Plan) -> str:
    """That only a small step is taken, or that the heap may well die."""
    if plan.careful and minutes_of(plan) > 0.0 and plan.days >= A_STEP_SHOWS_DAYS:
        return said("plan.small-step")
    if plan.dies is not None and plan.dies >= MAY_WELL_DIE:
        return said("plan.may-die", dies=chance_in_words(plan.dies))
    return ""


def _brings(plan: Plan, picture: Picture, system: System) -> str:
    until = _until(plan, picture)
    if plan.heat is None or plan.heat_as_now is None:
        return ""
    if plan.heat.high < LEAST_HEAT_J:
        return said("plan.brings-little", until=until)
    heat = quantity_in_words(quantity(plan.heat, "energy", system))
    now = _about(quantity(plan.heat_as_now, "energy", system))
    if _counts_on_work(plan):
        without = _about(quantity(plan.heat_without_work, "energy", system))
        told = said("plan.brings-with-work", until=until, heat=heat, now=now, without=without)
    else:
        told = said("plan.brings", until=until, heat=heat, now=now)
    return told if plan.days >= picture.goal.days else f"{told} {said('plan.no-further')}"


def _counts_on_work(plan: Plan) -> bool:
    """Whether a good part of the heat told is there for the work that is advised beside it."""
    if plan.heat is None or plan.heat_without_work is None:
        return False
    more_j = plan.heat.value - plan.heat_without_work.value
    return more_j > max(FOR_WORK * plan.heat.value, LEAST_HEAT_J)


def _about(amount: Quantity | None) -> str:
    """The likely amount alone, with the digits that its range allows."""
    return quantity_in_words(amount).partition(" (")[0]


def _until(plan: Plan, picture: Picture) -> str:
    return (picture.status.as_of + timedelta(days=plan.days)).date().isoformat()
