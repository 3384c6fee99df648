"""Air, wind, sky and what is forecast."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from service.facts.record import Derived
from service.status.models import ForecastDay, Status
from service.units.estimate import Estimate
from service.units.figures import figure, figures

DAY_SPREAD_K, ONE_READING_SPREAD_K = figures(
    (3.0, "K"),
    (5.0, "K"),
    why="Ends (80 %) of the air of a day around the mean of what was told: of two readings, of one alone",
    how_known="no source",
)
WIND_SPREAD: Final = figure(
    0.3, "1", "Ends (80 %) of wind that was told, as a share of it: at the heap it differs", "no source"
)
ASSUMED_OUTDOOR: Final = figure(
    Estimate(2.0, -8.0, 10.0, "assumed"), "degC", "Mean winter air where none was given; wide on purpose", "no source"
)
WINTER_MONTHS: Final = figure(
    frozenset({11, 12, 1, 2, 3}),
    "1",
    "Months in which frost is reckoned with where nothing was told; south of the equator `season` says so",
    "no source",
)
NEAR_DAYS: Final = figure(
    2, "days", "Frost that comes within so many days is guarded against today, not this week", "no source"
)
MILD_BY_DAY_C: Final = figure(
    10.0,
    "degC",
    "Air as warm as that now makes frost tonight unlikely; cooler air says nothing of the night",
    "no source",
)
WIND_SPEEDS: Final = figure(
    {
        "sheltered": Estimate(0.5, 0.2, 1.0, "derived"),
        "normal": Estimate(2.0, 1.0, 3.5, "derived"),
        "exposed": Estimate(4.0, 2.5, 7.0, "derived"),
    },
    "m/s",
    "Mean wind at the heap by how exposed it is",
    "no source",
)


def read_weather(status: Status, derived: Derived) -> None:
    """Put the weather facts of now, tonight and the forecast."""
    weather = status.weather
    now_c = status.temperatures.outdoor
    if weather is None:
        derived.put(freezing=None if now_c is None else True if now_c <= 0 else None)
        _put_winter(status, derived)
        return
    forecast = weather.forecast or []
    last = status.as_of.date() + timedelta(days=10)
    ahead = [day for day in forecast if status.as_of.date() <= day.date <= last]
    lows = [low for low in (weather.low, *(day.low for day in ahead)) if low is not None]
    coldest = min(lows, default=None)
    tonight = weather.low if weather.low is not None else now_c
    near = [day.low for day in ahead if day.date <= status.as_of.date() + timedelta(days=NEAR_DAYS)]
    night = weather.low if weather.low is not None else _night_ahead(ahead, status.as_of.date())
    derived.put(
        forecast_low_c=coldest,
        near_low_c=min((low for low in (weather.low, *near) if low is not None), default=None),
        cold_snap_k=None if coldest is None or tonight is None or not ahead else max(tonight - coldest, 0.0),
        snow_forecast=_any_known([day.snow for day in ahead]),
        rain_forecast=_any_known([None if day.rain is None else day.rain == "heavy" for day in ahead]),
        freezing=_frost([value for value in (now_c, night) if value is not None], complete=night is not None),
    )
    _put_winter(status, derived)


def _night_ahead(ahead: list[ForecastDay], today: date) -> float | None:
    """The low of tonight by the forecast [degC]: that of tomorrow, since a day is coldest about sunrise (from memory);
    today's too where it is told, lest a night that has begun be missed. None where tomorrow has none."""
    lows = {day.date: day.low for day in ahead if day.low is not None}
    tomorrow = lows.get(today + timedelta(days=1))
    return None if tomorrow is None else min(tomorrow, lows.get(today, tomorrow))


def _put_winter(status: Status, derived: Derived) -> None:
    """Frost is to be reckoned with where nobody told of the night and the house is heated, or it is winter; air that is
    mild now says nothing of the night unless it is really warm."""
    outdoor_c = status.temperatures.outdoor
    if "freezing" in derived.facts or (outdoor_c is not None and outdoor_c >= MILD_BY_DAY_C):
        derived.put(frost_may_come=False)
    elif status.season == "heating" or status.as_of.month in WINTER_MONTHS:
        derived.put(frost_may_come=True)


def _frost(known: list[float], *, complete: bool) -> bool | None:
    """Frost now or tonight; mild air now does not rule out frost tonight."""
    if any(value <= 0 for value in known):
        return True
    return False if complete else None


def _any_known(flags: list[bool | None]) -> bool | None:
    """True if any day says so, false if every day that speaks says not, None where none speaks."""
    spoken = [flag for flag in flags if flag is not None]
    return any(spoken) if spoken else None


def outdoor_mean(status: Status, derived: Derived) -> Estimate:
    """Mean air over the next days [degC], from what was given; assumed and listed where nothing was."""
    weather = status.weather
    values = [status.temperatures.outdoor]
    for day in (weather.forecast or []) if weather else []:
        values += [day.low, day.high]
    if weather:
        values.append(weather.low)
    known = [value for value in values if value is not None]
    if not known:
        why = "assumed.outdoor"
        return derived.assume("/temperatures/outdoor", ASSUMED_OUTDOOR, "temperature", why)
    mean = sum(known) / len(known)
    spread = DAY_SPREAD_K if len(known) > 1 else ONE_READING_SPREAD_K
    return Estimate(mean, mean - spread, mean + spread, "derived")


def wind_at_heap(status: Status, derived: Derived) -> Estimate:
    """Wind at the heap [m/s]: the speed given, else the place's exposure, else assumed and listed."""
    if status.weather is not None and status.weather.wind_speed is not None:
        speed = status.weather.wind_speed
        return Estimate(speed, speed * (1 - WIND_SPREAD), speed * (1 + WIND_SPREAD), "measured")
    if status.pile.wind is not None:
        return WIND_SPEEDS[status.pile.wind]
    return derived.assume("/pile/wind", WIND_SPEEDS["normal"], "speed", "assumed.wind")
