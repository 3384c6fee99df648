"""Which fields of a status each fact comes from, so that "cannot be told" can say what to give.

`tells` are the fields that make a fact known. `sways` are the others that its value follows from. Pointers name the
whole list where a fact comes from a list (`/history`, `/signs`).
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from rules.language import facts
from service.facts.signs import ON_HAND_ASKED, SIGNS
from service.facts.work import WORK_FACTS
from service.status.models import Status

UNEXPLAINED: Final = ("heat_vanished_w", "heat_vanished_over_made", "heat_beyond_w", "heat_beyond_over_made")
"""What a log and a draw told leave open in the heat account."""


class Fields(NamedTuple):
    """JSON pointers into the status."""

    tells: tuple[str, ...]
    sways: tuple[str, ...] = ()

    @property
    def every(self) -> tuple[str, ...]:
        """All of them."""
        return self.tells + self.sways


_AGE: Final = ("/pile/age", "/pile/built_on")
_SIZE: Final = ("/pile/size", "/pile/ingredients")
_CORE: Final = ("/temperatures/core", "/temperatures/points", "/history")
_DEPTH: Final = ("/probe/length", *_SIZE)
_FAILING_SWAYS: Final = ("/temperatures/outdoor", "/done")
"""The air outside and the work done tell whether a falling log is the heap's or the probe's."""
_CORE_SWAYS: Final = (*_CORE[1:], *_DEPTH, *_FAILING_SWAYS)
_AIR_ON: Final = ("/draw/air/minutes_per_hour", "/draw/air/flow", "/draw/air/hours_per_day")
_WATER_ON: Final = ("/draw/water/minutes_per_hour", "/draw/water/flow", "/draw/water/hours_per_day")
_AIR_SINCE: Final = ("/draw/air/since", "/signs")
_WATER_SINCE: Final = ("/draw/water/since", "/signs")
"""A draw that goes on since a day is one that runs."""
_FITTED: Final = ("/equipment", "/draw/air", "/draw/water")
_HOUSE: Final = ("/greenhouse/volume", "/weather/low", "/temperatures/outdoor")
_HOUSE_SWAYS: Final = (
    "/greenhouse/glazing",
    "/greenhouse/glazing_area",
    "/greenhouse/night_target",
    "/season",
)
_WATER_INSIDE: Final = ("/pile/moisture", "/moisture_feel", "/moisture_feel_at", "/signs")
_HEAP: Final = (
    *_SIZE,
    *_WATER_INSIDE,
    *_AGE,
    *_CORE,
    "/temperatures/outer",
    "/temperatures/outdoor",
    "/probe/length",
    "/pile/cover",
    "/pile/wind",
    "/weather",
    "/equipment",
    "/draw",
    "/read_at",
    "/done",
    "/learned",
)
"""Everything the heat account of a heap follows from."""
_GOAL: Final = ("/goal/until", "/goal/keep_core_above")
_DRAWN: Final = (*_AIR_ON, *_WATER_ON)
_DRAWN_SWAYS: Final = (*_HEAP, "/draw/air", "/draw/water")


def _core(*more: str) -> Fields:
    return Fields(("/temperatures/core", *more), _CORE_SWAYS)


def _direct(pointer: str) -> Fields:
    return Fields((pointer,))


REPEATED: Final = {fact.name: fact.field for fact in facts.DECLARED.values() if fact.field}
"""Facts that are a field as it was told, with its pointer."""
FIELDS: Final[dict[str, Fields]] = {
    **{name: _direct(pointer) for name, pointer in REPEATED.items()},
    # age and plan
    "age_days": Fields(_AGE),
    "goal_days": _direct("/goal/until"),
    # temperatures
    "core_c": _core(),
    "hottest_c": Fields(("/temperatures/core",), (*_CORE_SWAYS, "/temperatures/outer")),
    "core_above_outdoor_k": _core("/temperatures/outdoor"),
    "core_above_outer_k": _core("/temperatures/outer"),
    "points_spread_k": _direct("/temperatures/points"),
    **{
        name: Fields(("/history",), ("/temperatures/core", *_CORE_SWAYS))
        for name in (
            "core_trend_k_per_day",
            "core_trend_error_k_per_day",
            "core_rising",
            "core_falling",
            "core_steady",
            "core_jump_k",
            "peak_core_c",
            "hottest_lately_c",
            "days_since_peak",
        )
    },
    "has_history": Fields(("/history",), ("/temperatures/core", *_FAILING_SWAYS)),
    "phase": Fields(("/temperatures/core", "/history"), (*_HEAP, "/smell")),
    # probe and other doubts
    "probe_fault": Fields(("/history",), ("/temperatures/core", *_FAILING_SWAYS)),
    "probe_silent_days": Fields(("/history",), ("/temperatures/core",)),
    "core_read_days_ago": Fields(("/history",), ("/temperatures/core", *_CORE_SWAYS)),
    "probe_too_short": Fields(("/probe/length", "/pile/size"), ("/pile/ingredients", *_CORE)),
    "outlet_above_core_k": Fields(("/draw/air/outlet", "/draw/water/outlet"), ("/temperatures/core", *_CORE_SWAYS)),
    "outlet_below_inlet": Fields(("/draw/air/inlet", "/draw/air/outlet", "/draw/water/inlet", "/draw/water/outlet")),
    "size_disagrees": Fields(_SIZE),
    "bulk_density_kg_m3": _direct("/pile/size"),
    "core_below_outdoor": _core("/temperatures/outdoor"),
    # size and make-up
    "mass_kg": Fields(_SIZE),
    "volume_m3": Fields(_SIZE),
    **{
        name: _direct("/pile/ingredients")
        for name in (
            "wood_share_percent",
            "fine_share_percent",
            "has_ash",
            "has_manure",
            "has_poultry_manure",
            "has_food_scraps",
            "has_rich_nitrogen",
        )
    },
    **{name: Fields(("/pile/ingredients",), _HEAP) for name in ("cn_ratio", "cn_ratio_degradable")},
    "degradable_left_percent": Fields(("/pile/ingredients", *_AGE), _HEAP),
    "free_air_space_percent": Fields((*_SIZE, "/pile/moisture"), _WATER_INSIDE[1:]),
    # moisture, smell, signs
    "hand_confirmed": Fields(("/history", "/done", "/moisture_feel")),
    "backup_heat_known": _direct("/done"),
    "moisture_percent": _direct("/pile/moisture"),
    **{sign: Fields(("/signs", "/not_seen")) for sign in SIGNS},
    "people_unwell": _direct("/people"),
    "people_sting": _direct("/people"),
    **{f"has_{thing}": _direct("/on_hand") for thing in ON_HAND_ASKED},
    # cover and weather
    "forecast_low_c": Fields(("/weather/low", "/weather/forecast")),
    "frost_may_come": Fields(("/temperatures/outdoor", "/weather/low"), ("/season",)),
    "cold_snap_k": Fields(("/weather/forecast", "/weather/low"), ("/temperatures/outdoor",)),
    "snow_forecast": _direct("/weather/forecast"),
    "rain_forecast": _direct("/weather/forecast"),
    "freezing": Fields(("/weather/low", "/temperatures/outdoor")),
    # what is fitted and what is drawn
    "has_air_duct": Fields(("/equipment", "/draw/air")),
    "has_water_loop": Fields(("/equipment", "/draw/water")),
    "air_drawing": Fields(_AIR_ON, _AIR_SINCE),
    "fan_is_set": Fields(_AIR_ON, _AIR_SINCE),
    "water_drawing": Fields(_WATER_ON, _WATER_SINCE),
    "drawing": Fields((*_DRAWN, *_FITTED), (*_AIR_SINCE, *_WATER_SINCE)),
    "air_flow_m3_h": _direct("/draw/air/flow"),
    "air_outlet_to_house": _direct("/draw/air/outlet_to"),
    "air_inlet_from_house": _direct("/draw/air/inlet_from"),
    "air_inlet_from_outdoors": _direct("/draw/air/inlet_from"),
    "air_minutes_per_hour": Fields(_AIR_ON, _AIR_SINCE),
    "water_minutes_per_hour": Fields(_WATER_ON, _WATER_SINCE),
    "water_flow_l_min": _direct("/draw/water/flow"),
    "days_drawing": Fields(("/draw/air/since", "/draw/water/since")),
    "draw_w": Fields(_DRAWN, _DRAWN_SWAYS),
    "season_draw_w": Fields(_SIZE, (*_HEAP, *_GOAL)),
    "burst_draw_w": Fields(_FITTED, (*_DRAWN_SWAYS, *_GOAL)),
    "emptying": Fields(
        ("/goal/until", *_FITTED),
        (*_CORE, "/goal/keep_core_above", "/greenhouse/night_target", "/season", "/smell", "/not_seen"),
    ),
    "plan_says": Fields(_FITTED, (*_DRAWN_SWAYS, *_GOAL, "/season", "/smell", "/not_seen")),
    "draw_over_season": Fields(_DRAWN, (*_DRAWN_SWAYS, *_GOAL)),
    "draw_over_made": Fields(_DRAWN, _DRAWN_SWAYS),
    "made_w": Fields(_SIZE, _HEAP),
    "lost_w": Fields(_SIZE, _HEAP),
    **{name: Fields(("/history", *_DRAWN), (*_DRAWN_SWAYS, *_SIZE)) for name in UNEXPLAINED},
    "water_carried_off_kg_day": Fields(_AIR_ON, _DRAWN_SWAYS),
    "beyond_chance_percent": Fields(_DRAWN, (*_DRAWN_SWAYS, *_GOAL)),
    **{
        name: Fields(_SIZE, (*_HEAP, *_DRAWN_SWAYS, *_GOAL, "/smell"))
        for name in ("fall_3_days_k", "fall_7_days_k", "days_until_cool")
    },
    "loop_stands": _direct("/signs"),
    "draw_stands": Fields(("/signs",), ("/equipment", "/draw")),
    "drawn_until_stopped": Fields(("/signs", "/draw")),
    "draw_assumed": Fields(_DRAWN, (*_AIR_SINCE, *_WATER_SINCE)),
    "stored_heat_days": Fields(_DRAWN, (*_DRAWN_SWAYS, *_GOAL)),
    **{
        f"limited_by_{want}_percent": Fields(_SIZE, (*_HEAP, *_DRAWN_SWAYS))
        for want in ("water", "nitrogen", "air", "draw", "cold", "substrate")
    },
    # house
    "house_over_target_k": Fields(("/greenhouse/temperature", "/greenhouse/night_target")),
    "house_needs_w": Fields(_HOUSE, _HOUSE_SWAYS),
    "pile_share_percent": Fields(_HOUSE, (*_HOUSE_SWAYS, *_HEAP, *_GOAL, "/goal/prefer", "/equipment")),
    # recent work
    **{name: _direct("/done") for name in WORK_FACTS},
    "days_since_ash": Fields(("/pile/ingredients",), _AGE),
}

ESTIMATED: Final = frozenset(
    {
        "goal_days",
        "probe_too_short",
        "mass_kg",
        "volume_m3",
        "degradable_left_percent",
        "free_air_space_percent",
        "air_drawing",
        "fan_is_set",
        "water_drawing",
        "drawing",
        "air_minutes_per_hour",
        "water_minutes_per_hour",
        "draw_w",
        "season_draw_w",
        "burst_draw_w",
        "plan_says",
        "draw_over_season",
        "draw_over_made",
        "made_w",
        "lost_w",
        *UNEXPLAINED,
        "water_carried_off_kg_day",
        "stored_heat_days",
        "beyond_chance_percent",
        "draw_assumed",
        "fall_3_days_k",
        "fall_7_days_k",
        "days_until_cool",
        "limited_by_water_percent",
        "limited_by_nitrogen_percent",
        "limited_by_air_percent",
        "limited_by_draw_percent",
        "limited_by_cold_percent",
        "limited_by_substrate_percent",
        "house_needs_w",
        "pile_share_percent",
    }
)
"""Facts that are worked out with whatever had to be assumed among their fields."""


def value_at(status: Status, pointer: str) -> Any:
    """What the status holds at a pointer; None where it says nothing."""
    value: Any = status
    for name in pointer.strip("/").split("/"):
        value = getattr(value, name, None)
    return value


def is_given(status: Status, pointer: str) -> bool:
    """Whether the status says something there; an empty list does."""
    return value_at(status, pointer) is not None


def repeated_facts(status: Status) -> dict[str, Any]:
    """The facts that are fields as they were told; None where nobody told."""
    return {name: value_at(status, pointer) for name, pointer in REPEATED.items()}


def to_give(status: Status, fact: str) -> tuple[str, ...]:
    """The fields that would make a missing fact known: those not given, or all where what was given says too little."""
    tells = FIELDS[fact].tells
    missing = tuple(pointer for pointer in tells if not is_given(status, pointer))
    if fact == "age_days" or not missing:
        return tells[:1]
    return missing
