"""The greenhouse: what it needs tonight, what the heap can give, and what must not be blown into it."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import (
    DRAW_FITTED,
    DUCT_MAY_TOUCH_THE_HEAP,
    HOUSE_NEEDS_HEAT,
    LOOP_DRAWS_NOTHING,
)
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import (
    CO_FROM_COMPOST,
    COMMON_PRACTICE,
    EXPOSURE_LIMITS,
    GREENHOUSE_GLAZING,
    HEAT_BALANCE,
    STATIC_PRUNINGS_PILE,
)

ALL_OF_THE_NEED = Threshold("ALL_OF_THE_NEED", 100.0, "%", "the heap covers the house", HEAT_BALANCE)
SMALL_PART_OF_NEED = Threshold("SMALL_PART_OF_NEED", 30.0, "%", "the heap only helps out", STATIC_PRUNINGS_PILE)

PLANTS_DIE_BELOW = Threshold(
    "PLANTS_DIE_BELOW", -6.0, "degC", "unheated, a house this cold outside kills hardy greens", COMMON_PRACTICE
)

_BLOWN_INTO_THE_HOUSE = f.air_path.one_of("through_heap") & f.air_outlet_to_house.is_true()

RULES: tuple[Rule, ...] = (
    Rule(
        id="house.short-tonight",
        when=f.house_needs_w.known() & (f.pile_share_percent < ALL_OF_THE_NEED) & HOUSE_NEEDS_HEAT,
        reason="In tonight's cold the house needs about {house_needs_w}. The heap can keep up {pile_share_percent} of "
        "that.",
        gives=Finding("house_short"),
        source=HEAT_BALANCE,
        confidence=0.7,
    ),
    Rule(
        id="house.gas-blown-in",
        when=_BLOWN_INTO_THE_HOUSE & (f.fan_is_set.is_true() | f.fan_is_set.unknown()),
        reason="The drawn air goes {air_path} and on into the house.",
        gives=Finding("gas_into_house"),
        source=CO_FROM_COMPOST,
        confidence=0.85,
    ),
    Rule(
        id="house.light-the-backup",
        when=found.house_short.is_true() & f.house_needs_w.known() & f.pile_share_percent.known(),
        reason="The heap covers {pile_share_percent} of the {house_needs_w} that the house needs. A heater must bring "
        "the rest.",
        gives=Act("light_backup_heat", Urgency.THIS_MONTH),
        source=GREENHOUSE_GLAZING,
        confidence=0.8,
    ),
    Rule(
        id="house.no-sun-to-store",
        when=found.house_short.is_true() & f.sun.one_of("overcast"),
        reason="The sky is {sun}, so the house takes in little sun to see it through the night.",
        gives=Act("light_backup_heat", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="house.plants-in-danger",
        when=found.house_short.is_true()
        & (f.low_c < PLANTS_DIE_BELOW)
        & (f.backup_heat_known.unknown() | f.backup_heat_known.is_false()),
        reason="Tonight may fall to {low_c} and the heap cannot keep the house warm by itself. Nothing you told says "
        "that a heater is on: without one the plants may freeze.",
        gives=Act("light_backup_heat", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="house.plants-in-the-cold-of-now",
        when=found.house_short.is_true()
        & f.low_c.unknown()
        & (f.outdoor_c <= PLANTS_DIE_BELOW)
        & (f.backup_heat_known.unknown() | f.backup_heat_known.is_false()),
        reason="It is {outdoor_c} outside, the night will hardly be warmer, and the heap cannot keep the house warm by "
        "itself. Nothing you told says that a heater is on: without one the plants may freeze.",
        gives=Act("light_backup_heat", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="house.heap-only-helps-out",
        when=(f.pile_share_percent < SMALL_PART_OF_NEED) & HOUSE_NEEDS_HEAT,
        reason="The heap can cover only {pile_share_percent} of what the house needs. It helps out; it cannot heat the "
        "house by itself.",
        gives=Caution(("raise_draw", "keep_going", "start_next_pile", "build_new_pile"), Gravity.NOTE),
        source=STATIC_PRUNINGS_PILE,
    ),
    Rule(
        id="house.do-not-squeeze-a-cooling-heap",
        when=found.house_short.is_true() & f.core_falling.is_true() & DRAW_FITTED & f.core_c.known(),
        reason="The house is short of heat, but the core, now {core_c}, is falling. Drawing harder tonight leaves "
        "both of you cold: use the heater.",
        gives=Avoid("raise_draw"),
        source=HEAT_BALANCE,
        confidence=0.9,
    ),
    Rule(
        id="house.air-it-out",
        when=found.gas_into_house.is_true() & f.air_path.one_of("through_heap"),
        reason="Air that goes {air_path} brings carbon dioxide, carbon monoxide and ammonia into the house. Air it "
        "before you go in, and change to a closed duct.",
        gives=Act("ventilate_greenhouse", Urgency.TODAY),
        source=EXPOSURE_LIMITS,
        confidence=0.85,
    ),
    Rule(
        id="house.stop-the-fan",
        when=f.air_path.one_of("through_heap")
        & f.fan_is_set.is_true()
        & (f.air_outlet_to_house.is_true() | f.air_outlet_to_house.unknown())
        & LOOP_DRAWS_NOTHING
        & found.fire_danger.not_seen(),
        reason="The drawn air goes {air_path} and may end in the house. Leave the fan off until a closed duct is laid.",
        gives=Act("pause_draw", Urgency.TODAY, until_cleared=True),
        source=CO_FROM_COMPOST,
        confidence=0.8,
    ),
    Rule(
        id="house.heap-air-is-no-house-air",
        when=found.gas_into_house.is_true(),
        reason="Heap air can hold carbon monoxide and dioxide, which you cannot smell. Never sleep or linger in a "
        "shut house that it is blown into. Fit a gas alarm.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Heap air in the house can kill (carbon monoxide).",
            topic="heap_gas",
            soon=True,
        ),
        source=CO_FROM_COMPOST,
    ),
    Rule(
        id="house.heap-air-may-reach-the-house",
        when=DUCT_MAY_TOUCH_THE_HEAP
        & (f.air_outlet_to_house.is_true() | f.air_outlet_to_house.unknown())
        & found.gas_into_house.not_seen(),
        reason="Unless a closed duct keeps it apart, heap air in a house can kill: it holds carbon monoxide and "
        "dioxide, which you cannot smell. Do not sleep or linger there, and fit a gas alarm.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Keep heap air (carbon monoxide) out of the house.",
            topic="heap_gas",
        ),
        source=CO_FROM_COMPOST,
    ),
    Rule(
        id="house.duct-untold",
        when=f.core_c.known() & f.has_air_duct.unknown() & f.has_water_loop.known() & found.fire_danger.not_seen(),
        reason="If an air duct is fitted too (core: {core_c}): heap air in a house can kill, by carbon monoxide and "
        "dioxide, which you cannot smell. Keep it out.",
        gives=Caution(
            ("*",),
            Gravity.LIFE,
            brief="Any duct: keep carbon monoxide out of the house.",
            topic="heap_gas",
        ),
        source=CO_FROM_COMPOST,
    ),
    Rule(
        id="house.no-more-heap-air",
        when=_BLOWN_INTO_THE_HOUSE & DRAW_FITTED,
        reason="The air goes {air_path} and into the house. More of it means more gas in the house.",
        gives=Avoid("draw_air_instead_of_water"),
        source=EXPOSURE_LIMITS,
        confidence=0.85,
    ),
    Rule(
        id="house.no-harder-heap-air",
        when=_BLOWN_INTO_THE_HOUSE & f.has_air_duct.is_true() & LOOP_DRAWS_NOTHING,
        reason="The air goes {air_path} and into the house. Do not turn it up before a closed duct is laid.",
        gives=Avoid("raise_draw"),
        source=EXPOSURE_LIMITS,
        confidence=0.8,
    ),
    Rule(
        id="house.inlet-from-the-frost",
        when=f.air_drawing.is_true()
        & f.air_inlet_from_outdoors.is_true()
        & f.freezing.is_true()
        & f.air_path.one_of("closed_duct"),
        reason="The {air_path} takes in frosty air. Taking it from the house instead spares the heap.",
        gives=Caution(("keep_going", "raise_draw", "reduce_draw", "draw_air_instead_of_water")),
        source=HEAT_BALANCE,
    ),
)
