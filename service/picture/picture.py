"""Status to facts: the one place where a status becomes what the rules and the heat model read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

from rules.tables.thresholds import HOLDING_FROM
from service.facts.ageing import aged_core, aged_moisture, aged_outdoor
from service.facts.covers import cover_on
from service.facts.decay import rotted
from service.facts.drawing import draws_as_set, read_drawing
from service.facts.fields import repeated_facts
from service.facts.house import house_need, read_house
from service.facts.log import draw_before, readings_since_work
from service.facts.mixture import Mixture, read_mixture
from service.facts.moisture import put_air_space, read_moisture
from service.facts.phase import heat_phase
from service.facts.record import Derived
from service.facts.signs import read_signs
from service.facts.size import HeapSize, heap_size
from service.facts.temperatures import read_temperatures
from service.facts.weather import outdoor_mean, read_weather, wind_at_heap
from service.facts.work import read_work
from service.heat.learning.limits import limit_shares
from service.heat.learning.members import Learned, learned
from service.heat.learning.memory import carried_members
from service.picture.account import AccountRequest, Accounts, accounts_for, put_facts
from service.picture.drawplan.choice import plan_for
from service.picture.drawplan.quick_plan import drawn_otherwise, empties, quick_plan, says
from service.picture.drawplan.record import Plan
from service.picture.next_week import NOT_IN_A_WEEK, CourseRequest, course_by, quick_courses
from service.picture.record import GoalInDays, Picture, Seen
from service.picture.tonight import rest_by_plan, share_of_need_percent
from service.status.models import Status
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure

KEPT: Final = figure(
    4,
    "statuses",
    "Kept of those asked for lately: a question about a heap is followed by others about the same",
    "no source",
)
DEFAULT_GOAL_DAYS: Final = figure(
    30.0, "days", "Horizon where no goal was told: the contract of the service", "no source"
)
DEFAULT_KEEP_ABOVE_C = HOLDING_FROM.value
CORE_SPREAD_K: Final = figure(
    1.5, "K", "80 % half-range of a probe reading, placement included (common practice)", "no source"
)
LOWER_BOUND_SPREAD_K: Final = figure(
    12.0, "K", "How much hotter the middle may be than a reading that does not reach it", "no source"
)


def picture_of(status: Status) -> Picture:
    """Derive facts, estimates and the heat account from a status, its course ahead by strides where these can tell."""
    return pictures_of([seen_in(status)])[0]


def pictures_of(heaps: Sequence[Seen], *, closely: bool = False) -> list[Picture]:
    """The pictures of many heaps, whose heat is counted together; `closely` runs each course ahead day by day."""
    accounts = accounts_for(
        [AccountRequest(s.estimate, s.goal.days, s.goal.keep_core_above_c, s.derived.facts) for s in heaps]
    )
    ways = []
    for seen, account in zip(heaps, accounts, strict=True):
        put_facts(account, seen.derived)
        ways.append(CourseRequest(learned(seen.estimate), account.core_ahead_c, seen.goal.keep_core_above_c))
    courses = [course_by(way) for way in ways] if closely else quick_courses(ways)
    return [
        completed(seen, account, way.heap, course)
        for seen, account, way, course in zip(heaps, accounts, ways, courses, strict=True)
    ]


@lru_cache(maxsize=KEPT)
def learned_picture(status: Status) -> Picture:
    """The same picture with what holds the heap back, and the plan of drawing run on the members that fit the log.

    Kept for whoever asks about the same status next; not to be written to.
    """
    picture = pictures_of([seen_in(status)], closely=True)[0]
    heap = picture.heap
    shares = limit_shares(*heap.as_read(picture.estimate), heap.usual, heap.weights)
    picture.derived.put(**{f"limited_by_{want}_percent": 100 * share for want, share in shares.items()})
    return replace(picture, plan=plan_for(picture, heap))


def _planned(picture: Picture, plan: Plan | None) -> Picture:
    """The picture with the usual plan of drawing and the fact that follows from it, the same in both ways of asking."""
    if plan is not None:
        asked = picture.accounts.asked
        beyond = asked is not None and asked.value > picture.accounts.season_draw.high
        off = picture.derived.facts.get("water_drawing" if plan.way == "water" else "air_drawing") is False
        told = says(plan, beyond=beyond, off=off)
        of_another = drawn_otherwise(plan.way, picture) and (beyond or told != "more")
        picture.derived.put(plan_says=None if of_another else told, emptying=empties(plan, picture))
    return replace(picture, usual_plan=plan, plan=plan)


def seen_in(status: Status) -> Seen:
    """Derive the facts and estimates that need no heat account."""
    derived = Derived()
    derived.put(**repeated_facts(status))
    mixture = read_mixture(status, derived)
    size = heap_size(status, mixture, derived)
    read_temperatures(status, derived, size.radius_m)
    derived.put(age_days=status.age_days)
    if derived.facts.get("has_ash"):
        derived.put(days_since_ash=status.age_days)
    read_signs(status, derived)
    read_work(status, derived)
    read_weather(status, derived)
    read_house(status, derived)
    goal = _goal(status, derived)
    return Seen(status, derived, mixture, size, _estimate(status, derived, mixture, size), goal)


def completed(seen: Seen, accounts: Accounts, heap: Learned, course: Mapping[str, float]) -> Picture:
    """The picture once the heat is counted and its facts are put, those of the course ahead among them."""
    derived = seen.derived
    derived.put(**_to_the_goal(course, seen.goal))
    need = house_need(seen.status, derived)
    if seen.mixture.known:
        now = rotted(seen.mixture, accounts.degradable_left.value)
        derived.put(cn_ratio=now.cn_ratio, cn_ratio_degradable=now.cn_ratio_degradable)
    derived.put(phase=heat_phase(derived.facts))
    picture = Picture(seen.status, derived, seen.mixture, seen.size, seen.estimate, seen.goal, accounts, need, heap)
    picture = _planned(picture, quick_plan(picture))
    if need is not None and need.value > 0:
        rests = rest_by_plan(derived.facts, picture.plan) is not None
        derived.put(pile_share_percent=share_of_need_percent(derived.facts, accounts, need, rests=rests))
    return picture


def _to_the_goal(course: Mapping[str, float], goal: GoalInDays) -> dict[str, float]:
    """The course ahead; a core that is too cool only after the goal's date is not too cool."""
    beyond = course["days_until_cool"] > goal.days
    return {**course, "days_until_cool": NOT_IN_A_WEEK if beyond else course["days_until_cool"]}


