"""What is told of the things at hand, the goal, and in an emergency."""

from __future__ import annotations

from typing import Final, get_args

from rules.language import status_words as words
from rules.language.vocabulary import SIGNS
from rules.tables.fields.record import Asked, Bounds, FieldRecord
from rules.tables.lifetimes import BUILT, Lifetime

GOAL: Final = (
    FieldRecord(
        at="/on_hand",
        kind="names",
        means="Materials and supplies within reach, by id or common name; [] = none.",
        examples=(["urea", "clear_film", "water"],),
        lasts=Lifetime(14.0, 90.0, "stocks are used up"),
        form=Asked(
            "at_hand",
            "Tick what is there",
            choices={
                "water": "Water",
                "warm_water": "Warm water",
                "clear_film": "Clear film",
                "tarp": "A tarp",
                "breathable_cover": "A cover that breathes",
                "straw_bales": "Straw bales",
                "bubble_wrap": "Bubble wrap",
                "antifreeze": "Antifreeze",
                "heater": "A heater",
                "spare_fan": "A spare fan",
                "mesh": "Wire mesh",
                "wood_chips": "Wood chips",
                "leaves": "Dry leaves",
                "urea": "Urea",
                "poultry_manure": "Poultry manure",
                "horse_manure": "Horse manure",
                "grass_clippings": "Grass clippings",
                "none": "Nothing",
            },
        ),
    ),
    FieldRecord(
        at="/season",
        kind="word",
        means="Whether the house is being heated.",
        examples=("heating",),
        words=get_args(words.Season),
        lasts=Lifetime(60.0, 180.0, "the heating season ends"),
        column="season",
        form=Asked("goal", "Is the house being heated?", choices={"heating": "Yes", "off": "No"}),
        step=1.5,
    ),
    FieldRecord(
        at="/goal/until",
        kind="day",
        means=("Last day the heap should stay warm; the season draw runs to it. Default: 30 days after `as_of`."),
        examples=("2026-03-31",),
        form=Asked("goal", "Keep the heap warm until"),
        said="heat wanted until {value}",
    ),
    FieldRecord(
        at="/goal/keep_core_above",
        kind="number",
        means="Temperature below which the core should not be drawn.",
        examples=("104 degF", 40),
        number=Bounds("temperature", 0.0, 80.0),
        form=Asked("goal", "Never draw it below", units="heat"),
        said="core to stay above {value}",
        varied=False,
    ),
    FieldRecord(
        at="/goal/prefer",
        kind="word",
        means="Whether heat is wanted for the whole season or for the coming night above all.",
        examples=("season",),
        words=get_args(words.Preference),
        form=Asked("goal", "What comes first?", choices={"season": "The whole season", "tonight": "The coming night"}),
        step=1.0,
    ),
    FieldRecord(
        at="/emergency_number",
        kind="phone",
        means="The number of your own fire service or emergency call; told before 112 and 911.",
        examples=("999",),
        lasts=BUILT,
        form=Asked("emergency", "Your own emergency number", hint="Told before 112 and 911."),
    ),
    FieldRecord(
        at="/help_called",
        kind="flag",
        means="In a fire: whether the fire service is called.",
        examples=(True,),
        lasts=Lifetime(0.125, 1.0, "help that was called has come by then"),
    ),
    FieldRecord(
        at="/not_seen",
        kind="names",
        means=(
            "What was looked for and is not there, where not all of the signs were looked for. What stands "
            "in `signs` too counts as seen."
        ),
        examples=(["smoke"],),
        words=tuple(SIGNS),
        lasts=Lifetime(2.0, 7.0, "what is seen changes within days"),
    ),
)
