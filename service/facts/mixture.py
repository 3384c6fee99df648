"""What the heap is made of: proportions, and what follows from them before anything has rotted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

from rules.tables.likeness import UNKNOWN, Likened
from rules.tables.material import Figure, Material
from rules.tables.materials import MATERIALS
from service.facts.record import Derived
from service.heat.physics.members import LEAST_SHARE
from service.status.models import Ingredient, Status
from service.units.estimate import USUAL_HOTTEST, USUAL_PACE, Estimate
from service.units.figures import figure

ASSUMED_MIX: Final = figure(
    {"wood_chips": 0.85, "horse_manure": 0.15},
    "1",
    "Wet-mass shares of a heap whose ingredients nobody gave: mostly chips with some manure",
    "no source",
)
ASSUMED_FAST: Final = figure(
    Estimate(0.08, 0.03, 0.20, "assumed"),
    "1",
    "What rots fast in a heap whose ingredients nobody gave, of its dry matter",
    "no source",
)
ASSUMED_SLOW: Final = figure(
    Estimate(0.38, 0.28, 0.48, "assumed"), "1", "What rots slowly in it, of its dry matter", "no source"
)
ASSUMED_CN: Final = figure(
    Estimate(45.0, 25.0, 90.0, "assumed"), "1", "Its carbon that can rot to nitrogen", "no source"
)
ASSUMED_MOISTURE: Final = figure(Estimate(0.50, 0.38, 0.62, "assumed"), "1", "Its moisture", "no source")
LEAST_CN: Final = figure(0.1, "1", "A heap of nothing but mineral feed still needs a ratio above zero", "no source")
MOST_SAID: Final = figure(60, "1", "Letters of a name that is said back", "no source")
SPREAD_OF_SHARES: Final = figure(
    1.4, "1", "Factor up and down (80 %) on the degradable shares of a known mix, at least", "no source"
)
SPREAD_OF_RATIO: Final = figure(1.3, "1", "The same on the C:N of a known mix", "no source")
SPREAD_WHERE_UNKNOWN: Final = figure(2.5, "1", "The same on both of a part of it that nobody could name", "no source")

NO_NITROGEN_CN: Final = figure(1000.0, "1", "Stands for the carbon to nitrogen of a mix without nitrogen", "no source")

MOST_OF_DRY_MATTER: Final = figure(0.95, "1", "No more than this of the dry matter can rot", "no source")


@dataclass(frozen=True, slots=True)
class Mixture:
    """The heap's make-up when built. Masses are as reported, None where no amounts were given; shares are 0 to 1."""

    parts: tuple[tuple[Material, float], ...]
    known: bool
    mass_kg: float | None
    volume_m3: float | None
    moisture: Estimate
    bulk_density: float
    fast: Estimate
    slow: Estimate
    heating_value_j_kg: float
    carbon_share: float
    nitrogen_share: float
    cn_degradable: Estimate
    pace: Estimate
    hottest_c: Estimate

    @property
    def dry_shares(self) -> list[tuple[Material, float]]:
        """Each material with its share of the dry matter."""
        dry = [(material, share * material.dry_fraction) for material, share in self.parts]
        total = sum(amount for _, amount in dry)
        return [(material, amount / total) for material, amount in dry] if total > 0 else []


def read_mixture(status: Status, derived: Derived) -> Mixture:
    """The heap's make-up; puts the facts of the ingredients, or assumes a mix and lists it."""
    ingredients = status.pile.ingredients or []
    masses = _masses(ingredients)
    if sum(masses) <= 0:
        return _assumed(derived)
    total = sum(masses)
    materials = [MATERIALS[item.material] for item in ingredients]
    parts = tuple((material, mass / total) for material, mass in zip(materials, masses, strict=True))
    counted = all(item.amount is not None for item in ingredients)
    volume = sum(mass / material.density.value for material, mass in zip(materials, masses, strict=True))
    mixture = _mixture(
        parts,
        moisture=_moisture(ingredients, masses),
        mass_kg=total if counted else None,
        volume_m3=volume if counted else None,
        unsure=sum(mass for item, mass in zip(ingredients, masses, strict=True) if _is_loose(item)) / total,
    )
    _put_facts(mixture, derived)
    _tell_likened(ingredients, derived)
    return mixture


