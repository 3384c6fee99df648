"""From the picture of a heap to what its doses are worked out from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from service.actions.dosing.records import DoseInputs, PlannedTimer
from service.facts.decay import rotted
from service.facts.size import DENSITY_SPREAD
from service.picture.drawplan.record import hours_of, minutes_of
from service.picture.record import Picture
from service.status.models import Size
from service.units.estimate import Estimate
from service.units.figures import figure, figures

CARBON_OF_DEGRADABLE: Final = figure(
    0.47,
    "1",
    "Carbon in carbohydrate-rich dry matter that rots; cellulose holds 0.444, lignin 0.63 (from formulas)",
    "derived",
)
SKIN_OVER_VOLUME_POWER: Final = figure(
    3.95, "1", "Skin above ground over volume^(2/3) of a half-ellipsoid 0.9 radii high (solid geometry)", "derived"
)
SKIN_LOW, SKIN_HIGH = figures(
    (0.9, "1"),
    (1.15, "1"),
    why="Ends (80 %) of the skin of a heap whose measures were told, over what they give",
    how_known="no source",
)


def dose_inputs(picture: Picture) -> DoseInputs:
    """What the doses of this heap follow from."""
    estimate, accounts = picture.estimate, picture.accounts
    volume, mass, moisture = *_size(picture), estimate.moisture
    dry = [
        mass.value * (1 - moisture.value),
        mass.low * (1 - moisture.value),
        mass.high * (1 - moisture.value),
    ]
    now = rotted(picture.mixture, accounts.degradable_left.value)
    on_hand = picture.status.on_hand
    return DoseInputs(
        mass_kg=mass,
        volume_m3=volume,
        moisture=moisture,
        degradable_carbon_kg=_times(dry, CARBON_OF_DEGRADABLE * now.degradable_share),
        nitrogen_kg=_times(dry, now.nitrogen_share),
        surface_m2=_skin(picture.status.pile.size, volume),
        core_c=float(picture.derived.facts["core_c"]),
        keep_core_above_c=picture.goal.keep_core_above_c,
        on_hand=None if on_hand is None else frozenset(on_hand),
        air=estimate.air,
        water=estimate.water,
        air_drawn_w=_sum(accounts.air_sensible, accounts.air_latent),
        water_drawn_w=accounts.water,
        season_draw_w=accounts.season_draw,
        made_w=accounts.made,
        lost_w=accounts.lost,
        plan=_planned(picture),
        size_guessed=not picture.size.given,
        fits_air=estimate.has_air_duct is True,
        fits_water=estimate.has_water_loop is True,
        only_cracks=_cracked_but_not_sunk(picture),
    )


def _cracked_but_not_sunk(picture: Picture) -> bool:
    facts = picture.derived.facts
    return facts.get("cracks") is True and facts.get("slumping") is not True and picture.status.pile.shrunk is None


def _planned(picture: Picture) -> PlannedTimer | None:
    """The timer of the draw plan, where it draws at all."""
    plan = picture.plan
    if plan is None or plan.running <= 0.0:
        return None
    return PlannedTimer(plan.way, minutes_of(plan), hours_of(plan))


def _size(picture: Picture) -> tuple[Estimate, Estimate]:
    """Volume [m3] and mass [kg]; a guessed volume without its range, so that only the doubt of the density is left."""
    volume, mass = picture.size.volume, picture.size.mass
    if picture.size.given:
        return volume, mass
    exactly = Estimate(volume.value, volume.value, volume.value, "assumed")
    return exactly, Estimate(mass.value, mass.value / DENSITY_SPREAD, mass.value * DENSITY_SPREAD, "assumed")


def _times(numbers: Sequence[float], factor: float) -> Estimate:
    middle, low, high = (number * factor for number in numbers)
    return Estimate(middle, low, high, "derived")


def _sum(first: Estimate | None, second: Estimate | None) -> Estimate | None:
    if first is None or second is None:
        return first or second
    return Estimate(first.value + second.value, first.low + second.low, first.high + second.high, "derived")


def _skin(size: Size | None, volume_m3: Estimate) -> Estimate:
    """Skin above ground [m2], from the reported shape or that of a half-ellipsoid of the same volume."""
    area = _shape_skin(size) if size else None
    if area is not None:
        return Estimate(area, area * SKIN_LOW, area * SKIN_HIGH, "derived")
    return _times(
        [volume ** (2 / 3) for volume in (volume_m3.value, volume_m3.low, volume_m3.high)], SKIN_OVER_VOLUME_POWER
    )


def _shape_skin(size: Size) -> float | None:
    if size.cone is not None:
        radius = size.cone.diameter / 2
        return math.pi * radius * math.hypot(radius, size.cone.height)
    if size.cylinder is not None:
        radius = size.cylinder.diameter / 2
        return math.pi * radius * (radius + 2 * size.cylinder.height)
    if size.box is not None:
        return size.box.length * size.box.width + 2 * size.box.height * (size.box.length + size.box.width)
    if size.windrow is not None:
        slope = math.hypot(size.windrow.width / 2, size.windrow.height)
        return 2 * slope * size.windrow.length + size.windrow.width * size.windrow.height
    return None
