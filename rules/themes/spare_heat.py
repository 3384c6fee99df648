"""Heat to spare: when more may be drawn, and what the plan of drawing takes beyond the season draw."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import BOTH_DRAWS_KNOWN, DRAW_FITTED, DRAWN_BEYOND_SEASON, NOT_TOO_HOT
from rules.language.conditions import Threshold
from rules.language.model import Act, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE
from rules.tables.thresholds import COLD_BELOW, HOT_FROM
from rules.themes.balance import NOTHING_TO_SPARE

DRAWN_HOT_FROM = Threshold("DRAWN_HOT_FROM", 62.0, "degC", "hotter, a heap loses heat for nothing", COMMON_PRACTICE)
STORE_LASTS = Threshold("STORE_LASTS", 2.0, "days", "stored heat for more than one night", HEAT_BALANCE)
_MAY_GIVE_MORE = (
    f.plan_says.one_of("more")
    & (f.season.one_of("heating") | f.season.unknown())
    & DRAW_FITTED
    & f.core_falling.not_seen()
    & found.too_young_to_judge.not_seen()
    & found.settling_draw.not_seen()
    & found.core_doubtful.not_seen()
    & found.fire_danger.not_seen()
)
# One of the two stands beside a plan that takes more, so that it is never crowded out of the reasons.
_BEYOND = found.asked_beyond_season.is_true() | (f.draw_over_season >= DRAWN_BEYOND_SEASON)
_WITHIN = found.asked_beyond_season.not_seen() & (
    f.draw_over_season.unknown() | (f.draw_over_season < DRAWN_BEYOND_SEASON)
)

RULES: Final = (
    Rule(
        id="draw.hot-heap-into-the-house",
        when=_MAY_GIVE_MORE & (f.core_c >= DRAWN_HOT_FROM),
        reason="The core reads {core_c}: heat that is not drawn from here on is lost to the air, and more of it kills "
        "what makes it. Lead it into the house, as the plan of drawing says.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="draw.plan-draws-more",
        when=_MAY_GIVE_MORE & (f.core_c >= COLD_BELOW) & _WITHIN & f.emptying.not_seen(),
        reason="The core reads {core_c}, and the plan takes more than you take now. Heat that is left in spring has "
        "warmed nobody.",
        gives=Act("raise_draw", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.plan-helps-a-cold-house",
        when=_MAY_GIVE_MORE & (f.core_c >= COLD_BELOW) & (f.core_c < DRAWN_HOT_FROM) & found.house_short.is_true(),
        reason="The house is short of heat tonight, the core reads {core_c}, and the plan takes more than you take "
        "now: draw that first.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.65,
    ),
    Rule(
        id="draw.plan-beyond-the-season",
        when=_MAY_GIVE_MORE & _BEYOND & (f.core_c >= COLD_BELOW),
        reason="The plan takes more than you take now, and that is more than a core, now at {core_c}, can keep up for "
        "good. By the plan the heap is to be used up at your date, not later: start the next one in time.",
        gives=Act("raise_draw", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.plan-empties-it",
        when=f.emptying.is_true()
        & f.core_c.known()
        & f.plan_says.one_of("more")
        & (f.season.one_of("heating") | f.season.unknown())
        & DRAW_FITTED
        & found.settling_draw.not_seen()
        & found.core_doubtful.not_seen()
        & found.fire_danger.not_seen(),
        reason="These are the heap's last weeks, and its core still reads {core_c}: by the plan it is emptied now. "
        "Heat that is left in spring has warmed nobody.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.room-draw-more",
        when=found.room_to_draw.is_true()
        & f.season.one_of("heating")
        & (f.prefer.one_of("season") | f.prefer.unknown())
        & (f.core_c >= HOT_FROM)
        & DRAW_FITTED
        & found.too_dry.not_seen()
        & found.settling_draw.not_seen()
        & found.core_doubtful.not_seen()
        & found.fire_danger.not_seen(),
        reason="The core reads {core_c} and does not fall, and less is drawn than the heap can keep up. Raise it in "
        "small steps.",
        gives=Act("raise_draw", Urgency.THIS_MONTH),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="draw.tonight-draw-more",
        when=f.prefer.one_of("tonight")
        & f.season.one_of("heating")
        & f.core_falling.is_false()
        & (f.core_c >= HOT_FROM)
        & f.phase.one_of("hot")
        & DRAW_FITTED
        & (found.room_to_draw.is_true() | (f.stored_heat_days >= STORE_LASTS))
        & found.asked_beyond_season.not_seen()
        & found.too_dry.not_seen()
        & found.settling_draw.not_seen()
        & found.core_doubtful.not_seen()
        & found.fire_danger.not_seen(),
        reason="You would rather have heat {prefer}, and the core, at {core_c}, does not fall. What you take now is "
        "gone later.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.55,
    ),
    Rule(
        id="draw.beyond-season-for-tonight",
        when=found.asked_beyond_season.is_true()
        & f.prefer.one_of("tonight")
        & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
        & BOTH_DRAWS_KNOWN
        & (f.season_draw_w > NOTHING_TO_SPARE)
        & f.phase.one_of("hot", "holding")
        & NOT_TOO_HOT,
        reason="You draw {draw_w} where the heap can keep up about {season_draw_w}. For {prefer} it will do, but it "
        "will not last the season.",
        gives=Act("keep_going", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
)
