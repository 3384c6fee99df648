"""How big the heap is today: mass, volume and radius, from a size, from the ingredients, or assumed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from service.facts.mixture import Mixture
from service.facts.record import Derived
from service.status.models import Size, Status
from service.units.estimate import Estimate
from service.units.figures import figure

ASSUMED_VOLUME: Final = figure(
    Estimate(8.0, 2.5, 25.0, "assumed"), "m3", "Volume of a heap whose size nobody gave; wide on purpose", "no source"
)
DENSITY_SPREAD: Final = figure(
    1.25, "1", "Factor up and down (80 %) on a bulk density taken from the ingredients", "no source"
)
READING_SPREAD: Final = figure(1.12, "1", "Factor up and down (80 %) on a size that was paced or taped", "no source")
DOUBTFUL_SPREAD: Final = figure(
    1.6, "1", "Factor up and down (80 %) where size and density or ingredients disagree", "no source"
)
SETTLED_SHARE: Final = figure(
    0.8,
    "1",
    "Volume left of the loose ingredients after the first hot week, in which a logged garden heap lost a "
    "fifth (Public Lab research note 13197, 2016, read)",
    "read",
)
DECAYED_SHARE: Final = figure(
    0.92, "1", "Mass left of the ingredients after the first weeks, water included", "no source"
)
DENSITY_RANGE: Final = figure(
    (200.0, 650.0), "kg/m3", "Bulk density of such heaps lies within this range (common practice)", "no source"
)
DISAGREES_FROM: Final = figure(
    1.6, "1", "Size and ingredients further apart than this factor disagree (common practice)", "no source"
)
ELLIPSOID_HEIGHT: Final = figure(0.9, "1", "Height over radius of a heap that was only given as a volume", "no source")


@dataclass(frozen=True, slots=True)
class HeapSize:
    """Mass [kg] and volume [m3] today; `given` tells whether any size or amount was reported."""

    mass: Estimate
    volume: Estimate
    radius_m: float | None
    given: bool


def heap_size(status: Status, mixture: Mixture, derived: Derived) -> HeapSize:
    """Size of the heap; puts the size facts and lists what was assumed."""
    size = status.pile.size
    volume = _volume_of(size) if size else None
    mass = size.mass if size else None
    if volume is None and mass is None:
        return _from_ingredients(mixture, derived)
    density = mass / volume if mass is not None and volume is not None else None
    disagrees = _disagrees(mass, volume, density, mixture)
    spread = DOUBTFUL_SPREAD if disagrees else READING_SPREAD
    loose = DOUBTFUL_SPREAD if disagrees else DENSITY_SPREAD
    if volume is None:
        assert mass is not None
        volume_range = _around(mass / mixture.bulk_density, loose, "derived")
    else:
        volume_range = _around(volume, spread, "measured")
    mass_range = (
        _around(mass, spread, "measured")
        if mass is not None
        else _around(volume_range.value * mixture.bulk_density, loose, "derived")
    )
    derived.put(
        mass_kg=mass_range.value,
        volume_m3=volume_range.value,
        bulk_density_kg_m3=density,
        size_disagrees=disagrees,
    )
    return HeapSize(mass_range, volume_range, radius_of(size, volume_range.value), given=True)


def _from_ingredients(mixture: Mixture, derived: Derived) -> HeapSize:
    if mixture.mass_kg is not None and mixture.volume_m3 is not None:
        mass = _around(mixture.mass_kg * DECAYED_SHARE, DENSITY_SPREAD, "derived")
        volume = _around(mixture.volume_m3 * SETTLED_SHARE, DENSITY_SPREAD, "derived")
        derived.put(mass_kg=mass.value, volume_m3=volume.value)
        return HeapSize(mass, volume, radius_of(None, volume.value), given=True)
    volume = derived.assume("/pile/size/volume", ASSUMED_VOLUME, "volume", "assumed.volume")
    density = mixture.bulk_density
    mass = Estimate(volume.value * density, volume.low * density, volume.high * density, "assumed")
    return HeapSize(mass, volume, None, given=False)


def _disagrees(mass: float | None, volume: float | None, density: float | None, mixture: Mixture) -> bool | None:
    """Whether the size is at odds with itself or with the ingredients; None where there is nothing to compare."""
    if density is not None and not DENSITY_RANGE[0] <= density <= DENSITY_RANGE[1]:
        return True
    pairs = []
    if mass is not None and mixture.mass_kg is not None:
        pairs.append((mass, mixture.mass_kg * DECAYED_SHARE))
    if volume is not None and mixture.volume_m3 is not None:
        pairs.append((volume, mixture.volume_m3 * SETTLED_SHARE))
    if not pairs:
        return False if density is not None else None
    return any(max(a / b, b / a) > DISAGREES_FROM for a, b in pairs)


def _volume_of(size: Size) -> float | None:
    """Volume of the reported shape [m3], from solid geometry."""
    if size.volume is not None:
        return size.volume
    if size.cone is not None:
        return math.pi * size.cone.diameter**2 / 4 * size.cone.height / 3
    if size.cylinder is not None:
        return math.pi * size.cylinder.diameter**2 / 4 * size.cylinder.height
    if size.box is not None:
        return size.box.length * size.box.width * size.box.height
    if size.windrow is not None:
        return size.windrow.length * size.windrow.width * size.windrow.height * math.pi / 4
    return None


def radius_of(size: Size | None, volume_m3: float) -> float:
    """Distance from the middle to the nearest side [m]: half the smallest width, or of a half-ellipsoid's foot."""
    if size is not None:
        if size.cone is not None:
            return size.cone.diameter / 2
        if size.cylinder is not None:
            return size.cylinder.diameter / 2
        if size.box is not None:
            return min(size.box.length, size.box.width) / 2
        if size.windrow is not None:
            return min(size.windrow.length, size.windrow.width) / 2
    return float((volume_m3 / (2 / 3 * math.pi * ELLIPSOID_HEIGHT)) ** (1 / 3))


def _around(value: float, factor: float, basis: str) -> Estimate:
    return Estimate(value, value / factor, value * factor, "measured" if basis == "measured" else "derived")
