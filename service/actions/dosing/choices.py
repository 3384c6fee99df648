"""Which material to reach for, best first: by what is on hand, else the ones most people can get."""

from __future__ import annotations

from typing import Final

from rules.tables.material import Material
from rules.tables.materials import MATERIALS

NITROGEN_DEFAULT: Final = ("urea", "urine", "poultry_manure", "horse_manure")
BULKING_DEFAULT: Final = ("wood_chips_dry", "straw", "cardboard")
CARBON_DEFAULT: Final = ("sawdust", "straw", "cardboard")
FRESH_WOOD_DEFAULT: Final = ("wood_chips_green",)
FRESH_FEED_DEFAULT: Final = ("horse_manure", "grass_clippings", "poultry_manure")
WRAP_DEFAULT: Final = ("straw",)
"""What is dosed where nobody said what is on hand."""


def materials_to_dose(
    order: tuple[str, ...], on_hand: frozenset[str] | None, default: tuple[str, ...]
) -> list[Material]:
    """Materials to dose, best first: those of `order` that are on hand, or the default ones where none is known to be.

    Straw bales count as straw.
    """
    held = set(on_hand or ())
    if "straw_bales" in held:
        held.add("straw")
    return [MATERIALS[name] for name in order if name in held] or [MATERIALS[name] for name in default]
