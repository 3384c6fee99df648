"""Which known facts are not the last word, because they rest on something that nobody told.

A number worked out with an assumed size, the phase without a trend, the coldest air ahead without a forecast: a rule
that fails on one of these has not been shown to fail.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Final

from rules.engine.verdict import Open
from rules.language.conditions import Facts, Value
from rules.language.facts import DECLARED
from rules.tables.thresholds import (
    COLD_BELOW,
    FIRE_OVERHEATING,
    HOLDING_FROM,
    HOT_FROM,
    LITTLE_LEFT_BELOW,
    YOUNG_COOL_BELOW,
)
from service.facts.fields import is_given
from service.facts.phase import heat_phase
from service.facts.record import Derived
from service.status.models import Size, Status

_MAKES_DO: Final[dict[str, tuple[str, ...]]] = {
    "forecast_low_c": ("/weather/low", "/weather/forecast"),
    "near_low_c": ("/weather/low", "/weather/forecast"),
    "cold_snap_k": ("/weather/low",),
    "freezing": ("/weather/low", "/temperatures/outdoor"),
    "house_needs_w": ("/weather/low",),
    "pile_share_percent": ("/weather/low",),
    "outlet_below_inlet": ("/draw/air", "/draw/water"),
    "air_drawing": ("/draw/air/flow",),
    "fan_is_set": ("/draw/air/flow",),
    "water_drawing": ("/draw/water/flow",),
    "drawing": ("/draw/air/flow", "/draw/water/flow"),
    "air_minutes_per_hour": ("/draw/air/flow",),
    "water_minutes_per_hour": ("/draw/water/flow",),
    "draw_assumed": ("/draw/air", "/draw/water"),
    "plan_says": ("/season", "/smell", "/signs"),
}
"""Facts that make do with some of these fields where the others are not given."""
_ONLY_HIGHER: Final[dict[str, tuple[str, ...]]] = {
    "days_drawing": ("/draw/air", "/draw/water"),
    "outlet_above_core_k": ("/draw/air", "/draw/water"),
}
"""The larger of what air and water say: the other one can only raise it. A core that was not read now can lower it."""
_OF_THE_CORE_NOW: Final = frozenset(
    name
    for name, fact in DECLARED.items()
    if "/temperatures/core" in fact.fields and not fact.estimated and name not in ("phase", "has_history")
)
_TOGETHER: Final[dict[str, tuple[str, ...]]] = {
    "days_drawing": ("since",),
    "outlet_above_core_k": ("outlet",),
    "outlet_below_inlet": ("inlet", "outlet"),
}
"""What of each way of drawing those facts follow from."""
_FITTED_BY: Final = {"/draw/air": "has_air_duct", "/draw/water": "has_water_loop"}
_DRAWN_BY: Final = {"/draw/air": "air_drawing", "/draw/water": "water_drawing"}
_BANDS: Final = (COLD_BELOW, HOLDING_FROM, YOUNG_COOL_BELOW, HOT_FROM, FIRE_OVERHEATING)
_TRENDS: Final[tuple[dict[str, Value], ...]] = (
    {"core_rising": True, "core_falling": False},
    {"core_rising": False, "core_falling": True},
    {"core_rising": False, "core_falling": False},
)
_PROBE: Final = ("/probe/length", "/temperatures/points")


def open_facts(status: Status, derived: Derived) -> dict[str, Open]:
    """Facts that rest on fields nobody gave, with those fields."""
    missing = [assumption.pointer for assumption in derived.assumed]
    missing.extend(_draws_left_out(status, derived.facts))
    if status.pile.size is None:
        missing.append("/pile/size")
    if not _core_is_of_now(status):
        missing.append("/temperatures/core")
    found: dict[str, Open] = {}
    for name in derived.facts:
        fields = tuple(dict.fromkeys([*_rests_on(name, missing, status), *_left_out(name, status, derived.facts)]))
        if fields:
            raised_only = name in _ONLY_HIGHER and all(field.startswith("/draw/") for field in fields)
            found[name] = Open(fields, only_higher=raised_only)
    if derived.facts.get("probe_too_short") is True and _core_is_of_now(status):
        for name in ("core_c", "hottest_c"):
            found[name] = Open(_PROBE, only_higher=True)
    if any(derived.facts.get(way) is True and way not in found for way in ("air_drawing", "water_drawing")):
        found.pop("drawing", None)  # one way that surely draws is enough
    phase = _phase(status, derived.facts, left=found.get("degradable_left_percent"))
    if phase is not None:
        found["phase"] = phase
    return found


def _draws_left_out(status: Status, facts: Facts) -> Iterator[str]:
    """Ways of drawing, or their flows, that nobody told: the heat account makes do as if nothing were drawn there."""
    for pointer, drawing in _DRAWN_BY.items():
        if is_given(status, pointer):
            if not is_given(status, f"{pointer}/flow") and facts.get(drawing) is not False:
                yield f"{pointer}/flow"
        elif facts.get(_FITTED_BY[pointer]) is not False:
            yield pointer


def _core_is_of_now(status: Status) -> bool:
    """Whether the core was read now; else the newest of the history stands in."""
    return status.temperatures.core is not None or bool(status.temperatures.points)


def _rests_on(name: str, missing: Sequence[str], status: Status) -> Iterator[str]:
    """Those of the missing fields that the fact's value stands on an assumption for."""
    if name in _OF_THE_CORE_NOW:
        missing = [pointer for pointer in missing if pointer == "/temperatures/core"]
    elif not DECLARED[name].estimated or _measured(name, status):
        return
    every = DECLARED[name].fields
    for pointer in missing:
        if any(pointer == field or pointer.startswith(field + "/") for field in every):
            yield pointer


