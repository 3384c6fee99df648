"""Which plan is taken: most useful heat at the accepted risk, and no change for a trifle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from service.facts.drawing import Way
from service.facts.house import house_of
from service.facts.record import Derived
from service.heat.learning.members import Learned
from service.heat.physics.arrays import Array
from service.heat.physics.balance import quantiles
from service.heat.physics.kernel import HOT_DAY_C
from service.heat.physics.piles import Piles, PileState
from service.heat.weather import weather_ahead
from service.picture.drawplan.ahead import TimeAhead, ahead_of
from service.picture.drawplan.candidates import AS_NOW, OFF, Candidate
from service.picture.drawplan.plan_yield import JOULES_PER_KWH, brings
from service.picture.drawplan.quick_plan import (
    SMALL_STEP,
    SMALLEST_STEP,
    candidates_for,
    drawn_at_c,
    house_thermostat,
    ill_described,
    is_timed,
    last_weeks_of,
    limit_of,
    must_cool,
    rests_first,
    running_now,
    stepped,
    today_of,
    way_of,
    why_off,
)
from service.picture.drawplan.record import MAY_WELL_DIE, GainOverNow, Plan
from service.picture.drawplan.trial import Trial, tried
from service.picture.record import Picture
from service.units.estimate import Estimate
from service.units.figures import figure

MEMBERS: Final = figure(24, "1", "Members a plan is tried on: every so manieth of those that fit", "no source")
ACCEPTED_RISK: Final = figure(
    0.35,
    "1",
    "By how much a plan may raise the chance that the heap dies before its time, over that of not drawing at all",
    "no source",
)
BORNE_BY: Final = figure(
    0.3,
    "1",
    "A timer that nothing stops at a core is set to what so large a share of the members draws less than",
    "no source",
)
WORTH_A_CHANGE: Final = figure(
    0.06,
    "1",
    "A plan that brings less than this share more than a simpler or safer one is not worth a change",
    "no source",
)
NOTHING: Final = Estimate(0.0, 0.0, 0.0, "derived")


WorkDone = Callable[[Piles, PileState], tuple[Piles, PileState]]
"""The members as they are once some work is done."""


def plan_for(picture: Picture, heap: Learned) -> Plan | None:
    """The plan for one heap, on members that fit its log; None where nothing is fitted to draw with.

    The heat told is that of the heap as it is; see `with_work`.
    """
    way = way_of(picture)
    if way is None:
        return None
    ahead, trial = _trial(picture, heap, way, candidates_for(picture))
    return _chosen(picture, ahead, trial, way)


def with_work(picture: Picture, plan: Plan, work: WorkDone) -> Plan:
    """The plan with the heat that it brings once some work is done: the same members run after it."""
    if plan.tried is None or plan.forbidden is not None:
        return plan
    ahead, after = _trial(picture, picture.heap, plan.way, [AS_NOW, plan.tried], work)
    return _with_heat(plan, picture, ahead, after, 1)


def _trial(
    picture: Picture, heap: Learned, way: Way, candidates: list[Candidate], work: WorkDone | None = None
) -> tuple[TimeAhead, Trial]:
    days = int(np.ceil(picture.goal.days))
    n = heap.weights.size
    usual = weather_ahead(picture.status, picture.estimate, days, n)
    index = np.linspace(0, n - 1, min(MEMBERS, n)).round().astype(np.intp)
    weather = heap.weather(days, usual)
    last = last_weeks_of(picture)
    last_in = np.inf if last is None else float((last - picture.status.as_of.date()).days)
    house = house_of(picture.status, Derived())
    ahead = ahead_of(weather.of_members(index), picture.goal.days, house, last_in)
    piles, state = heap.piles.take(index), heap.state.take(index)
    if work is not None:
        piles, state = work(piles, state)
    tonight = picture.derived.facts.get("prefer") == "tonight"
    housed = house_thermostat(picture) == "fitted"
    return ahead, tried(piles, state, ahead, candidates, way=way, tonight=tonight, housed=housed)


def _chosen(picture: Picture, ahead: TimeAhead, trial: Trial, way: Way) -> Plan:
    dies, heat = trial.dies.mean(axis=1), trial.weighed_j.mean(axis=1)
    undrawn = float(dies[1])
    place = best_place(heat, dies, undrawn)
    forbidden = why_off(picture, way)
    if forbidden is not None:
        place = 1
    now, careful, timed = running_now(picture, way), ill_described(picture), is_timed(picture)
    chosen = OFF if forbidden is not None else trial.candidates[place].at(drawn_at_c(picture))
    risky = float(dies[place]) >= MAY_WELL_DIE
    running = _to_next_reading(trial.running[place], now, careful=careful, timed=timed, risky=risky)
    if forbidden is not None or rests_first(picture, today_of(picture, chosen)):
        running = 0.0
    elif must_cool(picture, way):
        running = 1.0
    plan = Plan(
        way=way,
        chosen=chosen,
        limit_c=limit_of(picture),
        tried=trial.candidates[place],
        dies=float(dies[place]),
        dies_undrawn=undrawn,
        dies_as_now=float(dies[0]),
        running=running,
        running_now=now,
        days=float(ahead.days[-1]),
        members=trial.dies.shape[1],
        forbidden=forbidden,
        last_weeks=last_weeks_of(picture),
        timed=timed,
        careful=careful and not must_cool(picture, way),
        house=house_thermostat(picture),
    )
    return _with_heat(plan, picture, ahead, trial, place)


def _with_heat(plan: Plan, picture: Picture, ahead: TimeAhead, trial: Trial, place: int) -> Plan:
    """The plan with what it is told to bring by the run of a candidate."""
    wanted_j = float((ahead.night_j + ahead.day_j).sum(axis=0).mean())

    def told(which: int) -> Estimate:
        return brings(float(trial.useful_j[which].mean()), picture.estimate, plan.days, wanted_j)

    heat, as_now = NOTHING if plan.forbidden is not None else told(place), told(0)
    return replace(
        plan,
        heat=heat,
        heat_as_now=as_now,
        over_now=_over_now(ahead, trial, place, heat.value - as_now.value),
        heat_without_work=heat if plan.heat_without_work is None else plan.heat_without_work,
        nights_short=_range(_short(ahead, trial, place, heat.value)),
    )


def _over_now(ahead: TimeAhead, trial: Trial, place: int, told_j: float) -> GainOverNow:
    """What a candidate changes beside drawing as now, its heat moved to the difference that is told."""
    heat_j = trial.useful_j[place] - trial.useful_j[0]
    hot = np.where(trial.core_c[1:] >= HOT_DAY_C, (ahead.hours / 24.0)[:, None, None], 0.0).sum(axis=0)
    by_member = np.array([heat_j + (told_j - heat_j.mean()), hot[place] - hot[0]])
    return GainOverNow(_range(by_member[0]), _range(by_member[1]), by_member)


def _to_next_reading(running: Array, now: float, *, careful: bool, timed: bool, risky: bool) -> float:
    """Share of the day that a timer runs until then: what most members bear where nothing else stops it.

    Only a small step where little was told, a smaller one where the heap may well die besides.
    """
    share = float(np.quantile(running, BORNE_BY)) if timed else float(running.mean())
    if not careful:
        return share
    return stepped(share, now, SMALLEST_STEP if risky else SMALL_STEP)


def best_place(heat: Array, dies: Array, undrawn: float) -> int:
    """Place of the plan to take among as now, off, and the others in their order.

    Of those by core whose risk is accepted the one with most heat, or an earlier one where that brings little more.
    """
    free = range(2, heat.size)
    allowed = [place for place in free if dies[place] <= undrawn + ACCEPTED_RISK]
    if not allowed:
        allowed = [int(min(free, key=lambda place: (dies[place], -heat[place])))]
    most = max(heat[place] for place in allowed)
    near = [place for place in allowed if heat[place] >= (1.0 - WORTH_A_CHANGE) * most]
    return near[0]


def _short(ahead: TimeAhead, trial: Trial, place: int, told_j: float) -> Array:
    """Nights short of each member, (n,), where the heat told is another than its run's."""
    short: Array = trial.nights_short[place]
    if not np.isfinite(ahead.night_j).all():
        return short
    nights = np.where(ahead.night_j > 0.0, (ahead.hours / 24.0)[:, None], 0.0).sum(axis=0)
    met = (nights - short) * (told_j / max(float(trial.useful_j[place].mean()), JOULES_PER_KWH))
    result: Array = np.maximum(nights - met, 0.0)
    return result


def _range(values: Array) -> Estimate:
    low, _, high = quantiles(values)
    told = float(values.mean())
    return Estimate(told, min(low, told), max(high, told), "derived")
