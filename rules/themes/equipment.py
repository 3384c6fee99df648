"""Loop, pump, fan and duct: what stands still, what may freeze, what the heap has moved away from."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import DRAW_NOT_STOOD, DRAWN_BEYOND_SEASON, FAN_MAY_RUN_AGAIN, FROST_MAY_COME
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE, MOIST_AIR, PLASTIC_PIPE
from rules.tables.thresholds import FIRE_OVERHEATING

PIPE_FROST = Threshold("PIPE_FROST", -5.0, "degC", "bare pipes outdoors freeze overnight", COMMON_PRACTICE)
FROST_AHEAD = Threshold("FROST_AHEAD", 0.0, "degC", "frost in the forecast", COMMON_PRACTICE)
STANDS_THE_NIGHT = Threshold("STANDS_THE_NIGHT", 0.5, "days", "longer stops reach into the night", COMMON_PRACTICE)
LONG_STOPS = Threshold("LONG_STOPS", 15.0, "min/h", "water stands still for most of the hour", COMMON_PRACTICE)
PIPE_SOFTENS = Threshold("PIPE_SOFTENS", 60.0, "degC", "plain plastic pipe loses strength", PLASTIC_PIPE)
JUST_STARTED = Threshold("JUST_STARTED", 1.0, "days", "the outlet has not settled", HEAT_BALANCE)

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="equipment.still-loop-in-frost",
        when=f.has_water_loop.is_true()
        & f.freezing.is_true()
        & (f.water_drawing.is_false() | f.water_drawing.unknown() | f.no_flow_in_loop.is_true()),
        reason="It freezes, and the water in the loop stands still as far as was told.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="equipment.still-loop-and-frost-near",
        when=f.has_water_loop.is_true()
        & (f.water_drawing.is_false() | f.water_drawing.unknown() | f.no_flow_in_loop.is_true())
        & (f.near_low_c < FROST_AHEAD),
        reason="The air may fall to {near_low_c} within two days, and the water in the loop stands still as far as was "
        "told.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="equipment.long-stops-in-hard-frost",
        when=f.has_water_loop.is_true() & (f.near_low_c <= PIPE_FROST) & (f.water_minutes_per_hour <= LONG_STOPS),
        reason="The air may fall to {near_low_c} within two days, and the pump runs only {water_minutes_per_hour}. "
        "Pipes outside the heap can freeze while it rests.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="equipment.to-rest-in-hard-frost",
        when=f.has_water_loop.is_true()
        & f.water_drawing.is_true()
        & (f.near_low_c <= PIPE_FROST)
        & f.plan_says.one_of("less", "off"),
        reason="The air may fall to {near_low_c} within two days, and this heap cannot keep the pump running all the "
        "time. Pipes outside it can freeze while the pump rests.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="equipment.still-for-hours-in-hard-frost",
        when=f.has_water_loop.is_true() & (f.near_low_c <= PIPE_FROST) & (f.water_still_days > STANDS_THE_NIGHT),
        reason="The air may fall to {near_low_c} within two days, and the pump stands for {water_still_days} of each "
        "day. Pipes outside the heap can freeze in that time.",
        gives=Finding("loop_frost_danger"),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
)

GUARD_LASTS = Threshold("GUARD_LASTS", 14.0, "days", "a guarded loop is looked at again", COMMON_PRACTICE)
_NOT_GUARDED = f.days_since_loop_guard.unknown() | (f.days_since_loop_guard >= GUARD_LASTS)

_LOOP: tuple[Rule, ...] = (
    Rule(
        id="equipment.guard-while-it-settles",
        when=f.has_water_loop.is_true()
        & f.water_drawing.is_true()
        & (f.near_low_c <= PIPE_FROST)
        & found.asked_beyond_season.is_true()
        & found.settling_open.is_true()
        & _NOT_GUARDED,
        reason="The air may fall to {near_low_c} within two days, and the pump is to run less until the heap has "
        "climbed back. Pipes outside it can freeze while the pump rests.",
        gives=Act("protect_loop_from_frost", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="equipment.guard-the-loop",
        when=found.loop_frost_danger.is_true() & _NOT_GUARDED,
        reason="The loop may freeze where it leaves the heap. A burst pipe floods the heap and chills it.",
        gives=Act("protect_loop_from_frost", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="equipment.frost-ahead",
        when=f.has_water_loop.is_true()
        & (f.water_drawing.is_false() | f.water_drawing.unknown())
        & (f.forecast_low_c < FROST_AHEAD)
        & _NOT_GUARDED,
        reason="The forecast says {forecast_low_c}, and the loop stands still as far as was told. Guard it before the "
        "frost comes.",
        gives=Act("protect_loop_from_frost", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="equipment.guard-the-loop-in-winter",
        when=f.has_water_loop.is_true()
        & f.frost_may_come.is_true()
        & (f.water_drawing.is_false() | f.water_drawing.unknown() | f.no_flow_in_loop.is_true())
        & _NOT_GUARDED,
        reason="Nobody told how cold the nights get. In the heating months a loop that stands still can freeze in one "
        "night and burst: guard it, or drain it.",
        gives=Act("protect_loop_from_frost", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="equipment.no-flow-in-frost",
        when=f.no_flow_in_loop.is_true() & f.freezing.is_true(),
        reason="No water flows in the loop, and it freezes: look for ice in the pipes outside. Thaw them gently, and "
        "never with a flame.",
        gives=Act("check_loop", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="equipment.loop-may-leak",
        when=f.no_flow_in_loop.is_true() & (found.too_wet.is_true() | found.waterlogged.is_true()),
        reason="No water flows in the loop, and the heap is too wet: the loop may leak into it. Shut its valve, and "
        "see from tank or gauge whether water is missing.",
        gives=Act("check_loop", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.9,
    ),
    Rule(
        id="equipment.no-flow",
        when=f.no_flow_in_loop.is_true() & f.freezing.not_seen(),
        reason="No water flows in the loop: look for trapped air, a shut valve, a kink or a pump that has stopped.",
        gives=Act("check_loop", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="equipment.settled-off-the-loop",
        when=f.slumping.is_true() & f.has_water_loop.is_true(),
        reason="The heap has sunk. The loop may now lie bare, in a gap, or too near the skin to pick up heat.",
        gives=Act("check_loop", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
)

_AIR: tuple[Rule, ...] = (
    Rule(
        id="equipment.fan-and-pump-stand",
        when=f.fan_stopped.is_true() & f.no_flow_in_loop.is_true() & FAN_MAY_RUN_AGAIN,
        reason="Fan and pump both stand still: look first at the switch, the fuse and the supply that they share.",
        gives=Act("check_fan", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.95,
    ),
    Rule(
        id="equipment.fan-stopped",
        when=f.fan_stopped.is_true() & FAN_MAY_RUN_AGAIN,
        reason="The fan stands still, so the duct carries no heat.",
        gives=Act("check_fan", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.85,
    ),
    Rule(
        id="equipment.water-in-duct",
        when=f.water_in_duct.is_true(),
        reason="Water stands in the duct. It blocks the air and can freeze.",
        gives=Act("drain_duct", Urgency.TODAY),
        source=MOIST_AIR,
        confidence=0.85,
    ),
    Rule(
        id="equipment.drain-before-more",
        when=f.water_in_duct.is_true() & f.has_water_loop.not_seen(),
        reason="Water stands in the duct and blocks the air. Drain it first, then see what the fan brings.",
        gives=Avoid("raise_draw"),
        source=MOIST_AIR,
        confidence=0.7,
    ),
    Rule(
        id="equipment.drain-before-more-by-the-fan",
        when=f.water_in_duct.is_true() & f.water_drawing.is_false(),
        reason="Water stands in the duct and blocks the air, and the loop draws nothing. Drain it first, then see what "
        "the fan brings.",
        gives=Avoid("raise_draw"),
        source=MOIST_AIR,
        confidence=0.7,
    ),
    Rule(
        id="equipment.water-in-closed-duct",
        when=f.water_in_duct.is_true() & f.air_path.one_of("closed_duct"),
        reason="Water stands in a {air_path}, which should stay dry. Look for a split seam: heap gas can get in there.",
        gives=Act("drain_duct", Urgency.TODAY),
        source=MOIST_AIR,
        confidence=0.7,
    ),
    Rule(
        id="equipment.moist-air-drips",
        when=f.air_drawing.is_true() & f.air_path.one_of("through_heap") & FROST_MAY_COME,
        reason="Air drawn {air_path} is full of water, and in frost it drips and freezes in the duct. Slope the duct "
        "down to a drain.",
        gives=Caution(("keep_going", "raise_draw", "reduce_draw", "drain_duct", "check_fan")),
        source=MOIST_AIR,
    ),
)

_CAUTIONS: tuple[Rule, ...] = (
    Rule(
        id="equipment.pump-stops-in-frost",
        when=f.has_water_loop.is_true() & f.frost_may_come.is_true() & f.water_drawing.is_true(),
        reason="Nobody told how cold the nights get. If the pump stops in frost, a pipe outside the heap can freeze "
        "and burst: wrap the pipes, and drain them when it stops.",
        gives=Caution(("*",), Gravity.INJURY),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="equipment.pump-rests-in-frost",
        when=f.has_water_loop.is_true()
        & f.freezing.is_true()
        & f.water_drawing.is_true()
        & found.loop_frost_danger.not_seen(),
        reason="It freezes: a pipe outside the heap can freeze and burst while the pump rests or fails. Wrap the "
        "pipes, and drain them when it stops.",
        gives=Caution(("*",), Gravity.INJURY),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="equipment.outlet-settles",
        when=f.water_drawing.is_true() & (f.days_drawing <= JUST_STARTED),
        reason="You have drawn for only {days_drawing}. The outlet starts hot and drops within hours as the layer "
        "round the pipe cools. That is normal: do not judge the draw yet.",
        gives=Caution(("keep_going", "wait", "raise_draw", "reduce_draw"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="equipment.warm-outlet-drains",
        when=f.water_drawing.is_true()
        & f.water_outlet_c.known()
        & (f.draw_over_season >= DRAWN_BEYOND_SEASON)
        & (f.plan_says.unknown() | f.plan_says.one_of("less", "off"))
        & DRAW_NOT_STOOD,
        reason="The outlet reads {water_outlet_c}. It is normal that it starts hotter and then holds for hours. "
        "But that is heat out of store, more than the heap can keep up: at this rate it drains.",
        gives=Caution(("keep_going", "wait", "raise_draw", "reduce_draw", "pause_draw"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="equipment.copper-draws-hard",
        when=f.water_tube.one_of("copper") & f.water_drawing.is_true(),
        reason="A {water_tube} tube takes heat much faster than a plastic one. Change its minutes in small steps.",
        gives=Caution(("raise_draw", "reduce_draw")),
        source=HEAT_BALANCE,
    ),
    Rule(
        id="equipment.plastic-softens",
        when=f.water_tube.one_of("plastic") & (f.hottest_c >= PIPE_SOFTENS),
        reason="The hottest spot reads {hottest_c}, and a plain {water_tube} tube gets soft when hot. Keep the "
        "pressure low and look for leaks.",
        gives=Caution(("keep_going", "raise_draw", "reduce_draw", "check_loop", "watch_heat")),
        source=PLASTIC_PIPE,
    ),
    Rule(
        id="equipment.no-fan-when-too-hot",
        when=f.fan_stopped.is_true() & (f.hottest_c >= FIRE_OVERHEATING),
        reason="The hottest spot reads {hottest_c}. Find the fault, but leave the fan off: fresh air feeds the heat.",
        gives=Caution(("check_fan",), Gravity.LIFE, brief="Leave the fan off: fresh air feeds the heat.", soon=True),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _LOOP + _AIR + _CAUTIONS
