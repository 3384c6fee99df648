"""Doses of what goes into a standing heap: water, nitrogen, dry bulking and carbon."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

from rules.actions.choices import BULKING, CARBON, NITROGEN
from rules.tables.material import Material
from rules.tables.materials import MATERIALS
from service.actions.dosing.choices import BULKING_DEFAULT, CARBON_DEFAULT, NITROGEN_DEFAULT, materials_to_dose
from service.actions.dosing.records import (
    Dose,
    DoseInputs,
    at_least,
    by_mass,
    by_volume,
    never_nothing,
    spread,
    varied,
    with_others,
)
from service.facts import mixing
from service.units.estimate import Estimate, ranged, scaled
from service.units.figures import figure

MOISTURE_WANTED: Final = figure(
    Estimate(0.55, 0.50, 0.60, "assumed"),
    "1",
    "Middle and ends of the preferred moisture (NRAES-54 ch. 2; Manitoba Agriculture, Compost Elements: 50-60 %)",
    "no source",
)
BULKED_MOISTURE: Final = figure(
    0.60, "1", "A wet heap is dried to the upper end of the preferred range, no further", "no source"
)
SPLIT_WATER_ABOVE: Final = figure(
    20.0,
    "1",
    "Water per heap that soaks in at one go, kg/m3; more runs past and out at the foot (common practice)",
    "no source",
)
FIRST_POUR: Final = figure(
    Estimate(10.0, 5.0, SPLIT_WATER_ABOVE, "assumed"),
    "1",
    "Water for a heap that is said to be dry though its mix may hold enough, kg/m3: a first pour that "
    "soaks in at one go, after which a handful tells. Less than the low end changes the moisture by "
    "about one part in a hundred",
    "no source",
)

FED_C_TO_N: Final = figure(
    40.0,
    "1",
    "Degradable carbon to nitrogen wanted after feeding: about 30 of AVAILABLE carbon per nitrogen "
    "avoids loss (WSU Whatcom, Compost Fundamentals); 40 leaves room for what is not known",
    "no source",
)
LEAST_FED_C_TO_N: Final = figure(
    45.0, "1", "Degradable carbon to nitrogen after feeding that the least dose brings", "no source"
)
MOST_FED_C_TO_N: Final = figure(
    30.0,
    "1",
    "The same for the most that may be given: it is never passed. The carbon of wood that cannot rot in time is not "
    "counted",
    "no source",
)
LEAST_FED_SHARE: Final = figure(
    0.25,
    "1",
    "The least feed told, as a share of the likely dose: half of the first of two feedings, where the "
    "mix may already hold enough",
    "no source",
)
FEEDINGS: Final = figure(
    2,
    "1",
    "Nitrogen goes in two halves a fortnight apart, so that little is lost as ammonia (common practice)",
    "no source",
)
OPENING_SHARE: Final = figure(
    Estimate(0.10, 0.05, 0.20, "assumed"),
    "1",
    "Least dry bulking that opens a mass, as a share of its volume (common practice)",
    "no source",
)

BALANCED_C_TO_N: Final = figure(
    Estimate(30.0, 25.0, 35.0, "assumed"),
    "1",
    "C:N that keeps ammonia in: preferred 25-30, slower above 35 (New Brunswick, Basics of On-Farm Composting)",
    "no source",
)
MOST_CARBON_SHARE: Final = figure(
    0.5, "1", "Dry brown matter mixed in at once, of the heap's own volume (common practice)", "no source"
)

SHOVELLED_WITHIN: Final = figure(
    0.8,
    "1",
    "Dry matter is not measured closer than this share of what is wanted (common practice)",
    "no source",
)
CAPPING_LAYER_M: Final = figure(
    Estimate(0.05, 0.02, 0.10, "assumed"),
    "m",
    "Least dry cap that holds a smell, as a layer over the skin (common practice)",
    "no source",
)


def add_water(pile: DoseInputs) -> list[Dose]:
    """Water from the moisture believed to the moisture wanted.

    The least is from the wettest belief to 50 %, the most from the driest to 60 %; never less than a first pour, for
    what needs none is a question and no dose. Doses too large to soak in at one go are split in two, the first half by
    day. Where water is known not to be on hand, snow is named instead.
    """
    amount = never_nothing(water_for(pile.mass_kg, pile.moisture), scaled(FIRST_POUR, pile.volume_m3.value))
    split = 2 if amount.value > SPLIT_WATER_ABOVE * pile.volume_m3.value else 1
    doses = [by_mass(MATERIALS["water"], amount, split=split)]
    if pile.on_hand is not None and not pile.on_hand & {"water", "warm_water"}:
        doses.append(by_volume("snow", scaled(amount, 1 / MATERIALS["snow"].density.value)))
    return with_others(doses)


def water_for(mass: Estimate, moisture: Estimate) -> Estimate:
    """Water that brings a mass [kg] at a moisture [wet fraction] to the moisture wanted. [kg]"""
    goal = MOISTURE_WANTED
    return spread(
        _water(mass.value, moisture.value, goal.value),
        (_water(mass.value, moisture.high, goal.low), _water(mass.low, moisture.value, goal.value)),
        (_water(mass.value, moisture.low, goal.high), _water(mass.high, moisture.value, goal.value)),
    )


def add_nitrogen(pile: DoseInputs) -> list[Dose]:
    """Nitrogen that brings the degradable carbon to about 40:1; nothing where it is there already.

    The least aims at 45:1 with the least carbon and most nitrogen believed, but is never under a quarter of the likely
    dose; the most aims at 30:1. Plant and animal sources
    bring carbon of their own, which is counted. Best source on hand first, a few others beside it.
    """
    carbon, nitrogen = pile.degradable_carbon_kg, pile.nitrogen_kg
    if mixing.nitrogen_to_reach(carbon.value, nitrogen.value, FED_C_TO_N) == 0:
        return []
    materials = materials_to_dose(NITROGEN, pile.on_hand, NITROGEN_DEFAULT)
    doses = [by_mass(material, feed_for(material, carbon, nitrogen), split=FEEDINGS) for material in materials]
    return with_others(doses, most=len(NITROGEN_DEFAULT))


def feed_for(material: Material, carbon: Estimate, nitrogen: Estimate) -> Estimate:
    """As-is mass of a nitrogen source for some degradable carbon and nitrogen [kg], as `add_nitrogen` says. [kg]"""
    likely = _feed(material, carbon.value, nitrogen.value, FED_C_TO_N)
    least = _feed(material, carbon.low, nitrogen.high, LEAST_FED_C_TO_N)
    most = _feed(material, carbon.value, nitrogen.value, MOST_FED_C_TO_N)
    return Estimate(likely, max(least, LEAST_FED_SHARE * likely), most, "derived")


def add_dry_bulking(pile: DoseInputs) -> list[Dose]:
    """Dry bulking that brings a wet heap to 60 % moisture, and never less than opens the mass."""
    floor = scaled(OPENING_SHARE, pile.volume_m3.value)
    mass, moisture = pile.mass_kg, pile.moisture
    doses = []
    for material in materials_to_dose(BULKING, pile.on_hand, BULKING_DEFAULT):
        drying = varied(
            partial(_drier, material),
            (mass.value, moisture.value),
            (mass.low, moisture.low),
            (mass.high, moisture.high),
        )
        doses.append(_bulky(material, drying, floor))
    return with_others(doses)


def add_carbon(pile: DoseInputs) -> list[Dose]:
    """Dry carbon that brings the degradable C:N to 30 where ammonia escapes, and never less than a thin cap.

    Never more than half the heap's own volume: what is then still missing is for another day, or another heap.

    Of the material added, nitrogen is counted by the share that rots: what stays whole keeps its own.
    """
    floor = scaled(CAPPING_LAYER_M, pile.surface_m2.value)
    carbon, nitrogen, goal = pile.degradable_carbon_kg, pile.nitrogen_kg, BALANCED_C_TO_N
    doses = []
    for material in materials_to_dose(CARBON, pile.on_hand, CARBON_DEFAULT):
        balancing = varied(
            partial(_balance, material),
            (carbon.value, nitrogen.value, goal.value),
            (carbon.high, nitrogen.low, goal.low),
            (carbon.low, nitrogen.high, goal.high),
        )
        doses.append(_bulky(material, balancing, floor, MOST_CARBON_SHARE * pile.volume_m3.value))
    return with_others(doses)


def _water(mass_kg: float, moisture: float, wanted: float) -> float:
    return mixing.water_to_reach(mass_kg, moisture, wanted) if moisture < wanted else 0.0


def _drier(material: Material, mass_kg: float, moisture: float) -> float:
    if moisture <= BULKED_MOISTURE:
        return 0.0
    return mixing.mass_for_moisture(mass_kg, moisture, material.moisture.value, BULKED_MOISTURE)


def _feed(material: Material, carbon_kg: float, nitrogen_kg: float, wanted: float) -> float:
    if carbon_kg <= wanted * nitrogen_kg:
        return 0.0
    source = mixing.MixedPortion(0.0, material.moisture.value, material.degradable_carbon, material.nitrogen.value)
    return mixing.mass_for_c_to_n(_dry_pool(carbon_kg, nitrogen_kg), source, wanted)


def _balance(material: Material, carbon_kg: float, nitrogen_kg: float, wanted: float) -> float:
    if carbon_kg >= wanted * nitrogen_kg:
        return 0.0
    freed = material.nitrogen.value * material.degradable_share
    source = mixing.MixedPortion(0.0, material.moisture.value, material.degradable_carbon, freed)
    return mixing.mass_for_c_to_n(_dry_pool(carbon_kg, nitrogen_kg), source, wanted)


def _dry_pool(carbon_kg: float, nitrogen_kg: float) -> mixing.MixedPortion:
    """Degradable carbon and nitrogen as a dry portion of nothing else, to put in the published formula."""
    total = carbon_kg + nitrogen_kg
    return mixing.MixedPortion(total, 0.0, carbon_kg / total, nitrogen_kg / total)


def _bulky(material: Material, mass: Estimate, floor_m3: Estimate, most_m3: float = math.inf) -> Dose:
    """The larger of a mass [kg] and a least volume [m3], up to a most, in the way the material is measured."""
    wanted = at_least(scaled(mass, 1 / material.density.value), floor_m3)
    volume = ranged(min(part, most_m3) for part in wanted.ends)
    if volume.low > SHOVELLED_WITHIN * volume.high:  # cut at the most, or at the least: nobody shovels so closely
        volume = ranged((volume.value, SHOVELLED_WITHIN * volume.high, volume.high))
    if "sheets" in material.traits:  # their volume says little, flat or shredded
        return by_mass(material, scaled(volume, material.density.value))
    return by_volume(material.id, volume)
