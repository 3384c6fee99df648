"""A plan of drawing as it is handed on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from service.facts.drawing import Way
from service.heat.physics.arrays import Array
from service.picture.drawplan.ahead import NIGHT_HOURS
from service.picture.drawplan.candidates import Candidate
from service.units.estimate import MINUTES_PER_HOUR, Estimate
from service.units.figures import figure

MAY_WELL_DIE: Final = figure(
    0.35,
    "1",
    "From this chance on that the heap dies the plan says so, and takes its smallest step where little was told",
    "no source",
)
SHORTEST_MINUTES: Final = figure(
    2.0,
    "min/h",
    "A pump or fan that runs at all runs so long in the hour: less hardly clears its own pipe",
    "no source",
)
HouseThermostat = Literal["fitted", "aside"]
HoldReason = Literal["paused", "climbing", "rest", "as_now", "no_more", "set"]


@dataclass(frozen=True, slots=True)
class GainOverNow:
    """What a plan changes beside drawing on as now: heat to the house [J], hot days, member by member, (n,) each.

    The heat's mean is what the plan is told to bring more than is told of the draw as it is.
    """

    heat_j: Estimate
    hot_days: Estimate
    by_member: Array


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan taken. Heat in J, with ranges; what only a run of the members tells is None where none was made.

    `heat` and `heat_as_now` are those once the work that is advised is done, `heat_without_work` that of the plan
    where none is, `over_now` what the first has over the second.

    `way` is `water` or `air`. `running` and `running_now` are shares of the whole day, to the next reading. `dies`,
    `dies_undrawn` and `dies_as_now` are chances. `limit_c` is the person's own limit. `forbidden` tells why nothing may
    be drawn. `last_weeks` is the day from which the pair of the last weeks holds, None where the person named no date.
    `timed` where what is fitted cannot hold a core, and `careful` where so little was told that only a small step is
    taken. `house` tells of a thermostat in the house that stops the draw: `fitted`, to be set `aside` since the heap
    has to cool first, None where none is known. `held` tells that until the next reading the advice of an answer stands
    in its place: a pause, no draw before the core has climbed back, no change, no more than now, or the setting that is
    advised; `set_minutes` and `set_hours` are then the timer's. `tried` is the candidate as the members were run by it.
    """

    way: Way
    chosen: Candidate
    limit_c: float | None
    running: float
    running_now: float
    days: float
    heat: Estimate | None = None
    heat_as_now: Estimate | None = None
    heat_without_work: Estimate | None = None
    over_now: GainOverNow | None = None
    nights_short: Estimate | None = None
    dies: float | None = None
    dies_undrawn: float | None = None
    dies_as_now: float | None = None
    members: int = 0
    forbidden: str | None = None
    last_weeks: date | None = None
    timed: bool = False
    careful: bool = False
    house: HouseThermostat | None = None
    held: HoldReason | None = None
    set_minutes: float | None = None
    set_hours: float | None = None
    tried: Candidate | None = None


def hours_of(plan: Plan) -> float:
    """Hours of the day that the plan runs in. [h/day]"""
    if plan.set_hours is not None:
        return plan.set_hours
    return NIGHT_HOURS if plan.chosen.hours == "night" else 24.0


def minutes_of(plan: Plan) -> float:
    """Minutes in each of those hours, to the next reading; whole ones. [min/h]"""
    if plan.set_minutes is not None:
        return plan.set_minutes
    if plan.running <= 0.0:
        return 0.0
    return float(
        max(round(min(MINUTES_PER_HOUR * plan.running * 24.0 / hours_of(plan), MINUTES_PER_HOUR)), SHORTEST_MINUTES)
    )


def draws_no_more(plan: Plan) -> bool:
    """Whether to the next reading it draws no longer than is drawn now."""
    return plan.running <= plan.running_now


def pair_on(plan: Plan, day: date) -> tuple[float, float]:
    """Core at which the draw starts and stops on a day. [degC]"""
    late = plan.last_weeks is not None and day >= plan.last_weeks
    chosen = plan.chosen.in_last_weeks() if late else plan.chosen
    return chosen.start_c, chosen.stop_c
