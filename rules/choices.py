"""Which materials do for which work, best first. The actions and the doses both read these lists."""

from __future__ import annotations

from typing import Final

NITROGEN: Final = (
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
"""Nitrogen: clean and quick ones first; then manures; then greens; last what draws pests or rots slowly."""

BULKING: Final = (
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
"""Coarse and dry first."""

CARBON: Final = (
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
"""Fine, dry and poor in nitrogen first."""

FRESH_WOOD: Final = ("wood_chips_green", "wood_chips", "prunings", "wood_chips_dry")
"""Wood for a new heap or a new layer: green first."""

FRESH_FEED: Final = (
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
"""Built into a new heap: bulky ones first, for they bring quick fuel besides nitrogen."""

WRAP: Final = ("straw", "leaves", "hay", "bracken", "wheat_straw", "oat_straw", "pine_needles")
"""What can be laid around a heap."""
