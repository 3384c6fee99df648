"""Too hot, and fire: from the first warning to keeping clear. The hottest reading at any point counts."""

from __future__ import annotations

from rules import facts as f
from rules import findings as found
from rules.common import DRAW_FITTED
from rules.conditions import Condition
from rules.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.sources import BUGGELN_FIRE, BUGGELN_RYNK, CO_FROM_COMPOST, COMMON_PRACTICE, HEAT_BALANCE, SURREY_FIRE
from rules.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY, FIRE_OVERHEATING

_BURNING = found.fire_danger.is_true()
_NOT_BURNING = found.fire_danger.not_seen()

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="fire.very-hot",
        when=f.hottest_c >= FIRE_LOOK_DAILY,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_LOOK_DAILY}.",
        gives=Finding("very_hot"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.overheating",
        when=f.hottest_c >= FIRE_OVERHEATING,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_OVERHEATING}: on the way to a fire.",
        gives=Finding("overheating"),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.overheating-phase",
        when=f.phase.one_of("overheating"),
        reason="The heap is {phase}.",
        gives=Finding("overheating"),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.danger-by-heat",
        when=f.hottest_c >= FIRE_KEEP_CLEAR,
        reason="The hottest spot reads {hottest_c}, at or above {FIRE_KEEP_CLEAR}. It may catch fire by itself.",
        gives=Finding("fire_danger"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.danger-by-smoke",
        when=f.smoke.is_true(),
        reason="Smoke is seen at the heap.",
        gives=Finding("fire_danger"),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.danger-by-smell",
        when=f.smell.one_of("burnt"),
        reason="It smells {smell}: something inside may smoulder.",
        gives=Finding("fire_danger"),
        source=BUGGELN_FIRE,
        confidence=0.85,
    ),
)

_KEEP_CLEAR: tuple[Rule, ...] = (
    Rule(
        id="fire.keep-clear-too-hot",
        when=_BURNING & (f.hottest_c >= FIRE_KEEP_CLEAR),
        reason="The hottest spot reads {hottest_c}. From {FIRE_KEEP_CLEAR} a heap can burst into flame when air gets "
        "in. Keep clear, do not open it, and call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.keep-clear-smoke",
        when=_BURNING & f.smoke.is_true(),
        reason="You see smoke: the heap may burn inside. Keep clear, do not open it, and call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.95,
    ),
    Rule(
        id="fire.keep-clear-burnt-smell",
        when=_BURNING & f.smell.one_of("burnt"),
        reason="It smells {smell}: the heap may smoulder inside. Keep clear, do not open it, call the fire service.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=BUGGELN_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.keep-clear-hot-and-dry",
        when=_BURNING & f.moisture_feel.one_of("dusty", "dry"),
        reason="The heap is {moisture_feel} as well. Hot and dry catches fire sooner than hot and wet.",
        gives=Act("keep_clear_and_call_fire_service", Urgency.NOW),
        source=BUGGELN_RYNK,
        confidence=0.9,
    ),
)

