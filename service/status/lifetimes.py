"""How long what was read of a pile stays true: the table by which a log becomes one status.

A value is `fresh` up to one age and `stale` up to another; then it has lapsed and counts as not looked at. Work ends
the values it changes. All spans are our own, from how fast each thing can change; see each entry's reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

FOREVER: Final = float("inf")
HOUR: Final = 1 / 24


@dataclass(frozen=True, slots=True)
class Lifetime:
    """Ages in days up to which a value is fresh, and up to which it counts at all; and why."""

    fresh: float
    lapses: float
    why: str


_BUILT: Final = Lifetime(FOREVER, FOREVER, "it stays so until somebody says otherwise")
_AIR: Final = Lifetime(3 * HOUR, 1.0, "the air outside follows the hour and the weather")
_FLOWING: Final = Lifetime(12 * HOUR, 3.0, "the temperature of what is drawn follows the core and the flow")
_SET: Final = Lifetime(30.0, 180.0, "a setting stays until it is changed, but is forgotten")
_TONIGHT: Final = Lifetime(12 * HOUR, 18 * HOUR, "it speaks of one night or day")

LIFETIMES: Final[dict[str, Lifetime]] = {
    "/temperatures/core": Lifetime(6 * HOUR, 0.5, "after half a day it is history, and the heap may have moved"),
    "/temperatures/outer": Lifetime(6 * HOUR, 1.0, "the skin follows the weather within a day"),
    "/temperatures/points": Lifetime(6 * HOUR, 0.5, "they belong to the core reading of their day"),
    "/temperatures/outdoor": _AIR,
    "/weather/wind_speed": _AIR,
    "/weather/rain": _AIR,
    "/weather/low": _TONIGHT,
    "/weather/sun": _TONIGHT,
    "/weather/forecast": Lifetime(1.0, 4.0, "forecasts change within days"),
    "/moisture_feel": Lifetime(5.0, 14.0, "a warm heap dries by up to a few percent in a week"),
    "/pile/moisture": Lifetime(5.0, 14.0, "a warm heap dries by up to a few percent in a week"),
    "/smell": Lifetime(2.0, 7.0, "smells follow air and water within days"),
    "/signs": Lifetime(2.0, 7.0, "what is seen changes within days; smoke counts until somebody has looked again"),
    "/not_seen": Lifetime(2.0, 7.0, "what is seen changes within days"),
    "/help_called": Lifetime(3 * HOUR, 1.0, "help that was called has come by then"),
    "/pile/size": Lifetime(30.0, 365.0, "a heap settles over months"),
    "/pile/cover": _SET,
    "/draw": _SET,
    "/draw/air/inlet": _FLOWING,
    "/draw/air/outlet": _FLOWING,
    "/draw/water/inlet": _FLOWING,
    "/draw/water/outlet": _FLOWING,
    "/on_hand": Lifetime(14.0, 90.0, "stocks are used up"),
    "/probe/checked": Lifetime(180.0, 365.0, "a probe drifts over a year"),
    "/pile": _BUILT,
    "/probe": _BUILT,
    "/greenhouse": _BUILT,
    "/equipment": _BUILT,
    "/emergency_number": _BUILT,
    "/people": Lifetime(0.5, 2.0, "who felt unwell yesterday is well or in care"),
    "/learned": Lifetime(14.0, 60.0, "what a heap was found to do holds for weeks, and each answer learns anew"),
    "/season": Lifetime(60.0, 180.0, "the heating season ends"),
    "/goal": _BUILT,
}
"""By field, or by the part it belongs to: the longest pointer that fits counts."""

TOGETHER: Final[tuple[tuple[str, ...], ...]] = (
    ("/moisture_feel", "/moisture_feel_at"),
    ("/pile/age", "/pile/built_on"),
    ("/draw/air/inlet", "/draw/air/outlet"),
    ("/draw/water/inlet", "/draw/water/outlet"),
)
"""Fields that say something only together: a newer reading of one puts the older others out of use."""

_DRAWING: Final = tuple(
    f"/draw/{kind}/{field}"
    for kind in ("air", "water")
    for field in ("flow", "minutes_per_hour", "hours_per_day", "inlet", "outlet", "since")
)
_WETNESS: Final = ("/moisture_feel", "/moisture_feel_at", "/pile/moisture")
_INSIDE: Final = ("/smell", "/signs", "/not_seen", "/temperatures/points", "/temperatures/outer")

ENDED_BY: Final[dict[str, tuple[str, ...]]] = {
    "add_water": _WETNESS,
    "stop_adding_water": (),
    "add_dry_bulking": (*_WETNESS, *_INSIDE, "/pile/size"),
    "add_carbon": ("/smell", "/pile/size"),
    "top_up": ("/pile/size", *_INSIDE),
    "enlarge_pile": ("/pile/size", *_INSIDE),
    "loosen_pile": ("/pile/size", *_INSIDE),
    "reduce_draw": _DRAWING,
    "pause_draw": _DRAWING,
    "raise_draw": _DRAWING,
    "draw_air_instead_of_water": _DRAWING,
    "lift_cover": ("/pile/cover",),
    "insulate": ("/pile/cover",),
    "keep_rain_off": ("/pile/cover",),
    "cover_with_clear_film": ("/pile/cover",),
    "remove_snow": ("/signs", "/not_seen"),
    "check_loop": ("/signs", "/not_seen"),
    "check_probe": ("/probe/checked",),
}
"""Fields that an action changes: what was read of them before it was done no longer counts."""

MADE_BY: Final[dict[str, dict[str, object]]] = {
    "cover_with_clear_film": {"/pile/cover": "clear_film"},
    "check_probe": {"/probe/checked": True},
}
"""Fields that are known from an action alone."""


def lifetime_of(field: str) -> Lifetime:
    """The lifetime of a field, by its JSON pointer."""
    while field and field not in LIFETIMES:
        field = field.rpartition("/")[0]
    return LIFETIMES.get(field, _BUILT)
