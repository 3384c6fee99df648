"""What a house loses for each kelvin it is warmer than the air outside, and how warm it is to be kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from rules.language.model import Source
from rules.tables.figures import Three
from rules.tables.glazing import AIR_CHANGES, GLAZINGS, NIGHT_CURTAIN_SAVES, PERIMETER_LOSS, UNKNOWN_GLAZING
from service.facts.house import AIR_HEAT_J_M3K, AREA_PER_VOLUME_POWER, ASSUMED_NIGHT_TARGET
from service.facts.record import Derived
from service.planning.ranges import mapped, times
from service.planning.shapes.common import PlannedHouse
from service.units.estimate import SECONDS_PER_HOUR, Estimate, scaled
from service.units.figures import figure

MEASURED_U_SPREAD: Final = figure(1.05, "1", "Factor up and down on a U-value that was given", "no source")
FigureName = Literal["u_value", "air_changes", "foot", "night_curtain"]
NO_CURTAIN: Final = Estimate.exact(0.0)


@dataclass(frozen=True, slots=True)
class HouseLoss:
    """Heat lost per kelvin [W/K] through the glazing, by leaks and at the foot of the walls (None: not counted).

    `curtain` is the share of the glazing's loss that a curtain saves at night; 0 without one.
    """

    glazing: Estimate
    leaks: Estimate
    foot: Estimate | None
    curtain: Estimate

    @property
    def by_day(self) -> Estimate:
        """All of it, by day. [W/K]"""
        parts = [self.glazing, self.leaks, *([self.foot] if self.foot else [])]
        return mapped(lambda *values: sum(values), *parts)

    @property
    def glazing_at_night(self) -> Estimate:
        """Through the glazing with the curtain closed. [W/K]"""
        saved = self.curtain
        return times(self.glazing, Estimate(1 - saved.value, 1 - saved.high, 1 - saved.low, saved.basis))

    @property
    def by_night(self) -> Estimate:
        """All of it at night. [W/K]"""
        return replace(self, glazing=self.glazing_at_night, curtain=NO_CURTAIN).by_day


@dataclass(frozen=True, slots=True)
class Targets:
    """Temperature to keep at night, and by day where heat is asked for then. [degC]"""

    night_c: Estimate
    day_c: float | None


@dataclass(frozen=True, slots=True)
class HouseFigure:
    """A figure that the loss was worked out from, and who says so; None where it was given with the question."""

    what: FigureName
    estimate: Estimate
    source: Source | None


def figures_of(house: PlannedHouse) -> list[HouseFigure]:
    """U-value [W/(m2.K)], air changes [1/h], loss at the foot [W/(m.K)] and share a curtain saves, as used."""
    glazing = GLAZINGS[house.glazing] if house.glazing else UNKNOWN_GLAZING
    changes = AIR_CHANGES[house.tightness].source if house.tightness is not None else glazing.source
    found = [
        HouseFigure("u_value", _u_value(house, Derived()), None if house.u_value is not None else glazing.source),
        HouseFigure("air_changes", _air_changes(house), None if house.air_changes is not None else changes),
    ]
    if house.perimeter is not None:
        figure = PERIMETER_LOSS[house.foot or "bare"]
        found.append(HouseFigure("foot", _range(figure.value), figure.source))
    if house.night_curtain:
        found.append(HouseFigure("night_curtain", _range(NIGHT_CURTAIN_SAVES.value), NIGHT_CURTAIN_SAVES.source))
    return found


def house_loss(house: PlannedHouse, derived: Derived) -> HouseLoss:
    """Heat lost per kelvin: U A + n V c + F P, and what of it was assumed.

    References
    ----------
    ANSI/ASAE EP406 heat-loss method (from memory).
    """
    assert house.volume is not None  # `house_misfits` saw to it
    foot = None
    if house.perimeter is not None:
        foot = scaled(_range(PERIMETER_LOSS[house.foot or "bare"].value), house.perimeter)
    return HouseLoss(
        glazing=times(_u_value(house, derived), _area(house, derived)),
        leaks=scaled(_air_changes(house), house.volume * AIR_HEAT_J_M3K / SECONDS_PER_HOUR),
        foot=foot,
        curtain=_range(NIGHT_CURTAIN_SAVES.value) if house.night_curtain else NO_CURTAIN,
    )


def targets_of(house: PlannedHouse, derived: Derived) -> Targets:
    """The temperatures to keep; a night temperature nobody gave is assumed and listed."""
    if house.night_target is not None:
        return Targets(Estimate.exact(house.night_target), house.day_target)
    why = "assumed.night-target"
    night = derived.assume("/house/night_target", ASSUMED_NIGHT_TARGET, "temperature", why)
    return Targets(night, house.day_target)


def _u_value(house: PlannedHouse, derived: Derived) -> Estimate:
    if house.u_value is not None:
        given = house.u_value
        return Estimate(given, given / MEASURED_U_SPREAD, given * MEASURED_U_SPREAD, "measured")
    if house.glazing is not None:
        return _range(GLAZINGS[house.glazing].u_value)
    why = "assumed.glazing"
    return derived.assume("/house/glazing", _range(UNKNOWN_GLAZING.u_value), "u_value", why)


def _area(house: PlannedHouse, derived: Derived) -> Estimate:
    if house.glazing_area is not None:
        return Estimate.exact(house.glazing_area)
    assert house.volume is not None
    area = scaled(AREA_PER_VOLUME_POWER, house.volume ** (2 / 3))
    return derived.assume("/house/glazing_area", area, "area", "assumed.glazing-area")


def _air_changes(house: PlannedHouse) -> Estimate:
    if house.air_changes is not None:
        return Estimate.exact(house.air_changes)
    if house.tightness is not None:
        return _range(AIR_CHANGES[house.tightness].value)
    glazing = GLAZINGS[house.glazing] if house.glazing else UNKNOWN_GLAZING
    return _range(glazing.air_changes)


def _range(values: Three) -> Estimate:
    return Estimate(*values, "derived")
