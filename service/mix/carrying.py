"""Amounts as they are carried and laid: kilograms, barrows and buckets, and the order of laying."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from rules.catalogue import said
from rules.tables.uses import uses_of
from service.answer.quantities import measured, round_off
from service.answer.shapes.part import Assumed
from service.mix.matter import MixPart, Stuff
from service.mix.question import BY_ITSELF
from service.mix.shapes.answer import Plain, Portion
from service.mix.shapes.question import MixRequest
from service.mix.words import name_in_sentence
from service.render.wording import in_words, listed, shown
from service.units.estimate import Estimate
from service.units.figures import figure, figures
from service.units.quantities import System
from service.units.table import DIMENSIONS, Unit

_LITRE: Final = DIMENSIONS["volume"]["l"]
_GALLON: Final = DIMENSIONS["volume"]["gal"]
_CUBIC_FOOT: Final = DIMENSIONS["volume"]["ft3"]
BARROW_L, BARROW_FT3, BUCKET_L, BUCKET_GAL = figures(
    (80.0, "L"),
    (6.0, "ft3"),
    (10.0, "L"),
    (5.0, "gal"),
    why="What common barrows and buckets hold",
    how_known="no source",
)
DEFAULT_BARROW: Final[dict[System, tuple[float, Unit]]] = {
    "metric": (BARROW_L, _LITRE),
    "us": (BARROW_FT3, _CUBIC_FOOT),
}
DEFAULT_BUCKET: Final[dict[System, tuple[float, Unit]]] = {"metric": (BUCKET_L, _LITRE), "us": (BUCKET_GAL, _GALLON)}
BY_BARROW_FROM: Final = figure(
    1.0, "barrows", "Fullness from which a thing is told by the barrow; less is weighed", "no source"
)
BY_BUCKET_FROM: Final = figure(
    0.5, "buckets", "Fullness from which a thing is told by the bucket; less is weighed", "no source"
)


@dataclass(frozen=True, slots=True)
class Carrying:
    """What the barrow and the bucket hold [m3], whether that was said, and the units of the answer."""

    barrow_m3: float
    bucket_m3: float
    barrow_said: bool
    bucket_said: bool
    system: System

    def holds(self, volume_m3: float) -> Plain:
        """What a vessel holds, in litres or gallons."""
        unit = _LITRE if self.system == "metric" else _GALLON
        return Plain(value=round_off(unit.from_si(volume_m3)), unit=unit.name)


def carrying_of(request: MixRequest) -> Carrying:
    """The vessels told, or common ones."""
    system = request.units
    barrow, bucket = (unit.to_si(number) for number, unit in (DEFAULT_BARROW[system], DEFAULT_BUCKET[system]))
    return Carrying(
        barrow if request.barrow is None else request.barrow,
        bucket if request.bucket is None else request.bucket,
        request.barrow is not None,
        request.bucket is not None,
        system,
    )


def portion(part: MixPart, carrying: Carrying) -> Portion:
    """One thing with its amount by mass, by volume (which its bulk density leaves open), and by the vessel."""
    stuff, mass = part
    density, system = stuff.figures["density"], carrying.system
    volume = Estimate(mass / density.value, mass / density.high, mass / density.low, "derived")
    return Portion(
        material=stuff.material.id,
        name=name_in_sentence(stuff.material),
        field=None if stuff.field == BY_ITSELF else stuff.field,
        mass=measured(Estimate.exact(mass), "mass", system),
        volume=measured(volume, "volume", system),
        barrows=round_off(volume.value / carrying.barrow_m3),
        buckets=round_off(volume.value / carrying.bucket_m3),
        text=carried_in_words(part, carrying),
    )


def carried_in_words(part: MixPart, carrying: Carrying) -> str:
    """An amount as it would be carried: barrows, else buckets, else by weight; liquids by volume."""
    stuff, mass = part
    volume = mass / stuff.figures["density"].value
    weighed = in_words(mass, "kg", carrying.system)
    if stuff.is_liquid:
        unit = _LITRE if carrying.system == "metric" else _GALLON
        return f"{shown(unit.from_si(volume))} {unit.name}"
    for name, size, least in (
        ("barrow", carrying.barrow_m3, BY_BARROW_FROM),
        ("bucket", carrying.bucket_m3, BY_BUCKET_FROM),
    ):
        count = volume / size
        if count >= least and not stuff.is_mineral_feed:
            number = shown(round(count, 1))
            vessel = said(f"mix.{'vessel' if number == '1' else 'vessels'}.{name}")
            return said("mix.vessel-count", count=number, vessel=vessel, weight=weighed)
    return weighed


def amount_and_name(part: MixPart, carrying: Carrying) -> str:
    """An amount as it would be carried, and of what."""
    return said("mix.portion", amount=carried_in_words(part, carrying), name=name_in_sentence(part[0].material))


def laying_order(parts: Sequence[MixPart], carrying: Carrying) -> list[str]:
    """How to lay the heap, bottom to top (common practice, no source)."""
    feeds = [part for part in parts if part[0].is_mineral_feed]
    liquids = [part for part in parts if part[0].is_liquid and part not in feeds]
    minerals = [part for part in parts if "mineral" in part[0].material.traits and part not in (*feeds, *liquids)]
    solids = [part for part in parts if part not in (*feeds, *liquids, *minerals)]
    coarse = _names([part for part in solids if is_coarse(part[0])])
    soft = _names([part for part in solids if not is_coarse(part[0])])
    waters = [part for part in liquids if part[0].material.carbon.value == 0]
    steps = [said("mix.lay.bed", coarse=coarse)] if coarse else []
    if coarse and soft:
        steps.append(said("mix.lay.layers", coarse=coarse, soft=soft))
    elif coarse or soft:
        steps.append(said("mix.lay.even", coarse=coarse) if coarse else said("mix.lay.soft-alone", soft=soft))
    for part in feeds:
        way = "fed-liquid" if part[0].is_liquid else "dissolved"
        steps.append(said(f"mix.lay.{way}", feed=amount_and_name(part, carrying)))
    steps += [
        said("mix.lay.fed-liquid", feed=amount_and_name(part, carrying)) for part in liquids if part not in waters
    ]
    if waters:
        steps.append(said("mix.lay.watered", water=listed([carried_in_words(part, carrying) for part in waters])))
    if minerals:
        steps.append(said("mix.lay.strewn", minerals=_names(minerals)))
    caps = _names(
        [part for part in solids if "cover" in uses_of(part[0].material) or "wood" in part[0].material.traits]
    )
    return [*steps, said("mix.lay.capped", cap=caps)] if caps else steps


def assumed_vessels(carrying: Carrying) -> Iterator[Assumed]:
    """The vessels nobody told, as entries of what was assumed."""
    for name, was_said, volume in (
        ("barrow", carrying.barrow_said, carrying.barrow_m3),
        ("bucket", carrying.bucket_said, carrying.bucket_m3),
    ):
        if not was_said:
            holds = carrying.holds(volume)
            why = said("mix.why.vessel", name=said(f"mix.vessel.{name}"))
            value = holds.value
            yield Assumed(field=f"/{name}", value=value, low=value, high=value, unit=holds.unit, why=why)


def is_coarse(stuff: Stuff) -> bool:
    """Whether it holds a heap open: bulky things that do not pack, manure aside."""
    return not stuff.material.traits & {"packs", "manure", "food", "rich_nitrogen"}


def _names(parts: Sequence[MixPart]) -> str:
    return listed(list(dict.fromkeys(name_in_sentence(stuff.material) for stuff, _ in parts))) if parts else ""
