"""The plan of drawing beside the advice of the same answer: until the next reading they name one setting."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Final

from rules.engine.inference import Inference
from rules.language.model import Act, Avoid
from service.actions.decision import Decision
from service.actions.doses import Dose
from service.picture.drawplan.record import HoldReason, Plan, hours_of, minutes_of
from service.picture.record import Picture
from service.units.estimate import MINUTES_PER_HOUR, AirDraw, WaterDraw

_TIMERS: Final = {"water": "water_minutes_per_hour", "air": "air_minutes_per_hour"}
_COLD: Final = frozenset({"draw.overdrawn-and-cold", "draw.cold-heap-is-drawn", "draw.planned-off-below-the-limit"})
"""Rules that pause a draw until the core has climbed back."""
_GOES_ON: Final = frozenset({"keep_going", "wait"})


def plan_as_advised(picture: Picture, found: Inference, decision: Decision) -> Plan | None:
    """The plan with what the advice says of the draw in its place until the next reading.

    A pause is a pause in both, of a cold heap until its core has climbed back; a setting that is advised is the plan's;
    where all goes on as it is, or drawing more is warned off, the plan draws no more than now. After that the plan's
    own pair of temperatures holds.
    """
    plan = picture.plan
    if plan is None or plan.forbidden is not None:
        return plan
    moves = {item.action.id for item in decision.ranked}
    if "pause_draw" in moves:
        return _held(plan, "climbing" if _waits_for_its_core(plan, found) else "paused", 0.0, hours_of(plan))
    dosed = next((decision.doses.get(move, ()) for move in ("raise_draw", "reduce_draw") if move in moves), ())
    set_as = _set_as(plan, dosed, picture)
    if set_as is not None:
        return set_as
    if not _is_told(picture, plan.way):
        return plan
    now = _timer_now(picture, plan.way)
    runs_now = now[0] * now[1]
    planned = minutes_of(plan) * hours_of(plan)
    no_more = "reduce_draw" in moves or _warned_off(found, "raise_draw")
    if planned != runs_now and (moves & _GOES_ON or (planned > runs_now and no_more)):
        if runs_now <= 0.0:
            return _held(plan, "rest", 0.0, hours_of(plan))
        return _held(plan, "no_more" if no_more else "as_now", *now)
    return plan


def _waits_for_its_core(plan: Plan, found: Inference) -> bool:
    """Whether a thermostat set by the plan ends a pause by itself: a heap that is cold is paused until it has climbed
    back, which is what its pair of cores says too, and by a calendar it is left to get hot for nothing."""
    asked = {rule.id for rule in found.fired if isinstance(rule.gives, Act) and rule.gives.action == "pause_draw"}
    return not plan.timed and asked <= _COLD


def _set_as(plan: Plan, doses: Collection[Dose], picture: Picture) -> Plan | None:
    """The plan with the timer as it is dosed, where that is not the plan's own setting; None where none is dosed."""
    told = {dose.of: dose.value for dose in doses}
    now_minutes, now_hours = _timer_now(picture, plan.way)
    of = _TIMERS[plan.way]
    if of not in told and "hours_per_day" not in told:
        return None
    minutes, hours = told.get(of, now_minutes), told.get("hours_per_day", now_hours or hours_of(plan))
    same = abs(minutes - minutes_of(plan)) < 0.5 and abs(hours - hours_of(plan)) < 0.5
    return plan if same else _held(plan, "set", round(minutes), hours)


def _held(plan: Plan, by: HoldReason, minutes: float, hours: float) -> Plan:
    running = minutes * hours / (MINUTES_PER_HOUR * 24.0)
    return replace(plan, held=by, running=running, set_minutes=float(minutes), set_hours=float(hours))


def _is_told(picture: Picture, way: str) -> bool:
    """Whether it was told that pump or fan runs, or that it is off."""
    facts = picture.derived.facts
    return ("water_drawing" if way == "water" else "air_drawing") in facts


def _timer_now(picture: Picture, way: str) -> tuple[float, float]:
    """Minutes in the hour and hours in the day that pump or fan runs now, 0 where that was not told."""
    draw: WaterDraw | AirDraw | None = picture.estimate.water if way == "water" else picture.estimate.air
    if draw is None or not (draw.flow_kg_s if isinstance(draw, WaterDraw) else draw.flow_m3_s) > 0.0:
        return 0.0, 0.0
    return MINUTES_PER_HOUR * draw.hour_share, 24.0 * draw.day_share


def _warned_off(found: Inference, move: str) -> bool:
    return any(isinstance(rule.gives, Avoid) and rule.gives.action == move for rule in found.fired)
