"""Readings that a failing probe gave: which they are, what is wrong, and what is left to go by.

A hot reading is never put aside, for it may be a fire, but for the number that a sensor holds before it has measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import linear_regression, median
from typing import Final, Literal

from service.status.days import readings_before_now
from service.status.models import Status
from service.units.figures import figure

ProbeFault = Literal["broken", "pulled_out", "jumping", "stuck", "drifting", "silent"]
CoreReading = tuple[float, float]
"""Days before now, and the core read then [degC]."""

COLDEST_C: Final = figure(
    -40.0, "degC", "No heap is colder; a broken or unplugged sensor reports such numbers (common practice)", "no source"
)
BELIEVED_FROM_C: Final = figure(65.0, "degC", "From here on a reading is believed, for safety", "no source")
SPIKE_K: Final = figure(8.0, "K", "A spike stands out so far from two readings beside it", "no source")
ALIKE_K: Final = figure(6.0, "K", "So well do the two readings beside a spike agree", "no source")
NEAR_DAYS: Final = figure(2.0, "days", "So near in time to a spike are the two readings it is seen by", "no source")
POWER_ON_C: Final = figure(
    85.0,
    "degC",
    "What common one-wire digital sensors hold from power-up until they have measured (DS18B20 data "
    "sheet); 185 in degrees Fahrenheit. A log read by eye is no digital sensor's: there it is believed",
    "from memory",
)
MARK_K: Final = figure(0.03, "K", "So near to it a reading is that number", "no source")
BY_EYE_K: Final = figure(
    0.5, "degC or degF", "No finer than this a dial is read by eye, in either scale (common practice)", "no source"
)
SWINGS: Final = figure(
    4.0,
    "1",
    "A probe near the skin swings from day to day: its spikes stand out by so many times its usual step",
    "no source",
)
SURE_SPIKE_K: Final = figure(
    20.0,
    "K",
    "Or by so much: the top of a litter stack, read every six hours, steps by 4 to 5 K and was never broken",
    "derived",
)
ERRATIC_K: Final = figure(
    10.0,
    "K",
    "Readings that step by so much, as a rule, are of no heap, not even of its skin: measured was at most half of it",
    "derived",
)
ERRATIC_READINGS: Final = figure(6, "readings", "So many readings show that", "no source")
FALL_K: Final = figure(
    10.0, "K", "No core falls by so much within FALL_DAYS: tonnes of wet matter are too heavy (heat balance)", "derived"
)
FALL_DAYS: Final = figure(0.25, "days", "In so short a time no core falls by FALL_K (heat balance)", "derived")
OUT_DAYS: Final = figure(7.0, "days", "After so many days somebody has looked", "no source")
AIR_SWING_K: Final = figure(
    10.0,
    "K",
    "A probe that fell so and stays no warmer than this over the air of now is out of the heap, or dead: "
    "the top of a litter stack fell by 24 K in six hours, sound and 20 K over the air",
    "no source",
)
FROZEN_C: Final = figure(
    -2.0,
    "degC",
    "No core read warm is so cold within FREEZE_DAYS: its water would have to freeze first, which takes "
    "as much heat as sixty kelvins do; half a cubic metre loses half of that at most in air of -20 degC "
    "(heat balance)",
    "derived",
)
WARM_BEFORE_C: Final = figure(20.0, "degC", "A core read so warm is not frozen within FREEZE_DAYS", "derived")
FREEZE_DAYS: Final = figure(3.0, "days", "In so few days no warm core freezes (heat balance)", "derived")
SAME_K: Final = figure(0.02, "K", "Readings this near are the same number", "no source")
STUCK_FINE: Final = figure(
    (8, 3.0),
    "readings, days",
    "Readings alike over so many days that are no plateau, for a probe that tells tenths: cores at rest "
    "still move by tenths of a kelvin",
    "derived",
)
STUCK_WHOLE: Final = figure(
    (14, 10.0),
    "readings, days",
    "Readings alike over so many days that are no plateau, for a probe read by eye",
    "derived",
)
WAVERS_K: Final = figure(
    0.25,
    "K",
    "A warm core moves by more than this within WAVERS_DAYS: by 0.5 K at least in the middle of a litter stack",
    "derived",
)
WARM_C: Final = figure(38.0, "degC", "Warm is a core from here on", "no source")
WAVERS_READINGS: Final = figure(10, "readings", "So many readings show that", "no source")
WAVERS_DAYS: Final = figure(5.0, "days", "Over so many days", "derived")
STRAIGHT_READINGS: Final = figure(
    8,
    "readings",
    "A line of so many readings that ends below the air outside is the probe's, not the heap's",
    "no source",
)
STRAIGHT_DAYS: Final = figure(5.0, "days", "So long is such a line", "no source")
STRAIGHT_K: Final = figure(1.0, "K", "So little do its readings stray from it", "no source")
STEEP_K_DAY: Final = figure(0.7, "K/day", "So steep is it", "no source")
BELOW_AIR_K: Final = figure(3.0, "K", "So far below the air outside it ends", "no source")
STRAIGHT_SHARE: Final = figure(
    0.08,
    "1",
    "A long fall may stray from its line by so much of itself: a heap's would flatten out towards the air",
    "no source",
)
FALLING_READINGS: Final = figure(3, "readings", "A drift goes back while readings so many apart fall", "no source")
STILL_FALLING: Final = figure(0.5, "1", "By so much of its own slope they fall, straight or not", "no source")
SILENT_TIMES: Final = figure(3.0, "1", "A log read regularly is silent after so many of its own gaps", "no source")
SILENT_DAYS: Final = figure(2.0, "days", "A log is silent after so many days at the soonest", "no source")
REGULAR: Final = figure(5, "readings", "So many readings make a log regular", "no source")


@dataclass(frozen=True, slots=True)
class ProbeHealth:
    """What is wrong with the probe, if anything, and the readings to go by, oldest first, now's last as (0, core).

    `newest` is the newest reading that can be trusted; it is now's where nothing is wrong.
    """

    fault: ProbeFault | None
    sound: tuple[CoreReading, ...]
    silent_days: float

    @property
    def newest(self) -> CoreReading | None:
        """The newest sound reading."""
        return self.sound[-1] if self.sound else None


def probe_health(status: Status) -> ProbeHealth:
    """Look through the log of a status."""
    now = status.temperatures.core
    readings = [*readings_before_now(status), *([] if now is None else [(0.0, now)])]
    opened = [work for work in status.done or [] if work.action in ("loosen_pile", "add_dry_bulking", "top_up")]
    return health_of(readings, status.temperatures.outdoor, opened=bool(opened))


def health_of(readings: Sequence[CoreReading], outdoor_c: float | None, *, opened: bool = False) -> ProbeHealth:
    """Look through readings, oldest first; `opened` says that the heap was opened lately, so that it may fall."""
    possible = [reading for reading in readings if reading[1] >= COLDEST_C]
    spikes = _spikes(possible)
    sound = [reading for place, reading in enumerate(possible) if place not in spikes]
    jumps = len(spikes) > 1 or _erratic(possible)
    fault: ProbeFault | None = "broken" if len(possible) < len(readings) else "jumping" if jumps else None
    fallen = 0 if opened else _fallen(sound, outdoor_c)
    if fallen:
        sound, fault = sound[:-fallen], fault or "pulled_out"
    stuck = _stuck(sound)
    if stuck:
        sound, fault = sound[: len(sound) - stuck + 1], fault or "stuck"
    drifting = 0 if fault else _drifting(sound, outdoor_c)
    if drifting:
        sound, fault = sound[:-drifting] or sound[:1], "drifting"
    silent = _silent_days(readings)
    return ProbeHealth(fault or ("silent" if silent else None), tuple(sound), silent)


def _spikes(readings: Sequence[CoreReading]) -> set[int]:
    """Places of readings that stand out from both neighbours."""
    found: set[int] = set()
    if len(readings) < 3:
        return found
    digital = _is_fine(readings)
    least = min(max(SPIKE_K, SWINGS * _usual_step(readings)), SURE_SPIKE_K)
    for place in range(1, len(readings) - 1):
        (before, a), (at, b), (after, c) = readings[place - 1 : place + 2]
        near = before - at <= NEAR_DAYS and at - after <= NEAR_DAYS
        away = min(abs(b - a), abs(b - c))
        unmeasured = digital and abs(b - POWER_ON_C) <= MARK_K and away >= SURE_SPIKE_K
        believed = b >= BELIEVED_FROM_C and not unmeasured
        if near and abs(a - c) <= ALIKE_K and away >= least and not believed:
            found.add(place)
    return found


def _is_fine(readings: Sequence[CoreReading]) -> bool:
    """Whether a log tells more than whole and half degrees of one scale, as a sensor does and nobody's eye."""
    celsius = [core for _, core in readings]
    fahrenheit = [1.8 * core + 32.0 for core in celsius]
    return all(
        any(abs(read / BY_EYE_K - round(read / BY_EYE_K)) * BY_EYE_K > SAME_K for read in scale)
        for scale in (celsius, fahrenheit)
    )


