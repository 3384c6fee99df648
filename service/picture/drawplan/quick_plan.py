"""A plan without a run of members: the usual pair, and the minutes that follow from the core and what can be taken."""

from __future__ import annotations

from datetime import date
from math import log1p
from typing import Final

from rules.tables.thresholds import COLD_BELOW, FIRE_KEEP_CLEAR, FIRE_OVERHEATING, YOUNG_UNTIL
from service.facts.drawing import Way, stands
from service.facts.house import ASSUMED_NIGHT_TARGET
from service.picture.drawplan.ahead import NIGHT_HOURS, last_weeks_from
from service.picture.drawplan.candidates import HOTTEST_START_C, OFF, Candidate, candidates_of
from service.picture.drawplan.record import HouseThermostat, Plan, pair_on
from service.picture.record import Picture
from service.units.estimate import SECONDS_PER_DAY, AirDraw, WaterDraw
from service.units.figures import figure

TO_NEXT_READING_S: Final = figure(
    4 * SECONDS_PER_DAY, "s", "About how long a plan is followed before the heap is read again", "no source"
)
MOST_FALLEN: Final = figure(
    0.98,
    "1",
    "A core that has fallen this much of the way to what flows in tells no more of how fast it fell",
    "no source",
)
LITTLE: Final = figure(
    0.10, "1", "Running time that differs by less than this share of the day is left alone", "no source"
)
MUCH: Final = figure(1.5, "1", "More or less is advised from this factor on", "no source")
MUCH_UNTOLD: Final = figure(2, "1", "So many untold of size, mix and dampness make a heap ill described", "no source")
SMALL_STEP: Final = figure(
    1.5, "1", "At most this factor more is told at once where a heap is ill described", "no source"
)
SMALLEST_STEP: Final = figure(
    1.25, "1", "At most this factor more is told at once where an ill described heap may well die", "no source"
)
FIRST_STEP: Final = figure(
    5.0 / 60.0 * NIGHT_HOURS / 24.0, "1", "Of a draw that is off, five minutes in each hour of the night", "no source"
)


def way_of(picture: Picture) -> Way | None:
    """By what heat is drawn: the loop where there is one, else the duct; None where neither is known to be fitted.

    The duct too where the loop is out of order and the fan is not, or where the loop was switched off and the fan was
    not; never the latter where it is to cool a heap that is on its way to a fire.
    """
    facts = picture.derived.facts
    beside = facts.get("has_air_duct") is True and not stands(picture.status, "air")
    off = facts.get("water_drawing") is False and facts.get("air_drawing") is not False
    gives_way = (off and float(facts["hottest_c"]) < FIRE_OVERHEATING.value) or stands(picture.status, "water")
    if facts.get("has_water_loop") is True and not (beside and gives_way):
        return "water"
    return "air" if facts.get("has_air_duct") is True else None


def limit_of(picture: Picture) -> float | None:
    """The core limit, where the person set one. [degC]"""
    goal = picture.status.goal
    return None if goal is None else goal.keep_core_above


def house_c(picture: Picture) -> float:
    """What the house is kept at by night, usual where that was not told. [degC]"""
    house = picture.status.greenhouse
    told = None if house is None else house.night_target
    return ASSUMED_NIGHT_TARGET.value if told is None else told


def why_off(picture: Picture, way: Way) -> str | None:
    """Why nothing may be drawn whatever it would bring, as the end of a sentence's id; None if it may."""
    facts = picture.derived.facts
    if (
        facts.get("smell") == "burnt"
        or facts.get("smoke") is True
        or float(facts["hottest_c"]) >= FIRE_KEEP_CLEAR.value
    ):
        return "off-fire"
    if way == "air" and facts.get("people_unwell") is True:
        return "off-unwell"
    if way == "air" and facts.get("foul_air_by_fan") is True:
        return "off-gas"
    closed = facts.get("air_path") == "closed_duct"
    if way == "air" and float(facts["hottest_c"]) >= FIRE_OVERHEATING.value and not closed:
        return "no-air-when-hot"
    if way == "air" and facts.get("air_path") == "through_heap" and facts.get("air_outlet_to_house") is not False:
        return "off-gas"
    if stands(picture.status, way):
        return "off-stands"
    if facts.get("phase") == "spent" and float(facts["core_c"]) < COLD_BELOW.value and _gives_nothing(picture):
        return "off-spent"
    return "off-season" if picture.status.season == "off" and not must_cool(picture, way) else None


