"""Forecasts of the service on measured logs, beside the three simple ways."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from service.outlook.forecast import forecast_core
from service.status.reading import read_status
from tests.measured import litter
from tests.measured.rivals import RIVALS

LEADS: Final = (3.0, 7.0, 14.0)


@dataclass(frozen=True, slots=True)
class Shot:
    """One forecast at one lead: what came, the median and 80 % range, and what each simple way said. [degC]"""

    probe: str
    day: float
    lead: float
    came: float
    median: float
    low: float
    high: float
    rivals: dict[str, float]

    @property
    def error(self) -> float:
        """Of the median. [K]"""
        return abs(self.median - self.came)

    @property
    def held(self) -> bool:
        """Whether the range held what came."""
        return self.low <= self.came <= self.high


def shots_of(trace: litter.Trace, **how: Any) -> list[Shot]:
    """Every origin of a probe and each lead that can be checked."""
    found = []
    for day in litter.origins(trace):
        status = read_status(litter.told(trace, day, **how))
        median, low, high = forecast_core(status, LEADS)
        rivals = {name: way(status, LEADS) for name, way in RIVALS.items()}
        for place, lead in enumerate(LEADS):
            came = trace.at(day + lead)
            if np.isfinite(came):
                said = {name: float(values[place]) for name, values in rivals.items()}
                numbers = (float(median[place]), float(low[place]), float(high[place]))
                found.append(Shot(trace.probe, day, lead, came, *numbers, said))
    return found


def all_shots(probes: Iterable[str], **how: Any) -> list[Shot]:
    """The same of several probes."""
    return [shot for probe in probes for shot in shots_of(litter.traces()[probe], **how)]


@dataclass(frozen=True, slots=True)
class Tally:
    """At one lead: number of forecasts, mean errors by way [K], share held, and mean width of the range [K]."""

    lead: float
    count: int
    errors: dict[str, float]
    held: float
    width: float


def tally(shots: Iterable[Shot]) -> list[Tally]:
    """Mean errors at each lead."""
    listed = list(shots)
    return [_tally(lead, [shot for shot in listed if shot.lead == lead]) for lead in LEADS]


def _tally(lead: float, shots: list[Shot]) -> Tally:
    errors = {"warmheap": float(np.mean([shot.error for shot in shots]))}
    for name in RIVALS:
        errors[name] = float(np.mean([abs(shot.rivals[name] - shot.came) for shot in shots]))
    held = float(np.mean([shot.held for shot in shots]))
    return Tally(lead, len(shots), errors, held, float(np.mean([shot.high - shot.low for shot in shots])))
