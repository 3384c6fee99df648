"""What was read and done at the heap: temperatures, earlier readings, recent work."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from pydantic import Field

from rules.language.status_words import MoistureFeel
from service.status.field import RecordedPart, optional_field
from service.status.moments import INSTANT
from service.status.names import ACTION
from service.status.part import AtMost, Flag, Part, Text
from service.status.quantities import Amount, AmountOf, Measure

HeapTemperature = Annotated[float, Measure("temperature", -40.0, 400.0, bare_high=95.0)]
AirTemperature = Annotated[float, Measure("temperature", -70.0, 60.0)]

LoggedTemperature = Annotated[float, Measure("temperature", -150.0, 400.0, bare_high=95.0)]
"""A broken or unplugged sensor writes numbers such as -63 or -127 degC; a log that holds them is told so."""


class ProbePoint(Part):
    """One probe reading somewhere in the heap."""

    value: HeapTemperature = Field(
        description="Temperature there. A bare number above 95 degC (203 degF) needs its unit written.",
        examples=["88 degF", 31],
    )
    depth: Annotated[float, Measure("length", 0.0, 20.0)] | None = Field(
        None, description="Depth below the surface.", examples=["1 ft", 0.3]
    )
    side: Text | None = Field(None, description="Where around the heap.", examples=["north"])


class Temperatures(RecordedPart, at="/temperatures"):
    """Readings of now. At least one of the heap is needed somewhere: core, a point, or an earlier core."""

    core: float | None = optional_field("/temperatures/core")
    outer: float | None = optional_field("/temperatures/outer")
    outdoor: float | None = optional_field("/temperatures/outdoor")
    points: Annotated[list[ProbePoint], AtMost(60)] | None = Field(
        None,
        description="Further probe readings, with depth where known.",
        examples=[[{"depth": "1 ft", "side": "north", "value": "88 degF"}]],
    )


class Probe(RecordedPart, at="/probe"):
    """The thermometer."""

    length: float | None = optional_field("/probe/length")
    checked: Flag | None = optional_field("/probe/checked")


class Reading(Part):
    """An earlier core reading."""

    at: Annotated[datetime, INSTANT] = Field(
        description="When it was read, with its offset; not after `as_of`.", examples=["2026-01-15T07:30:00Z"]
    )
    core: LoggedTemperature = Field(description="Core then.", examples=["126 degF", 52])
    moisture_feel: MoistureFeel | None = Field(
        None, description="Squeeze test from inside the heap then, if one was made.", examples=["damp"]
    )


class Work(Part):
    """Something done to the heap lately."""

    at: Annotated[datetime, INSTANT] = Field(
        description="When, with its offset; not after `as_of`.", examples=["2026-01-12T15:00:00Z"]
    )
    action: Annotated[str, ACTION] = Field(description="What, as an action id.", examples=["add_water"])
    amount: (
        Annotated[Amount, AmountOf(("mass", "volume", "duration", "water_flow", "air_flow", "area"), 0.0, 5e6)] | None
    ) = Field(
        None,
        description="How much. Under `metric` a bare number is kilograms (litres of water); under `us` it is refused.",
        examples=["60 gal", "200 L"],
    )


class Carried(Part):
    """What was learned of the heap earlier, as an answer gave it in `learned`."""

    as_of: Annotated[datetime, INSTANT] = Field(
        description="The moment it was learned at; counts from a week later on.", examples=["2026-01-18T07:30:00Z"]
    )
    of: Annotated[int, Field(ge=0, le=10**6, strict=True)] = Field(
        description="The set of members it speaks of; another set is not counted.", examples=[1]
    )
    members: Annotated[list[Annotated[int, Field(ge=0, le=10**6, strict=True)]], AtMost(64)] = Field(
        description="Members that fitted, by number.", examples=[[3, 17, 17, 204]]
    )