_TOO_HOT: tuple[Rule, ...] = (
    Rule(
        id="fire.watch-overheating",
        when=found.overheating.is_true() & (f.hottest_c >= FIRE_OVERHEATING) & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}. Read it each morning and evening. At {FIRE_KEEP_CLEAR}, or with "
        "any smoke: keep clear and call the fire service.",
        gives=Act("watch_heat", Urgency.NOW),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.watch-very-hot",
        when=found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}: hotter than the heap's own life can stand. Read it every day. At "
        "{FIRE_OVERHEATING} read it twice a day.",
        gives=Act("watch_heat", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.9,
    ),
    Rule(
        id="fire.watch-hot-and-dry",
        when=found.very_hot.is_true() & f.moisture_feel.one_of("dusty", "dry") & _NOT_BURNING,
        reason="The heap is very hot, and a handful is {moisture_feel}. Hot and dry catches fire sooner than hot and "
        "wet.",
        gives=Act("watch_heat", Urgency.NOW),
        source=BUGGELN_RYNK,
        confidence=0.9,
    ),
    Rule(
        id="fire.vent-the-film",
        when=found.very_hot.is_true() & f.cover.one_of("clear_film") & _NOT_BURNING,
        reason="The heap is very hot and the cover is {cover}. Open the ridge, so that heat and steam get out.",
        gives=Act("open_vent_in_film", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.85,
    ),
    Rule(
        id="fire.lift-the-cover",
        when=found.very_hot.is_true() & f.cover.one_of("tarp", "breathable") & _NOT_BURNING,
        reason="The heap is very hot and the cover is {cover}. Fold it back, so that heat and steam get out.",
        gives=Act("lift_cover", Urgency.TODAY),
        source=SURREY_FIRE,
        confidence=0.75,
    ),
    Rule(
        id="fire.draw-heat-by-water",
        when=found.overheating.is_true()
        & (f.hottest_c >= FIRE_OVERHEATING)
        & f.has_water_loop.is_true()
        & f.no_flow_in_loop.not_seen()
        & f.core_falling.not_seen()
        & _NOT_BURNING,
        reason="The hottest spot reads {hottest_c}. Let the water loop take more heat away. Use water, never air.",
        gives=Act("raise_draw", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="fire.stop-the-fan",
        when=found.overheating.is_true()
        & f.air_drawing.is_true()
        & f.air_path.one_of("through_heap")
        & f.has_water_loop.not_seen()
        & _NOT_BURNING,
        reason="The heap is far too hot, and the fan draws air {air_path}. Fresh air feeds the heat: switch it off.",
        gives=Act("pause_draw", Urgency.NOW),
        source=BUGGELN_FIRE,
        confidence=0.75,
    ),
)


def _avoid(name: str, when: Condition, action: str, reason: str) -> Rule:
    return Rule(id=f"fire.{name}", when=when, reason=reason, gives=Avoid(action), source=SURREY_FIRE, confidence=0.95)


_HOT = found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & _NOT_BURNING
_OVERHEATING = found.overheating.is_true() & (f.hottest_c >= FIRE_OVERHEATING) & _NOT_BURNING
_LETS_AIR_IN = "At {hottest_c} inside, opening the heap lets in air that can set it alight."

_WRONG_WHILE_HOT: tuple[Rule, ...] = (
    _avoid("no-film-on-hot", _HOT, "cover_with_clear_film", "At {hottest_c} the heap must lose heat, not keep it."),
    _avoid("no-wrap-on-hot", _HOT, "insulate", "At {hottest_c} the heap must lose heat, and dry straw can catch fire."),
    _avoid("no-loosening-hot", _OVERHEATING, "loosen_pile", _LETS_AIR_IN),
    _avoid("no-bulking-hot", _OVERHEATING, "add_dry_bulking", _LETS_AIR_IN),
    _avoid(
        "no-brown-matter-hot",
        _OVERHEATING,
        "add_carbon",
        "At {hottest_c} do not dig: it lets in air, and dry stuff feeds a fire.",
    ),
    _avoid("no-topping-up-hot", _OVERHEATING, "top_up", "At {hottest_c} the last thing it needs is more fuel."),
    _avoid("no-enlarging-hot", _OVERHEATING, "enlarge_pile", "At {hottest_c} a bigger heap gets hotter still."),
    _avoid(
        "no-air-draw-hot",
        _OVERHEATING & DRAW_FITTED,
        "draw_air_instead_of_water",
        "At {hottest_c} fresh air feeds the heat. Take heat by water only.",
    ),
)

_COVER_UNKNOWN = f.cover.unknown()

_WRONG_IN_A_FIRE: tuple[Rule, ...] = (
    _avoid("never-open-it", _BURNING, "loosen_pile", "Opening it lets air in, and it may burst into flame."),
    _avoid("never-take-it-apart", _BURNING, "build_new_pile", "Do not pull it apart. Leave that to the fire service."),
    _avoid(
        "never-water-by-hand",
        _BURNING,
        "add_water",
        "Water from a hose runs past the hot heart, and the steam can scald. Leave that to the fire service.",
    ),
    _avoid("never-probe-it", _BURNING, "check_probe", "Do not walk up to it, or onto it, to measure again."),
    _avoid(
        "never-lift-the-cover",
        _BURNING & (f.cover.one_of("tarp", "breathable", "straw") | _COVER_UNKNOWN),
        "lift_cover",
        "Taking the cover off lets air in, and brings you too near.",
    ),
    _avoid(
        "never-cut-the-film",
        _BURNING & f.cover.one_of("clear_film"),
        "open_vent_in_film",
        "It is too late for a vent: the {cover} keeps some air out, and you must not go near.",
    ),
    _avoid("never-draw-more", _BURNING & DRAW_FITTED, "raise_draw", "Do not go near it to draw more heat."),
    _avoid(
        "never-blow-air",
        _BURNING & DRAW_FITTED,
        "draw_air_instead_of_water",
        "Air blown or drawn through it fans the fire.",
    ),
    _avoid(
        "never-restart-the-fan",
        _BURNING & (f.has_air_duct.is_true() | f.fan_stopped.is_true()),
        "check_fan",
        "Leave the fan off. Air fans the fire.",
    ),
)

_CAUTIONS: tuple[Rule, ...] = (
    Rule(
        id="fire.smoke-into-the-house",
        when=_BURNING & f.has_air_duct.is_true(),
        reason="Smoke and carbon monoxide can come through the duct. Stay out of the house that it leads to.",
        gives=Caution(("keep_clear_and_call_fire_service",), Gravity.LIFE),
        source=CO_FROM_COMPOST,
    ),
    Rule(
        id="fire.straw-is-tinder",
        when=found.very_hot.is_true() & f.cover.one_of("straw") & _NOT_BURNING,
        reason="Dry {cover} over a very hot heap is tinder. Rake it off the hottest spot; no flames or sparks near it.",
        gives=Caution(("watch_heat",), Gravity.LIFE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="fire.wet-it-evenly",
        when=found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & _NOT_BURNING,
        reason="At {hottest_c} wet it all over and slowly, from outside, and stand back from the steam. A wet patch in "
        "a dry, hot heap can heat it more.",
        gives=Caution(("add_water",), Gravity.LIFE),
        source=BUGGELN_FIRE,
    ),
    Rule(
        id="fire.steam-or-smoke",
        when=f.steam.is_true() & _NOT_BURNING,
        reason="Steam is white, smells of earth and is soon gone. Smoke hangs about and smells burnt. If in doubt, "
        "keep clear and call the fire service.",
        gives=Caution(("keep_going", "wait", "watch_heat", "open_vent_in_film"), Gravity.LIFE),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _KEEP_CLEAR + _TOO_HOT + _WRONG_WHILE_HOT + _WRONG_IN_A_FIRE + _CAUTIONS
