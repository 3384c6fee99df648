"""What the present course leads to: a core that will fall is never left to itself."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import (
    BOTH_DRAWS_KNOWN,
    DRAWN_LIGHTLY,
    HOUSE_NEEDS_HEAT,
    LEFT_ALONE,
    NO_KNOWN_CAUSE,
    NOT_TOO_HOT,
)
from rules.language.conditions import Condition, Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE
from rules.tables.thresholds import (
    COLD_BELOW,
    COOL_SOON,
    FALLS_IN_A_WEEK,
    FALLS_IN_THREE_DAYS,
    FIRE_LOOK_DAILY,
    MORE_THAN_A_DIP,
)

_FALLS: Final[Condition] = found.will_fall.is_true() | found.cool_soon.is_true()

MAY_CLIMB_FROM = Threshold("MAY_CLIMB_FROM", 55.0, "degC", "a week's climb from here nears a fire limit", HEAT_BALANCE)
CLIMBS_IN_A_WEEK = Threshold("CLIMBS_IN_A_WEEK", -5.0, "delta_degC", "a fall below nothing is a climb", HEAT_BALANCE)

_MORE_THAN_A_DIP: Final[Condition] = (
    (found.settling_open.is_true() | found.settling_water.is_true())
    & (f.fall_7_days_k >= MORE_THAN_A_DIP)
    & NOT_TOO_HOT
)

_FINDINGS: Final = (
    Rule(
        id="ahead.falls-in-three-days",
        when=(f.fall_3_days_k >= FALLS_IN_THREE_DAYS) & (f.hottest_c < FIRE_LOOK_DAILY),
        reason="If nothing is changed, the core is likely to fall by about {fall_3_days_k} in three days.",
        gives=Finding("will_fall"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
    Rule(
        id="ahead.falls-in-a-week",
        when=(f.fall_7_days_k >= FALLS_IN_A_WEEK) & (f.hottest_c < FIRE_LOOK_DAILY),
        reason="If nothing is changed, the core is likely to fall by about {fall_7_days_k} in a week.",
        gives=Finding("will_fall"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="ahead.too-cool-soon",
        when=(f.days_until_cool <= COOL_SOON) & f.keep_core_above_c.known() & (f.hottest_c < FIRE_LOOK_DAILY),
        reason="If nothing is changed, the core is likely to be below {keep_core_above_c} in about {days_until_cool}.",
        gives=Finding("cool_soon"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
)

_COOL_ALREADY: Final = (
    Rule(
        id="ahead.too-cool-and-falling",
        when=f.core_below_limit.is_true()
        & f.core_falling.is_true()
        & f.keep_core_above_c.known()
        & (f.core_c >= COLD_BELOW)
        & f.phase.one_of("warming", "hot", "holding", "falling"),
        reason="The core reads {core_c}, has come down to the {keep_core_above_c} that it is to keep, and still falls.",
        gives=Finding("cool_soon"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
)

_MOVES: Final = (
    Rule(
        id="ahead.look-today",
        when=found.cool_soon.is_true()
        & (f.days_until_cool <= COOL_SOON)
        & f.keep_core_above_c.known()
        & DRAWN_LIGHTLY
        & NO_KNOWN_CAUSE
        & NOT_TOO_HOT,
        reason="If nothing is changed, the core is likely to be below {keep_core_above_c} in about {days_until_cool}, "
        "and nothing you told explains it.",
        gives=Act("find_the_cause", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="ahead.look-this-week",
        when=found.will_fall.is_true() & f.fall_7_days_k.known() & DRAWN_LIGHTLY & NO_KNOWN_CAUSE & NOT_TOO_HOT,
        reason="If nothing is changed, the core is likely to fall by about {fall_7_days_k} in a week, and nothing you "
        "told explains it.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.45,
    ),
    Rule(
        id="ahead.look-anyway",
        when=_FALLS & f.core_c.known() & NOT_TOO_HOT & LEFT_ALONE & found.asked_beyond_season.not_seen(),
        reason="The core, now {core_c}, is likely to fall soon if nothing is changed. Read it each day, and look for "
        "the cause.",
        gives=Act("find_the_cause", Urgency.TODAY, last_resort=True),
        source=COMMON_PRACTICE,
        confidence=0.3,
    ),
    Rule(
        id="ahead.falls-as-planned",
        when=_FALLS & f.core_c.known() & NOT_TOO_HOT & LEFT_ALONE & f.emptying.is_true() & f.drawing.is_true(),
        reason="These are the heap's last weeks: by the plan its core, now {core_c}, is to fall until your date. Read "
        "it each day, and stop where the plan stops.",
        gives=Act("find_the_cause", Urgency.TODAY, last_resort=True),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="ahead.falls-by-the-draw",
        when=_FALLS
        & f.core_c.known()
        & NOT_TOO_HOT
        & LEFT_ALONE
        & found.asked_beyond_season.is_true()
        & BOTH_DRAWS_KNOWN,
        reason="The core, now {core_c}, is likely to fall: you draw {draw_w}, and the heap can keep up about "
        "{season_draw_w}. Read it each day, and draw by the plan.",
        gives=Act("find_the_cause", Urgency.TODAY, last_resort=True),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="ahead.look-today-too-cool",
        when=f.core_below_limit.is_true()
        & f.core_falling.is_true()
        & f.core_c.known()
        & f.keep_core_above_c.known()
        & found.cool_soon.is_true()
        & DRAWN_LIGHTLY
        & NO_KNOWN_CAUSE
        & NOT_TOO_HOT,
        reason="The core reads {core_c}, has come down to the {keep_core_above_c} that it is to keep, and still falls; "
        "nothing you told explains it.",
        gives=Act("find_the_cause", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="ahead.look-at-more-than-a-dip",
        when=_MORE_THAN_A_DIP,
        reason="After work a heap dips, but the core is likely to fall by about {fall_7_days_k} in a week: that is "
        "more. Read it each day, and see what else it lacks.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.4,
    ),
    Rule(
        id="ahead.wrap-a-bare-heap-today",
        when=found.cool_soon.is_true()
        & (f.days_until_cool <= COOL_SOON)
        & f.keep_core_above_c.known()
        & f.cover.one_of("none")
        & DRAWN_LIGHTLY
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & found.too_wet.not_seen()
        & found.waterlogged.not_seen()
        & found.short_of_air.not_seen(),
        reason="The heap lies bare, and the core is likely to be below {keep_core_above_c} in about {days_until_cool}.",
        gives=Act("insulate", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.55,
    ),
)

_WRONG_MOVES: Final = (
    Rule(
        id="ahead.not-as-you-are",
        when=found.will_fall.is_true() & f.fall_7_days_k.known(),
        reason="Left as it is, the core is likely to fall by about {fall_7_days_k} in a week.",
        gives=Avoid("keep_going"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="ahead.not-as-you-are-now",
        when=found.cool_soon.is_true() & (f.days_until_cool <= COOL_SOON) & f.keep_core_above_c.known(),
        reason="Left as it is, the core is likely to be below {keep_core_above_c} in about {days_until_cool}.",
        gives=Avoid("keep_going"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
    Rule(
        id="ahead.waiting-cools",
        when=found.will_fall.is_true() & f.fall_7_days_k.known() & LEFT_ALONE,
        reason="While you wait, the core is likely to fall by about {fall_7_days_k} in a week.",
        gives=Avoid("wait"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="ahead.waiting-cools-now",
        when=found.cool_soon.is_true() & (f.days_until_cool <= COOL_SOON) & f.keep_core_above_c.known() & LEFT_ALONE,
        reason="While you wait, the core is likely to be below {keep_core_above_c} in about {days_until_cool}.",
        gives=Avoid("wait"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
    Rule(
        id="ahead.more-than-a-dip",
        when=_MORE_THAN_A_DIP,
        reason="While you wait, the core is likely to fall by about {fall_7_days_k} in a week: more than work alone "
        "would cool it.",
        gives=Avoid("wait"),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="ahead.never-raise-above-a-fall",
        when=_FALLS & f.core_c.known() & (f.emptying.is_false() | f.emptying.unknown()),
        reason="The core, now {core_c}, is likely to fall as it is. Drawing more cools it faster.",
        gives=Avoid("raise_draw"),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
)

_CAUTIONS: Final = (
    Rule(
        id="ahead.climbs-on",
        when=(f.hottest_c >= MAY_CLIMB_FROM) & (f.hottest_c < FIRE_LOOK_DAILY) & (f.fall_7_days_k <= CLIMBS_IN_A_WEEK),
        reason="The hottest spot reads {hottest_c}, and if nothing is changed the core is likely to climb further this "
        "week. Read it every day: from {FIRE_LOOK_DAILY} on the heap is watched for fire.",
        gives=Caution(("*",), Gravity.INJURY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _COOL_ALREADY + _MOVES + _WRONG_MOVES + _CAUTIONS
