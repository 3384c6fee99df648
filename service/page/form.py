"""What the form asks further down, folded until it is wanted. Data only."""

from __future__ import annotations

from typing import Final

from service.page.fields import NONE_OF_THESE, Field, FieldRow, Section, number
from service.page.first_fields import CORE, EMERGENCY, FIRST_SECTIONS
from service.page.house_fields import GOAL, HOUSE, ON_HAND
from service.page.measures import MEASURES, UNIT

HISTORY_ROWS: Final = 2
WORK_ROWS: Final = 2
POINT_ROWS: Final = 3
INGREDIENT_ROWS: Final = 4
ASKED_WORK: Final = (
    "add_water",
    "add_nitrogen",
    "add_dry_bulking",
    "add_carbon",
    "loosen_pile",
    "top_up",
    "enlarge_pile",
    "cover_with_clear_film",
    "lift_cover",
    "insulate",
    "keep_rain_off",
    "remove_snow",
    "reduce_draw",
    "pause_draw",
    "raise_draw",
    "stop_adding_water",
)
"""Work whose settling time or effect the advice waits for."""


def _history(row: int) -> FieldRow:
    name = f"history.{row}"
    return FieldRow(
        name,
        (
            number(f"{name}.core", "heat"),
            number(f"{name}.ago", "ago"),
        ),
    )


def _point(row: int) -> FieldRow:
    name = f"temperatures.points.{row}"
    return FieldRow(
        name,
        (
            number(f"{name}.value", "heat"),
            number(f"{name}.depth", "short side"),
            Field(f"{name}.side"),
        ),
    )


def _work(row: int) -> FieldRow:
    name = f"done.{row}"
    return FieldRow(
        name,
        (
            Field(f"{name}.action", "pick", values=ASKED_WORK, called="action.{value}.title"),
            number(f"{name}.ago", "ago"),
            number(f"{name}.amount", "work"),
        ),
    )


def _ingredient(row: int) -> FieldRow:
    name = f"pile.ingredients.{row}"
    return FieldRow(
        name,
        (
            Field(f"{name}.material", listed=True),
            number(f"{name}.amount", "part"),
        ),
    )


EARLIER: Final = Section(
    "earlier",
    (*map(_point, range(POINT_ROWS)), *map(_history, range(HISTORY_ROWS)), *map(_work, range(WORK_ROWS))),
)
HEAP: Final = Section(
    "heap",
    (
        Field("pile.size.shape", "pick", values=("cone", "windrow", "cylinder", "box")),
        number("pile.size.width", "side"),
        number("pile.size.length", "side"),
        number("pile.size.height", "side"),
        number("pile.size.volume", "heap"),
        *map(_ingredient, range(INGREDIENT_ROWS)),
        number("pile.shrunk", "percent"),
        number("pile.moisture", "percent"),
        Field("pile.cover", "pick", values=("none", "clear_film", "tarp", "breathable", "straw")),
        Field("pile.wind", "pick", values=("sheltered", "normal", "exposed")),
        number("probe.length", "short side"),
        Field("probe.checked", "pick", values=("yes", "no")),
    ),
    lasting=True,
)
WEATHER: Final = Section(
    "weather",
    (
        number("temperatures.outdoor", "air"),
        number("weather.low", "air"),
        number("temperatures.outer", "air"),
        Field("weather.sun", "pick", values=("clear", "mixed", "overcast")),
        Field("weather.rain", "pick", values=("none", "light", "heavy")),
        number("weather.wind_speed", "wind"),
    ),
)
_PLACES: Final = ("greenhouse", "outdoors", "other")
DRAW: Final = Section(
    "draw",
    (
        Field("equipment", "many", values=("air_duct", "water_loop", NONE_OF_THESE)),
        FieldRow(
            "draw.air",
            (
                number("draw.air.minutes_per_hour", "minutes"),
                number("draw.air.flow", "air flow"),
                number("draw.air.inlet", "air"),
                number("draw.air.outlet", "heat"),
                number("draw.air.hours_per_day", "hours"),
                Field("draw.air.path", "pick", values=("closed_duct", "through_heap")),
                Field("draw.air.inlet_from", "pick", values=_PLACES),
                Field("draw.air.outlet_to", "pick", values=_PLACES),
                Field("draw.air.since", "date"),
            ),
        ),
        FieldRow(
            "draw.water",
            (
                number("draw.water.minutes_per_hour", "minutes"),
                number("draw.water.flow", "water flow"),
                number("draw.water.inlet", "air"),
                number("draw.water.outlet", "heat"),
                number("draw.water.hours_per_day", "hours"),
                Field("draw.water.tube", "pick", values=("copper", "plastic")),
                number("draw.water.tube_length", "side"),
                Field("draw.water.loop", "pick", values=("closed", "open")),
                Field("draw.water.since", "date"),
            ),
        ),
        FieldRow(
            "draw.control",
            (Field("draw.control", "pick", values=("thermostat", "timer", "hand")),),
        ),
    ),
    lasting=True,
)
SECTIONS: Final = (*FIRST_SECTIONS, EARLIER, HEAP, WEATHER, DRAW, HOUSE, ON_HAND, GOAL, EMERGENCY)
"""The whole form, in the order of a walk up to the heap."""
FIELDS: Final[dict[str, Field]] = {field.name: field for section in SECTIONS for field in section.fields}
"""Every field by name."""
UNIT_BOXES: Final = frozenset(
    name + UNIT for name, asked in FIELDS.items() if asked.measure and not MEASURES[asked.measure].is_fixed
) - {CORE.name + UNIT}
"""Names of the boxes with units beside numbers. The first number has `units` beside it."""


def labels() -> dict[str, str]:
    """What each field is called outside its place in the form."""
    return {field.name: label for section in SECTIONS for field, label in section.labelled}