def _usual_step(readings: Sequence[CoreReading]) -> float:
    return median(abs(b - a) for (_, a), (_, b) in pairwise(readings))


def _erratic(readings: Sequence[CoreReading]) -> bool:
    """Whether the readings go up and down as no heap can; none of them is hot."""
    cool = all(core < BELIEVED_FROM_C for _, core in readings)
    return cool and len(readings) >= ERRATIC_READINGS and _usual_step(readings) >= ERRATIC_K


def _fallen(readings: Sequence[CoreReading], outdoor_c: float | None) -> int:
    """How many of the newest readings follow a fall faster than a heap's, or a frost where one was warm.

    More than the newest are only those that stay as cool as the air: near the skin a probe swings as far and is sound.
    0 where they last so many days that whoever reads them must have looked.
    """
    out_c = COLDEST_C if outdoor_c is None else outdoor_c + AIR_SWING_K
    for place in range(len(readings) - 1, 0, -1):
        (before, a), (at, b) = readings[place - 1 : place + 1]
        if at - readings[-1][0] > OUT_DAYS:
            return 0
        frozen = before - at <= FREEZE_DAYS and a >= WARM_BEFORE_C and b <= FROZEN_C
        fell = frozen or (before - at <= FALL_DAYS and a - b >= FALL_K)
        later = [core for _, core in readings[place:]]
        if fell and (len(later) == 1 or max(later) <= min(out_c, a - FALL_K)):
            return len(later)
    return 0


