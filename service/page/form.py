"""What the form asks further down, folded until it is wanted. Data only."""

from __future__ import annotations

from typing import Final

from rules.actions.records import ACTIONS
from service.page.fields import NONE_OF_THESE, Choice, Field, Row, Section, number
from service.page.first_fields import CORE, EMERGENCY, FIRST_SECTIONS
from service.page.house_fields import GOAL, HOUSE, ON_HAND
from service.page.measures import MEASURES, UNIT

HISTORY_ROWS: Final = 2
WORK_ROWS: Final = 2
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

_MINUTES: Final = "0 if it is off."
_RUNS_SINCE: Final = "It has run like this since"


def _history(row: int) -> Row:
    name = f"history.{row}"
    return Row(
        f"Earlier reading {row + 1}",
        (
            number(f"{name}.core", "The middle read", "heat"),
            number(f"{name}.ago", "How long ago?", "ago"),
        ),
    )


def _work(row: int) -> Row:
    name = f"done.{row}"
    choices = tuple(Choice(action, ACTIONS[action].title) for action in ASKED_WORK)
    return Row(
        f"Work {row + 1}",
        (
            Field(f"{name}.action", "What did you do?", "pick", choices=choices),
            number(f"{name}.ago", "How long ago?", "ago"),
            number(f"{name}.amount", "How much?", "work"),
        ),
    )


def _ingredient(row: int) -> Row:
    name = f"pile.ingredients.{row}"
    return Row(
        f"Ingredient {row + 1}",
        (
            Field(f"{name}.material", "What?", listed=True),
            number(f"{name}.amount", "How much?", "part"),
        ),
    )


EARLIER: Final = Section(
    "earlier",
    "Earlier readings and work",
    "Two readings in the same spot tell whether the heap climbs or falls.",
    (*map(_history, range(HISTORY_ROWS)), *map(_work, range(WORK_ROWS))),
)
HEAP: Final = Section(
    "heap",
    "Size, mix and cover",
    "As the heap is today. Give its measures or its volume.",
    (
        Field(
            "pile.size.shape",
            "Shape",
            "pick",
            choices=(
                Choice("cone", "Round, sloping to a top"),
                Choice("windrow", "Long, with sloping sides"),
                Choice("cylinder", "Round, with upright sides"),
                Choice("box", "In a box or bay"),
            ),
        ),
        number("pile.size.width", "Width, or width across", "side"),
        number("pile.size.length", "Length, if it is not round", "side"),
        number("pile.size.height", "Height", "side"),
        number("pile.size.volume", "Or its volume or mass", "heap"),
        *map(_ingredient, range(INGREDIENT_ROWS)),
        number("pile.shrunk", "How far has it shrunk?", "percent", "Of its first height or volume."),
        number("pile.moisture", "Water in it, if measured", "percent", "Of the wet mass."),
        Field(
            "pile.cover",
            "What lies over it?",
            "pick",
            choices=(
                Choice("none", "Nothing"),
                Choice("clear_film", "Clear film"),
                Choice("tarp", "A tarp"),
                Choice("breathable", "A cover that breathes"),
                Choice("straw", "Straw"),
            ),
        ),
        Field(
            "pile.wind",
            "How windy is its place?",
            "pick",
            choices=(Choice("sheltered", "Sheltered"), Choice("normal", "Normal"), Choice("exposed", "Exposed")),
        ),
        number("probe.length", "How long is the probe?", "short side"),
        Field(
            "probe.checked",
            "Was it checked in ice or boiling water?",
            "pick",
            choices=(Choice("yes", "Yes"), Choice("no", "No")),
        ),
    ),
    lasting=True,
)
WEATHER: Final = Section(
    "weather",
    "Cold and weather",
    "",
    (
        number("temperatures.outdoor", "Air outside now", "air"),
        number("weather.low", "Coldest tonight", "air"),
        number("temperatures.outer", "Probe a hand or two deep", "air", "15 to 30 cm, 6 to 12 in."),
        Field(
            "weather.sun",
            "Sky by day",
            "pick",
            choices=(Choice("clear", "Clear"), Choice("mixed", "Mixed"), Choice("overcast", "Overcast")),
        ),
        Field(
            "weather.rain",
            "Rain",
            "pick",
            choices=(Choice("none", "None"), Choice("light", "Light"), Choice("heavy", "Heavy")),
        ),
        number("weather.wind_speed", "Wind now", "wind"),
    ),
)
_PLACES: Final = (Choice("greenhouse", "The greenhouse"), Choice("outdoors", "Outdoors"), Choice("other", "Elsewhere"))
DRAW: Final = Section(
    "draw",
    "Fan or pump",
    "How heat is taken from the heap.",
    (
        Field(
            "equipment",
            "What is fitted?",
            "many",
            choices=(
                Choice("air_duct", "An air duct"),
                Choice("water_loop", "A water loop"),
                Choice(NONE_OF_THESE, "Neither"),
            ),
        ),
        Row(
            "Fan",
            (
                number("draw.air.minutes_per_hour", "It runs", "minutes", _MINUTES),
                number("draw.air.flow", "Air flow", "air flow"),
                number("draw.air.inlet", "Air going in", "air"),
                number("draw.air.outlet", "Air coming out", "heat"),
                number("draw.air.hours_per_day", "On how many hours of the day?", "hours"),
                Field(
                    "draw.air.path",
                    "Where does the air go?",
                    "pick",
                    choices=(Choice("closed_duct", "It stays in a duct"), Choice("through_heap", "Through the heap")),
                ),
                Field("draw.air.inlet_from", "Taken from", "pick", choices=_PLACES),
                Field("draw.air.outlet_to", "Blown to", "pick", choices=_PLACES),
                Field("draw.air.since", _RUNS_SINCE, "date"),
            ),
        ),
        Row(
            "Pump",
            (
                number("draw.water.minutes_per_hour", "It runs", "minutes", _MINUTES),
                number("draw.water.flow", "Water flow", "water flow"),
                number("draw.water.inlet", "Water going in", "air"),
                number("draw.water.outlet", "Water coming out", "heat"),
                number("draw.water.hours_per_day", "On how many hours of the day?", "hours"),
                Field(
                    "draw.water.tube",
                    "Tube",
                    "pick",
                    choices=(Choice("copper", "Copper"), Choice("plastic", "Plastic")),
                ),
                number("draw.water.tube_length", "Tube inside the heap", "side"),
                Field(
                    "draw.water.loop",
                    "The water",
                    "pick",
                    choices=(Choice("closed", "goes round"), Choice("open", "is used and replaced")),
                ),
                Field("draw.water.since", _RUNS_SINCE, "date"),
            ),
        ),
        Row(
            "Switched by",
            (
                Field(
                    "draw.control",
                    "What switches pump or fan",
                    "pick",
                    choices=(
                        Choice("thermostat", "A thermostat in the core"),
                        Choice("timer", "A timer"),
                        Choice("hand", "By hand"),
                    ),
                ),
            ),
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
LABELS: Final[dict[str, str]] = {field.name: label for section in SECTIONS for field, label in section.labelled}
"""What each field is called outside its place in the form."""