def _gives_nothing(picture: Picture) -> bool:
    """Whether the heap keeps up no draw at all, however its range is read."""
    return picture.accounts.season_draw.high <= 0.0


def quick_plan(picture: Picture) -> Plan | None:
    """The usual plan for one heap, without the heat it should bring; None where nothing is fitted to draw with."""
    way = way_of(picture)
    if way is None:
        return None
    forbidden, careful = why_off(picture, way), ill_described(picture)
    usual = candidates_for(picture)[2].at(drawn_at_c(picture))
    last, now = last_weeks_of(picture), running_now(picture, way)
    running = 0.0 if forbidden else _running(picture, today_of(picture, usual), way)
    running = 1.0 if running > 0.0 and must_cool(picture, way) else stepped(running, now) if careful else running
    return Plan(
        way=way,
        chosen=OFF if forbidden else usual,
        limit_c=limit_of(picture),
        running=running,
        running_now=now,
        days=picture.goal.days,
        forbidden=forbidden,
        last_weeks=last,
        timed=is_timed(picture),
        careful=careful and not must_cool(picture, way),
        house=house_thermostat(picture),
    )


def drawn_at_c(picture: Picture) -> float:
    """What a plan goes by: the core, or the hottest spot read anywhere where that is too hot to be left. [degC]"""
    hottest = float(picture.derived.facts["hottest_c"])
    return hottest if hottest >= HOTTEST_START_C else float(picture.derived.facts["core_c"])


def must_cool(picture: Picture, way: str) -> bool:
    """Whether the heap is on its way to a fire, so that its loop takes all that it can."""
    return way == "water" and float(picture.derived.facts["hottest_c"]) >= FIRE_OVERHEATING.value


def today_of(picture: Picture, chosen: Candidate) -> Candidate:
    """A way to draw with the pair that is in force today."""
    last = last_weeks_of(picture)
    return chosen if last is None or picture.status.as_of.date() < last else chosen.in_last_weeks()


def last_weeks_of(picture: Picture) -> date | None:
    """The day from which the heap is drawn lower; None where the person named no date."""
    goal = picture.status.goal
    return None if goal is None or goal.until is None else last_weeks_from(goal.until)


def is_timed(picture: Picture) -> bool:
    """Whether pump or fan is known to go by a timer or by hand, so that it cannot hold a core."""
    draw = picture.status.draw
    return draw is not None and draw.control in ("timer", "hand")


def house_thermostat(picture: Picture) -> HouseThermostat | None:
    """What becomes of a thermostat in the house that stops pump or fan; no heap that has to cool is stopped by it."""
    if "house_thermostat" not in (picture.status.equipment or ()):
        return None
    return "aside" if float(picture.derived.facts["hottest_c"]) >= HOTTEST_START_C else "fitted"


def candidates_for(picture: Picture) -> list[Candidate]:
    """The ways to draw this heap that are worth a try."""
    return candidates_of(
        limit_of(picture),
        careful=ill_described(picture),
        young=is_young(picture),
        timed=is_timed(picture),
        house_c=house_c(picture),
        housed=house_thermostat(picture) == "fitted",
    )


def is_young(picture: Picture) -> bool:
    """Whether the heap may still be getting hot."""
    return float(picture.derived.facts["age_days"]) <= YOUNG_UNTIL.value


def ill_described(picture: Picture) -> bool:
    """Whether so much of the heap was not told that nobody knows well how it answers a draw.

    What is drawn does not count: who tells of a harder draw is not advised to draw harder for it.
    """
    facts = picture.derived.facts
    damp = "moisture_feel" in facts or "moisture_percent" in facts
    told = (picture.size.given, picture.mixture.known, damp)
    return told.count(False) >= MUCH_UNTOLD


def stepped(running: float, now: float, most: float = SMALL_STEP) -> float:
    """Running time after one small step up from now, where it is not known how the heap answers. [1]"""
    return min(running, max(most * now, FIRST_STEP))


def running_now(picture: Picture, way: str) -> float:
    """Share of the day that loop or duct runs now; 0 where that was not told."""
    draw: WaterDraw | AirDraw | None = picture.estimate.water if way == "water" else picture.estimate.air
    if draw is None:
        return 0.0
    flow = draw.flow_kg_s if isinstance(draw, WaterDraw) else draw.flow_m3_s
    return draw.hour_share * draw.day_share if flow > 0.0 else 0.0


