"""What the heap is made of: proportions, and what follows from them before anything has rotted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rules.materials import MATERIALS, Figure, Material
from service.derive.record import Derived
from service.estimate import Estimate
from service.schemas import Ingredient, Status

ASSUMED_MIX = {"wood_chips": 0.85, "horse_manure": 0.15}
"""Wet-mass shares of a heap whose ingredients nobody gave: mostly chips with some manure (our own)."""
ASSUMED_FAST = Estimate(0.08, 0.03, 0.20, "assumed")
ASSUMED_SLOW = Estimate(0.38, 0.28, 0.48, "assumed")
ASSUMED_CN = Estimate(45.0, 25.0, 90.0, "assumed")
ASSUMED_MOISTURE = Estimate(0.50, 0.38, 0.62, "assumed")
"""For the same: fast and slow shares of the dry matter, carbon that can rot to nitrogen, moisture (our own)."""
LEAST_CN = 0.1
"""A heap of nothing but mineral feed still needs a ratio above zero [1] (our own)."""
SPREAD_OF_SHARES = 1.4
"""Factor up and down (80 %) on the degradable shares of a known mix (our own)."""


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
    )
    _put_facts(mixture, derived)
    return mixture


def _masses(ingredients: list[Ingredient]) -> list[float]:
    """Wet mass of each [kg]; where none has an amount, equal volumes; where some lack one, the mean of the others."""
    known = [_mass(item) for item in ingredients]
    given = [mass for mass in known if mass is not None]
    if not given:
        return [MATERIALS[item.material].density.value for item in ingredients]
    return [sum(given) / len(given) if mass is None else mass for mass in known]


def _mass(item: Ingredient) -> float | None:
    if item.amount is None:
        return None
    if item.amount.volume_m3 is not None:
        return item.amount.volume_m3 * MATERIALS[item.material].density.value
    return item.amount.mass_kg


def _moisture(ingredients: list[Ingredient], masses: list[float]) -> Estimate:
    """Moisture of the mix when built: G = sum(Q M) / sum(Q) (Cornell Waste Management Institute, moisture content)."""

    def mean(pick: Callable[[Figure], float]) -> float:
        shares = [
            item.moisture / 100 if item.moisture is not None else pick(MATERIALS[item.material].moisture)
            for item in ingredients
        ]
        return sum(mass * share for mass, share in zip(masses, shares, strict=True)) / sum(masses)

    return Estimate(mean(lambda m: m.value), mean(lambda m: m.low), mean(lambda m: m.high), "derived")


def _assumed(derived: Derived) -> Mixture:
    total = sum(ASSUMED_MIX.values())
    parts = tuple((MATERIALS[name], share / total) for name, share in ASSUMED_MIX.items())
    wood = Estimate(85.0, 60.0, 100.0, "assumed")
    derived.assume(
        "/pile/ingredients", wood, "percent", "no ingredients were given: share of wood by weight, rest manure"
    )
    mixture = _mixture(parts, moisture=ASSUMED_MOISTURE, mass_kg=None, volume_m3=None, known=False)
    return mixture


def _mixture(
    parts: tuple[tuple[Material, float], ...],
    *,
    moisture: Estimate,
    mass_kg: float | None,
    volume_m3: float | None,
    known: bool = True,
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
        fast=_spread(of_dry(lambda m: m.fast.value)) if known else ASSUMED_FAST,
        slow=_spread(of_dry(lambda m: m.slow.value)) if known else ASSUMED_SLOW,
        heating_value_j_kg=of_dry(lambda m: m.heating_value.value),
        carbon_share=carbon,
        nitrogen_share=nitrogen,
        cn_degradable=_ratio(degradable_carbon, nitrogen) if known else ASSUMED_CN,
    )


def _spread(value: float) -> Estimate:
    return Estimate(value, value / SPREAD_OF_SHARES, min(value * SPREAD_OF_SHARES, 0.95), "derived")


def _ratio(carbon: float, nitrogen: float) -> Estimate:
    ratio = max(carbon / nitrogen, LEAST_CN) if nitrogen > 0 else 1000.0
    return Estimate(ratio, ratio / 1.3, ratio * 1.3, "derived")


def _put_facts(mixture: Mixture, derived: Derived) -> None:
    traits = {trait for material, _ in mixture.parts for trait in material.traits}
    dry = mixture.dry_shares
    derived.put(
        wood_share_percent=100 * sum(share for material, share in dry if "wood" in material.traits),
        fine_share_percent=100 * sum(share for material, share in mixture.parts if "packs" in material.traits),
        cn_ratio=mixture.carbon_share / mixture.nitrogen_share if mixture.nitrogen_share > 0 else None,
        cn_ratio_degradable=mixture.cn_degradable.value if mixture.nitrogen_share > 0 else None,
        has_ash="ash" in traits,
        has_manure="manure" in traits,
        has_poultry_manure="poultry" in traits,
        has_food_scraps="food" in traits,
        has_rich_nitrogen="rich_nitrogen" in traits,
    )
