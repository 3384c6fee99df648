"""Water: too dry, too wet, and wet in the wrong place."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.conditions import Threshold
from rules.language.model import Avoid, Caution, Finding, Gravity, Rule
from rules.language.sources import COMMON_PRACTICE, CORNELL_MIX, MANITOBA, MOIST_AIR, NEW_BRUNSWICK
from rules.tables.squeeze import DAMP_INSIDE, DRY_INSIDE, FEEL_NOT_WET, FROM_INSIDE, SOGGY_INSIDE, WET_INSIDE
from rules.tables.thresholds import (
    HOT_FROM,
    STALLED_DRY_BELOW,
    TOO_DRY_BELOW,
    TOO_WET_ABOVE,
    WATER_SETTLES,
)

WATERLOGGED_ABOVE = Threshold("WATERLOGGED_ABOVE", 70.0, "%", "wetter than any handbook allows", MANITOBA)

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
    # --- neither, or no proof
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
        reason="White threads or grey dust are fungi and their kin at work. They do the heap no harm, but they like it "
        "rather dry: squeeze a handful from arm's depth, with a dust mask on.",
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
