"""Which material to reach for, best first: by what is on hand, else the ones most people can get."""

from __future__ import annotations

from typing import Final

from rules.materials import MATERIALS, Material

NITROGEN_ORDER: Final = (
    "urea",
    "urine",
    "ammonium_sulphate",
    "blood_meal",
    "poultry_manure",
    "hen_manure",
    "turkey_litter",
    "feather_meal",
    "seed_meal",
    "horse_manure",
    "horse_manure_straw",
    "cattle_manure",
    "cattle_manure_bedded",
    "cattle_slurry",
    "sheep_manure",
    "rabbit_manure",
    "pig_manure",
    "grass_clippings",
    "coffee_grounds",
    "spent_grain",
    "spent_hops",
    "tea_leaves",
    "nettles",
    "comfrey",
    "green_manure",
    "weeds",
    "legume_hay",
    "food_scraps",
    "vegetable_waste",
    "seaweed",
    "pond_weed",
    "fish_waste",
    "feathers",
    "wool",
    "hair",
)
NITROGEN_DEFAULT: Final = ("urea", "urine", "poultry_manure", "horse_manure")
"""Clean and quick ones first; then manures; then greens; last what draws pests or rots slowly."""

BULKING_ORDER: Final = (
    "wood_chips_dry",
    "straw",
    "wheat_straw",
    "oat_straw",
    "shavings",
    "wood_chips",
    "bark",
    "cardboard",
    "corn_stalks",
    "corn_cobs",
    "rice_hulls",
    "bracken",
    "pine_needles",
    "prunings",
)
BULKING_DEFAULT: Final = ("wood_chips_dry", "straw", "cardboard")
"""Coarse and dry first."""

CARBON_ORDER: Final = (
    "sawdust",
    "straw",
    "wheat_straw",
    "oat_straw",
    "cardboard",
    "shavings",
    "wood_chips_dry",
    "leaves",
    "paper",
    "newspaper",
    "corn_stalks",
    "wood_chips",
    "bark",
    "pine_needles",
    "bracken",
)
CARBON_DEFAULT: Final = ("sawdust", "straw", "cardboard")
"""Fine, dry and poor in nitrogen first."""


FRESH_WOOD_ORDER: Final = ("wood_chips_green", "wood_chips", "prunings", "wood_chips_dry")
FRESH_WOOD_DEFAULT: Final = ("wood_chips_green",)
FRESH_FEED_ORDER: Final = (
    "horse_manure",
    "horse_manure_straw",
    "cattle_manure_bedded",
    "cattle_manure",
    "sheep_manure",
    "rabbit_manure",
    "poultry_manure",
    "turkey_litter",
    "hen_manure",
    "grass_clippings",
    "green_manure",
    "weeds",
    "coffee_grounds",
    "spent_grain",
    "food_scraps",
    "urine",
    "urea",
)
FRESH_FEED_DEFAULT: Final = ("horse_manure", "grass_clippings", "poultry_manure")
"""Built into a new heap: bulky ones first, for they bring quick fuel besides nitrogen."""

WRAP_ORDER: Final = ("straw", "leaves", "hay", "bracken", "wheat_straw", "oat_straw", "pine_needles")
WRAP_DEFAULT: Final = ("straw",)


def chosen(order: tuple[str, ...], on_hand: frozenset[str] | None, default: tuple[str, ...]) -> list[Material]:
    """Materials to dose, best first: those of `order` that are on hand, or the default ones where none is known to be.

    Straw bales count as straw.
    """
    held = set(on_hand or ())
    if "straw_bales" in held:
        held.add("straw")
    return [MATERIALS[name] for name in order if name in held] or [MATERIALS[name] for name in default]
