"""Air instead of water: when a wet heap is drawn by air, and a dry one not."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import HOUSE_NEEDS_HEAT, NOT_TOO_HOT
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, MOIST_AIR
from rules.tables.thresholds import HOT_FROM

MUCH_WATER_CARRIED_OFF = Threshold(
    "MUCH_WATER_CARRIED_OFF", 30.0, "kg/day", "drawn air dries a heap within weeks", MOIST_AIR
)
_BOTH_FITTED = f.has_air_duct.is_true() & f.has_water_loop.is_true()

RULES: Final = (
    Rule(
        id="draw.wet-heap-by-air",
        when=found.too_wet.is_true()
        & _BOTH_FITTED
        & f.water_drawing.is_true()
        & f.core_falling.is_false()
        & (f.core_c >= HOT_FROM)
        & found.gas_into_house.not_seen()
        & HOUSE_NEEDS_HEAT
        & NOT_TOO_HOT,
        reason="The heap is wet and its core, at {core_c}, does not fall. Drawing by air takes water along.",
        gives=Act("draw_air_instead_of_water", Urgency.THIS_WEEK),
        source=MOIST_AIR,
        confidence=0.5,
    ),
    Rule(
        id="draw.loop-stands-use-air",
        when=f.no_flow_in_loop.is_true()
        & _BOTH_FITTED
        & f.fan_stopped.not_seen()
        & f.core_falling.not_seen()
        & f.phase.one_of("hot", "holding")
        & f.season.one_of("heating")
        & NOT_TOO_HOT,
        reason="The heap is {phase} but no water flows in the loop. Draw by air until the loop works again.",
        gives=Act("draw_air_instead_of_water", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="draw.dry-heap-not-by-air",
        when=found.too_dry.is_true()
        & found.too_wet.not_seen()
        & _BOTH_FITTED
        & (f.air_path.one_of("through_heap") | f.air_path.unknown()),
        reason="The heap is too dry already. Air drawn through it would dry it more.",
        gives=Avoid("draw_air_instead_of_water"),
        source=MOIST_AIR,
        confidence=0.8,
    ),
    Rule(
        id="draw.air-carries-water-off",
        when=f.air_drawing.is_true() & (f.water_carried_off_kg_day >= MUCH_WATER_CARRIED_OFF),
        reason="The drawn air carries about {water_carried_off_kg_day} of water out of the heap. Squeeze a handful "
        "from arm's depth each week.",
        gives=Caution(("keep_going", "raise_draw", "reduce_draw", "draw_air_instead_of_water", "add_water")),
        source=MOIST_AIR,
    ),
)
