"""Fields of a status that several facts come from together, as JSON pointers."""

from __future__ import annotations

from typing import Final

AGE: Final = ("/pile/age", "/pile/built_on")
SIZE: Final = ("/pile/size", "/pile/ingredients")
CORE: Final = ("/temperatures/core", "/temperatures/points", "/history")
DEPTH: Final = ("/probe/length", *SIZE)
FAILING_SWAYS: Final = ("/temperatures/outdoor", "/done")
"""The air outside and the work done tell whether a falling log is the heap's or the probe's."""
CORE_SWAYS: Final = (*CORE[1:], *DEPTH, *FAILING_SWAYS)
HISTORY: Final = ("/history",)
HISTORY_SWAYS: Final = ("/temperatures/core", *CORE_SWAYS)
AIR_ON: Final = ("/draw/air/minutes_per_hour", "/draw/air/flow", "/draw/air/hours_per_day")
WATER_ON: Final = ("/draw/water/minutes_per_hour", "/draw/water/flow", "/draw/water/hours_per_day")
AIR_SINCE: Final = ("/draw/air/since", "/signs")
WATER_SINCE: Final = ("/draw/water/since", "/signs")
"""A draw that goes on since a day is one that runs."""
FITTED: Final = ("/equipment", "/draw/air", "/draw/water")
HOUSE: Final = ("/greenhouse/volume", "/weather/low", "/temperatures/outdoor")
HOUSE_SWAYS: Final = (
    "/greenhouse/glazing",
    "/greenhouse/glazing_area",
    "/greenhouse/night_target",
    "/season",
)
WATER_INSIDE: Final = ("/pile/moisture", "/moisture_feel", "/moisture_feel_at", "/signs")
HEAP: Final = (
    *SIZE,
    *WATER_INSIDE,
    *AGE,
    *CORE,
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
GOAL: Final = ("/goal/until", "/goal/keep_core_above")
DRAWN: Final = (*AIR_ON, *WATER_ON)
DRAWN_SWAYS: Final = (*HEAP, "/draw/air", "/draw/water")
UNEXPLAINED: Final = ("/history", *DRAWN)
UNEXPLAINED_SWAYS: Final = (*DRAWN_SWAYS, *SIZE)
"""Behind what a log and a draw told leave open in the heat account."""
