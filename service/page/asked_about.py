"""What the form asks about the house, what is at hand, and the goal. Data only."""

from __future__ import annotations

from typing import Final

from service.page.fields import NONE_OF_THESE, Choice, Field, Section

HOUSE: Final = Section(
    "house",
    "The greenhouse",
    "",
    (
        Field("greenhouse.temperature", "Air in it now", "temperature"),
        Field("greenhouse.humidity", "Its humidity now", hint="Such as 85 %."),
        Field("greenhouse.volume", "Air volume", hint="Such as 2400 ft3 or 68 m3."),
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
        Field("greenhouse.glazing_area", "Glazed area", hint="Such as 900 ft2 or 84 m2."),
        Field("greenhouse.night_target", "It should keep at night", "temperature"),
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
        Field("goal.keep_core_above", "Never draw it below", "temperature"),
        Field(
            "goal.prefer",
            "What comes first?",
            "pick",
            choices=(Choice("season", "The whole season"), Choice("tonight", "The coming night")),
        ),
    ),
    lasting=True,
)
