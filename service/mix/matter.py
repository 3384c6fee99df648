"""What a mix is made of: each thing with the figures that hold for it, and sums over any mixture.

Masses in kg as they lie, volumes in m3 as laid loose. Volumes of things add up; liquids fill pores and add none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Final

from rules.tables.material import Material
from service.actions.dosing.matter import MOST_FED_C_TO_N
from service.facts.mixing import MINERAL_DENSITY, ORGANIC_DENSITY
from service.units.estimate import WATER_DENSITY, Estimate
from service.units.figures import figure

FIGURES: Final = ("moisture", "density", "carbon", "nitrogen", "fast", "slow")
ORGANIC_SHARE: Final = figure(
    0.95,
    "1",
    "Organic share of the dry matter in the free-air-space formula, as `mixing.free_air_space` takes it",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Stuff:
    """One thing in, or for, a mix: where it was given, and its figures (those measured have no range)."""

    material: Material
    field: str
    figures: Mapping[str, Estimate]

    @property
    def is_mineral_feed(self) -> bool:
        """Whether it is nitrogen without fuel, such as urea: only that can overfeed wood without adding to it."""
        return {"mineral", "rich_nitrogen"} <= self.material.traits

    @property
    def is_liquid(self) -> bool:
        """Whether it runs into the pores and adds no volume; snow melts and does so too."""
        return "liquid" in self.material.traits or self.material.moisture.low >= 1.0

    def per_kg(self, changed: Mapping[str, float] | None = None) -> Totals:
        """What a kilogram brings, at the middle figures or with some of them changed."""
        values = {name: figure.value for name, figure in self.figures.items()} | dict(changed or {})
        dry = 1.0 - values["moisture"]
        carbon = dry * values["carbon"]
        solids = ORGANIC_SHARE / ORGANIC_DENSITY + (1.0 - ORGANIC_SHARE) / MINERAL_DENSITY
        rotting, nitrogen = carbon * (values["fast"] + values["slow"]), dry * values["nitrogen"]
        feed = nitrogen if self.is_mineral_feed else 0.0
        return Totals(
            mass=1.0,
            water=values["moisture"],
            dry=dry,
            carbon=carbon,
            rotting_carbon=rotting,
            nitrogen=nitrogen,
            mineral_feed=feed,
            feed_wanted=max(0.0, rotting / MOST_FED_C_TO_N - nitrogen + feed),
            volume=0.0 if self.is_liquid else 1.0 / values["density"],
            filled=values["moisture"] / WATER_DENSITY + dry * solids,
            solid=0.0 if self.is_liquid else 1.0,
            soft=1.0 if "packs" in self.material.traits and not self.is_liquid else 0.0,
            fast=dry * values["fast"],
            slow=dry * values["slow"],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """Sums over a mixture, each linear in the amounts.

    All are in kg but `volume` and `filled` (solids and water), in m3. `mineral_feed` is the nitrogen of urea and its
    like; `feed_wanted` the nitrogen each other thing lacks to 30 parts of carbon that can rot (the deficits only).
    """

    mass: float = 0.0
    water: float = 0.0
    dry: float = 0.0
    carbon: float = 0.0
    rotting_carbon: float = 0.0
    nitrogen: float = 0.0
    mineral_feed: float = 0.0
    feed_wanted: float = 0.0
    volume: float = 0.0
    filled: float = 0.0
    solid: float = 0.0
    soft: float = 0.0
    fast: float = 0.0
    slow: float = 0.0


SUMS: Final = tuple(field.name for field in fields(Totals))
MixPart = tuple[Stuff, float]
"""A thing and its mass. [kg]"""


def total(parts: Iterable[MixPart]) -> Totals:
    """Sums over the parts."""
    return combined([(stuff.per_kg(), mass) for stuff, mass in parts])


def combined(portions: Sequence[tuple[Totals, float]]) -> Totals:
    """Weighted sum of sums."""
    return Totals(**{name: sum(getattr(each, name) * factor for each, factor in portions) for name in SUMS})