def _measured(name: str, status: Status) -> bool:
    """Whether the size itself was reported, and not worked out from the other one and a density."""
    size = status.pile.size
    if size is None:
        return False
    if name == "mass_kg":
        return size.mass is not None
    return name == "volume_m3" and any(
        getattr(size, field) is not None for field in Size.model_fields if field != "mass"
    )


def _left_out(name: str, status: Status, facts: Facts) -> Iterator[str]:
    """Fields the fact makes do without; a way of drawing that is not fitted, or not described, is not one."""
    for pointer in (*_MAKES_DO.get(name, ()), *_ONLY_HIGHER.get(name, ())):
        if is_given(status, pointer):
            if name in _TOGETHER:
                yield from (
                    f"{pointer}/{field}" for field in _TOGETHER[name] if not is_given(status, f"{pointer}/{field}")
                )
        elif pointer in _FITTED_BY:
            if facts.get(_FITTED_BY[pointer]) is not False:
                yield pointer
        elif not pointer.startswith("/draw/") or is_given(status, pointer.rpartition("/")[0]):
            yield pointer


def _phase(status: Status, facts: Facts, left: Open | None) -> Open | None:
    """The phases it could still turn out to be, by every way of filling in what is not known."""
    ways: list[tuple[tuple[str, ...], list[dict[str, Value]]]] = []
    if "core_falling" not in facts or not _core_is_of_now(status):
        ways.append((("/history",), list(_TRENDS)))
    if "smoke" not in facts:
        ways.append((("/signs",), [{}, {"smoke": True}]))
    if "smell" not in facts:
        ways.append((("/smell",), [{}, {"smell": "burnt"}]))
    if left is not None:
        shares: list[dict[str, Value]] = [{"degradable_left_percent": LITTLE_LEFT_BELOW.value + d} for d in (-1.0, 1.0)]
        ways.append((left.fields, shares))
    if facts.get("probe_too_short") is True or not _core_is_of_now(status):
        core_c = float(facts["core_c"])
        cores = [core_c, *(band.value for band in _BANDS if band.value > core_c)]
        if not _core_is_of_now(status):
            cores = [0.0, *(band.value for band in _BANDS)]
        pointers = _PROBE if _core_is_of_now(status) else ("/temperatures/core",)
        ways.append((pointers, [{"core_c": core, "hottest_c": core} for core in cores]))
    could_be = {
        heat_phase({**facts, **{name: value for part in filled for name, value in part.items()}})
        for filled in itertools.product(*(choices for _, choices in ways))
    }
    if could_be == {facts["phase"]}:
        return None
    matters = [pointer for fields, choices in ways for pointer in fields if _matters(facts, choices)]
    return Open(tuple(dict.fromkeys(matters)), frozenset(could_be))


def _matters(facts: Facts, choices: list[dict[str, Value]]) -> bool:
    return len({heat_phase({**facts, **choice}) for choice in choices}) > 1
