"""Heaps with a log, made by the model itself: what is to be learned is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import simulate
from service.heat.physics.members import members
from service.units.estimate import Estimate, PileEstimate
from tests.physics.samples import estimate

LOG_DAYS = 6


def logged(
    which: int, noise_k: float = 0.0, days: int = LOG_DAYS, **changes: object
) -> tuple[PileEstimate, np.ndarray]:
    """An estimate with a daily log that member `which` of another ensemble wrote, and that member's next 14 days."""
    told = estimate(**changes)
    piles, state, _ = members(replace(told, age_days=told.age_days - days), 64)
    one = np.array([which])
    heap, start = piles.take(one), state.take(one)
    core = simulate(heap, start, DailyWeather.of(told.outdoor_c.value), days + 14.0, 12.0).core_c[::2, 0]
    errors = noise_k * np.sin(7.0 * np.arange(days + 1))  # alternating, without chance
    readings = core[: days + 1] + errors
    history = tuple((float(days - day), float(readings[day])) for day in range(days))
    now = float(readings[days])
    return replace(told, history=history, core_c=Estimate(now, now - 1.5, now + 1.5, "measured")), core[days:]


def with_log(*readings: float, **changes: object) -> PileEstimate:
    """An estimate whose daily readings end today."""
    *before, now = readings
    history = tuple((float(len(before) - day), core) for day, core in enumerate(before))
    return estimate(**{"history": history, "core_c": Estimate(now, now - 1.5, now + 1.5, "measured"), **changes})
