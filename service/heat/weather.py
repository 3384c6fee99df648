"""Weather by day: the forecast as far as it was given, then what is usual from what is known of the place.

Nobody tells where the heap lies, so what is usual is the mean of the temperatures given, moved by a yearly swing of the
middle latitudes. Which half of the earth it is shows in the temperatures themselves.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import cos, exp, pi
from typing import Final

import numpy as np

from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.spread import points
from service.status.models import ForecastDay, Status
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure

YEAR_DAYS: Final = 365.25
COLDEST_DAY: Final = figure(
    20.0,
    "day",
    "Day of the year with the lowest mean in the north, 20 January; in the south half a year later",
    "from memory",
)
YEARLY_MEAN_C: Final = figure(10.0, "degC", "Mean of a year in the middle latitudes", "from memory")
YEARLY_SWING_K: Final = figure(
    9.0, "K", "Half the difference of the warmest and the coldest month there", "from memory"
)
SWING_DOUBT: Final = figure(0.35, "1", "80 % half-range of that swing, as a share of it", "no source")
HALF_DAILY_RANGE_K: Final = figure(4.0, "K", "From a day's mean to its low or high in the cold season", "no source")
FORECAST_ERROR_K: Final = figure(1.5, "K", "80 % half-range of a forecast day's mean on the first day", "no source")
FORECAST_ERROR_K_PER_DAY: Final = figure(0.3, "K/day", "Its growth from day to day", "no source")
FORGOTTEN_IN_DAYS: Final = figure(4.0, "days", "How long the weather of the last forecast day lingers", "no source")
RAIN_MM_DAY: Final = figure(
    {"none": 0.0, "light": 2.0, "heavy": 15.0}, "mm/day", "What the words for rain stand for", "no source"
)


def weather_ahead(status: Status, estimate: PileEstimate, days: int, n: int) -> DailyWeather:
    """Weather of today and the days ahead for each of n members; rain only where it was forecast."""
    bands = outdoor_ahead(status, estimate.outdoor_c, days)
    deviates = points("outdoor", n)
    air = np.array([deviates.around(band) for band in bands])
    wind = np.maximum(points("wind", n).around(estimate.wind_m_s), 0.0)
    forecast = _forecast(status)
    rain = [_rain(forecast.get(status.as_of.date() + timedelta(days=day))) for day in range(days + 1)]
    return DailyWeather.of(air, wind[None, :], rain_mm_day=np.array(rain))


def outdoor_ahead(status: Status, known: Estimate, days: int) -> list[Estimate]:
    """Mean air of today and each day ahead [degC], with its 80 % range.

    Parameters
    ----------
    known
        Mean of what was given; beyond the forecast it moves with the season.
    """
    today, forecast, sign = status.as_of.date(), _forecast(status), hemisphere(status, known)
    bands: list[Estimate] = []
    left_over, last_told = 0.0, None
    for ahead in range(days + 1):
        day = today + timedelta(days=ahead)
        change = sign * (_yearly(day) - _yearly(today))
        told = _mean_of(forecast.get(day))
        if told is not None:
            error = FORECAST_ERROR_K + FORECAST_ERROR_K_PER_DAY * ahead
            bands.append(Estimate(told, told - error, told + error, "derived"))
            left_over, last_told = told - known.value - change, ahead
            continue
        fading = 0.0 if last_told is None else left_over * exp((last_told - ahead) / FORGOTTEN_IN_DAYS)
        doubt = SWING_DOUBT * abs(change)
        middle = known.value + change + fading
        below, above = np.hypot(known.value - known.low, doubt), np.hypot(known.high - known.value, doubt)
        bands.append(Estimate(middle, middle - float(below), middle + float(above), "derived"))
    return bands


def hemisphere(status: Status, known: Estimate) -> int:
    """Sign of the yearly swing: 1 in the north, -1 in the south, 0 where it cannot be told.

    The half of the earth whose usual temperature of the day is nearer to what was given; without a temperature, the
    one whose cold season it is, if the house is being heated.
    """
    north = _yearly(status.as_of.date())
    if known.basis == "assumed":
        return 0 if status.season != "heating" else 1 if north < 0 else -1
    return 1 if abs(known.value - YEARLY_MEAN_C - north) <= abs(known.value - YEARLY_MEAN_C + north) else -1


def _yearly(day: date) -> float:
    """How far the north is over its yearly mean on a day of the year [K]."""
    return -YEARLY_SWING_K * cos(2 * pi * (day.timetuple().tm_yday - COLDEST_DAY) / YEAR_DAYS)


def _forecast(status: Status) -> dict[date, ForecastDay]:
    given = status.weather.forecast if status.weather is not None else None
    return {day.date: day for day in given or []}


def _mean_of(day: ForecastDay | None) -> float | None:
    """Mean of a forecast day from its low and high, or from one of them."""
    if day is None or (day.low is None and day.high is None):
        return None
    low = day.low if day.low is not None else _of(day.high) - 2 * HALF_DAILY_RANGE_K
    high = day.high if day.high is not None else low + 2 * HALF_DAILY_RANGE_K
    return (low + high) / 2


def _of(value: float | None) -> float:
    assert value is not None
    return value


def _rain(day: ForecastDay | None) -> float:
    return 0.0 if day is None or day.rain is None else RAIN_MM_DAY[day.rain]


def by_day(bands: list[Estimate]) -> Array:
    """Low, median and high of each day, (days, 3). [degC]"""
    return np.array([(band.low, band.value, band.high) for band in bands])
