"""The record of one thing that goes into a heap: its figures with their ranges, its traits and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from rules.language.model import Source


@dataclass(frozen=True, slots=True)
class Figure:
    """A number in SI units (shares as fractions), its range, and who says so."""

    value: float
    low: float
    high: float
    source: Source


@dataclass(frozen=True, slots=True)
class MaterialCaution:
    """What to mind with a material, in the reader's words, and its backing."""

    key: str
    text: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One thing a heap may be made of.

    `moisture` is of the wet mass [fraction]; `density` as it lies, loose [kg/m3]; `carbon`, `nitrogen`, `fast` and
    `slow` are of the dry matter [fraction], the last two being what rots within weeks and within years;
    `heating_value` is of the dry matter [J/kg]. `c_to_n` is None where there is no nitrogen. `traits` say how it
    behaves (some of TRAITS): `packs` means it closes the air spaces, `mats` that it lies in layers, `sheets` that it is
    weighed and not measured by volume, `whole` that it is too coarse to be mixed in, `sanitary` that it is human waste,
    `unsaid` that it was named too loosely (whose manure?), `mineral` that its carbon is no measure of fuel. What it is
    good for follows from all this (`rules/tables/uses.py`). `pace` is how fast it rots over what is usual [1] and
    `hottest` where its rot ends [degC]: their ranges tell how heaps of it differ.
    """

    id: str
    name: str
    synonyms: tuple[str, ...]
    traits: frozenset[str]
    moisture: Figure
    density: Figure
    carbon: Figure
    nitrogen: Figure
    c_to_n: Figure | None
    fast: Figure
    slow: Figure
    heating_value: Figure
    pace: Figure
    hottest: Figure
    remark: str
    cautions: tuple[MaterialCaution, ...]

    @property
    def dry_fraction(self) -> float:
        """Dry matter per wet mass. [fraction]"""
        return 1.0 - self.moisture.value

    @property
    def degradable_share(self) -> float:
        """Share of the dry matter that can rot, fast and slow. [fraction]"""
        return self.fast.value + self.slow.value

    @property
    def degradable_carbon(self) -> float:
        """Carbon that can rot, per dry matter. [fraction]"""
        return self.carbon.value * self.degradable_share
