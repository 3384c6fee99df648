"""Heat drawn against heat made: is the draw to blame for a falling core, and is there room for more?"""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import (
    BOTH_DRAWS_KNOWN,
    DRAW_FITTED,
    DRAW_STOOD,
    DRAWN_BEYOND,
    DRAWN_BEYOND_SEASON,
    LIKELY_BEYOND,
)
from rules.language.conditions import Fact, Threshold
from rules.language.model import Act, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE
from rules.tables.thresholds import FALLS_IN_A_WEEK

DRAWN_AS_MUCH_AS_MADE = Threshold("DRAWN_AS_MUCH_AS_MADE", 1.0, "1", "all heat made is drawn", HEAT_BALANCE)
DRAWN_LITTLE_OF_MADE = Threshold("DRAWN_LITTLE_OF_MADE", 0.4, "1", "a draw that cannot cool a heap", COMMON_PRACTICE)
DRAWN_LEAVES_ROOM = Threshold("DRAWN_LEAVES_ROOM", 0.7, "1", "well under the season draw", COMMON_PRACTICE)
NOTHING_TO_SPARE = Threshold("NOTHING_TO_SPARE", 20.0, "W", "a season draw of next to nothing", HEAT_BALANCE)
WORTH_DRAWING = Threshold("WORTH_DRAWING", 100.0, "W", "a season draw worth a pump", COMMON_PRACTICE)
RUNS_ALL_HOUR = Threshold("RUNS_ALL_HOUR", 45.0, "min/h", "runs nearly without a rest", COMMON_PRACTICE)
MOST_HEAPS = Threshold("MOST_HEAPS", 60.0, "%", "well over half of the heaps that fit", COMMON_PRACTICE)
SMALL_FOR_A_LOOP = Threshold("SMALL_FOR_A_LOOP", 10.0, "m3", "too small for a draw that never rests", HEAT_BALANCE)

STANDS_MORE = Threshold("STANDS_MORE", 1.5, "1", "half as much again as all heat made", COMMON_PRACTICE)
UNEXPLAINED = Threshold("UNEXPLAINED", 1.0, "1", "as much again as all that rot makes", HEAT_BALANCE)

_VANISHES = (f.heat_vanished_over_made >= UNEXPLAINED) & f.heat_vanished_w.known()
_WHERE_DOES_IT_GO = (
    "{heat_vanished_w} leave the heap beyond what it loses and what you draw. Is anything running, leaking or open "
    "that you did not tell of: a pump by night, a duct, a crack in the wind? Tell it if so."
)

_UNTOLD_BY_THE_LOOP = (
    "More heat goes than was told, some {heat_vanished_w}. See whether the pump runs unseen, or the loop leaks."
)
_UNTOLD_BY_THE_FAN = (
    "More heat goes than was told, some {heat_vanished_w}. See whether the fan runs unseen, or the duct stands open."
)

_DRAW_MAY_BE_THE_CAUSE = f.draw_over_made.unknown() | (f.draw_over_made > DRAWN_LITTLE_OF_MADE)
_HOLDS_AHEAD = f.fall_7_days_k.unknown() | (f.fall_7_days_k < FALLS_IN_A_WEEK)
_DISAPPOINTS = f.phase.one_of("falling", "holding", "spent", "cold", "unclear")


def _most_want(want: str, share: Fact, told: str) -> Rule:
    """A note beside waiting and going on: what most heaps that fit the report lack."""
    return Rule(
        id=f"balance.most-want-{want}",
        when=(share >= MOST_HEAPS) & _DISAPPOINTS,
        reason=f"Of the heaps that fit what you told, {{{share.name}}} {told}",
        gives=Caution(("keep_going", "wait"), Gravity.NOTE),
        source=HEAT_BALANCE,
        confidence=0.4,
    )


