"""What is believed about one pile, in SI units, each number with an 80 % range: hand-over from status to physics."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

Basis = Literal["measured", "derived", "assumed"]
SECONDS_PER_DAY: Final = 86_400.0
SECONDS_PER_HOUR: Final = 3600.0
MINUTES_PER_HOUR: Final = 60.0
WATER_DENSITY: Final = 1000.0
"""Of water [kg/m3]."""
LOW_SHARE: Final = 0.1
HIGH_SHARE: Final = 0.9
RANGE_SHARES: Final = (LOW_SHARE, 0.5, HIGH_SHARE)
"""Shares of the likelihood below the low end of an 80 % range, its middle and its high end. [1]"""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its 80 % range and where it comes from. Low and high equal the value where it is exact."""

    value: float
    low: float
    high: float
    basis: Basis

    @classmethod
    def exact(cls, value: float) -> Estimate:
        """A value taken as it was given."""
        return cls(value, value, value, "measured")

    @property
    def ends(self) -> tuple[float, float, float]:
        """The value and the two ends of its range."""
        return self.value, self.low, self.high


def ranged(ends: Iterable[float]) -> Estimate:
    """An estimate worked out from value, low and high, in this order."""
    value, low, high = ends
    return Estimate(value, low, high, "derived")


def scaled(estimate: Estimate, factor: float) -> Estimate:
    """All three numbers times a factor that is not in doubt and not below 0."""
    return Estimate(estimate.value * factor, estimate.low * factor, estimate.high * factor, estimate.basis)


@dataclass(frozen=True, slots=True)
class Untold:
    """80 % ranges of what nobody told of a draw: flow, and shares of the hour and of the day; None where it was told.

    The flow's is in the draw's own unit.
    """

    flow: tuple[float, float] | None = None
    hour_share: tuple[float, float] | None = None
    day_share: tuple[float, float] | None = None


ALL_TOLD: Final = Untold()


@dataclass(frozen=True, slots=True)
class AirDraw:
    """Air drawn through the heap. Shares are of the hour and of the day; temperatures are None where not read.

    `path_told` is False where the path was taken for granted.
    """

    flow_m3_s: float
    hour_share: float
    day_share: float
    path: Literal["closed_duct", "through_heap"]
    inlet_c: float | None
    outlet_c: float | None
    untold: Untold = ALL_TOLD
    path_told: bool = True


@dataclass(frozen=True, slots=True)
class WaterDraw:
    """Water drawn through the buried loop."""

    flow_kg_s: float
    hour_share: float
    day_share: float
    inlet_c: float | None
    outlet_c: float | None
    tube: Literal["copper", "plastic"] | None
    tube_length_m: float | None
    untold: Untold = ALL_TOLD


USUAL_PACE = Estimate(1.0, 0.53, 1.9, "assumed")
USUAL_PUMP: Final = Estimate(0.05, 0.02, 0.1, "assumed")
"""A small circulating pump [kg/s], 3 L/min (our own)."""
USUAL_FAN: Final = Estimate(0.025, 0.012, 0.05, "assumed")
"""A small duct fan [m3/s], 90 m3/h (our own)."""
USUAL_HOTTEST = Estimate(70.0, 65.0, 75.0, "assumed")
"""How fast a heap of nobody knows what rots over what is usual [1], and where its rot ends [degC] (our own)."""


@dataclass(frozen=True, slots=True)
class PileEstimate:
    """One pile today. Fractions are 0 to 1; moisture is of the wet mass, the other shares of the dry matter.

    `fast_share` and `slow_share` are the degradable pools when the heap was built; physics ages them.
    `history` holds (days before now, core in degC) since the heap was last changed by work, oldest first, now not
    included. `drawn_days` is for how many days the draw has been as it is, None if not known, and `drawn_before` what
    was drawn until then; `as_set` is what fan and pump took until they were found standing. `pace` is how fast its
    materials rot over what is usual and `hottest_c` where their rot ends. `carried` are the members, by number, that
    fitted an earlier part of the log, each as often as it weighed. `wrapped` is whether a thick wrap lies about the
    sides as well as the cover.
    """

    age_days: float
    mass_kg: Estimate
    volume_m3: Estimate
    moisture: Estimate
    fast_share: Estimate
    slow_share: Estimate
    cn_degradable: Estimate
    heating_value_j_kg: float
    core_c: Estimate
    outer_c: float | None
    outdoor_c: Estimate
    wind_m_s: Estimate
    cover: Literal["none", "clear_film", "tarp", "breathable", "straw"]
    air: AirDraw | None
    water: WaterDraw | None
    has_air_duct: bool | None
    has_water_loop: bool | None
    history: tuple[tuple[float, float], ...] = ()
    drawn_days: float | None = None
    drawn_before: Literal["nothing", "less", "more", "as_set"] = "nothing"
    as_set: tuple[AirDraw | None, WaterDraw | None] = (None, None)
    smell: str | None = None
    pace: Estimate = USUAL_PACE
    hottest_c: Estimate = USUAL_HOTTEST
    carried: tuple[int, ...] = ()
    wrapped: bool = False