def _stuck(readings: Sequence[CoreReading]) -> int:
    """How many of the newest readings are one and the same, 0 where that may be a plateau."""
    if not readings:
        return 0
    last = readings[-1][1]
    if last >= BELIEVED_FROM_C:
        return 0
    fine = _is_fine(readings)
    alike = _alike(readings, SAME_K)
    if _lasts(readings, alike, *(STUCK_FINE if fine else STUCK_WHOLE)):
        return alike
    trembling = _alike(readings, WAVERS_K) if fine and last >= WARM_C else 0
    return trembling if _lasts(readings, trembling, WAVERS_READINGS, WAVERS_DAYS) else 0


def _alike(readings: Sequence[CoreReading], within_k: float) -> int:
    """How many of the newest readings lie within so much of each other."""
    low = high = readings[-1][1]
    count = 0
    for _, core in reversed(readings):
        low, high = min(low, core), max(high, core)
        if high - low > within_k:
            break
        count += 1
    return count


def _lasts(readings: Sequence[CoreReading], count: int, fewest: int, days: float) -> bool:
    """Whether the newest readings, so many, are enough and go back far enough."""
    return count >= max(fewest, 1) and readings[-count][0] - readings[-1][0] >= days


def _drifting(readings: Sequence[CoreReading], outdoor_c: float | None) -> int:
    """How many of the newest readings run straight down to below the air outside, 0 where none do.

    With them go those before that fell already, however crookedly.
    """
    if outdoor_c is None or not readings or readings[-1][1] > outdoor_c - BELOW_AIR_K:
        return 0
    ended = readings[-1][0]
    count = max(STRAIGHT_READINGS, sum(day - ended < STRAIGHT_DAYS for day, _ in readings) + 1)
    if count > len(readings):
        return 0
    lately = readings[-count:]
    slope, start = linear_regression([-day for day, _ in lately], [core for _, core in lately])
    stray = max(STRAIGHT_K, STRAIGHT_SHARE * -slope * (lately[0][0] - ended))
    if slope > -STEEP_K_DAY or any(abs(start - slope * day - core) > stray for day, core in lately):
        return 0
    return len(readings) - _begun(readings, len(readings) - count, -slope)


def _begun(readings: Sequence[CoreReading], place: int, k_per_day: float) -> int:
    """Where a fall that was seen from a place on began: at the first reading that left the level before."""
    while place > 0:
        (before, a), (at, b) = readings[place - 1], readings[place - 1 + FALLING_READINGS]
        if a - b < STILL_FALLING * k_per_day * (before - at):
            break
        place -= 1
    level_c = readings[place - 1][1] if place else float("inf")
    while readings[place][1] >= level_c - STRAIGHT_K:
        place += 1
    return place


def _silent_days(readings: Sequence[CoreReading]) -> float:
    """Days without a word from a probe that was read regularly, 0 where it is not silent."""
    if len(readings) < REGULAR:
        return 0.0
    usual = median(before - at for (before, _), (at, _) in pairwise(readings))
    newest = readings[-1][0]
    return newest if newest > max(SILENT_TIMES * usual, SILENT_DAYS) else 0.0
