"""What to do about water: where to pour, and what to keep off."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_MIX, FROZEN_CHIP_PILE, MOIST_AIR

WATERED_LATELY = Threshold("WATERED_LATELY", 21.0, "days", "water from then may still be there", COMMON_PRACTICE)
_NO_SHEET = f.cover.unknown() | f.cover.one_of("none", "breathable", "straw")

RULES: Final = (
    # --- moves: dry
    Rule(
        id="moisture.water-a-dusty-heap",
        when=found.very_dry.is_true() & WORTH_KEEPING,
        reason="The heap is so dry that rot has all but stopped. Nothing else helps until it is wet.",
        gives=Act("add_water", Urgency.TODAY),
        source=CORNELL_MIX,
        confidence=0.9,
    ),
    Rule(
        id="moisture.water-a-dry-falling-heap",
        when=found.too_dry.is_true() & f.core_trend_k_per_day.known() & f.core_falling.is_true() & WORTH_KEEPING,
        reason="The heap is dry and the core falls ({core_trend_k_per_day}): water it before the next cold night.",
        gives=Act("add_water", Urgency.TODAY),
        source=CORNELL_MIX,
        confidence=0.85,
    ),
    Rule(
        id="moisture.water-a-dry-heap",
        when=found.too_dry.is_true() & WORTH_KEEPING,
        reason="The heap is too dry for rot to go on well: it makes less heat than it could.",
        gives=Act("add_water", Urgency.THIS_WEEK),
        source=CORNELL_MIX,
        confidence=0.8,
    ),
    Rule(
        id="moisture.water-into-the-core",
        when=found.dry_core_under_wet_skin.is_true() & WORTH_KEEPING,
        reason="Water has to reach the core: pour it slowly into holes. A sprinkler only wets the skin once more.",
        gives=Act("add_water", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="moisture.cover-once-watered",
        when=found.too_dry.is_true()
        & f.core_falling.is_true()
        & (f.cover.one_of("none") | f.cover.unknown())
        & WORTH_KEEPING
        & NOT_TOO_HOT,
        reason="The heap is dry and the core falls. Once it is watered, cover it if nothing lies on it yet: a bare "
        "heap dries out again.",
        gives=Act("cover_with_clear_film", Urgency.THIS_WEEK),
        source=MOIST_AIR,
        confidence=0.55,
    ),
    Rule(
        id="moisture.frozen-crust-sheds-water",
        when=f.frozen_crust.is_true(),
        reason="The crust is frozen: water sprayed on it only turns to ice. Pour through holes, under the crust.",
        gives=Caution(("add_water", "add_nitrogen")),
        source=FROZEN_CHIP_PILE,
    ),
    Rule(
        id="moisture.let-rain-in",
        when=found.too_dry.is_true() & f.rain.one_of("light", "heavy"),
        reason="Rain is {rain} and the heap is dry: let it in. Rain alone seldom reaches the core, so water as well.",
        gives=Avoid("keep_rain_off"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="moisture.water-before-nitrogen",
        when=found.too_dry.is_true(),
        reason="The heap is dry. Feed does nothing in dry wood: water first, or give the feed in the water.",
        gives=Caution(("add_nitrogen",)),
        source=COMMON_PRACTICE,
    ),
    # --- moves: wet
    Rule(
        id="moisture.no-water-on-wet",
        when=found.too_wet.is_true() & found.dry_core_under_wet_skin.not_seen() & found.hand_doubtful.not_seen(),
        reason="The heap is already wetter than rot likes. More water would push out air.",
        gives=Avoid("add_water"),
        source=CORNELL_MIX,
        confidence=0.9,
    ),
    Rule(
        id="moisture.no-water-when-waterlogged",
        when=found.waterlogged.is_true(),
        reason="Water fills the gaps that air should fill. A cool, soggy heap needs air, not water.",
        gives=Avoid("add_water"),
        source=CORNELL_MIX,
        confidence=0.95,
    ),
    Rule(
        id="moisture.hose-off-wet",
        when=found.too_wet.is_true() & (f.days_since_add_water <= WATERED_LATELY) & found.hand_doubtful.not_seen(),
        reason="Water went on {days_since_add_water} ago and the heap is too wet: leave the hose off.",
        gives=Act("stop_adding_water", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="moisture.hose-off-waterlogged",
        when=found.too_wet.is_true() | found.waterlogged.is_true(),
        reason="The heap holds more water than it needs: keep hose, roof water and ditches off it until nothing drips.",
        gives=Act("stop_adding_water", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="moisture.rain-on-wet",
        when=found.too_wet.is_true() & f.rain.one_of("light", "heavy") & _NO_SHEET,
        reason="Rain is {rain} and the heap is too wet already.",
        gives=Act("keep_rain_off", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="moisture.rain-coming-on-wet",
        when=found.too_wet.is_true() & f.rain_forecast.is_true() & _NO_SHEET,
        reason="Heavy rain is on its way and the heap is too wet already.",
        gives=Act("keep_rain_off", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="moisture.bare-and-waterlogged",
        when=found.waterlogged.is_true() & f.cover.one_of("none"),
        reason="The heap is full of water and lies bare (cover: {cover}). A sheet on poles keeps more from coming.",
        gives=Act("keep_rain_off", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
    ),
)
