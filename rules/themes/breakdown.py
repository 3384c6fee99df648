"""What breaks: power, pipes, fan and duct; and what is on hand against it."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language.common import FAN_MAY_RUN_AGAIN, NOT_TOO_HOT
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import BUBBLE_WRAP, COMMON_PRACTICE, EXPOSURE_LIMITS, HEAT_BALANCE, MOIST_AIR

HOUSE_FREEZES = Threshold("HOUSE_FREEZES", 2.0, "degC", "plants in the house are near frost", COMMON_PRACTICE)
WELL_OVER_TARGET = Threshold("WELL_OVER_TARGET", 5.0, "delta_degC", "the house is warm enough", COMMON_PRACTICE)
HOUSE_DAMP = Threshold("HOUSE_DAMP", 90.0, "%", "leaves stay wet and grey mould starts", COMMON_PRACTICE)
HOUSE_MOIST = Threshold("HOUSE_MOIST", 70.0, "%", "the air of the house feels moist", COMMON_PRACTICE)

_POWER: Final = (
    Rule(
        id="breakdown.power-out-loop",
        when=f.power_out.is_true() & f.has_water_loop.is_true() & f.freezing.is_true(),
        reason="Without power the water in the loop stands still, and it freezes: pipes outside the heap go first.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="breakdown.power-out-fan",
        when=f.power_out.is_true() & (f.has_air_duct.is_true() | f.air_drawing.is_true()) & FAN_MAY_RUN_AGAIN,
        reason="After a power cut see that the fan has started again, and that its timer still keeps the right hours.",
        gives=Act("check_fan", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="breakdown.heap-needs-no-power",
        when=f.power_out.is_true(),
        reason="The heap itself needs no power and stores more heat while nothing is drawn. The house is what cools: "
        "look to the plants first.",
        gives=Caution(("*",), Gravity.NOTE),
        source=HEAT_BALANCE,
    ),
    Rule(
        id="breakdown.no-fumes-indoors",
        when=f.power_out.is_true(),
        reason="In a power cut never run a grill, stove or engine in the house or by its door. Its gas kills without "
        "a smell.",
        gives=Caution(("*",), Gravity.LIFE, brief="No generator, grill or flueless stove indoors.", soon=True),
        source=EXPOSURE_LIMITS,
    ),
)

_STANDS: Final = (
    Rule(
        id="breakdown.nothing-to-raise",
        when=f.draw_stands.is_true() & f.core_c.known(),
        reason="Pump, fan, pipe or power is out of order, so nothing is drawn from a core of {core_c}. See to that "
        "first, then set the draw anew.",
        gives=Avoid("raise_draw"),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="breakdown.not-as-it-is",
        when=f.draw_stands.is_true() & f.core_c.known(),
        reason="Pump, fan, pipe or power does not work. So a core of {core_c} warms nobody, and that does not go on as "
        "it is.",
        gives=Avoid("keep_going"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
)

_STOPPED: Final = (
    Rule(
        id="breakdown.fell-while-drawn",
        when=f.drawn_until_stopped.is_true() & f.phase.one_of("falling") & f.core_c.known() & NOT_TOO_HOT,
        reason="The core, now {core_c}, fell while heat was drawn, and now none is. Read it each day before you look "
        "for another cause: if it falls on, there is one.",
        gives=Act("wait", Urgency.THIS_WEEK),
        source=HEAT_BALANCE,
        confidence=0.5,
    ),
    Rule(
        id="breakdown.by-the-fan-alone",
        when=f.loop_stands.is_true() & f.has_air_duct.is_true() & f.draw_stands.not_seen(),
        reason="The loop is out of order: leave its pump off until that is mended. Whatever is drawn is drawn by the "
        "fan.",
        gives=Caution(("raise_draw", "reduce_draw", "keep_going", "wait")),
        source=COMMON_PRACTICE,
    ),
)

_PIPES: Final = (
    Rule(
        id="breakdown.stop-the-leak",
        when=f.pipe_burst.is_true(),
        reason="A pipe leaks: switch the pump off and shut the valve first. Then see from tank or gauge how much water "
        "went in, and tell it as water added: it wets and chills the heap.",
        gives=Act("check_loop", Urgency.NOW),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="breakdown.no-water-on-a-leak",
        when=f.pipe_burst.is_true() & f.moisture_feel.unknown(),
        reason="A pipe has leaked into it: squeeze a handful before any water is added.",
        gives=Avoid("add_water"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="breakdown.thaw-gently",
        when=f.pipe_frozen.is_true(),
        reason="A pipe is frozen: pump off, then thaw it with warm cloths or lukewarm water from the open end back, "
        "and never with a flame. Look for splits before you pump again.",
        gives=Act("check_loop", Urgency.NOW),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="breakdown.antifreeze-on-hand",
        when=(f.pipe_frozen.is_true() | (f.has_water_loop.is_true() & f.freezing.is_true()))
        & f.has_antifreeze.is_true(),
        reason="You have antifreeze. Fill a closed loop with propylene glycol as its label says. Never use car "
        "antifreeze, and never fill a loop whose water is used.",
        gives=Caution(("protect_loop_from_frost", "check_loop", "keep_going", "wait"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
)

_AIR: Final = (
    Rule(
        id="breakdown.fan-without-air",
        when=f.fan_no_air.is_true() & FAN_MAY_RUN_AGAIN,
        reason="The fan runs and no air comes. Look for a crushed, iced or flooded duct, a shut flap or a nest. A fan "
        "can also run backwards.",
        gives=Act("check_fan", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="breakdown.spare-fan-on-hand",
        when=(f.fan_no_air.is_true() | f.fan_stopped.is_true()) & f.has_spare_fan.is_true(),
        reason="You have a spare fan: fit it if the fault is not found at once, with the power off while you do.",
        gives=Caution(("check_fan",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="breakdown.duct-drips",
        when=f.duct_drips.is_true(),
        reason="The duct drips: moist air meets cold metal. Slope it down to a drain, wrap it where it is cold, and "
        "keep wires and plugs out of the drip.",
        gives=Act("drain_duct", Urgency.TODAY),
        source=MOIST_AIR,
        confidence=0.75,
    ),
)

_HOUSE: Final = (
    Rule(
        id="breakdown.house-near-frost",
        when=f.house_c <= HOUSE_FREEZES,
        reason="The house reads {house_c}: plants are near frost. Light the backup, cover them with fleece, and do not "
        "wait for the heap.",
        gives=Act("light_backup_heat", Urgency.NOW),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="breakdown.house-warm-enough",
        when=(f.house_over_target_k >= WELL_OVER_TARGET) & f.house_c.known(),
        reason="The house reads {house_c}, which is {house_over_target_k} over its night target: nothing has to be "
        "drawn just now.",
        gives=Caution(("keep_going", "raise_draw", "reduce_draw", "wait", "find_the_cause"), Gravity.NOTE),
        source=HEAT_BALANCE,
    ),
    Rule(
        id="breakdown.house-damp",
        when=f.house_humidity_percent >= HOUSE_DAMP,
        reason="The air in the house stands at {house_humidity_percent} humidity: leaves stay wet and mould starts. "
        "Air it for a quarter of an hour at midday.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="breakdown.moist-air-dries-too",
        when=f.air_drawing.is_true()
        & f.air_path.one_of("through_heap")
        & f.air_inlet_from_house.is_true()
        & (f.house_humidity_percent >= HOUSE_MOIST),
        reason="House air at {house_humidity_percent} humidity still dries the heap: warmed inside it can hold many "
        "times the water, and it leaves full. Squeeze a handful each week.",
        gives=Caution(("*",)),
        source=MOIST_AIR,
    ),
    Rule(
        id="breakdown.bubble-wrap-on-the-house",
        when=f.has_bubble_wrap.is_true() & (f.house_needs_w.known() | f.house_c.known() | f.season.one_of("heating")),
        reason="Bubble wrap inside the glazing saves up to half of the house's loss and costs no heat. Hang it with "
        "the bubbles to the glass. Keep a vent that opens.",
        gives=Caution(("*",), Gravity.NOTE),
        source=BUBBLE_WRAP,
    ),
    Rule(
        id="breakdown.bubble-wrap-on-the-heap",
        when=f.has_bubble_wrap.is_true() & f.cover.one_of("none"),
        reason="On a heap with {cover} over it bubble wrap is a film like any other. It keeps wind off and heat in. "
        "Leave top and foot open by a hand, for the heap must breathe.",
        gives=Caution(("cover_with_clear_film", "insulate"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="breakdown.heater-on-hand",
        when=f.has_heater.is_true(),
        reason="Keep a heater with a flame an arm's length from film and straw, and never leave it "
        "alone in a shut house.",
        gives=Caution(("light_backup_heat",), Gravity.INJURY),
        source=EXPOSURE_LIMITS,
    ),
)

RULES: Final = _POWER + _STANDS + _STOPPED + _PIPES + _AIR + _HOUSE
