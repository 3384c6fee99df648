"""Published mixing formulas: moisture, C:N, free air space, and the amounts that reach a goal.

Masses are as they lie (kg); moisture is water per wet mass and carbon and nitrogen are per DRY mass, all as
fractions. A goal outside what two materials can reach has no answer and is refused with a ValueError.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.units.estimate import WATER_DENSITY
from service.units.figures import figure

ORGANIC_DENSITY: Final = figure(
    1600.0, "kg/m3", "Of organic particles, in it (Agnew and Leonard, 2003; Richard et al., 2004)", "read"
)
MINERAL_DENSITY: Final = figure(2500.0, "kg/m3", "Of mineral particles, in it (the same)", "read")

VOLATILE_PER_CARBON: Final = figure(
    1.8,
    "1",
    "Volatile solids per carbon (Richard, Cornell Waste Management Institute, after Adams et al., 1951)",
    "read",
)

USUAL_ORGANIC: Final = figure(0.95, "1", "Organic share of the dry matter, where nobody told", "no source")


@dataclass(frozen=True, slots=True)
class MixedPortion:
    """Some mass of one material: as-is mass [kg], moisture [wet fraction], carbon and nitrogen [dry fractions]."""

    mass_kg: float
    moisture: float
    carbon: float = 0.0
    nitrogen: float = 0.0

    @property
    def dry_kg(self) -> float:
        """Dry matter. [kg]"""
        return self.mass_kg * (1.0 - self.moisture)


def moisture_of(wet_kg: float, dry_kg: float) -> float:
    """Moisture of a sample weighed wet and after oven drying. [wet fraction]

    M = (wet - dry) / wet, dried for 24 h at 105-110 degC (Richard, Cornell Waste Management Institute).
    """
    _refuse_unless(wet_kg > 0, "wet mass", wet_kg, "kg", "must be above 0")
    _refuse_unless(0 <= dry_kg <= wet_kg, "dry mass", dry_kg, "kg", f"must be from 0 to {wet_kg} kg")
    return (wet_kg - dry_kg) / wet_kg


def mixture_moisture(portions: Sequence[MixedPortion]) -> float:
    """Moisture of a mixture. [wet fraction]

    G = sum(Q M) / sum(Q) (Richard and Trautmann, Cornell Waste Management Institute, 1996).
    """
    for portion in portions:
        _check(portion)
    total = sum(portion.mass_kg for portion in portions)
    _refuse_unless(total > 0, "mass of the mixture", total, "kg", "must be above 0")
    return sum(portion.mass_kg * portion.moisture for portion in portions) / total


def mass_for_moisture(mass_kg: float, moisture: float, other_moisture: float, wanted: float) -> float:
    """As-is mass of a second material that brings the first to the wanted moisture. [kg]

    Q2 = Q1 (G - M1) / (M2 - G) (Richard and Trautmann, Cornell Waste Management Institute, 1996). Refused unless
    `wanted` lies between the two moistures and is not that of the second.
    """
    for quantity, value in (("moisture", moisture), ("other moisture", other_moisture)):
        _check_fraction(quantity, value)
    _check_mass(mass_kg)
    between = min(moisture, other_moisture) <= wanted <= max(moisture, other_moisture)
    allowed = f"must lie between the materials' {moisture} and {other_moisture}"
    _refuse_unless(between and wanted != other_moisture, "wanted moisture", wanted, "fraction", allowed)
    return mass_kg * (wanted - moisture) / (other_moisture - wanted)


def mixture_c_to_n(portions: Sequence[MixedPortion]) -> float:
    """C:N of a mixture, on the dry basis.

    R = sum(Q C (1-M)) / sum(Q N (1-M)) (Richard and Trautmann, Cornell Waste Management Institute). C:N ratios are
    never averaged by mass: the poor one would swamp the rich one.
    """
    for portion in portions:
        _check(portion)
    nitrogen = sum(portion.dry_kg * portion.nitrogen for portion in portions)
    _refuse_unless(nitrogen > 0, "nitrogen of the mixture", nitrogen, "kg", "must be above 0 for a C:N")
    return sum(portion.dry_kg * portion.carbon for portion in portions) / nitrogen


def mass_for_c_to_n(first: MixedPortion, second: MixedPortion, wanted: float) -> float:
    """As-is mass of the second material that brings the first to the wanted C:N. [kg]

    Q2 = Q1 (R N1 - C1)(1-M1) / ((C2 - R N2)(1-M2)) (Richard and Trautmann, Cornell Waste Management Institute). The
    mass of `second` is not read. Refused unless `wanted` lies between the two ratios.
    """
    _check(first)
    _check(second)
    _refuse_unless(wanted > 0, "wanted C:N", wanted, "1", "must be above 0")
    surplus = (wanted * first.nitrogen - first.carbon) * (1.0 - first.moisture)
    per_kg = (second.carbon - wanted * second.nitrogen) * (1.0 - second.moisture)
    _refuse_unless(per_kg != 0 and surplus / per_kg >= 0, "wanted C:N", wanted, "1", "must lie between the two ratios")
    return first.mass_kg * surplus / per_kg


def water_to_reach(mass_kg: float, moisture: float, wanted: float) -> float:
    """Water that brings a wet mass to the wanted moisture. [kg]

    W = Q (G - M) / (1 - G), from the moisture formula with water as the second material. Refused where the mass is
    wetter than wanted.
    """
    _check_mass(mass_kg)
    _check_fraction("moisture", moisture)
    _refuse_unless(moisture <= wanted < 1, "wanted moisture", wanted, "fraction", f"must be from {moisture} to below 1")
    return mass_kg * (wanted - moisture) / (1.0 - wanted)


def nitrogen_to_reach(degradable_carbon_kg: float, nitrogen_kg: float, wanted: float) -> float:
    """Nitrogen missing for the wanted C:N of the carbon that can rot; 0 where there is enough. [kg]

    Only degradable carbon counts: most of the carbon of wood is out of reach (WSU Whatcom, Compost Fundamentals).
    """
    _check_mass(degradable_carbon_kg, "degradable carbon")
    _check_mass(nitrogen_kg, "nitrogen")
    _refuse_unless(wanted > 0, "wanted C:N", wanted, "1", "must be above 0")
    return max(0.0, degradable_carbon_kg / wanted - nitrogen_kg)


def free_air_space(bulk_density: float, moisture: float, organic: float = USUAL_ORGANIC) -> float:
    """Air-filled share of the volume, from wet bulk density [kg/m3] and the organic share of the dry matter.

    FAS = 1 - BD (M/1000 + (1-M) OM/1600 + (1-M)(1-OM)/2500) (Agnew and Leonard, 2003; Richard et al., 2004). Refused
    where solids and water would not fit the volume.
    """
    _check_mass(bulk_density, "bulk density", "kg/m3")
    _check_fraction("moisture", moisture)
    _check_fraction("organic share", organic)
    dry = 1.0 - moisture
    solids = dry * organic / ORGANIC_DENSITY + dry * (1.0 - organic) / MINERAL_DENSITY
    space = 1.0 - bulk_density * (moisture / WATER_DENSITY + solids)
    _refuse_unless(space >= 0, "bulk density", bulk_density, "kg/m3", "leaves no room: check it and the moisture")
    return space


def relative_diffusion(air_porosity: float) -> float:
    """Diffusion of a gas through the heap over that in free air, S^2 (Papendick and Campbell, 1981)."""
    _check_fraction("air-filled porosity", air_porosity)
    return air_porosity**2


def carbon_from_ash(ash: float) -> float:
    """Carbon per dry matter from the ash share: (1 - ash) / 1.8 (Richard, after Adams et al., 1951)."""
    _check_fraction("ash", ash)
    return (1.0 - ash) / VOLATILE_PER_CARBON


def ammonia_fraction(ph: float, temperature_c: float) -> float:
    """Share of dissolved ammonium that is free ammonia and can escape, at a pH and temperature [degC].

    f = 1 / (1 + 10^(pKa - pH)), pKa = 0.09018 + 2729.92 / T (Emerson et al., 1975). Hot, limed or urine-fed heaps
    smell of it.
    """
    _refuse_unless(0 <= ph <= 14, "pH", ph, "pH", "must be from 0 to 14")
    _refuse_unless(-40 <= temperature_c <= 100, "temperature", temperature_c, "degC", "must be from -40 to 100")
    pka = 0.09018 + 2729.92 / (temperature_c + 273.15)
    return 1.0 / (1.0 + math.pow(10.0, pka - ph))


def _check(portion: MixedPortion) -> None:
    _check_mass(portion.mass_kg)
    _check_fraction("moisture", portion.moisture)
    _check_fraction("carbon", portion.carbon)
    _check_fraction("nitrogen", portion.nitrogen)


def _check_mass(value: float, quantity: str = "mass", unit: str = "kg") -> None:
    _refuse_unless(0 <= value < math.inf, quantity, value, unit, "must be finite and not negative")


def _check_fraction(quantity: str, value: float) -> None:
    _refuse_unless(0 <= value <= 1, quantity, value, "fraction", "must be from 0 to 1")


def _refuse_unless(holds: bool, quantity: str, value: float, unit: str, allowed: str) -> None:
    if not holds:
        raise ValueError(f"{quantity} {value} {unit}: {allowed}")