def _goal(status: Status, derived: Derived) -> GoalInDays:
    goal = status.goal
    limit = goal.keep_core_above if goal and goal.keep_core_above is not None else DEFAULT_KEEP_ABOVE_C
    if goal is not None and goal.until is not None:
        days = max(float((goal.until - status.as_of.date()).days), 1.0)
    else:
        days = DEFAULT_GOAL_DAYS
        derived.assume("/goal/until", Estimate(days, days, days, "assumed"), "duration", "assumed.goal")
    derived.put(goal_days=days, keep_core_above_c=limit)
    return GoalInDays(days, limit)


def _estimate(status: Status, derived: Derived, mixture: Mixture, size: HeapSize) -> PileEstimate:
    moisture = aged_moisture(read_moisture(status, mixture, derived), status)
    put_air_space(status, moisture, derived)
    air, water = read_drawing(status, derived)
    drawn_days, drawn_before = draw_before(status)
    facts = derived.facts
    core_c = float(facts["core_c"])
    read_days_ago = float(facts.get("core_read_days_ago", 0.0))
    above = LOWER_BOUND_SPREAD_K if facts.get("probe_too_short") else CORE_SPREAD_K
    core = aged_core(Estimate(core_c, core_c - CORE_SPREAD_K, core_c + above, "measured"), status)
    if read_days_ago >= 1.0:
        derived.assume("/temperatures/core", core, "temperature", "assumed.core", count=f"{read_days_ago:.0f}")
    cover, wrapped = cover_on(status)
    if cover is None:
        covered = Estimate(0.0, 0.0, 0.0, "assumed")
        derived.assume("/pile/cover", covered, "ratio", "assumed.cover")
    return PileEstimate(
        age_days=float(facts["age_days"]),
        mass_kg=size.mass,
        volume_m3=size.volume,
        moisture=moisture,
        fast_share=mixture.fast,
        slow_share=mixture.slow,
        cn_degradable=mixture.cn_degradable,
        heating_value_j_kg=mixture.heating_value_j_kg,
        core_c=core,
        outer_c=status.temperatures.outer,
        outdoor_c=aged_outdoor(outdoor_mean(status, derived), status),
        wind_m_s=wind_at_heap(status, derived),
        cover=cover or "none",
        air=air,
        water=water,
        has_air_duct=facts.get("has_air_duct") is True if "has_air_duct" in facts else None,
        has_water_loop=facts.get("has_water_loop") is True if "has_water_loop" in facts else None,
        history=readings_since_work(status),
        drawn_days=drawn_days,
        drawn_before=drawn_before,
        as_set=draws_as_set(status),
        smell=status.smell,
        pace=mixture.pace,
        hottest_c=mixture.hottest_c,
        carried=carried_members(status),
        wrapped=wrapped,
    )
