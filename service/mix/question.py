"""The question in terms of mixtures: a fixed part, things that may be added, how much is wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from rules.tables.material import Figure
from rules.tables.materials import MATERIALS
from service.mix.matter import FIGURES, MixPart, Stuff, Totals, total
from service.mix.shapes.checks import carbon_and_nitrogen, density_of, kilograms
from service.mix.shapes.question import MixRequest
from service.mix.shapes.things import MixThing, RecipePart, Want
from service.units.estimate import Estimate
from service.units.figures import figure

DEFAULT_VOLUME_M3: Final = figure(
    1.0, "m3", "Size of a recipe in shares, or of a proposal, where none was asked", "no source"
)
WATER: Final = "water"
BY_ITSELF: Final = ""
"""The field of what nobody listed."""


@dataclass(frozen=True, slots=True)
class MixChoice:
    """A thing that may be added, with the least and the most of it; None where there is as much as is wanted. [kg]"""

    stuff: Stuff
    least_kg: float
    most_kg: float | None


@dataclass(frozen=True, slots=True)
class WantedSize:
    """How much is wanted, and of which of the sums (`volume` in m3, `mass` in kg)."""

    of: str
    amount: float

    def in_sums(self, sums: Totals) -> float:
        """The size of a mixture."""
        size: float = getattr(sums, self.of)
        return size


def stuff_of(thing: MixThing, field: str) -> Stuff:
    """The thing with its figures: what was measured stands alone, the rest keeps its published range."""
    own = MATERIALS[thing.material]
    figures = {name: _published(getattr(own, name)) for name in FIGURES}
    figures["density"] = replace(figures["density"], value=density_of(thing))
    carbon, nitrogen = carbon_and_nitrogen(thing)
    for name, given, value in (
        ("moisture", thing.moisture is not None, (thing.moisture or 0.0) / 100),
        ("density", thing.density is not None, thing.density or 0.0),
        ("carbon", thing.carbon is not None or None not in (thing.nitrogen, thing.c_to_n), carbon),
        ("nitrogen", thing.nitrogen is not None or thing.c_to_n is not None, nitrogen),
    ):
        if given:
            figures[name] = Estimate.exact(value)
    return Stuff(own, field, figures)


def by_name(material: str) -> Stuff:
    """A material as published, listed by nobody."""
    own = MATERIALS[material]
    return Stuff(own, BY_ITSELF, {name: _published(getattr(own, name)) for name in FIGURES})


def recipe_of(request: MixRequest) -> list[MixPart]:
    """The recipe as masses, scaled to what is wanted. [kg]"""
    recipe = request.recipe or []
    parts = [(stuff_of(part, f"/recipe/{index}"), _mass(part)) for index, part in enumerate(recipe)]
    wanted = size_wanted(request.want)
    if wanted is None and recipe and recipe[0].share is not None:
        wanted = WantedSize("volume", DEFAULT_VOLUME_M3)
    if wanted is None or not parts:
        return parts
    size = wanted.in_sums(total(parts))
    factor = wanted.amount / size if size > 0 else 1.0
    return [(stuff, mass * factor) for stuff, mass in parts]


def choices_of(request: MixRequest) -> list[MixChoice]:
    """What may be added, and water besides, unless it is listed."""
    choices = [
        MixChoice(
            stuff_of(thing, f"/on_hand/{index}"),
            0.0 if thing.least is None else kilograms(thing.least, thing),
            None if thing.most is None else kilograms(thing.most, thing),
        )
        for index, thing in enumerate(request.on_hand or [])
    ]
    if all(choice.stuff.material.id != WATER for choice in choices):
        choices.append(MixChoice(by_name(WATER), 0.0, None))
    return choices


def size_of_proposal(request: MixRequest) -> WantedSize | None:
    """How much the proposal must come to; None where a recipe or least amounts decide."""
    if request.recipe:
        return None
    wanted = size_wanted(request.want)
    forced = any(thing.least is not None and thing.least.value > 0 for thing in request.on_hand or [])
    if wanted is None and not forced:
        return WantedSize("volume", DEFAULT_VOLUME_M3)
    return wanted


def size_wanted(want: Want | None) -> WantedSize | None:
    """The size as it was asked for."""
    if want is None:
        return None
    if want.volume is not None:
        return WantedSize("volume", want.volume)
    assert want.mass is not None  # `misfits` saw to it
    return WantedSize("mass", want.mass)


def _mass(part: RecipePart) -> float:
    if part.amount is not None:
        return kilograms(part.amount, part)
    assert part.share is not None  # `misfits` saw to it
    return part.share * density_of(part)


def _published(figure: Figure) -> Estimate:
    return Estimate(figure.value, figure.low, figure.high, "assumed")
