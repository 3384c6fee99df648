"""Why a value that nobody gave was assumed, with fields in braces that are filled in."""

from __future__ import annotations

from typing import Final

ASSUMED: Final[dict[str, str]] = {
    "assumed.usual-fan": "not given: a usual small fan",
    "assumed.usual-pump": "not given: a usual small pump",
    "assumed.all-the-time": "not given: taken as all the time",
    "assumed.closed-duct": "not given: taken as a closed duct",
    "assumed.plastic-tube": "not told: taken as plastic",
    "assumed.usual-coil": "not told: a usual coil",
    "assumed.cool-greenhouse": "not read: taken as in a cool greenhouse",
    "assumed.ends-in-doubt": "told warmer than the outlet, which cannot be: neither is gone by",
    "assumed.off": "not told: taken as off",
    "assumed.none-fitted": "not told: taken as none",
    "assumed.night-target": "no night target was given",
    "assumed.glazing": "the glazing was not given",
    "assumed.glazing-area": "taken from the volume of a small house",
    "assumed.likened": '"{said}" is in no list here: taken as {name}; its moisture',
    "assumed.unsaid": "which it is was not told: taken as {name}; its moisture",
    "assumed.ingredients": "no ingredients were given: share of wood by weight, rest manure",
    "assumed.moisture-of-ingredients": "nobody felt or measured it; taken from the ingredients",
    "assumed.usual-moisture": "nobody felt or measured it; a usual span",
    "assumed.volume": "no size and no amounts were given",
    "assumed.outdoor": "no outdoor temperature was given",
    "assumed.wind": "neither wind nor exposure was given",
    "assumed.goal": "no goal was given: days from now",
    "assumed.core": "no reading of now was given; the newest is {count} days old",
    "assumed.cover": "no cover was named: taken as none",
}