RULES: tuple[Rule, ...] = (
    Rule(
        id="balance.more-than-made",
        when=f.drawing.is_true() & f.core_falling.is_true() & (f.draw_over_made >= DRAWN_AS_MUCH_AS_MADE),
        reason="The core falls: for every kWh that the heap makes you draw {draw_over_made} kWh.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
    Rule(
        id="balance.beyond-season-and-falling",
        when=f.drawing.is_true()
        & f.core_falling.is_true()
        & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
        & BOTH_DRAWS_KNOWN
        & _DRAW_MAY_BE_THE_CAUSE,
        reason="The core falls, and you draw {draw_w} where the heap can keep up about {season_draw_w}.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
    Rule(
        id="balance.nothing-to-spare",
        when=f.drawing.is_true()
        & f.core_falling.is_true()
        & (f.season_draw_w <= NOTHING_TO_SPARE)
        & _DRAW_MAY_BE_THE_CAUSE,
        reason="The core falls, and the heap has next to no heat to spare: about {season_draw_w} over the season.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.75,
    ),
    Rule(
        id="balance.small-heap-loop-never-rests",
        when=f.water_drawing.is_true()
        & f.core_falling.is_true()
        & (f.water_minutes_per_hour >= RUNS_ALL_HOUR)
        & (f.volume_m3 <= SMALL_FOR_A_LOOP)
        & _DRAW_MAY_BE_THE_CAUSE,
        reason="The core falls. The pump runs {water_minutes_per_hour} in a heap of only {volume_m3}: cold water "
        "takes heat faster than so small a heap can make it.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.8,
    ),
    Rule(
        id="balance.loop-never-rests",
        when=f.water_drawing.is_true()
        & f.core_falling.is_true()
        & (f.water_minutes_per_hour >= RUNS_ALL_HOUR)
        & f.volume_m3.unknown()
        & _DRAW_MAY_BE_THE_CAUSE,
        reason="The core falls while the pump runs {water_minutes_per_hour}, with hardly a rest.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.65,
    ),
    Rule(
        id="balance.small-heap-fan-never-rests",
        when=f.air_drawing.is_true()
        & f.core_falling.is_true()
        & (f.air_minutes_per_hour >= RUNS_ALL_HOUR)
        & (f.volume_m3 <= SMALL_FOR_A_LOOP)
        & _DRAW_MAY_BE_THE_CAUSE,
        reason="The core falls. The fan runs {air_minutes_per_hour} on a heap of only {volume_m3}, with hardly a rest.",
        gives=Finding("overdrawn"),
        source=HEAT_BALANCE,
        confidence=0.65,
    ),
    Rule(
        id="balance.heat-vanishes",
        when=_VANISHES,
        reason=_WHERE_DOES_IT_GO,
        gives=Finding("losing_unseen"),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.heat-vanishes-check-the-loop",
        when=found.losing_unseen.is_true() & f.heat_vanished_w.known() & f.has_water_loop.is_true(),
        reason=_UNTOLD_BY_THE_LOOP,
        gives=Act("check_loop", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.heat-vanishes-check-the-fan",
        when=found.losing_unseen.is_true() & f.heat_vanished_w.known() & f.has_air_duct.is_true(),
        reason=_UNTOLD_BY_THE_FAN,
        gives=Act("check_fan", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.heat-vanishes-look-for-it",
        when=_VANISHES & f.has_water_loop.not_seen() & f.has_air_duct.not_seen(),
        reason=_WHERE_DOES_IT_GO,
        gives=Caution(("*",), Gravity.NOTE),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.more-than-rot-can-make",
        when=(f.heat_beyond_over_made >= UNEXPLAINED) & f.heat_beyond_w.known() & f.draw_w.known(),
        reason="You draw {draw_w}: with what is lost, {heat_beyond_w} more than rot makes. For hours stored heat can "
        "give that. If it has gone on for days, are flow and thermometers right? Check.",
        gives=Caution(("*",), Gravity.NOTE),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.stands-more-than-counted",
        when=f.drawing.is_true() & DRAW_STOOD & (f.draw_over_made >= STANDS_MORE) & f.draw_w.known() & f.made_w.known(),
        reason="You have drawn {draw_w} for {days_drawing}, and the core holds, though by our count the heap makes "
        "{made_w}. Are flow, minutes and thermometers right? If so, it makes more than we count: go by the core.",
        gives=Caution(("*",), Gravity.NOTE),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.asked-beyond-season",
        when=DRAWN_BEYOND & BOTH_DRAWS_KNOWN,
        reason="You draw {draw_w}. To the end of your season the heap can keep up about {season_draw_w}.",
        gives=Finding("asked_beyond_season"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="balance.likely-beyond-season",
        when=LIKELY_BEYOND & BOTH_DRAWS_KNOWN,
        reason="Not all of flow, minutes and hours was told. By what is usual about {draw_w} is drawn, where the heap "
        "can keep up about {season_draw_w}.",
        gives=Finding("asked_beyond_season"),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="balance.room-to-draw",
        when=f.phase.one_of("hot")
        & f.core_falling.is_false()
        & f.drawing.is_true()
        & (f.draw_over_season <= DRAWN_LEAVES_ROOM)
        & _HOLDS_AHEAD,
        reason="The heap is {phase} and the core does not fall: for every kWh that it can keep up you draw only "
        "{draw_over_season} kWh.",
        gives=Finding("room_to_draw"),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.room-none-drawn",
        when=f.phase.one_of("hot")
        & f.core_falling.is_false()
        & f.drawing.is_false()
        & f.draw_stands.not_seen()
        & DRAW_FITTED
        & (f.season_draw_w >= WORTH_DRAWING)
        & _HOLDS_AHEAD,
        reason="The heap is {phase}, the core does not fall, and nothing is drawn. It could give about "
        "{season_draw_w}.",
        gives=Finding("room_to_draw"),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="balance.falls-undrawn",
        when=f.core_falling.is_true() & f.drawing.is_false() & f.draw_stands.not_seen() & f.core_c.known(),
        reason="The core, now {core_c}, falls though no heat is drawn. So less is made, or more is lost outside.",
        gives=Finding("less_made"),
        source=HEAT_BALANCE,
        confidence=0.85,
    ),
    Rule(
        id="balance.falls-lightly-drawn",
        when=f.core_falling.is_true() & f.drawing.is_true() & (f.draw_over_made <= DRAWN_LITTLE_OF_MADE),
        reason="The core falls, yet for every kWh made you draw only {draw_over_made} kWh. The draw is not the cause.",
        gives=Finding("less_made"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    _most_want(
        "water",
        f.limited_by_water_percent,
        "would gain most from water. Squeeze a handful from an arm's depth to make sure.",
    ),
    _most_want(
        "nitrogen",
        f.limited_by_nitrogen_percent,
        "would gain most from nitrogen, as far as it helps at all. Count what went in to make sure.",
    ),
    _most_want(
        "air",
        f.limited_by_air_percent,
        "would gain most from air inside. Smell it, and push a bar in: packed stuff resists.",
    ),
    _most_want("rest", f.limited_by_draw_percent, "would gain most from a rest of the draw."),
    _most_want(
        "warmth",
        f.limited_by_cold_percent,
        "lack warmth and nothing else: they have not started, or lose more than they can make.",
    ),
    _most_want(
        "fresh-stuff",
        f.limited_by_substrate_percent,
        "have too little left to rot. Think of the next heap.",
    ),
)
