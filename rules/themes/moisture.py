"""Water: too dry, too wet, and wet in the wrong place."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_MIX, FROZEN_CHIP_PILE, MANITOBA, MOIST_AIR, NEW_BRUNSWICK
from rules.tables.squeeze import DAMP_INSIDE, DRY_INSIDE, FEEL_NOT_WET, FROM_INSIDE, SOGGY_INSIDE, WET_INSIDE
from rules.tables.thresholds import (
    HOT_FROM,
    STALLED_DRY_BELOW,
    TOO_DRY_BELOW,
    TOO_WET_ABOVE,
    WATER_SETTLES,
    YOUNG_UNTIL,
)

WATERLOGGED_ABOVE = Threshold("WATERLOGGED_ABOVE", 70.0, "%", "wetter than any handbook allows", MANITOBA)
WATERED_LATELY = Threshold("WATERED_LATELY", 21.0, "days", "water from then may still be there", COMMON_PRACTICE)

_HEATS_WELL = f.phase.one_of("hot") & (f.age_days > YOUNG_UNTIL)
_HAND_DOUBTED = f.hand_confirmed.is_false() | (f.hand_confirmed.unknown() & _HEATS_WELL)
"""An earlier handful said otherwise, or there was none and the heap works as no heap of that feel does."""
_ONE_HAND = f.moisture_percent.unknown() & f.dry_pockets.not_seen() & f.leachate.not_seen() & f.moisture_feel.known()

_NO_SHEET = f.cover.unknown() | f.cover.one_of("none", "breathable", "straw")

RULES: Final = (
    # --- findings: dry
    Rule(
        id="moisture.too-dry",
        when=DRY_INSIDE,
        reason="A squeezed handful is {moisture_feel}. Rot needs the feel of a wrung-out rag to go on well.",
        gives=Finding("too_dry"),
        source=CORNELL_MIX,
        confidence=0.85,
    ),
    Rule(
        id="moisture.dusty",
        when=f.moisture_feel.one_of("dusty") & FROM_INSIDE,
        reason="A squeezed handful is {moisture_feel}: so dry that rot has all but stopped.",
        gives=Finding("very_dry"),
        source=CORNELL_MIX,
        confidence=0.85,
    ),
    Rule(
        id="moisture.dry-by-measure",
        when=f.moisture_percent < TOO_DRY_BELOW,
        reason="Water is {moisture_percent} of the mass, under {TOO_DRY_BELOW}, where rot slows.",
        gives=Finding("too_dry"),
        source=CORNELL_MIX,
        confidence=0.85,
    ),
    Rule(
        id="moisture.stalled-by-measure",
        when=f.moisture_percent < STALLED_DRY_BELOW,
        reason="Water is {moisture_percent} of the mass, under {STALLED_DRY_BELOW}, where rot all but stops.",
        gives=Finding("very_dry"),
        source=CORNELL_MIX,
        confidence=0.9,
    ),
    Rule(
        id="moisture.dry-pockets",
        when=f.dry_pockets.is_true() & FEEL_NOT_WET,
        reason="There are dry pockets inside: those parts make no heat until they are wet.",
        gives=Finding("too_dry"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="moisture.dusty-skin-and-falling",
        when=f.moisture_feel.one_of("dusty") & f.moisture_feel_at.one_of("surface") & f.core_falling.is_true(),
        reason="The {moisture_feel_at} is {moisture_feel} and the core falls. The inside may be dry too: dig and see.",
        gives=Finding("too_dry"),
        source=COMMON_PRACTICE,
        confidence=0.4,
    ),
    Rule(
        id="moisture.wet-skin-dry-core",
        when=f.wet_skin_dry_core.is_true(),
        reason="The skin is wet and the inside dry: rain or hose water never got past the skin.",
        gives=Finding("dry_core_under_wet_skin"),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="moisture.wet-surface-dry-pockets",
        when=f.moisture_feel.one_of("wet", "soggy") & f.moisture_feel_at.one_of("surface") & f.dry_pockets.is_true(),
        reason="The {moisture_feel_at} is {moisture_feel}, yet there are dry pockets inside: water stays in the skin.",
        gives=Finding("dry_core_under_wet_skin"),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    # --- findings: wet
    Rule(
        id="moisture.too-wet",
        when=WET_INSIDE,
        reason="A squeezed handful is {moisture_feel}: more water than rot likes, and air has less room.",
        gives=Finding("too_wet"),
        source=CORNELL_MIX,
        confidence=0.8,
    ),
    Rule(
        id="moisture.soggy",
        when=SOGGY_INSIDE,
        reason="A squeezed handful is {moisture_feel}: water fills the gaps that air should fill.",
        gives=Finding("waterlogged"),
        source=CORNELL_MIX,
        confidence=0.85,
    ),
    Rule(
        id="moisture.wet-by-measure",
        when=f.moisture_percent > TOO_WET_ABOVE,
        reason="Water is {moisture_percent} of the mass, over {TOO_WET_ABOVE}: air runs short.",
        gives=Finding("too_wet"),
        source=NEW_BRUNSWICK,
        confidence=0.75,
    ),
    Rule(
        id="moisture.waterlogged-by-measure",
        when=f.moisture_percent > WATERLOGGED_ABOVE,
        reason="Water is {moisture_percent} of the mass, over {WATERLOGGED_ABOVE}: wetter than any handbook allows.",
        gives=Finding("waterlogged"),
        source=MANITOBA,
        confidence=0.8,
    ),
    Rule(
        id="moisture.brown-water-at-foot",
        when=f.leachate.is_true()
        & (f.moisture_feel.unknown() | f.moisture_feel.one_of("damp", "wet", "soggy"))
        & f.wet_skin_dry_core.not_seen()
        & f.dry_pockets.not_seen()
        & (f.days_since_add_water.unknown() | (f.days_since_add_water >= WATER_SETTLES)),
        reason="Brown water runs from the foot: the heap holds all the water it can.",
        gives=Finding("too_wet"),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    # --- one handful against what else is known
    Rule(
        id="moisture.dry-hand-against-earlier",
        when=DRY_INSIDE & f.hand_confirmed.is_false() & _ONE_HAND,
        reason="This handful is {moisture_feel}, but the one before it was not. One handful in several is misjudged: "
        "squeeze three more before you carry water.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.dry-hand-against-the-heat",
        when=f.moisture_feel.one_of("dry")
        & FROM_INSIDE
        & f.hand_confirmed.unknown()
        & _HEATS_WELL
        & _ONE_HAND
        & f.core_c.known(),
        reason="This handful is {moisture_feel}, but the heap is {phase} with a core of {core_c}, which a dry one "
        "hardly is for long. Squeeze three more before you carry water.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="moisture.wet-hand-doubted",
        when=WET_INSIDE & _HAND_DOUBTED & _ONE_HAND & f.smell.one_of("earthy", "none") & f.core_c.known(),
        reason="This handful is {moisture_feel}, but an earlier one was not or the core, at {core_c}, works well, and "
        "it smells {smell}. Squeeze three more before you mix anything in.",
        gives=Finding("hand_doubtful"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="moisture.hand-and-measure-differ",
        when=(WET_INSIDE & (f.moisture_percent < TOO_DRY_BELOW)) | (DRY_INSIDE & (f.moisture_percent > TOO_WET_ABOVE)),
        reason="Water was told as {moisture_percent} of the mass, and a handful is {moisture_feel}: both cannot be so.",
        gives=Finding("hand_doubtful"),
        source=CORNELL_MIX,
        confidence=0.6,
    ),
    Rule(
        id="moisture.squeeze-again",
        when=found.hand_doubtful.is_true() & NOT_TOO_HOT & found.towards_fire.not_seen() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. A second look costs minutes; "
        "water in a heap that was wet enough costs weeks.",
        gives=Act("squeeze_again", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.no-water-on-a-doubtful-hand",
        when=found.hand_doubtful.is_true() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. Squeeze three more first.",
        gives=Avoid("add_water"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="moisture.no-bulking-on-a-doubtful-hand",
        when=found.hand_doubtful.is_true() & f.moisture_feel.known(),
        reason="One handful says {moisture_feel}, and something else says otherwise. Squeeze three more first.",
        gives=Avoid("add_dry_bulking"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
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
    # --- neither
    Rule(
        id="moisture.damp-is-right",
        when=DAMP_INSIDE & (f.core_c < HOT_FROM) & found.too_dry.not_seen() & found.dry_core_under_wet_skin.not_seen(),
        reason="A squeezed handful is {moisture_feel}, which is right, though the core reads only {core_c}. More water "
        "would take the room that air needs.",
        gives=Avoid("add_water"),
        source=CORNELL_MIX,
    ),
    Rule(
        id="moisture.skin-is-no-proof",
        when=f.moisture_feel.known() & f.moisture_feel_at.one_of("surface"),
        reason="That {moisture_feel} handful came from the {moisture_feel_at}. It does not prove what the core is "
        "like: dig to arm's depth and squeeze again.",
        gives=Caution(("*",)),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="moisture.white-threads-ask",
        when=f.white_threads.is_true() & f.moisture_feel.unknown(),
        reason="White threads or grey dust are fungi and their kin at work. They do no harm, but they like it rather "
        "dry: squeeze a handful from arm's depth.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="moisture.steam-dries",
        when=f.steam.is_true() & found.too_dry.is_true(),
        reason="Steam rises from a dry heap: it takes water and heat along. Cover it once it is watered.",
        gives=Caution(("add_water",), Gravity.NOTE),
        source=MOIST_AIR,
    ),
)
