"""Air inside the heap: wet and packed masses that shut it out, and cracks that let it run past."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import HAS_AIR_AND_NOT_TOO_WET, NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import (
    COMMON_PRACTICE,
    CORNELL_POROSITY,
    HAUG,
    NRCS_OPERATION,
    ON_FARM_HANDBOOK,
    PEARSON_BIOAEROSOLS,
)
from rules.tables.squeeze import DRY_INSIDE, SOGGY_INSIDE, WET_INSIDE
from rules.tables.thresholds import HOLDING_FROM, HOT_FROM

LOW_FREE_AIR = Threshold("LOW_FREE_AIR", 20.0, "%", "far under the three tenths that handbooks ask for", HAUG)
PACKED_ABOVE = Threshold("PACKED_ABOVE", 640.0, "kg/m3", "a mass this heavy has packed down", ON_FARM_HANDBOOK)
UNEVEN_FROM = Threshold(
    "UNEVEN_FROM", 20.0, "delta_degC", "like depths differ by this where air runs through cracks", COMMON_PRACTICE
)
DONE_SETTLING = Threshold("DONE_SETTLING", 21.0, "days", "a new heap sinks on its own until then", COMMON_PRACTICE)
HARD_FROST = Threshold("HARD_FROST", -5.0, "degC", "frost that chills an opened heap through", COMMON_PRACTICE)
COLD_AIR = Threshold("COLD_AIR", 10.0, "degC", "air that an opened heap loses its warmth to", COMMON_PRACTICE)

_OPENING = ("loosen_pile", "add_dry_bulking", "add_carbon", "top_up", "enlarge_pile")
_SAFE_TO_OPEN = found.overheating.not_seen() & found.fire_danger.not_seen()

_SMELLS_OF_NO_AIR = f.smell.unknown() | f.smell.one_of("sour", "rotten_egg", "alcohol", "musty", "ammonia")
"""An earthy smell tells that air gets in, however wet a handful is."""
_IN_THE_COLD = f.season.one_of("heating") | (
    f.season.unknown() & (f.freezing.is_true() | f.frost_may_come.is_true() | (f.outdoor_c < COLD_AIR))
)
"""Where nobody told the season, the air tells, and where nobody told that either, the month."""
_WORKS_IN_WINTER = (
    found.short_of_air.is_true()
    & found.waterlogged.not_seen()
    & _IN_THE_COLD
    & (f.core_c >= HOLDING_FROM)
    & f.core_falling.not_seen()
)

RULES: Final = (
    # --- findings
    Rule(
        id="air.soggy-shuts-it-out",
        when=SOGGY_INSIDE,
        reason="A squeezed handful is {moisture_feel}: air moves through water far too slowly to feed the heap.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.75,
    ),
    Rule(
        id="air.little-free-space",
        when=(f.free_air_space_percent < LOW_FREE_AIR) & (f.moisture_percent.known() | WET_INSIDE),
        reason="By weight and water, air fills only about {free_air_space_percent} of the heap, under {LOW_FREE_AIR}.",
        gives=Finding("short_of_air"),
        source=HAUG,
        confidence=0.5,
    ),
    Rule(
        id="air.packed-and-wet",
        when=(f.bulk_density_kg_m3 > PACKED_ABOVE) & WET_INSIDE,
        reason="The heap weighs {bulk_density_kg_m3}, over {PACKED_ABOVE}, and a handful is {moisture_feel}: "
        "it has packed down.",
        gives=Finding("short_of_air"),
        source=ON_FARM_HANDBOOK,
        confidence=0.6,
    ),
    Rule(
        id="air.wet-and-sinking",
        when=f.slumping.is_true() & WET_INSIDE,
        reason="The heap sinks and a handful is {moisture_feel}: the gaps that hold air are closing.",
        gives=Finding("short_of_air"),
        source=CORNELL_POROSITY,
        confidence=0.6,
    ),
    Rule(
        id="air.steam-from-cracks",
        when=f.cracks.is_true() & f.steam.is_true(),
        reason="Steam rises and there are cracks: warm air runs out through them, and cold air comes in below.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="air.cracks-and-dry-pockets",
        when=f.cracks.is_true() & f.dry_pockets.is_true(),
        reason="There are cracks, and dry pockets beside them: air and water take the easy way past the mass.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="air.wet-with-dry-pockets",
        when=f.dry_pockets.is_true() & WET_INSIDE,
        reason="A handful is {moisture_feel}, yet there are dry pockets: water runs down a few paths only.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="air.water-runs-past",
        when=f.leachate.is_true() & DRY_INSIDE,
        reason="Brown water runs from the foot, yet a handful is {moisture_feel}: water runs past the mass.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="air.cracks-and-uneven",
        when=f.cracks.is_true() & (f.points_spread_k >= UNEVEN_FROM),
        reason="There are cracks, and readings at like depth differ by {points_spread_k}, {UNEVEN_FROM} or more.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="air.fan-draws-through-cracks",
        when=f.cracks.is_true() & f.air_drawing.is_true() & f.air_path.one_of("through_heap"),
        reason="Air is drawn {air_path}, and it takes the cracks instead of the mass.",
        gives=Finding("channelling"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    # --- moves
    Rule(
        id="air.bulk-a-waterlogged-heap",
        when=found.waterlogged.is_true() & (f.core_c < HOT_FROM) & WORTH_KEEPING & _SAFE_TO_OPEN,
        reason="The heap is full of water and its core at {core_c}. Coarse dry chips or straw forked in make gaps that "
        "stay open.",
        gives=Act("add_dry_bulking", Urgency.TODAY),
        source=NRCS_OPERATION,
        confidence=0.8,
    ),
    Rule(
        id="air.bulk-a-wet-heap-short-of-air",
        when=found.too_wet.is_true()
        & found.short_of_air.is_true()
        & (f.core_c < HOT_FROM)
        & WORTH_KEEPING
        & _SAFE_TO_OPEN,
        reason="The heap is too wet and short of air, and its core is at {core_c}. Coarse dry matter cures both.",
        gives=Act("add_dry_bulking", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.75,
    ),
    Rule(
        id="air.bulk-a-wet-cool-heap",
        when=found.too_wet.is_true()
        & (f.core_c < HOLDING_FROM)
        & WORTH_KEEPING
        & found.settling_water.not_seen()
        & _SMELLS_OF_NO_AIR,
        reason="The heap is too wet and its core is only {core_c}. Coarse dry matter lets air in, and soaks some up.",
        gives=Act("add_dry_bulking", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.65,
    ),
    Rule(
        id="air.bulk-a-wet-falling-heap",
        when=found.too_wet.is_true()
        & f.core_falling.is_true()
        & (f.core_c < HOT_FROM)
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & _SMELLS_OF_NO_AIR,
        reason="The heap is too wet and the core falls, to {core_c} now. Coarse dry matter lets air in, and soaks some "
        "up.",
        gives=Act("add_dry_bulking", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.6,
    ),
    Rule(
        id="air.loosen",
        when=found.short_of_air.is_true() & WORTH_KEEPING & _SAFE_TO_OPEN,
        reason="Too little air reaches the middle. Lift the packed part with a fork and lay it back loosely.",
        gives=Act("loosen_pile", Urgency.THIS_WEEK),
        source=NRCS_OPERATION,
        confidence=0.7,
    ),
    Rule(
        id="air.leave-a-working-heap-shut",
        when=_WORKS_IN_WINTER,
        reason="The heap is short of air, yet its core reads {core_c}. Opened in the cold it loses a good part of its "
        "warmth; as the soft matter is used up, air comes back by itself.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="air.no-bulking-in-a-working-heap",
        when=_WORKS_IN_WINTER,
        reason="The core reads {core_c}. Coarse matter mixed in now, in the cold, costs more warmth than the air is "
        "worth.",
        gives=Avoid("add_dry_bulking"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="air.look-at-a-working-heap",
        when=_WORKS_IN_WINTER & found.too_wet.not_seen() & _SAFE_TO_OPEN & NOT_TOO_HOT,
        reason="The heap is short of air, yet its core reads {core_c}. Read it each day, and look from outside where "
        "it is wet, packed or covered too tight: once the core falls, that part wants opening.",
        gives=Act("find_the_cause", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="air.vent-the-film",
        when=found.short_of_air.is_true() & f.cover.one_of("clear_film"),
        reason="The heap is short of air under {cover}. A slit along the ridge lets it breathe and keeps most heat.",
        gives=Act("open_vent_in_film", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="air.lift-the-tarp",
        when=found.short_of_air.is_true() & f.cover.one_of("tarp") & found.fire_danger.not_seen(),
        reason="The heap is short of air under a {cover}: fold it back from the ridge for some hours.",
        gives=Act("lift_cover", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="air.no-tight-film",
        when=found.short_of_air.is_true(),
        reason="The heap is short of air. Film over it would shut out more: give it air first.",
        gives=Avoid("cover_with_clear_film"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="air.fill-the-cracks",
        when=found.channelling.is_true() & WORTH_KEEPING & NOT_TOO_HOT,
        reason="Air and water run past the mass. Rake the cracks shut and fill them with damp fresh chips.",
        gives=Act("top_up", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="air.cracks-in-the-cold",
        when=f.cracks.is_true() & f.freezing.is_true() & WORTH_KEEPING & NOT_TOO_HOT,
        reason="There are cracks and it freezes: cold air falls in and warm air leaves. Rake them shut.",
        gives=Act("top_up", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="air.top-up-what-sank",
        when=f.slumping.is_true()
        & (f.age_days >= DONE_SETTLING)
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & found.short_of_air.not_seen(),
        reason="At {age_days} the heap still sinks: it has used itself up in part. Fresh matter on top keeps its size.",
        gives=Act("top_up", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="air.sinking-is-normal",
        when=f.slumping.is_true() & (f.age_days < DONE_SETTLING) & found.short_of_air.not_seen(),
        reason="At {age_days} it is normal for a heap to sink. Filling it up now only packs it.",
        gives=Avoid("top_up"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="air.not-in-hard-frost",
        when=(f.low_c <= HARD_FROST) & HAS_AIR_AND_NOT_TOO_WET,
        reason="Tonight falls to {low_c}. Nothing you told says that the heap lacks air, so opening it would only "
        "chill it.",
        gives=Avoid("loosen_pile"),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="air.open-in-mild-hours",
        when=f.freezing.is_true(),
        reason="It freezes: open no more than you can close within the hour, at midday, and cover it again.",
        gives=Caution(_OPENING),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="air.dust-holds-spores",
        when=f.white_threads.is_true(),
        reason="White threads and grey dust hold spores that can harm the lungs. Damp them down and wear a mask.",
        gives=Caution((*_OPENING, "build_new_pile"), Gravity.INJURY),
        source=PEARSON_BIOAEROSOLS,
    ),
)