def _is_loose(item: Ingredient) -> bool:
    """Whether its figures are borrowed: nobody knows the name it was given under."""
    return isinstance(item.material, Likened) and item.material.loose


def _tell_likened(ingredients: list[Ingredient], derived: Derived) -> None:
    """List each thing that was taken for another, with the moisture that is taken for it."""
    for index, item in enumerate(ingredients):
        material = MATERIALS[item.material]
        if isinstance(item.material, Likened):
            why, called = "assumed.likened", item.material.said[:MOST_SAID]
        elif "unsaid" in material.traits:
            why, called = "assumed.unsaid", ""
        else:
            continue
        moisture = _moisture_range(item)
        percent = Estimate(100 * moisture.value, 100 * moisture.low, 100 * moisture.high, "assumed")
        derived.assume(f"/pile/ingredients/{index}/material", percent, "percent", why, said=called, name=material.name)


def _masses(ingredients: list[Ingredient]) -> list[float]:
    """Wet mass of each [kg]; where none has an amount, equal volumes; where some lack one, the mean of the others."""
    known = [_mass(item) for item in ingredients]
    given = [mass for mass in known if mass is not None]
    if not given:
        return [MATERIALS[item.material].density.value for item in ingredients]
    return [sum(given) / len(given) if mass is None else mass for mass in known]


def _mass(item: Ingredient) -> float | None:
    if item.share is not None:
        return item.share / 100 * MATERIALS[item.material].density.value
    if item.amount is None:
        return None
    if item.amount.volume_m3 is not None:
        return item.amount.volume_m3 * MATERIALS[item.material].density.value
    return item.amount.mass_kg


def _moisture(ingredients: list[Ingredient], masses: list[float]) -> Estimate:
    """Moisture of the mix when built: G = sum(Q M) / sum(Q) (Cornell Waste Management Institute, moisture content)."""

    def mean(pick: Callable[[Figure], float]) -> float:
        shares = [
            item.moisture / 100 if item.moisture is not None else pick(_moisture_range(item)) for item in ingredients
        ]
        return sum(mass * share for mass, share in zip(masses, shares, strict=True)) / sum(masses)

    return Estimate(mean(lambda m: m.value), mean(lambda m: m.low), mean(lambda m: m.high), "derived")


def _moisture_range(item: Ingredient) -> Figure:
    """Moisture of a thing; where its name is not known, as wide as that of an unknown mix."""
    own = MATERIALS[item.material].moisture
    if not _is_loose(item):
        return own
    wide = MATERIALS[UNKNOWN].moisture
    return replace(own, low=min(own.low, wide.low), high=max(own.high, wide.high))


ASSUMED_WOOD: Final = figure(
    Estimate(85.0, 60.0, 100.0, "assumed"), "%", "Chips in a heap of which nobody told what it is made of", "no source"
)


def _assumed(derived: Derived) -> Mixture:
    total = sum(ASSUMED_MIX.values())
    parts = tuple((MATERIALS[name], share / total) for name, share in ASSUMED_MIX.items())
    wood = ASSUMED_WOOD
    derived.assume("/pile/ingredients", wood, "percent", "assumed.ingredients")
    mixture = _mixture(parts, moisture=ASSUMED_MOISTURE, mass_kg=None, volume_m3=None, known=False)
    return mixture