def rests_first(picture: Picture, today: Candidate) -> bool:
    """Whether a thermostat set so would leave the draw off now: too cool, or not yet warm enough to begin."""
    core = drawn_at_c(picture)
    off = running_now(picture, "water") == 0.0 == running_now(picture, "air")
    return core <= today.stop_c or (core < today.start_c and off)


def _running(picture: Picture, chosen: Candidate, way: str) -> float:
    """Share of the day to the next reading for which a thermostat would run. [1]"""
    core, accounts = drawn_at_c(picture), picture.accounts
    if rests_first(picture, chosen):
        return 0.0
    most = max(accounts.burst_draw.value if accounts.burst_draw else 0.0, _while_running(picture, way))
    drop_k = most * TO_NEXT_READING_S / max(accounts.capacity_j_k.value, 1.0)
    gained_k = max(accounts.made.value - accounts.lost.value, 0.0) * TO_NEXT_READING_S / accounts.capacity_j_k.value
    share = min((core - chosen.stop_c + gained_k) / max(drop_k, 1e-6), _by_course(picture, core - chosen.stop_c, way))
    return min(max(share, 0.0), NIGHT_HOURS / 24.0 if chosen.hours == "night" else 1.0)


def _by_course(picture: Picture, spare_k: float, way: str) -> float:
    """Share of the day for which the core stays above the stop, where it falls so far at today's draw. [1]

    A core falls towards what flows in, ever slower the nearer it comes: how fast tells what a shorter draw leaves. No
    bound where it falls by less than it can spare, or where nothing is drawn; nothing where it has none to spare.
    """
    facts, now = picture.derived.facts, running_now(picture, way)
    if now <= 0.0 or "fall_3_days_k" not in facts or "fall_7_days_k" not in facts:
        return 1.0
    third, seventh = float(facts["fall_3_days_k"]), float(facts["fall_7_days_k"])
    fall_k = third + (seventh - third) * (TO_NEXT_READING_S / SECONDS_PER_DAY - 3.0) / 4.0
    if spare_k <= 0.0:
        return 0.0
    if fall_k <= spare_k:
        return 1.0
    room_k = max(drawn_at_c(picture) - _inflow_c(picture, way), fall_k / MOST_FALLEN)
    return now * log1p(-spare_k / room_k) / log1p(-fall_k / room_k)


def _inflow_c(picture: Picture, way: str) -> float:
    """How warm what flows into loop or duct is. [degC]"""
    draw: WaterDraw | AirDraw | None = picture.estimate.water if way == "water" else picture.estimate.air
    return house_c(picture) if draw is None or draw.inlet_c is None else draw.inlet_c


def _while_running(picture: Picture, way: str) -> float:
    """What is taken while pump or fan runs as it does now, by what was told. [W]"""
    asked, share = picture.accounts.asked, running_now(picture, way)
    return 0.0 if asked is None or share <= 0.0 else asked.value / share


def drawn_otherwise(way: str, picture: Picture) -> bool:
    """Whether heat is drawn, and only by the way that a plan does not speak of: then it says nothing of that draw."""
    other = "air" if way == "water" else "water"
    return running_now(picture, way) <= 0.0 < running_now(picture, other)


def empties(plan: Plan, picture: Picture) -> bool | None:
    """Whether the heap is in its last weeks and warmer than the core down to which it is then drawn.

    None where the person named no date.
    """
    if plan.last_weeks is None:
        return None
    today = picture.status.as_of.date()
    warm = float(picture.derived.facts["core_c"]) > pair_on(plan, today)[1]
    return plan.forbidden is None and today >= plan.last_weeks and warm


def says(plan: Plan, *, beyond: bool = False, off: bool = False) -> str:
    """Whether the plan draws `more` or `less` than now, nothing (`off`), or about as much (`as_now`).

    `beyond` where more is drawn than the heap can keep up at best: then little running time is no trifle.
    `off` where pump or fan is known to be off: then a few minutes are a beginning.
    """
    if plan.running <= 0.0 and plan.running_now > 0.0:
        return "off"
    apart = plan.running - plan.running_now
    if plan.running >= MUCH * plan.running_now and (apart > LITTLE or (off and plan.running_now <= 0.0 < apart)):
        return "more"
    less = plan.running_now >= MUCH * plan.running
    return "less" if less and (-apart > LITTLE or (beyond and apart < 0.0)) else "as_now"
