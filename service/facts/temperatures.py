"""Which reading is the core, how far it can be trusted, and where it is going."""

from __future__ import annotations

import itertools
from typing import Final

from rules.tables.thresholds import TREND_LIMIT
from service.facts.probes import ProbeHealth, probe_health
from service.facts.record import Derived
from service.facts.trend import core_trend, declines_steadily
from service.status.days import days_between
from service.status.models import ProbePoint, Status
from service.units.figures import figure

JUMP_WITHIN_DAYS: Final = figure(
    1.5, "days", "A change between readings closer than this is a jump, not a trend (common practice)", "no source"
)
OUTSIDE_DOUBT_K: Final = figure(
    3.0, "K", "A core this far below the air outside is a doubtful reading (common practice)", "no source"
)
DISBELIEVED = frozenset({"pulled_out", "drifting"})
"""Faults for which today's own reading is not gone by. One that may be hot always is."""
LIKE_DEPTH_M: Final = figure(
    0.15, "m", "Probe points within this depth of each other are compared (common practice)", "no source"
)
LATELY_DAYS: Final = figure(
    3.0, "days", "Tonnes of matter do not cool from a fire's heat in so few days (heat balance)", "derived"
)
RISES_ON_DAYS: Final = figure(3.0, "days", "For so long a rising core is taken to rise on as before", "no source")
ALIKE_K: Final = figure(
    5.0,
    "K",
    "A deep reading so far below the core was taken elsewhere: the probe may be short all the same",
    "no source",
)


def read_temperatures(status: Status, derived: Derived, radius_m: float | None) -> None:
    """Put the temperature and probe facts.

    `radius_m` is the heap's radius where its size is known; without it the depth of a reading cannot be judged.
    """
    temperatures = status.temperatures
    points = temperatures.points or []
    health = probe_health(status)
    core_c, too_short = _core(status, radius_m, health)
    given_now = bool(points) or (temperatures.core is not None and health.fault not in DISBELIEVED)
    readings = [
        value for value in (core_c, temperatures.outer, *(point.value for point in points)) if value is not None
    ]
    outdoor_c = temperatures.outdoor
    derived.put(
        core_c=core_c,
        hottest_c=max(readings),
        core_above_outdoor_k=None if outdoor_c is None else core_c - outdoor_c,
        core_below_outdoor=None if outdoor_c is None else core_c < outdoor_c - OUTSIDE_DOUBT_K,
        core_above_outer_k=None if temperatures.outer is None else core_c - temperatures.outer,
        points_spread_k=_spread(points),
        probe_too_short=too_short,
    )
    derived.put(probe_fault=health.fault, probe_silent_days=health.silent_days or None)
    _read_history(status, derived, core_c if given_now else None, health)


def _core(status: Status, radius_m: float | None, health: ProbeHealth) -> tuple[float, bool | None]:
    """The hottest reading at or below half the radius, else the hottest there is, then a lower bound."""
    points = status.temperatures.points or []
    given = None if health.fault in DISBELIEVED else status.temperatures.core
    needed_m = None if radius_m is None else radius_m / 2
    reach_m = status.probe.length if status.probe else None
    deep = [p.value for p in points if needed_m is not None and p.depth is not None and p.depth >= needed_m]
    if given is not None:
        reached = any(value >= given - ALIKE_K for value in deep)
        too_short = None if needed_m is None or reach_m is None else reach_m < needed_m and not reached
        return max([given, *deep]), too_short
    if deep:
        return max(deep), False
    if points:
        return max(p.value for p in points), None if needed_m is None else True
    if health.newest is not None:
        return health.newest[1], None
    newest = max(status.history or [], key=lambda reading: reading.at, default=None)
    return (newest.core if newest is not None else float(status.temperatures.core or 0.0)), None


def _spread(points: list[ProbePoint]) -> float | None:
    """Largest difference between points of like depth; None where no two can be compared."""
    pairs = [
        abs(a.value - b.value)
        for a, b in itertools.combinations(points, 2)
        if a.depth is not None and b.depth is not None and abs(a.depth - b.depth) <= LIKE_DEPTH_M
    ]
    return max(pairs, default=None)


def _read_history(status: Status, derived: Derived, now_c: float | None, health: ProbeHealth) -> None:
    """Put what the log tells; `now_c` is the core read now, None where the newest of the log stands for it."""
    earlier = [reading for reading in health.sound if reading[0] > 0.0]
    derived.put(has_history=bool(earlier) if status.history is not None else None)
    read = (status.read_at or {}).get("/temperatures/core")
    now_days = 0.0 if read is None or now_c is None else days_between(read, status.as_of)
    if not earlier:
        derived.put(core_read_days_ago=now_days or None)
        return
    readings = earlier if now_c is None else [*(each for each in earlier if each[0] > now_days), (now_days, now_c)]
    derived.put(core_read_days_ago=readings[-1][0] or None)
    lately = [core for days, core in earlier if days <= LATELY_DAYS]
    derived.put(hottest_lately_c=max(lately, default=None))
    peak_days, peak_c = max(readings, key=lambda reading: (reading[1], -reading[0]))
    jumps = [
        abs(b_core - a_core)
        for (a_days, a_core), (b_days, b_core) in itertools.pairwise(readings)
        if a_days - b_days < JUMP_WITHIN_DAYS
    ]
    derived.put(peak_core_c=peak_c, days_since_peak=peak_days, core_jump_k=max(jumps, default=None))
    trend = core_trend(readings)
    if trend is None:
        return
    real = trend.is_beyond_error()
    limit = TREND_LIMIT.value - 1e-9
    rising = real and trend.slope >= limit
    falling = (real and trend.slope <= -limit) or (not rising and declines_steadily(readings))
    derived.put(core_trend_k_per_day=trend.slope, core_trend_error_k_per_day=trend.error)
    if rising and readings[-1][0] > 0.0:
        since = min(readings[-1][0], RISES_ON_DAYS)
        derived.put(core_by_now_c=readings[-1][1] + trend.slope * since)
    derived.put(core_falling=falling, core_rising=rising)
    if not (falling or rising) and trend.error <= TREND_LIMIT.value:
        derived.put(core_steady=True)
    elif falling or rising:
        derived.put(core_steady=False)