def _mixture(
    parts: tuple[tuple[Material, float], ...],
    *,
    moisture: Estimate,
    mass_kg: float | None,
    volume_m3: float | None,
    known: bool = True,
    unsure: float = 0.0,
) -> Mixture:
    dry = [(material, share * material.dry_fraction) for material, share in parts]
    dry_total = sum(amount for _, amount in dry)

    def of_dry(pick: Callable[[Material], float]) -> float:
        return sum(pick(material) * amount for material, amount in dry) / dry_total if dry_total > 0 else 0.0

    carbon, nitrogen = of_dry(lambda m: m.carbon.value), of_dry(lambda m: m.nitrogen.value)
    degradable_carbon = of_dry(lambda m: m.degradable_carbon)
    return Mixture(
        parts=parts,
        known=known,
        mass_kg=mass_kg,
        volume_m3=volume_m3,
        moisture=moisture,
        bulk_density=1.0 / sum(share / material.density.value for material, share in parts),
        fast=share_of(dry, lambda m: m.fast, unsure) if known else ASSUMED_FAST,
        slow=share_of(dry, lambda m: m.slow, unsure) if known else ASSUMED_SLOW,
        heating_value_j_kg=of_dry(lambda m: m.heating_value.value),
        carbon_share=carbon,
        nitrogen_share=nitrogen,
        cn_degradable=_ratio(degradable_carbon, nitrogen, unsure) if known else ASSUMED_CN,
        pace=weighed(dry, lambda m: m.pace) if known else USUAL_PACE,
        hottest_c=weighed(dry, lambda m: m.hottest) if known else USUAL_HOTTEST,
    )


MaterialShares = Sequence[tuple[Material, float]]
"""Materials with their dry matter."""


def weighed(dry: MaterialShares, pick: Callable[[Material], Figure]) -> Estimate:
    """A figure of a mix by dry matter, the materials' ranges taken as moving together."""
    total = sum(amount for _, amount in dry)
    parts = dry if total > 0.0 else [(material, 1.0) for material, _ in dry]
    shares = [(pick(material), amount / (total or len(dry))) for material, amount in parts]
    return Estimate(
        sum(figure.value * share for figure, share in shares),
        sum(figure.low * share for figure, share in shares),
        sum(figure.high * share for figure, share in shares),
        "derived",
    )


def share_of(dry: MaterialShares, pick: Callable[[Material], Figure], unsure: float = 0.0) -> Estimate:
    """A degradable share of the dry matter of a mix, with half (of the logarithm) of the spread of what it is made of.

    The other half is in the pace: what was published are losses, and these do not tell how fast from how far.
    `unsure` is the share of the mass that nobody could name.
    """
    of, least = weighed(dry, pick), _widened(SPREAD_OF_SHARES, unsure)
    down, up = (
        sqrt(max(ratio, 1.0)) for ratio in (of.value / max(of.low, LEAST_SHARE), of.high / max(of.value, LEAST_SHARE))
    )
    low, high = of.value / max(down, least), of.value * max(up, least)
    return Estimate(of.value, low, max(of.value, min(high, MOST_OF_DRY_MATTER)), "derived")


def _ratio(carbon: float, nitrogen: float, unsure: float) -> Estimate:
    ratio = max(carbon / nitrogen, LEAST_CN) if nitrogen > 0 else NO_NITROGEN_CN
    factor = _widened(SPREAD_OF_RATIO, unsure)
    return Estimate(ratio, ratio / factor, ratio * factor, "derived")


def _widened(factor: float, unsure: float) -> float:
    """A spread, wider by the share of the mass that nobody could name."""
    return factor + unsure * (SPREAD_WHERE_UNKNOWN - factor)


def _put_facts(mixture: Mixture, derived: Derived) -> None:
    traits = {trait for material, _ in mixture.parts for trait in material.traits}
    dry = mixture.dry_shares
    derived.put(
        wood_share_percent=100 * sum(share for material, share in dry if "wood" in material.traits),
        fine_share_percent=100 * sum(share for material, share in mixture.parts if "packs" in material.traits),
        could_rot_percent=100 * (mixture.fast.value + mixture.slow.value),
        has_ash="ash" in traits,
        has_manure="manure" in traits,
        has_poultry_manure="poultry" in traits,
        has_food_scraps="food" in traits,
        has_rich_nitrogen="rich_nitrogen" in traits,
    )
