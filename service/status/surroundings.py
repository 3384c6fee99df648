"""What surrounds the heap: the heat drawn from it, the greenhouse, and the weather."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, model_validator

from rules.language.status_words import AirPath, AirPlace, Control, Glazing, Loop, Rain, Sun, Tube
from service.status.field import RecordedPart, optional_field
from service.status.moments import DAY
from service.status.part import AtMost, Flag, Part
from service.status.quantities import refused
from service.status.readings import AirTemperature


class DrawnAir(RecordedPart, at="/draw/air"):
    """Air drawn through a duct or through the heap."""

    flow: float | None = optional_field("/draw/air/flow")
    inlet: float | None = optional_field("/draw/air/inlet")
    outlet: float | None = optional_field("/draw/air/outlet")
    minutes_per_hour: float | None = optional_field("/draw/air/minutes_per_hour")
    hours_per_day: float | None = optional_field("/draw/air/hours_per_day")
    path: AirPath | None = optional_field("/draw/air/path")
    inlet_from: AirPlace | None = optional_field("/draw/air/inlet_from")
    outlet_to: AirPlace | None = optional_field("/draw/air/outlet_to")
    since: Annotated[date, DAY] | None = optional_field("/draw/air/since")


class DrawnWater(RecordedPart, at="/draw/water"):
    """Water pumped through a loop buried in the heap."""

    flow: float | None = optional_field("/draw/water/flow")
    inlet: float | None = optional_field("/draw/water/inlet")
    outlet: float | None = optional_field("/draw/water/outlet")
    minutes_per_hour: float | None = optional_field("/draw/water/minutes_per_hour")
    hours_per_day: float | None = optional_field("/draw/water/hours_per_day")
    tube: Tube | None = optional_field("/draw/water/tube")
    tube_length: float | None = optional_field("/draw/water/tube_length")
    loop: Loop | None = optional_field("/draw/water/loop")
    since: Annotated[date, DAY] | None = optional_field("/draw/water/since")


class Draw(Part):
    """How heat is drawn now."""

    air: DrawnAir | None = Field(
        None, description="Air drawn.", examples=[{"flow": "45 ft3/min", "minutes_per_hour": 12}]
    )
    water: DrawnWater | None = Field(
        None, description="Water drawn.", examples=[{"flow": "0.4 gal/min", "minutes_per_hour": 0}]
    )
    control: Control | None = optional_field("/draw/control")


class Greenhouse(RecordedPart, at="/greenhouse"):
    """The house to be warmed."""

    volume: float | None = optional_field("/greenhouse/volume")
    glazing: Glazing | None = optional_field("/greenhouse/glazing")
    glazing_area: float | None = optional_field("/greenhouse/glazing_area")
    temperature: float | None = optional_field("/greenhouse/temperature")
    humidity: float | None = optional_field("/greenhouse/humidity")
    night_target: float | None = optional_field("/greenhouse/night_target")


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


class Weather(RecordedPart, at="/weather"):
    """Tonight and the days ahead."""

    low: float | None = optional_field("/weather/low")
    wind_speed: float | None = optional_field("/weather/wind_speed")
    sun: Sun | None = optional_field("/weather/sun")
    rain: Rain | None = optional_field("/weather/rain")
    forecast: Annotated[list[ForecastDay], AtMost(20)] | None = Field(
        None,
        description="Days ahead.",
        examples=[[{"date": "2026-01-19", "low": "4 degF", "high": "20 degF", "snow": True}]],
    )
