"""A heap that is only planned: its mix as built, and an ensemble of heaps of any size that could come of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from rules.language.status_words import Cover
from rules.tables.materials import MATERIALS
from service.actions.dosing.matter import feed_for, water_for
from service.facts.mixture import LEAST_CN, NO_NITROGEN_CN, share_of, weighed
from service.facts.size import SETTLED_SHARE
from service.heat.physics.arrays import Array
from service.heat.physics.members import LEAST_SHARE, members
from service.heat.physics.piles import Piles, PileState
from service.mix.matter import MixPart, Totals, total
from service.mix.question import by_name, recipe_of
from service.mix.shapes.question import MixRequest
from service.mix.shapes.things import RecipePart, Want
from service.units.estimate import Estimate, PileEstimate, ranged
from service.units.figures import figure

DEFAULT_MIX: Final = figure(
    (("wood_chips", 3.0), ("horse_manure", 1.0)), "1", "Parts by volume where no mix was told", "no source"
)
DEFAULT_MANURE: Final = figure(25.0, "%", "Manure in that mix", "derived")
MOST_CN: Final = figure(
    60.0,
    "1",
    "Degradable carbon to nitrogen beyond which a heap that does not stand yet is not taken to heat more "
    "slowly. Chips that nobody fed do get hot (61 degC from a frozen start: Sampson and McBeath, read); "
    "a heap that stands shows it. Learned on what heaps of three truths stand (`python -m tests.drawn`, "
    "seeds 5101 and 5102)",
    "read",
)
MASS_SPREAD: Final = figure(1.2, "1", "Factor up and down (80 %) on what a mix weighs", "no source")
SETTLING_SPREAD: Final = figure(1.1, "1", "Factor up and down (80 %) on what a mix settles to", "no source")
MOISTURE_SPREAD: Final = figure(0.05, "1", "Distance up and down (80 %) on what it holds", "no source")
CN_SPREAD: Final = figure(1.3, "1", "Factor up and down (80 %) on its C:N", "no source")
COLDEST_MATERIAL_C: Final = figure(
    2.0,
    "degC",
    "Frozen matter does not start, so it is taken as thawed (built frozen, a pile took months: Sampson and McBeath)",
    "no source",
)
MATERIAL_SPREAD_K: Final = figure(3.0, "K", "How far material differs from the air in which it lay", "no source")
MOST_MOISTURE: Final = figure(0.80, "1", "No mix is laid wetter", "no source")


@dataclass(frozen=True, slots=True)
class PlannedMix:
    """A mix for one cubic metre as laid: the parts as given, the nitrogen and water added, and the sums of all. [kg]"""

    parts: tuple[MixPart, ...]
    nitrogen: Estimate
    water: Estimate
    sums: Totals
    heating_value_j_kg: float

    @property
    def moisture(self) -> float:
        """Water in the wet mass. [fraction]"""
        return self.sums.water / self.sums.mass


def planned_mix(recipe: Sequence[RecipePart] | None, *, feed: bool) -> PlannedMix:
    """The mix asked for, or the default one, with nitrogen to 40:1 of carbon that can rot and water to 55 %."""
    given = list(recipe) if recipe else default_recipe()
    parts = recipe_of(MixRequest.model_construct(recipe=given, want=Want(volume=1.0)))
    bare = total(parts)
    nothing = Estimate.exact(0.0)
    urea = (
        feed_for(MATERIALS["urea"], Estimate.exact(bare.rotting_carbon), Estimate.exact(bare.nitrogen))
        if feed
        else nothing
    )
    fed = [*parts, (by_name("urea"), urea.value)]
    sums = total(fed)
    wet = ranged(_moisture_at(parts, end) for end in ("value", "low", "high"))
    water = water_for(Estimate.exact(sums.mass), wet)
    sums = total([*fed, (by_name("water"), water.value)])
    burning = sum(mass * stuff.per_kg().dry * stuff.material.heating_value.value for stuff, mass in parts)
    return PlannedMix(tuple(parts), urea, water, sums, burning / max(bare.dry, 1e-9))


def default_recipe() -> list[RecipePart]:
    """Three parts of wood chips to one of horse manure."""
    return [RecipePart.model_construct(material=name, share=share) for name, share in DEFAULT_MIX]


def planned_estimate(mix: PlannedMix, laid_m3: float, material_c: float, cover: Cover) -> PileEstimate:
    """What is believed of such a heap of this size on the day it is built; it is taken as settled from the start."""
    sums = mix.sums
    dry = [(stuff.material, mass * stuff.per_kg().dry) for stuff, mass in mix.parts]
    ratio = max(sums.rotting_carbon / sums.nitrogen, LEAST_CN) if sums.nitrogen > 0.0 else NO_NITROGEN_CN
    moisture = min(mix.moisture, MOST_MOISTURE)
    start = max(material_c, COLDEST_MATERIAL_C)
    return PileEstimate(
        age_days=0.0,
        mass_kg=_measured(laid_m3 * sums.mass, MASS_SPREAD),
        volume_m3=_measured(laid_m3 * SETTLED_SHARE, SETTLING_SPREAD),
        moisture=Estimate(moisture, moisture - MOISTURE_SPREAD, moisture + MOISTURE_SPREAD, "derived"),
        fast_share=_floored(share_of(dry, lambda m: m.fast)),
        slow_share=_floored(share_of(dry, lambda m: m.slow)),
        cn_degradable=_around(min(ratio, MOST_CN), CN_SPREAD),
        heating_value_j_kg=mix.heating_value_j_kg,
        core_c=Estimate(start, start - MATERIAL_SPREAD_K, start + MATERIAL_SPREAD_K, "derived"),
        outer_c=start,
        outdoor_c=_measured(max(start, 1.0), 1.0),
        wind_m_s=Estimate.exact(0.0),
        cover=cover,
        air=None,
        water=None,
        has_air_duct=None,
        has_water_loop=None,
        pace=weighed(dry, lambda m: m.pace),
        hottest_c=weighed(dry, lambda m: m.hottest),
    )


def heaps(estimate: PileEstimate, factors: Array, n: int) -> tuple[Piles, PileState]:
    """The n members of an estimate in sizes scaled by these factors, (k, n) as k blocks of n columns."""
    piles, state, _ = members(estimate, n)
    flat = np.asarray(factors, dtype=np.float64).reshape(-1)
    columns = np.tile(np.arange(n), flat.size // n)
    piles, state = piles.take(columns), state.take(columns)
    piles = replace(piles, volume_m3=piles.volume_m3 * flat, dry_kg=piles.dry_kg * flat, inert_kg=piles.inert_kg * flat)
    grown = PileState(state.enthalpy_j * flat, state.fast_kg * flat, state.slow_kg * flat, state.water_kg * flat)
    return piles, grown


def _moisture_at(parts: Sequence[MixPart], end: str) -> float:
    """Moisture of the mix with each part's own at its middle, low or high end."""
    water, wet = 0.0, 0.0
    for stuff, mass in parts:
        water += mass * float(getattr(stuff.figures["moisture"], end))
        wet += mass
    return water / wet


def _measured(value: float, factor: float) -> Estimate:
    return Estimate(value, value / factor, value * factor, "measured")


def _floored(share: Estimate) -> Estimate:
    """A share with nothing in it below a thousandth."""
    return Estimate(max(share.value, LEAST_SHARE), max(share.low, LEAST_SHARE), max(share.high, LEAST_SHARE), "derived")


def _around(value: float, factor: float) -> Estimate:
    kept = max(value, LEAST_SHARE)
    return Estimate(kept, kept / factor, kept * factor, "derived")
