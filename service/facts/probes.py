"""Readings that a failing probe gave: which they are, what is wrong, and what is left to go by.

A hot reading is never put aside: it may be a fire.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Final, Literal

from service.status.days import readings_before_now
from service.status.models import Status

Fault = Literal["broken", "pulled_out", "jumping", "stuck", "drifting", "silent"]
Reading = tuple[float, float]
"""Days before now, and the core read then [degC]."""

COLDEST_C: Final = -40.0
"""No heap is colder; a broken or unplugged sensor reports such numbers (common practice, no source)."""
HOT_C: Final = 65.0
"""From here on a reading is believed, whatever it looks like [degC] (our own, for safety)."""
SPIKE_K, ALIKE_K, NEAR_DAYS = 8.0, 6.0, 2.0
"""A spike stands out so far from two readings that agree so well and are so near in time (our own)."""
FALL_K, FALL_DAYS = 10.0, 0.25
"""No core falls by so much within six hours: tonnes of wet matter are too heavy (heat balance)."""
SAME_K: Final = 0.02
STUCK_FINE, STUCK_WHOLE = (8, 3.0), (14, 10.0)
"""So many readings alike over so many days are no plateau, for a probe that tells tenths and one that does not; cores
at rest still move by tenths of a kelvin a day (measured in the middle and at the base of a litter stack)."""
STRAIGHT_READINGS, STRAIGHT_DAYS, STRAIGHT_K, STEEP_K_DAY, BELOW_AIR_K = 8, 5.0, 1.0, 0.7, 3.0
"""A line so long, so straight and so steep that ends so far below the air outside is the probe's, not the heap's."""
SILENT_TIMES, SILENT_DAYS, REGULAR = 3.0, 2.0, 5
"""A log read regularly is silent after so many of its own gaps, and not before so many days (our own)."""


@dataclass(frozen=True, slots=True)
class ProbeHealth:
    """What is wrong with the probe, if anything, and the readings to go by, oldest first, now's last as (0, core).

    `newest` is the newest reading that can be trusted; it is now's where nothing is wrong.
    """

    fault: Fault | None
    sound: tuple[Reading, ...]
    silent_days: float

    @property
    def newest(self) -> Reading | None:
        """The newest sound reading."""
        return self.sound[-1] if self.sound else None


def probe_health(status: Status) -> ProbeHealth:
    """Look through the log of a status."""
    now = status.temperatures.core
    readings = [*readings_before_now(status), *([] if now is None else [(0.0, now)])]
    opened = [work for work in status.done or [] if work.action in ("loosen_pile", "add_dry_bulking", "top_up")]
    return health_of(readings, status.temperatures.outdoor, opened=bool(opened))


def health_of(readings: Sequence[Reading], outdoor_c: float | None, *, opened: bool = False) -> ProbeHealth:
    """Look through readings, oldest first; `opened` says that the heap was opened lately, so that it may fall."""
    possible = [reading for reading in readings if reading[1] >= COLDEST_C]
    spikes = _spikes(possible)
    sound = [reading for place, reading in enumerate(possible) if place not in spikes]
    fault: Fault | None = "broken" if len(possible) < len(readings) else "jumping" if len(spikes) > 1 else None
    if not opened and _fell(sound):
        sound, fault = sound[:-1], fault or "pulled_out"
    stuck = _stuck(sound)
    if stuck:
        sound, fault = sound[: len(sound) - stuck + 1], fault or "stuck"
    if fault is None and _drifts(sound, outdoor_c):
        sound, fault = sound[:-STRAIGHT_READINGS] or sound[:1], "drifting"
    silent = _silent_days(readings)
    return ProbeHealth(fault or ("silent" if silent else None), tuple(sound), silent)


def _spikes(readings: Sequence[Reading]) -> set[int]:
    """Places of readings that stand out from both neighbours."""
    found = set()
    for place in range(1, len(readings) - 1):
        (before, a), (at, b), (after, c) = readings[place - 1 : place + 2]
        near = before - at <= NEAR_DAYS and at - after <= NEAR_DAYS
        if near and abs(a - c) <= ALIKE_K and min(abs(b - a), abs(b - c)) >= SPIKE_K and b < HOT_C:
            found.add(place)
    return found


def _fell(readings: Sequence[Reading]) -> bool:
    """Whether the newest reading fell faster than a heap can."""
    if len(readings) < 2:
        return False
    (before, a), (at, b) = readings[-2:]
    return before - at <= FALL_DAYS and a - b >= FALL_K


def _stuck(readings: Sequence[Reading]) -> int:
    """How many of the newest readings are one and the same, 0 where that may be a plateau."""
    if not readings:
        return 0
    last = readings[-1][1]
    alike = 0
    for _, core in reversed(readings):
        if abs(core - last) > SAME_K:
            break
        alike += 1
    fine = any(abs(core - round(core)) > SAME_K for _, core in readings)
    fewest, days = STUCK_FINE if fine else STUCK_WHOLE
    lasting = readings[-alike][0] - readings[-1][0]
    return alike if alike >= fewest and lasting >= days and last < HOT_C else 0


def _drifts(readings: Sequence[Reading], outdoor_c: float | None) -> bool:
    """Whether the newest readings run straight down to below the air outside."""
    line = readings[-STRAIGHT_READINGS:]
    if outdoor_c is None or len(line) < STRAIGHT_READINGS or line[-1][1] > outdoor_c - BELOW_AIR_K:
        return False
    (begun, first), (ended, last) = line[0], line[-1]
    span = begun - ended
    if span < STRAIGHT_DAYS or (last - first) / span > -STEEP_K_DAY:
        return False
    return all(abs(first + (last - first) * (begun - day) / span - core) <= STRAIGHT_K for day, core in line)


def _silent_days(readings: Sequence[Reading]) -> float:
    """Days without a word from a probe that was read regularly, 0 where it is not silent."""
    if len(readings) < REGULAR:
        return 0.0
    usual = median(before - at for (before, _), (at, _) in pairwise(readings))
    newest = readings[-1][0]
    return newest if newest > max(SILENT_TIMES * usual, SILENT_DAYS) else 0.0
