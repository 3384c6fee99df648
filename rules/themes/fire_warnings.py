"""What must not be done to a heap that is too hot, or that may burn."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import DRAW_FITTED
from rules.language.conditions import Condition
from rules.language.model import Avoid, Rule
from rules.language.sources import SURREY_FIRE
from rules.tables.thresholds import FIRE_LOOK_DAILY, FIRE_OVERHEATING, FIRE_WATCH_RISING

_BURNING = found.fire_danger.is_true()
_NOT_BURNING = found.fire_danger.not_seen()


def _avoid(name: str, when: Condition, action: str, reason: str) -> Rule:
    return Rule(id=f"fire.{name}", when=when, reason=reason, gives=Avoid(action), source=SURREY_FIRE, confidence=0.95)


_HOT = found.very_hot.is_true() & (f.hottest_c >= FIRE_LOOK_DAILY) & _NOT_BURNING
_OVERHEATING = found.overheating.is_true() & (f.hottest_c >= FIRE_OVERHEATING) & _NOT_BURNING
_MAY_BURN = (_HOT | found.towards_fire.is_true()) & _NOT_BURNING & f.hottest_c.known()
"""From here the heap is watched for fire: nothing that opens it."""
_MAY_NOT_WARM = _MAY_BURN | ((f.hottest_c >= FIRE_WATCH_RISING) & f.core_falling.not_seen() & _NOT_BURNING)
"""Nothing that keeps heat in, unless the heap cools by itself."""
_LOSES_HEAT = "At {hottest_c} the heap must lose heat, not keep it."
_LETS_AIR_IN = "At {hottest_c} inside, opening the heap lets in air that can set it alight."

_WRONG_WHILE_HOT: tuple[Rule, ...] = (
    _avoid("no-film-on-hot", _MAY_NOT_WARM, "cover_with_clear_film", _LOSES_HEAT),
    _avoid("no-wrap-on-hot", _MAY_NOT_WARM, "insulate", f"{_LOSES_HEAT} Dry straw can catch fire."),
    _avoid("no-loosening-hot", _MAY_BURN, "loosen_pile", _LETS_AIR_IN),
    _avoid("no-bulking-hot", _MAY_BURN, "add_dry_bulking", _LETS_AIR_IN),
    _avoid(
        "no-brown-matter-hot",
        _MAY_BURN,
        "add_carbon",
        "At {hottest_c} do not dig: it lets in air, and dry stuff feeds a fire.",
    ),
    _avoid("no-topping-up-hot", _OVERHEATING, "top_up", "At {hottest_c} the last thing it needs is more fuel."),
    _avoid("no-enlarging-hot", _OVERHEATING, "enlarge_pile", "At {hottest_c} a bigger heap gets hotter still."),
    _avoid(
        "no-holes-hot",
        _OVERHEATING,
        "add_water",
        "At {hottest_c} holes let air in, and a wet patch in a dry, hot heap can heat it more.",
    ),
    _avoid("no-probing-hot", _OVERHEATING, "check_probe", "At {hottest_c} do not walk up to the heap to probe it."),
    _avoid(
        "no-air-draw-hot",
        _OVERHEATING & DRAW_FITTED,
        "draw_air_instead_of_water",
        "At {hottest_c} fresh air feeds the heat. Take heat by water only.",
    ),
)

_HOT_LATELY = (f.hottest_lately_c >= FIRE_OVERHEATING) & (f.hottest_c < FIRE_OVERHEATING) & _NOT_BURNING
_OPENS_OR_NEARS: Final = (
    "loosen_pile",
    "add_dry_bulking",
    "add_carbon",
    "add_water",
    "top_up",
    "enlarge_pile",
    "check_probe",
    "insulate",
    "cover_with_clear_film",
)
_WRONG_WHEN_HOT_LATELY: Final = tuple(
    _avoid(
        f"hot-lately-no-{action.replace('_', '-')}",
        _HOT_LATELY,
        action,
        "It read {hottest_lately_c} within the last days: do not open it, pour into it, wrap it or walk up to it.",
    )
    for action in _OPENS_OR_NEARS
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

RULES: tuple[Rule, ...] = _WRONG_WHILE_HOT + _WRONG_WHEN_HOT_LATELY + _WRONG_IN_A_FIRE
