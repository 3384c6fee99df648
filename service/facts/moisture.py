"""How wet the heap is: measured, squeezed, or what its ingredients were."""

from __future__ import annotations

from datetime import datetime

from service.facts.mixture import Mixture
from service.facts.record import Derived
from service.status.days import days_between
from service.status.models import Status
from service.units.estimate import Estimate

FEEL_MOISTURE = {"dusty": 0.30, "dry": 0.42, "damp": 0.55, "wet": 0.64, "soggy": 0.70}
"""Moisture by squeeze test [fraction of wet mass]: a damp wrung-out rag is 50-60 % (handbooks), the rest is our own."""
FEEL_SPREAD = 0.064
"""80 % half-range of a squeeze test from inside the heap: standard deviation 0.05 (our own)."""
SKIN_SPREAD = 0.13
"""The same for a handful from the skin, which tells little about the inside (our own)."""
MEASURED_SPREAD = 0.03
"""80 % half-range of an oven-dried sample: one handful is not the heap (our own)."""
DRY_CORE = Estimate(0.40, 0.30, 0.48, "derived")
"""Moisture inside a heap with a wet skin and a dry core (our own)."""
DRYING_SPREAD = 0.08
"""What weeks of rot and weather add to the doubt about the ingredients' moisture (our own)."""
SIDE = {"dusty": "dry", "dry": "dry", "damp": "right", "wet": "wet", "soggy": "wet"}
HANDS_LAST_DAYS = 10.0
"""An earlier handful counts for so long [days] (our own)."""
DRIEST, WETTEST = 0.10, 0.85


def read_moisture(status: Status, mixture: Mixture, derived: Derived) -> Estimate:
    """Moisture inside the heap [fraction]; puts `moisture_percent` only where it was measured."""
    signs = status.signs or []
    derived.put(moisture_feel=status.moisture_feel, moisture_feel_at=status.moisture_feel_at)
    put_earlier_hands(status, derived)
    if status.pile.moisture is not None:
        measured = _around(status.pile.moisture / 100, MEASURED_SPREAD)
        derived.put(moisture_percent=100 * measured.value)
        return measured
    if "wet_skin_dry_core" in signs and status.moisture_feel_at not in ("arm_deep", "core"):
        return DRY_CORE
    if status.moisture_feel is not None:
        middle = FEEL_MOISTURE[status.moisture_feel]
        if status.moisture_feel_at == "surface":
            return _around(middle, SKIN_SPREAD)
        return _around(middle, FEEL_SPREAD)
    why = "nobody felt or measured it; " + ("taken from the ingredients" if mixture.known else "a usual span")
    start = mixture.moisture
    guess = Estimate(
        start.value, max(start.low - DRYING_SPREAD, DRIEST), min(start.high + DRYING_SPREAD, WETTEST), "assumed"
    )
    shown = Estimate(100 * guess.value, 100 * guess.low, 100 * guess.high, "assumed")
    derived.assume("/pile/moisture", shown, "percent", why)
    return guess


def put_earlier_hands(status: Status, derived: Derived) -> None:
    """Put whether earlier handfuls, or a second look, agree with a dry or wet one; unknown where there were none."""
    feel = status.moisture_feel
    if feel is None or feel == "damp":
        return
    if any(_lately(work.at, status) for work in status.done or [] if work.action == "squeeze_again"):
        derived.put(hand_confirmed=True)
        return
    earlier = [(read.at, read.moisture_feel) for read in status.history or [] if read.moisture_feel is not None]
    lately = [felt for at, felt in sorted(earlier) if at < status.as_of and _lately(at, status)]
    if lately:
        derived.put(hand_confirmed=SIDE[lately[-1]] == SIDE[feel])


def _lately(at: datetime, status: Status) -> bool:
    return days_between(at, status.as_of) <= HANDS_LAST_DAYS


def _around(middle: float, half_range: float) -> Estimate:
    return Estimate(middle, max(middle - half_range, DRIEST), min(middle + half_range, WETTEST), "measured")
