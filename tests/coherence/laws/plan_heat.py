"""What a plan is told to bring, and what its own move gains, are one heat."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from tests.coherence.case import Answer, Case, action, told
from tests.coherence.law import law
from tests.coherence.laws.plans import untold

TURNS_OF_THE_DRAW = {"raise_draw", "reduce_draw", "pause_draw"}
APART = 1.5
"""Heat that is told over all that is said of it elsewhere: more contradicts it (our own)."""
LEAST_MJ = 18.0
"""Five kilowatt-hours more or less are no contradiction (our own)."""
WHAT_IF_DAYS = 60.0
DAYS_WITHOUT_A_GOAL = 30.0


@law("a draw that is raised for nothing by its own what-if, where the plan brings clearly more than now", "full")
def raised_for_nothing(case: Case, answer: Answer) -> Iterator[str]:
    plan, raised = answer["draw_plan"], action(answer, "raise_draw")
    if plan is None or plan["heat"] is None or raised is None or raised["effect"]["heat_to_goal"] is None:
        return
    if untold(told(case.body, "draw", plan["way"])):  # taken as running all the time, until it is told
        return
    gain = raised["effect"]["heat_to_goal"]
    if gain["low"] == gain["high"] == 0 and plan["heat"]["value"] > 1.25 * plan["heat_as_now"]["value"]:
        yield f"{plan['heat']['value']} by the plan, {plan['heat_as_now']['value']} as now"


@law("a plan that is told to bring many times what its own move and the listed work gain", "full")
def more_than_its_move_gains(case: Case, answer: Answer) -> Iterator[str]:
    # A contradiction is a likely heat of well more than all that is said of it elsewhere, each at its high end: what is
    # drawn as now, what is stored down to the core at which the plan stops, what rot frees above the limit, what the
    # listed work gains. What-ifs end at 60 days; beyond these they count on at the same pace.
    plan, raised, left = answer["draw_plan"], action(answer, "raise_draw"), answer["energy"]["usable_left"]
    gain = None if raised is None else raised["effect"]["heat_to_goal"]
    if plan is None or plan["heat"] is None or gain is None or untold(told(case.body, "draw", plan["way"])):
        return
    work = [each["effect"]["heat_to_goal"] for each in answer["actions"] if each["action"] not in TURNS_OF_THE_DRAW]
    by_work = sum(max(each["high"], 0.0) for each in work if each is not None)
    longer = max(_days_to(case) / WHAT_IF_DAYS, 1.0)
    without = plan["heat_as_now"]["high"] + left["high"] + _stored_mj(case, plan["stop_at"]) + LEAST_MJ
    if plan["heat"]["value"] > APART * (without + by_work * longer):
        yield f"{plan['heat']['value']} told, {without:.0f} by the draw, {by_work * longer:.0f} by work"
    if plan["heat"]["value"] > APART * without and "work that is advised is done" not in plan["text"]:
        yield f"{plan['heat']['value']} told, {without:.0f} without work, and not a word of it"


@law("a draw that is raised at a loss by its own what-if, where the plan brings more than now, or vice versa", "full")
def raised_against_the_plan(case: Case, answer: Answer) -> Iterator[str]:
    plan, raised = answer["draw_plan"], action(answer, "raise_draw")
    gain = None if raised is None else raised["effect"]["heat_to_goal"]
    if plan is None or plan["heat"] is None or gain is None:
        return
    more = plan["heat"]["value"] - plan["heat_as_now"]["value"]
    if more * gain["value"] < 0.0 and min(abs(more), abs(gain["value"])) > LEAST_MJ:
        yield f"{more} more by the plan, {gain['value']} by raising the draw"


def _stored_mj(case: Case, stop_c: float) -> float:
    picture = case.judgement.picture
    over_k = max(float(case.judgement.found.facts["core_c"]) - stop_c, 0.0)
    return picture.accounts.capacity_j_k.high * over_k / 1e6


def _days_to(case: Case) -> float:
    """Days to the goal's date, a month where none was told."""
    until = told(case.body, "goal", "until")
    if until is None:
        return DAYS_WITHOUT_A_GOAL
    return float((date.fromisoformat(until) - datetime.fromisoformat(case.body["as_of"]).date()).days)
