"""A draw that is too much: when less or none is to be drawn, and when more would be wrong."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import BOTH_DRAWS_KNOWN, DRAW_FITTED, DRAWN_BEYOND_SEASON, HOUSE_NEEDS_HEAT, NOT_TOO_HOT
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE, MOIST_AIR, NRCS_OPERATION
from rules.tables.thresholds import COLD_BELOW, COOL_SOON, YOUNG_COOL_BELOW, YOUNG_UNTIL
from rules.themes.balance import NOTHING_TO_SPARE

DRAWN_FAR_BEYOND = Threshold("DRAWN_FAR_BEYOND", 2.0, "1", "twice the season draw", COMMON_PRACTICE)
_FALLING_BUT_NOT_COLD = f.phase.one_of("falling", "warming") & (f.core_c >= COLD_BELOW)
_WORTH_SETTING = f.phase.one_of("hot", "holding", "falling", "unclear") & (f.core_c >= COLD_BELOW)
_NOT_AS_PLANNED = f.plan_says.unknown() | f.plan_says.one_of("less", "off")
"""The draw plan does not ask for what is drawn: a heap may be drawn beyond the season draw, to be empty in spring."""

RULES: Final = (
    Rule(
        id="draw.overdrawn-draw-less",
        when=found.overdrawn.is_true() & _FALLING_BUT_NOT_COLD & HOUSE_NEEDS_HEAT & NOT_TOO_HOT & _NOT_AS_PLANNED,
        reason="More heat is taken than the heap can spare, and the core is down to {core_c}. Run it for minutes in "
        "each hour, so that the heat around the pipe or duct can come back.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
    Rule(
        id="draw.will-cool-it",
        when=found.asked_beyond_season.is_true()
        & found.will_fall.is_true()
        & f.draw_assumed.not_seen()
        & BOTH_DRAWS_KNOWN
        & f.fall_3_days_k.known()
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="You draw {draw_w} where the heap can keep up about {season_draw_w}. Go on so, and the core, now "
        "{core_c}, is likely to fall by about {fall_3_days_k} in three days.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
    Rule(
        id="draw.will-be-too-cool",
        when=found.asked_beyond_season.is_true()
        & found.cool_soon.is_true()
        & f.draw_assumed.not_seen()
        & BOTH_DRAWS_KNOWN
        & (f.days_until_cool <= COOL_SOON)
        & f.keep_core_above_c.known()
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="You draw {draw_w} where the heap can keep up about {season_draw_w}. Go on so, and the core, now "
        "{core_c}, is likely to be below {keep_core_above_c} in about {days_until_cool}.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.8,
    ),
    Rule(
        id="draw.nothing-to-spare-tonight",
        when=found.asked_beyond_season.is_true()
        & f.prefer.one_of("tonight")
        & (f.season_draw_w <= NOTHING_TO_SPARE)
        & f.draw_w.known()
        & f.keep_core_above_c.known()
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="You draw {draw_w}. You would rather have heat {prefer}, but whatever is drawn now cools the heap below "
        "{keep_core_above_c} before your date.",
        gives=Act("reduce_draw", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.beyond-season-draw-less",
        when=found.asked_beyond_season.is_true()
        & (f.prefer.one_of("season") | f.prefer.unknown())
        & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
        & f.draw_assumed.not_seen()
        & BOTH_DRAWS_KNOWN
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="You draw {draw_w} where the heap can keep up about {season_draw_w}, and it is to last the season.",
        gives=Act("reduce_draw", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.65,
    ),
    Rule(
        id="draw.taken-for-granted",
        when=found.asked_beyond_season.is_true()
        & f.draw_assumed.is_true()
        & (f.prefer.one_of("season") | f.prefer.unknown())
        & BOTH_DRAWS_KNOWN
        & f.beyond_chance_percent.known()
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="You did not tell all of flow, minutes and hours. Taking what is usual, about {draw_w} is drawn, and "
        "that is more than the heap can keep up in {beyond_chance_percent} of what they may be.",
        gives=Act("reduce_draw", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="draw.taken-for-granted-and-falls",
        when=found.asked_beyond_season.is_true()
        & f.draw_assumed.is_true()
        & (found.will_fall.is_true() | found.cool_soon.is_true())
        & f.core_c.known()
        & f.draw_w.known()
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="You did not tell all of flow, minutes and hours. Taking what is usual, about {draw_w} is drawn, and "
        "the core, now {core_c}, is likely to fall soon.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.55,
    ),
    Rule(
        id="draw.drawn-air-dries-it",
        when=found.too_dry.is_true()
        & f.air_drawing.is_true()
        & f.air_path.one_of("through_heap")
        & _WORTH_SETTING
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="The heap is too dry, and the air you draw goes {air_path} and takes its water along.",
        gives=Act("reduce_draw", Urgency.THIS_WEEK),
        source=MOIST_AIR,
        confidence=0.7,
    ),
    Rule(
        id="draw.overdrawn-and-cold",
        when=found.overdrawn.is_true()
        & (f.core_c < COLD_BELOW)
        & f.phase.one_of("falling", "cold", "spent")
        & f.emptying.not_seen()
        & _NOT_AS_PLANNED,
        reason="The core is down to {core_c}, and drawing has made it so. Stop until it has climbed back.",
        gives=Act("pause_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
    Rule(
        id="draw.cold-heap-is-drawn",
        when=f.drawing.is_true()
        & (f.core_c < COLD_BELOW)
        & f.phase.one_of("falling", "cold", "spent")
        & f.emptying.not_seen()
        & _NOT_AS_PLANNED,
        reason="The core reads {core_c}. There is no heat to take from it; stop until it has climbed back.",
        gives=Act("pause_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
    Rule(
        id="draw.planned-off-below-the-limit",
        when=f.drawing.is_true()
        & f.core_below_limit.is_true()
        & f.plan_says.one_of("off")
        & (f.core_c >= COLD_BELOW)
        & f.phase.one_of("falling")
        & f.keep_core_above_c.known()
        & f.emptying.not_seen()
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="The core reads {core_c}, below the {keep_core_above_c} that it is to keep, and the plan takes nothing "
        "from it as it is. Stop until it has climbed back.",
        gives=Act("pause_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
    Rule(
        id="draw.below-the-limit-draw-less",
        when=f.drawing.is_true()
        & f.core_below_limit.is_true()
        & f.plan_says.one_of("less", "off")
        & found.asked_beyond_season.is_true()
        & f.phase.one_of("hot", "holding")
        & f.core_c.known()
        & f.keep_core_above_c.known()
        & f.emptying.not_seen()
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="The core reads {core_c}, below the {keep_core_above_c} that it is to keep: what is drawn now keeps it "
        "from coming back.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
    Rule(
        id="draw.young-heap-is-drawn",
        when=f.drawing.is_true()
        & f.phase.one_of("warming")
        & (f.age_days <= YOUNG_UNTIL)
        & (f.core_c < YOUNG_COOL_BELOW)
        & (f.core_falling.not_seen() | (f.core_c < COLD_BELOW))
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="The heap is {age_days} old and its core only {core_c}. Take no heat until it is hot: the first heat "
        "is what gets it going.",
        gives=Act("pause_draw", Urgency.TODAY),
        source=NRCS_OPERATION,
        confidence=0.85,
    ),
    Rule(
        id="draw.beyond-while-warming",
        when=found.asked_beyond_season.is_true()
        & f.phase.one_of("warming")
        & (f.core_c >= COLD_BELOW)
        & (f.draw_over_season >= DRAWN_FAR_BEYOND)
        & BOTH_DRAWS_KNOWN
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT
        & _NOT_AS_PLANNED,
        reason="The core still climbs, yet you draw {draw_w} where the heap can keep up about {season_draw_w}. Draw "
        "less, and see whether flow and thermometers are right.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.season-is-over",
        when=f.drawing.is_true()
        & f.season.one_of("off")
        & NOT_TOO_HOT
        & f.phase.one_of("hot", "holding", "falling", "unclear"),
        reason="The heating season is {season}, and the heap is still drawn. Stop, and let it finish on its own.",
        gives=Act("pause_draw", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="draw.season-is-over-and-it-falls",
        when=f.drawing.is_true()
        & f.season.one_of("off")
        & (found.will_fall.is_true() | found.cool_soon.is_true())
        & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
        & f.core_c.known()
        & f.draw_w.known()
        & NOT_TOO_HOT
        & f.phase.one_of("hot", "holding", "falling", "unclear"),
        reason="The heating season is {season}, and yet you draw {draw_w}: the core, now {core_c}, is likely to fall "
        "fast. Switch it off.",
        gives=Act("pause_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.8,
    ),
    Rule(
        id="draw.never-raise-while-falling",
        when=f.core_falling.is_true() & DRAW_FITTED & f.core_c.known(),
        reason="The core, now {core_c}, is falling. Drawing harder cools it faster, and then there is less to draw.",
        gives=Avoid("raise_draw"),
        source=HEAT_BALANCE,
        confidence=0.95,
    ),
    Rule(
        id="draw.young-heap-not-yet",
        when=found.too_young_to_judge.is_true() & DRAW_FITTED & f.age_days.known(),
        reason="At {age_days} old the heap needs all its heat to get going. Draw none yet.",
        gives=Avoid("raise_draw"),
        source=NRCS_OPERATION,
        confidence=0.9,
    ),
    Rule(
        id="draw.cold-heap-has-none",
        when=(f.core_c < COLD_BELOW) & DRAW_FITTED & f.emptying.not_seen() & _NOT_AS_PLANNED,
        reason="The core reads {core_c}. There is no heat to draw, and pumping only chills it.",
        gives=Avoid("raise_draw"),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
)
