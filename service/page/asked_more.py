"""What the form asks further down, folded until it is wanted. Data only."""

from __future__ import annotations

from typing import Final

from rules.actions.records import ACTIONS
from service.page.asked import EMERGENCY, FIRST_SECTIONS
from service.page.asked_about import GOAL, HOUSE, ON_HAND
from service.page.fields import NONE_OF_THESE, Choice, Field, Row, Section

HISTORY_ROWS: Final = 2
WORK_ROWS: Final = 2
INGREDIENT_ROWS: Final = 4
LONG_AGO: Final = "Such as 3 days or 12 hours."
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

_MINUTES: Final = "In each hour; 0 if it is off."
_RUNS_SINCE: Final = "It has run like this since"


def _history(row: int) -> Row:
    name = f"history.{row}"
    return Row(
        f"Earlier reading {row + 1}",
        (
            Field(f"{name}.core", "The middle read", "temperature"),
            Field(f"{name}.ago", "How long ago?", hint=LONG_AGO),
        ),
    )


def _work(row: int) -> Row:
    name = f"done.{row}"
    choices = tuple(Choice(action, ACTIONS[action].title) for action in ASKED_WORK)
    return Row(
        f"Work {row + 1}",
        (
            Field(f"{name}.action", "What did you do?", "pick", choices=choices),
            Field(f"{name}.ago", "How long ago?", hint=LONG_AGO),
            Field(f"{name}.amount", "How much?", hint="Such as 60 gal or 200 L."),
        ),
    )


def _ingredient(row: int) -> Row:
    name = f"pile.ingredients.{row}"
    return Row(
        f"Ingredient {row + 1}",
        (
            Field(f"{name}.material", "What?", listed=True),
            Field(f"{name}.amount", "How much?", hint="" if row else "Such as 18 yd3, 4 m3 or 300 kg."),
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
        Field("pile.size.width", "Width, or width across", hint="Such as 12 ft or 3.5 m."),
        Field("pile.size.length", "Length, if it is not round"),
        Field("pile.size.height", "Height"),
        Field("pile.size.volume", "Or its volume or mass", hint="Such as 22 yd3, 14 m3 or 9 t."),
        *map(_ingredient, range(INGREDIENT_ROWS)),
        Field("pile.shrunk", "How far has it shrunk?", hint="Of its first height or volume, such as 30 %."),
        Field("pile.moisture", "Water in it, if measured", hint="In % of the wet mass."),
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
        Field("probe.length", "How long is the probe?", hint="Such as 4 ft or 120 cm."),
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
        Field("temperatures.outdoor", "Air outside now", "temperature"),
        Field("weather.low", "Coldest tonight", "temperature"),
        Field("temperatures.outer", "Probe a hand or two deep", "temperature", "15 to 30 cm, 6 to 12 in."),
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
        Field("weather.wind_speed", "Wind now", hint="Such as 8 mph or 3 m/s."),
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
                Field("draw.air.minutes_per_hour", "Minutes it runs", hint=_MINUTES),
                Field("draw.air.flow", "Air flow", hint="Such as 60 cfm or 100 m3/h."),
                Field("draw.air.inlet", "Air going in", "temperature"),
                Field("draw.air.outlet", "Air coming out", "temperature"),
                Field("draw.air.hours_per_day", "Hours of the day"),
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
                Field("draw.water.minutes_per_hour", "Minutes it runs", hint=_MINUTES),
                Field("draw.water.flow", "Water flow", hint="Such as 0.5 gpm or 2 L/min."),
                Field("draw.water.inlet", "Water going in", "temperature"),
                Field("draw.water.outlet", "Water coming out", "temperature"),
                Field("draw.water.hours_per_day", "Hours of the day"),
                Field(
                    "draw.water.tube",
                    "Tube",
                    "pick",
                    choices=(Choice("copper", "Copper"), Choice("plastic", "Plastic")),
                ),
                Field("draw.water.tube_length", "Tube inside the heap", hint="Such as 160 ft or 50 m."),
                Field(
                    "draw.water.loop",
                    "The water",
                    "pick",
                    choices=(Choice("closed", "goes round"), Choice("open", "is used and replaced")),
                ),
                Field("draw.water.since", _RUNS_SINCE, "date"),
            ),
        ),
    ),
    lasting=True,
)
SECTIONS: Final = (*FIRST_SECTIONS, EARLIER, HEAP, WEATHER, DRAW, HOUSE, ON_HAND, GOAL, EMERGENCY)
"""The whole form, in the order of a walk up to the heap."""
FIELDS: Final[dict[str, Field]] = {field.name: field for section in SECTIONS for field in section.fields}
"""Every field by name."""
LABELS: Final[dict[str, str]] = {field.name: label for section in SECTIONS for field, label in section.labelled}
"""What each field is called outside its place in the form."""
