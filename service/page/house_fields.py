"""What the form asks about the house, what is at hand, and the goal. Data only."""

from __future__ import annotations

from typing import Final

from service.page.fields import NONE_OF_THESE, Field, Section, number

HOUSE: Final = Section(
    "house",
    (
        number("greenhouse.temperature", "air"),
        number("greenhouse.humidity", "percent"),
        number("greenhouse.volume", "room"),
        Field(
            "greenhouse.glazing", "pick", values=("single_film", "double_film", "glass", "double_glass", "twin_wall")
        ),
        number("greenhouse.glazing_area", "area"),
        number("greenhouse.night_target", "heat"),
    ),
    lasting=True,
)
ON_HAND: Final = Section(
    "at_hand",
    (
        Field(
            "on_hand",
            "many",
            values=(
                "water",
                "warm_water",
                "clear_film",
                "tarp",
                "breathable_cover",
                "straw_bales",
                "bubble_wrap",
                "antifreeze",
                "heater",
                "spare_fan",
                "mesh",
                "wood_chips",
                "leaves",
                "urea",
                "poultry_manure",
                "horse_manure",
                "grass_clippings",
                NONE_OF_THESE,
            ),
        ),
        Field("on_hand.more"),
    ),
    lasting=True,
)
GOAL: Final = Section(
    "goal",
    (
        Field("season", "pick", values=("heating", "off")),
        Field("goal.until", "date"),
        number("goal.keep_core_above", "heat"),
        Field("goal.prefer", "pick", values=("season", "tonight")),
    ),
    lasting=True,
)
