"""How long what was read of a pile stays true: the table by which a log becomes one status.

A value is `fresh` up to one age and `stale` up to another; then it has lapsed and counts as not looked at. Work ends
the values it changes.
"""

from __future__ import annotations

from typing import Final

from rules.tables.fields import FIELDS
from rules.tables.lifetimes import BUILT, PARTS, Lifetime

LIFETIMES: Final[dict[str, Lifetime]] = {
    **PARTS,
    **{at: record.lasts for at, record in FIELDS.items() if record.lasts is not None},
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
    return LIFETIMES.get(field, BUILT)
