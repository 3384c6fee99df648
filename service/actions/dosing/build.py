"""Doses of what is built or laid on: new heaps, larger heaps, covers and wraps."""

from __future__ import annotations

from typing import Final

from rules.actions.choices import FRESH_FEED, FRESH_WOOD, WRAP
from rules.tables.material import Material
from service.actions.dosing.choices import FRESH_FEED_DEFAULT, FRESH_WOOD_DEFAULT, WRAP_DEFAULT, materials_to_dose
from service.actions.dosing.matter import feed_for, water_for
from service.actions.dosing.records import (
    Dose,
    DoseInputs,
    by_mass,
    by_volume,
    independent_product,
    never_nothing,
    with_others,
)
from service.facts.mixing import MixedPortion, mixture_moisture
from service.units.estimate import Estimate, ranged, scaled
from service.units.figures import figure

LEAST_HEAP_M3: Final = figure(
    8.0, "m3", "A heap of chips smaller than this hardly holds its heat through frost (common practice)", "no source"
)
TOPPED_UP_SHARE: Final = figure(
    Estimate(0.25, 0.15, 0.35, "assumed"),
    "1",
    "Fresh matter that fills up what has sunk: a heap shrinks to about four fifths in its first hot week "
    "(Public Lab research note 13197, 2016, read)",
    "read",
)
CRACKS_SHARE: Final = figure(
    Estimate(0.03, 0.01, 0.06, "assumed"), "1", "Fills the cracks of a heap that has not sunk", "no source"
)
ENLARGED_SHARE: Final = figure(
    Estimate(0.30, 0.20, 0.50, "assumed"),
    "1",
    "Fresh matter that makes a heap clearly larger (common practice)",
    "no source",
)
OVERLAP: Final = figure(
    1.2,
    "1",
    "Cover over skin: a fifth for overlap and for the edges that are weighed down (common practice)",
    "no source",
)
DAMPING: Final = figure(
    Estimate(10.0, 5.0, 20.0, "assumed"),
    "1",
    "Water that damps fresh chips which may be wet enough by themselves, kg/m3 (common practice)",
    "no source",
)
WRAP_LAYER_M: Final = figure(
    Estimate(0.35, 0.25, 0.45, "assumed"), "m", "Thickness of a straw wrap (common practice)", "no source"
)


def new_heap(pile: DoseInputs) -> list[Dose]:
    """Chips, feed and water for a heap as large as this one, and never below the least that holds heat."""
    volume = ranged(max(LEAST_HEAP_M3, size) for size in pile.volume_m3.ends)
    return _fresh_matter(volume, pile.on_hand)


def top_up(pile: DoseInputs) -> list[Dose]:
    """Chips, feed and water that fill up what has sunk; a few damp chips where there are cracks and nothing sank."""
    if pile.only_cracks:
        chips = materials_to_dose(FRESH_WOOD, pile.on_hand, FRESH_WOOD_DEFAULT)[0]
        return [by_volume(chips.id, independent_product(pile.volume_m3, CRACKS_SHARE))]
    return _fresh_matter(independent_product(pile.volume_m3, TOPPED_UP_SHARE), pile.on_hand)


def enlarge_pile(pile: DoseInputs) -> list[Dose]:
    """Chips, feed and water for about a third more, or for the least heap that holds heat where that is more."""
    size = pile.volume_m3
    more = independent_product(size, ENLARGED_SHARE)
    volume = Estimate(
        max(more.value, LEAST_HEAP_M3 - size.value),
        max(more.low, LEAST_HEAP_M3 - size.high),
        max(more.high, LEAST_HEAP_M3 - size.low),
        "derived",
    )
    return _fresh_matter(volume, pile.on_hand)


def cover(pile: DoseInputs) -> list[Dose]:
    """Cover for the heap's skin with a fifth to spare."""
    return [Dose("cover_area", *scaled(pile.surface_m2, OVERLAP).ends, dimension="area")]


def insulate(pile: DoseInputs) -> list[Dose]:
    """Area to wrap, and the straw, leaves or hay for a wrap of a forearm's length."""
    volume = independent_product(pile.surface_m2, WRAP_LAYER_M)
    materials = materials_to_dose(WRAP, pile.on_hand, WRAP_DEFAULT)
    return cover(pile) + with_others([by_volume(material.id, volume) for material in materials])


def _fresh_matter(volume: Estimate, on_hand: frozenset[str] | None) -> list[Dose]:
    """Chips of that volume [m3], feed for their degradable carbon, and water; the feed lies between the chips."""
    chips = materials_to_dose(FRESH_WOOD, on_hand, FRESH_WOOD_DEFAULT)[0]
    feeds = materials_to_dose(FRESH_FEED, on_hand, FRESH_FEED_DEFAULT)
    feeding = [by_mass(feed, independent_product(volume, _feed_per_m3(chips, feed))) for feed in feeds]
    water = independent_product(volume, never_nothing(_water_per_m3(chips, feeds[0]), DAMPING))
    return [
        by_volume(chips.id, volume),
        *with_others(feeding),
        Dose("water", *water.ends, dimension="water"),
    ]


def _feed_per_m3(chips: Material, feed: Material) -> Estimate:
    """Feed that brings a cubic metre of chips to about 40:1 of degradable carbon. [kg/m3]"""
    dry = chips.density.value * chips.dry_fraction
    return feed_for(feed, Estimate.exact(dry * chips.degradable_carbon), Estimate.exact(dry * chips.nitrogen.value))


def _water_per_m3(chips: Material, feed: Material) -> Estimate:
    """Water that brings a cubic metre of chips with its feed to the moisture wanted. [kg/m3]"""
    wood, fed = chips.density.value, _feed_per_m3(chips, feed).value
    moisture = ranged(
        mixture_moisture((MixedPortion(wood, of_chips), MixedPortion(fed, feed.moisture.value)))
        for of_chips in (chips.moisture.value, chips.moisture.low, chips.moisture.high)
    )
    return water_for(Estimate.exact(wood + fed), moisture)
