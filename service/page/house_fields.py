"""What the form asks about the house, what is at hand, and the goal. Data only."""

from __future__ import annotations

from typing import Final

from service.page.fields import NONE_OF_THESE, Choice, Field, Section, number

HOUSE: Final = Section(
    "house",
    "The greenhouse",
    "",
    (
        number("greenhouse.temperature", "Air in it now", "air"),
        number("greenhouse.humidity", "Its humidity now", "percent"),
        number("greenhouse.volume", "Air volume", "room"),
        Field(
            "greenhouse.glazing",
            "Glazing",
            "pick",
            choices=(
                Choice("single_film", "One film"),
                Choice("double_film", "Two films"),
                Choice("glass", "Glass"),
                Choice("double_glass", "Double glass"),
                Choice("twin_wall", "Twin-wall sheet"),
            ),
        ),
        number("greenhouse.glazing_area", "Glazed area", "area"),
        number("greenhouse.night_target", "It should keep at night", "heat"),
    ),
    lasting=True,
)
ON_HAND: Final = Section(
    "at_hand",
    "What you have at hand",
    "",
    (
        Field(
            "on_hand",
            "Tick what is there",
            "many",
            choices=(
                Choice("water", "Water"),
                Choice("warm_water", "Warm water"),
                Choice("clear_film", "Clear film"),
                Choice("tarp", "A tarp"),
                Choice("breathable_cover", "A cover that breathes"),
                Choice("straw_bales", "Straw bales"),
                Choice("bubble_wrap", "Bubble wrap"),
                Choice("antifreeze", "Antifreeze"),
                Choice("heater", "A heater"),
                Choice("spare_fan", "A spare fan"),
                Choice("mesh", "Wire mesh"),
                Choice("wood_chips", "Wood chips"),
                Choice("leaves", "Dry leaves"),
                Choice("urea", "Urea"),
                Choice("poultry_manure", "Poultry manure"),
                Choice("horse_manure", "Horse manure"),
                Choice("grass_clippings", "Grass clippings"),
                Choice(NONE_OF_THESE, "Nothing"),
            ),
        ),
        Field("on_hand.more", "And what else?", hint="With commas: coffee grounds, bark."),
    ),
    lasting=True,
)
GOAL: Final = Section(
    "goal",
    "What the heat is for",
    "",
    (
        Field(
            "season",
            "Is the house being heated?",
            "pick",
            choices=(Choice("heating", "Yes"), Choice("off", "No")),
        ),
        Field("goal.until", "Keep the heap warm until", "date"),
        number("goal.keep_core_above", "Never draw it below", "heat"),
        Field(
            "goal.prefer",
            "What comes first?",
            "pick",
            choices=(Choice("season", "The whole season"), Choice("tonight", "The coming night")),
        ),
    ),
    lasting=True,
)
