"""Recent work: give it time to show before doing the same again."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import HOUSE_NEEDS_HEAT, NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE
from rules.tables.thresholds import DRAW_SETTLES, NITROGEN_SETTLES, OPEN_SETTLES, WATER_SETTLES

CARBON_SETTLES = Threshold("CARBON_SETTLES", 4.0, "days", "brown matter binds ammonia within days", COMMON_PRACTICE)
BULKING_LASTS = Threshold("BULKING_LASTS", 60.0, "days", "coarse matter stays coarse for months", COMMON_PRACTICE)
COVER_SETTLES = Threshold("COVER_SETTLES", 2.0, "days", "the skin answers a cover within days", COMMON_PRACTICE)

_NOT_DROWNING = found.waterlogged.not_seen() & found.short_of_air.not_seen()

RULES: Final = (
    # --- findings
    Rule(
        id="work.watered-lately",
        when=f.days_since_add_water < WATER_SETTLES,
        reason="Water went on {days_since_add_water} ago; it takes about {WATER_SETTLES} to show.",
        gives=Finding("settling_water"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.fed-lately",
        when=f.days_since_add_nitrogen < NITROGEN_SETTLES,
        reason="Nitrogen went on {days_since_add_nitrogen} ago; it takes about {NITROGEN_SETTLES} to show.",
        gives=Finding("settling_nitrogen"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.opened-lately",
        when=f.days_since_open < OPEN_SETTLES,
        reason="The heap was opened {days_since_open} ago; it takes about {OPEN_SETTLES} to come back.",
        gives=Finding("settling_open"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.draw-changed-lately",
        when=f.days_since_draw_change < DRAW_SETTLES,
        reason="The draw was changed {days_since_draw_change} ago; it takes about {DRAW_SETTLES} to show.",
        gives=Finding("settling_draw"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    # --- wait
    Rule(
        id="work.wait-for-water",
        when=found.settling_water.is_true()
        & f.days_since_add_water.known()
        & _NOT_DROWNING
        & NOT_TOO_HOT
        & WORTH_KEEPING,
        reason="Water went on {days_since_add_water} ago. Watch the core for about {WATER_SETTLES}, then judge it.",
        gives=Act("wait", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="work.wait-for-nitrogen",
        when=found.settling_nitrogen.is_true() & f.days_since_add_nitrogen.known() & _NOT_DROWNING & NOT_TOO_HOT,
        reason="Nitrogen went on {days_since_add_nitrogen} ago. Give it about {NITROGEN_SETTLES} before you judge it.",
        gives=Act("wait", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="work.wait-after-opening",
        when=found.settling_open.is_true() & f.days_since_open.known() & NOT_TOO_HOT,
        reason="The heap was opened {days_since_open} ago. It first dips, then climbs: give it about {OPEN_SETTLES}.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="work.draw-less-while-it-settles",
        when=found.settling_open.is_true()
        & (found.will_fall.is_true() | found.cool_soon.is_true())
        & found.asked_beyond_season.is_true()
        & f.days_since_open.known()
        & f.draw_w.known()
        & f.drawing.is_true()
        & f.emptying.not_seen()
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="The heap was opened {days_since_open} ago and has to climb back, and you draw {draw_w}, more than it "
        "can keep up. Draw less until it has.",
        gives=Act("reduce_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="work.wait-after-draw-change",
        when=found.settling_draw.is_true()
        & f.days_since_draw_change.known()
        & found.overdrawn.not_seen()
        & found.asked_beyond_season.not_seen()
        & NOT_TOO_HOT,
        reason="The draw was changed {days_since_draw_change} ago. Give the core about {DRAW_SETTLES} to answer.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="work.wait-for-brown-matter",
        when=(f.days_since_add_carbon < CARBON_SETTLES) & found.too_much_nitrogen.is_true() & NOT_TOO_HOT,
        reason="Brown matter went on {days_since_add_carbon} ago. Give it about {CARBON_SETTLES} to bind the ammonia.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="work.wait-under-new-cover",
        when=(f.days_since_cover_change < COVER_SETTLES) & found.losing_to_weather.is_true() & NOT_TOO_HOT,
        reason="The cover was changed {days_since_cover_change} ago. Give the skin about {COVER_SETTLES} to warm.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    # --- not the same again
    Rule(
        id="work.no-second-watering",
        when=found.settling_water.is_true() & f.days_since_add_water.known(),
        reason="Water went on only {days_since_add_water} ago. It has not soaked in yet.",
        gives=Avoid("add_water"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.no-second-feed",
        when=found.settling_nitrogen.is_true() & f.days_since_add_nitrogen.known(),
        reason="Nitrogen went on only {days_since_add_nitrogen} ago. The second half waits, or it leaves as ammonia.",
        gives=Avoid("add_nitrogen"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.no-second-loosening",
        when=found.settling_open.is_true() & f.days_since_open.known(),
        reason="The heap was opened only {days_since_open} ago. Each opening costs heat: let it come back first.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="work.no-second-bulking",
        when=found.settling_open.is_true() & f.days_since_open.known(),
        reason="The heap was opened only {days_since_open} ago. See what that did before you mix in more.",
        gives=Avoid("add_dry_bulking"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="work.bulked-this-winter",
        when=(f.days_since_bulking < BULKING_LASTS) & f.days_since_bulking.known(),
        reason="Coarse dry matter went in {days_since_bulking} ago and keeps the heap open. More of it makes heat no "
        "sooner: each opening costs warmth.",
        gives=Avoid("add_dry_bulking"),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="work.no-second-top-up",
        when=found.settling_open.is_true() & f.days_since_open.known(),
        reason="The heap was opened or topped up only {days_since_open} ago. Let it settle first.",
        gives=Avoid("top_up"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="work.no-second-raise",
        when=found.settling_draw.is_true() & f.days_since_draw_change.known(),
        reason="The draw was changed only {days_since_draw_change} ago. Read what it does before you ask for more.",
        gives=Avoid("raise_draw"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="work.no-second-brown-matter",
        when=f.days_since_add_carbon < CARBON_SETTLES,
        reason="Brown matter went on only {days_since_add_carbon} ago. More of it would cool and dry the heap.",
        gives=Avoid("add_carbon"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="work.dip-after-opening",
        when=found.settling_open.is_true() & f.core_falling.is_true() & f.days_since_open.known(),
        reason="The core falls, but the heap was opened {days_since_open} ago: a dip is to be expected.",
        gives=Caution(("*",)),
        source=COMMON_PRACTICE,
    ),
)
