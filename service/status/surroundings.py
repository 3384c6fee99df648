"""What surrounds the heap: the heat drawn from it, the greenhouse, and the weather."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, model_validator

from service.status.moments import DAY
from service.status.names import AirPath, AirPlace, Control, Glazing, Loop, Rain, Sun, Tube
from service.status.part import AtMost, Flag, Part
from service.status.quantities import Measure, refused
from service.status.readings import AirTemperature, HeapTemperature

InletTemperature = Annotated[float, Measure("temperature", -60.0, 95.0)]
MinutesPerHour = Annotated[float, Measure("minutes_per_hour", 0.0, 60.0)]
HoursPerDay = Annotated[float, Measure("hours_per_day", 0.0, 24.0)]
_MINUTES = "Minutes it runs in each hour; 0 is off. Missing is taken as 60 and listed in `assumed`."
_HOURS = "Hours of the day it runs in; missing is taken as 24."
_SINCE = "Day since which it has run like this."


class DrawnAir(Part):
    """Air drawn through a duct or through the heap."""

    flow: Annotated[float, Measure("air_flow", 0.0, 15.0)] | None = Field(
        None, description="Air flow while the fan runs; 0 is off.", examples=["45 ft3/min", 76]
    )
    inlet: InletTemperature | None = Field(
        None, description="Temperature of the air going in.", examples=["52 degF", 11]
    )
    outlet: HeapTemperature | None = Field(
        None, description="Temperature of the air coming out; at most 8 K above the core.", examples=["83 degF", 28]
    )
    minutes_per_hour: MinutesPerHour | None = Field(None, description=_MINUTES, examples=[12, "12 min/h"])
    hours_per_day: HoursPerDay | None = Field(None, description=_HOURS, examples=[24, "10 h/day"])
    path: AirPath | None = Field(
        None, description="Whether the air stays in a duct or passes through the heap.", examples=["closed_duct"]
    )
    inlet_from: AirPlace | None = Field(None, description="Where it is taken from.", examples=["greenhouse"])
    outlet_to: AirPlace | None = Field(None, description="Where it is blown to.", examples=["greenhouse"])
    since: Annotated[date, DAY] | None = Field(None, description=_SINCE, examples=["2025-12-20"])


class DrawnWater(Part):
    """Water pumped through a loop buried in the heap."""

    flow: Annotated[float, Measure("water_flow", 0.0, 15.0)] | None = Field(
        None, description="Water flow while the pump runs; 0 is off.", examples=["0.4 gal/min", 1.5]
    )
    inlet: InletTemperature | None = Field(
        None, description="Temperature of the water going in.", examples=["45 degF", 7]
    )
    outlet: HeapTemperature | None = Field(
        None, description="Temperature of the water coming out; at most 8 K above the core.", examples=["90 degF", 32]
    )
    minutes_per_hour: MinutesPerHour | None = Field(None, description=_MINUTES, examples=[0, "20 min/h"])
    hours_per_day: HoursPerDay | None = Field(None, description=_HOURS, examples=[24, "10 h/day"])
    tube: Tube | None = Field(None, description="What the loop is made of.", examples=["plastic"])
    tube_length: Annotated[float, Measure("length", 0.1, 5000.0)] | None = Field(
        None, description="Length of tube inside the heap.", examples=["160 ft", 50]
    )
    loop: Loop | None = Field(
        None, description="Whether the water goes round or is used and replaced.", examples=["closed"]
    )
    since: Annotated[date, DAY] | None = Field(None, description=_SINCE, examples=["2025-12-20"])


class Draw(Part):
    """How heat is drawn now."""

    air: DrawnAir | None = Field(
        None, description="Air drawn.", examples=[{"flow": "45 ft3/min", "minutes_per_hour": 12}]
    )
    water: DrawnWater | None = Field(
        None, description="Water drawn.", examples=[{"flow": "0.4 gal/min", "minutes_per_hour": 0}]
    )
    control: Control | None = Field(
        None,
        description="What switches pump or fan: a thermostat in the core, a timer, or a hand on a switch or valve.",
        examples=["timer"],
    )


class Greenhouse(Part):
    """The house to be warmed."""

    volume: Annotated[float, Measure("volume", 0.1, 2e5)] | None = Field(
        None, description="Air volume.", examples=["2400 ft3", 68]
    )
    glazing: Glazing | None = Field(None, description="What it is glazed with.", examples=["double_film"])
    glazing_area: Annotated[float, Measure("area", 0.1, 1e5)] | None = Field(
        None, description="Glazed area, roof and walls.", examples=["900 ft2", 84]
    )
    temperature: Annotated[float, Measure("temperature", -40.0, 60.0)] | None = Field(
        None, description="Air in it now.", examples=["52 degF", 11]
    )
    humidity: Annotated[float, Measure("percent", 0.0, 100.0, fraction_is_slip=True)] | None = Field(
        None, description="Relative humidity of its air now, in %.", examples=["85 %", 85]
    )
    night_target: Annotated[float, Measure("temperature", -10.0, 40.0)] | None = Field(
        None, description="Temperature it should keep at night.", examples=["45 degF", 7]
    )


class ForecastDay(Part):
    """One day of a forecast."""

    date: Annotated[date, DAY] = Field(description="The day.", examples=["2026-01-19"])
    low: AirTemperature | None = Field(None, description="Lowest air temperature.", examples=["4 degF", -15])
    high: AirTemperature | None = Field(None, description="Highest air temperature.", examples=["20 degF", -7])
    snow: Flag | None = Field(None, description="Whether snow is forecast.", examples=[True])
    rain: Rain | None = Field(None, description="Rain forecast.", examples=["heavy"])

    @model_validator(mode="after")
    def _low_below_high(self) -> ForecastDay:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise refused("the low is above the high; are they swapped?")
        return self


class Weather(Part):
    """Tonight and the days ahead."""

    low: AirTemperature | None = Field(
        None, description="Lowest air temperature expected tonight.", examples=["10 degF", -12]
    )
    wind_speed: Annotated[float, Measure("speed", 0.0, 75.0)] | None = Field(
        None, description="Wind now.", examples=["8 mile/hour", 3.5]
    )
    sun: Sun | None = Field(None, description="Sky by day.", examples=["overcast"])
    rain: Rain | None = Field(None, description="Rain now.", examples=["none"])
    forecast: Annotated[list[ForecastDay], AtMost(20)] | None = Field(
        None,
        description="Days ahead.",
        examples=[[{"date": "2026-01-19", "low": "4 degF", "high": "20 degF", "snow": True}]],
    )
