"""The days of a plan: when the heap is built, when drawing begins and ends, and the air on each day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from rules.language.status_words import Exposure
from service.facts.record import Derived
from service.facts.weather import ASSUMED_OUTDOOR, WIND_SPEEDS
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.spread import points
from service.planning.climate import Climate, climate_of
from service.planning.season_trial import MEMBERS, season_weather
from service.planning.shapes.common import Outdoor, Period
from service.units.estimate import Estimate
from service.units.figures import figure

DEFAULT_DAYS: Final = figure(90, "days", "Length of a winter's draw where none was told", "no source")
AUTUMN_C: Final = figure(
    10.0,
    "degC",
    "Mean air while a heap is built and warms, where no table tells it: autumn, before the cold",
    "no source",
)
START_DAYS: Final = figure(
    5, "days", "Days after building over which the air tells how cold the material is", "no source"
)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The days of warming up and of drawing: mean air of each [degC] with its doubt, and the dates if they are real.

    `doubt` is the 80 % range of the whole level around the middle. [K]
    """

    lead_days: int
    days: int
    daily_c: tuple[float, ...]
    doubt: Estimate
    first_draw: date | None

    @property
    def built(self) -> date | None:
        """Day the heap is built."""
        return None if self.first_draw is None else self.first_draw - timedelta(days=self.lead_days)

    @property
    def until(self) -> date | None:
        """Last day of drawing."""
        return None if self.first_draw is None else self.first_draw + timedelta(days=self.days - 1)

    @property
    def material_c(self) -> float:
        """Temperature of what is piled up: the mean air of the first days. [degC]"""
        first = self.daily_c[:START_DAYS]
        return sum(first) / len(first)

    def weather(self, wind: Exposure | None) -> DailyWeather:
        """The weather of each member of the ensemble."""
        doubt = points("outdoor", MEMBERS).around(self.doubt)
        speeds = np.maximum(points("wind", MEMBERS).around(WIND_SPEEDS[wind or "normal"]), 0.0)
        return season_weather(self.daily_c, doubt, speeds)


def stretch_of(
    outdoor: Outdoor | None, period: Period | None, days: float | None, lead_days: int, derived: Derived
) -> Stretch:
    """The days asked for, else those of the table, else ninety; where the table does not reach, its nearest day."""
    whole = None if outdoor is None else climate_of(outdoor, None)
    count = _count(whole, period, days, derived)
    first = period.start if period is not None else whole.begin.date() if whole is not None else None
    if whole is None or first is None:
        air = derived.assume("/outdoor", ASSUMED_OUTDOOR, "temperature", "heap-plan.why.outdoor")
        doubt = Estimate(0.0, air.low - air.value, air.high - air.value, "assumed")
        daily = (AUTUMN_C,) * lead_days + (air.value,) * count
        return Stretch(lead_days, count, daily, doubt, first)
    built = first - timedelta(days=lead_days)
    dates = [built + timedelta(days=number) for number in range(lead_days + count)]
    assert outdoor is not None
    reach = whole if outdoor.monthly is None else _months_over(outdoor, dates) or whole
    spread = Estimate(0.0, -whole.doubt_k, whole.doubt_k, "derived")
    real = first if period is not None or whole.dated else None
    return Stretch(lead_days, count, tuple(reach.mean_at(day) for day in dates), spread, real)


def _count(whole: Climate | None, period: Period | None, days: float | None, derived: Derived) -> int:
    if period is not None:
        return (period.until - period.start).days + 1
    if days is not None:
        return max(1, round(days))
    if whole is not None:
        return len(whole.days)
    count = float(DEFAULT_DAYS)
    derived.assume("/days", Estimate(count, count, count, "assumed"), "duration", "heap-plan.why.days")
    return DEFAULT_DAYS


def _months_over(outdoor: Outdoor, dates: list[date]) -> Climate | None:
    """A table of months laid out over those very dates."""
    return climate_of(outdoor, Period.model_construct(start=dates[0], until=dates[-1]))
