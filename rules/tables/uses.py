"""What a material is good for, worked out from its figures and traits; nobody lists it by hand.

So a new material is dosed from the day it is written down. The orders, best first, are kept by
`rules/actions/choices.py`.
"""

from __future__ import annotations

from typing import Final

from rules.tables.material import Material

FEEDS_FROM: Final = 1.2
"""Nitrogen over what its own rotting carbon wants at 30:1, from which a thing feeds others [1] (our own)."""
OWN_CARBON_WANTS: Final = 30.0
"""Rotting carbon per nitrogen that is well fed [1] (WSU Whatcom, Compost Fundamentals: about 30 of available C)."""
RICH_TO: Final = 31.0
ROTS_FROM: Final = 0.20
"""C:N up to which, and share that can rot from which, a thing gives nitrogen away in time [1] (our own)."""
POOR_FROM: Final = 40.0
"""C:N from which a thing binds ammonia [1] (above the 20-40 that New Brunswick calls reasonable)."""
DRY_TO: Final = 0.50
DRIES_TO: Final = 0.30
WRAP_DRY_TO: Final = 0.40
"""Moisture up to which brown matter soaks up water, dries a wet mass, and keeps heat in [1] (our own)."""
WATER_FROM: Final = 0.95
"""Moisture from which a thing is as good as water [1] (our own)."""
LIGHT_TO: Final = 200.0
"""Loose density up to which matter holds still air, as a wrap must [kg/m3] (our own)."""
CHIP_FROM: Final = 200.0
CHIP_ROTS_FROM: Final = 0.35
"""Wood for a heap: density from which it is no fluff [kg/m3], and share that can rot [1] (our own)."""
SLOW_BELOW: Final = 0.20
"""Fast share of the dry matter below which a strong feed comes too late for this winter [1] (our own)."""
_NO_BROWN: Final = frozenset({"mineral", "liquid", "manure", "food", "rich_nitrogen", "unknown"})
_NOT_ADVISED: Final = frozenset({"sanitary", "unknown"})


def uses_of(material: Material) -> frozenset[str]:
    """What it is reached for: any of nitrogen, carbon, bulking_dry, cover, water; "none" where nothing."""
    tests = {
        "nitrogen": feeds(material),
        "carbon": is_brown(material),
        "bulking_dry": is_brown(material) and opens(material) and material.moisture.value <= DRIES_TO,
        "cover": wraps(material) or caps(material),
        "water": material.moisture.value >= WATER_FROM and "food" not in material.traits,
    }
    return frozenset(use for use, holds in tests.items() if holds) or frozenset({"none"})


def feeds(material: Material) -> bool:
    """Whether it brings clearly more nitrogen than its own rotting carbon wants."""
    wanted = FEEDS_FROM * material.degradable_carbon / OWN_CARBON_WANTS
    return material.nitrogen.value > wanted and not material.traits & _NOT_ADVISED and _lets_go(material)


def _lets_go(material: Material) -> bool:
    """Whether its nitrogen comes free: a mineral feed does, else what rots and is not poor itself."""
    if "mineral" in material.traits or material.c_to_n is None:
        return "rich_nitrogen" in material.traits
    return material.c_to_n.value <= RICH_TO and material.degradable_share >= ROTS_FROM


def is_brown(material: Material) -> bool:
    """Whether it binds ammonia and soaks up water: poor in nitrogen, dry, and able to rot."""
    ratio = material.c_to_n
    poor = ratio is not None and ratio.value >= POOR_FROM
    return poor and material.moisture.value <= DRY_TO and not material.traits & (_NO_BROWN | {"whole"})


def opens(material: Material) -> bool:
    """Whether it holds a mass open: it does not pack, mat or lie flat."""
    return not material.traits & {"packs", "mats", "whole"}


def wraps(material: Material) -> bool:
    """Whether it can be laid around a heap as insulation: dry, light, and neither wood nor sheet, food or feed."""
    light = material.density.value <= LIGHT_TO and material.moisture.value <= WRAP_DRY_TO
    return light and not material.traits & (_NO_BROWN | {"packs", "sheets", "wood"}) and not feeds(material)


def caps(material: Material) -> bool:
    """Whether a layer of it holds smells: dry chips, bark, finished compost."""
    still = material.degradable_share < CHIP_ROTS_FROM or material.moisture.value <= DRIES_TO
    wood = "wood" in material.traits and opens(material)
    compost = material.degradable_share < ROTS_FROM and material.c_to_n is not None
    return (wood or compost) and still and not material.traits & _NO_BROWN and material.density.value >= CHIP_FROM


def builds(material: Material) -> bool:
    """Whether it is wood that a heap is built from."""
    chip = material.density.value >= CHIP_FROM and material.degradable_share >= CHIP_ROTS_FROM
    return "wood" in material.traits and chip and opens(material)


def feed_tier(material: Material) -> tuple[int, float, str]:
    """Place among feeds: clean and quick, strong, manures, greens, what draws pests, slow; then by strength, greens by
    how fast they rot."""
    traits = material.traits
    if "food" in traits:
        tier = 5
    elif "mineral" in traits:
        tier = 0
    elif material.fast.value < SLOW_BELOW and "manure" not in traits:
        tier = 6
    elif "rich_nitrogen" in traits:
        tier = 1
    elif "manure" in traits:
        tier = 2
    else:
        return 3, -material.fast.value, material.id
    return tier, -material.nitrogen.value * material.dry_fraction, material.id


def fuel_tier(material: Material) -> tuple[int, float, str]:
    """Place among feeds built into a new heap: manures, poultry, greens, what draws pests, minerals; then by fuel."""
    traits = material.traits
    if "mineral" in traits:
        tier = 5
    elif "food" in traits:
        tier = 4
    elif "poultry" in traits:
        tier = 1
    elif "manure" in traits:
        tier = 0
    else:
        tier = 2 if "rich_nitrogen" not in traits else 3
    return tier, -material.fast.value * material.dry_fraction, material.id


def bulking_tier(material: Material) -> tuple[bool, bool, bool, float, str]:
    """Place among coarse dry things: those that dry first, chips before others, sheets last; then the drier."""
    moist, sheets = material.moisture.value > DRIES_TO, "sheets" in material.traits
    return moist, not builds(material), sheets, material.moisture.value, material.id


def brown_tier(material: Material) -> tuple[bool, bool, float, str]:
    """Place among brown matter: fine wood first, as it acts where it lies, sheets last; then the drier."""
    fine, sheets = {"wood", "packs"} <= material.traits, "sheets" in material.traits
    return not fine, sheets, material.moisture.value, material.id
