"""What a reading is still worth after a while: the older it is, the wider its range."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.facts.moisture import DRIEST, WETTEST
from service.facts.probes import probe_health
from service.status.days import days_between
from service.status.models import Status
from service.status.status import Aged
from service.units.estimate import Estimate
from service.units.figures import figure


@dataclass(frozen=True, slots=True)
class Drift:
    """How fast a value may leave its reading, in the estimate's unit a day, and how far at most (80 % half-range)."""

    per_day: float
    most: float


DRIFTS: Final = figure(
    {
        "/temperatures/core": Drift(1.5, 15.0),
        "/temperatures/outdoor": Drift(6.0, 12.0),
        "/pile/moisture": Drift(0.006, 0.08),
        "/moisture_feel": Drift(0.006, 0.08),
    },
    "1/day",
    "Core: about twice the slope that is called falling. Air outside: a change of weather. Moisture: a "
    "warm, drawn heap dries by up to a few percent in a week. All our own",
    "no source",
)


def aged_core(core_c: Estimate, status: Status) -> Estimate:
    """The core [degC], widened by the age of the newest reading that can be trusted."""
    now, health = status.temperatures, probe_health(status)
    if health.newest is not None and health.newest[0] > 0.0 and not now.points:
        return widened(core_c, DRIFTS["/temperatures/core"], health.newest[0])
    return _aged(core_c, status, "/temperatures/core")


def aged_outdoor(outdoor_c: Estimate, status: Status) -> Estimate:
    """The air outside [degC], widened by its age."""
    return _aged(outdoor_c, status, "/temperatures/outdoor")


def aged_moisture(moisture: Estimate, status: Status) -> Estimate:
    """Moisture [fraction], widened by the age of what it was read by."""
    wider = _aged(moisture, status, "/moisture_feel" if status.pile.moisture is None else "/pile/moisture")
    low, high = min(moisture.low, DRIEST), max(moisture.high, WETTEST)
    return Estimate(wider.value, max(wider.low, low), min(wider.high, high), wider.basis)


def _aged(estimate: Estimate, status: Status, field: Aged) -> Estimate:
    at = (status.read_at or {}).get(field)
    return estimate if at is None else widened(estimate, DRIFTS[field], days_between(at, status.as_of))


def widened(estimate: Estimate, drift: Drift, days: float) -> Estimate:
    """The estimate with its range widened on both sides by the drift of `days`."""
    by = min(drift.per_day * days, drift.most)
    return Estimate(estimate.value, estimate.low - by, estimate.high + by, estimate.basis)
