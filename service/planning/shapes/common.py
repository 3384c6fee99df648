"""Parts that the planning questions share: the house, the air outside, a stretch of days, heat with a range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, Final, Literal

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from service.mix.shapes.things import RecipePart
from service.status.moments import DAY, INSTANT
from service.status.part import AtMost, Flag, Part, null_too
from service.status.quantities import Measure, refused
from service.status.question_body import QuestionBody
from service.status.readings import AirTemperature
from service.status.surroundings import DrawnAir, DrawnWater, Greenhouse
from service.units.estimate import Estimate
from service.units.quantities import QuantityError, parse_quantity

MONTHS: Final = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
Tightness = Literal["tight", "well_kept", "leaky"]
Foot = Literal["bare", "insulated"]
MOST_HOURS: Final = 4700
MOST_DAYS: Final = 400


class _Month:
    """Annotation of a month: 1 to 12, or its English name or the first three letters of it."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(_read_month)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"anyOf": [{"type": "integer", "minimum": 1, "maximum": 12}, {"type": "string", "maxLength": 20}]}


def _read_month(raw: object) -> int:
    if isinstance(raw, int) and not isinstance(raw, bool) and 1 <= raw <= 12:
        return raw
    word = raw.strip().casefold() if isinstance(raw, str) else ""
    if len(word) >= 3:
        for number, name in enumerate(MONTHS, start=1):
            if word in (name, name[:3]):
                return number
    raise refused('a month is wanted, as 1 to 12 or as its name, such as "january"', allowed="1 to 12")


@dataclass(frozen=True, slots=True)
class WithRange:
    """Annotation of an `Estimate` field: one quantity, or value, low, high and unit as the answers of here write it."""

    measure: Measure

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        ends = {name: {"type": ["number", "null"]} for name in ("low", "high")}
        numbers = {"value": {"type": "number"}, **ends}
        ranged = {
            "type": "object",
            "properties": {**numbers, "unit": {"type": "string"}},
            "required": ["value", "unit"],
            "additionalProperties": False,
        }
        single = self.measure.__get_pydantic_json_schema__(schema, handler)
        return {**single, "anyOf": [*single["anyOf"], ranged]}

    def _read(self, raw: object) -> Estimate:
        if not isinstance(raw, Mapping):
            return Estimate.exact(self.measure.read(raw))
        if set(raw) - {"value", "low", "high", "unit"} or not isinstance(raw.get("unit"), str) or "value" not in raw:
            raise refused(
                'write {"value": 900, "low": 600, "high": 1300, "unit": "W"}, or one quantity such as "900 W"'
            )
        ends = [raw.get(name) for name in ("value", "low", "high")]
        value, low, high = (raw["value"] if end is None else end for end in ends)
        numbers = []
        for number in (value, low, high):
            if isinstance(number, bool) or not isinstance(number, int | float):
                raise refused("value, low and high are numbers, and unit is their unit")
            numbers.append(self.measure.read(f"{number!r} {raw['unit']}"))
        if not numbers[1] <= numbers[0] <= numbers[2]:
            raise refused("low, value and high are not in order")
        return Estimate(numbers[0], numbers[1], numbers[2], "measured")


@dataclass(frozen=True, slots=True)
class Electric(Measure):
    """Annotation of an electric power: its unit must be written, for a bare 25 might be W, kW or BTU/h."""

    def read(self, raw: object) -> float:
        """The power in W."""
        try:
            bare = parse_quantity(raw, (self.dimension,), "metric").bare
        except QuantityError:
            bare = False  # what is wrong with it is told below
        if bare:
            raise refused('write the unit of electric power, such as "25 W"', read=str(raw)[:40])
        return Measure.read(self, raw)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        described = Measure.__get_pydantic_json_schema__(self, schema, handler)
        return {**described, "type": "string", "x-bare-number-in": {"metric": "refused", "us": "refused"}}


ElectricPower = Annotated[float, Electric("power", 0.1, 5000.0)]
HeatPower = Annotated[Estimate, WithRange(Measure("power", 0.0, 1e6))]


HeapMix = Annotated[list[RecipePart], AtMost(20)]
CoreLimit = Annotated[float, Measure("temperature", 15.0, 60.0)]
Chance = Annotated[float, Measure("percent", 10.0, 90.0)]


class PlanQuestion(QuestionBody):
    """A question about a house or a heap to be planned."""

    units: Literal["metric", "us"] = Field(
        "metric",
        description="How bare numbers are read, and the units of the answer.",
        examples=["us"],
        json_schema_extra=null_too,
    )


class PlannedHouse(Greenhouse):
    """The house to be warmed, with what planning needs beyond tonight; its `volume` is needed."""

    u_value: Annotated[float, Measure("u_value", 0.1, 15.0)] | None = Field(
        None,
        description="Heat loss of its glazing per area and kelvin, if known; wins over `glazing`.",
        examples=["4 W/(m2.K)", "0.7 BTU/(h.ft2.degF)"],
    )
    tightness: Tightness | None = Field(
        None, description="How well it keeps wind out. Default: as its glazing usually does.", examples=["well_kept"]
    )
    air_changes: Annotated[float, Measure("ratio", 0.0, 30.0)] | None = Field(
        None, description="Air changes an hour, if known; wins over `tightness`.", examples=[1]
    )
    perimeter: Annotated[float, Measure("length", 0.5, 5000.0)] | None = Field(
        None, description="Length of the foot of its walls. Left out, no loss to the ground is counted.", examples=[24]
    )
    foot: Foot | None = Field(None, description="Whether the foot of the walls is insulated.", examples=["bare"])
    day_target: Annotated[float, Measure("temperature", -10.0, 40.0)] | None = Field(
        None,
        description="Temperature it should keep by day. Left out, the sun is left to warm it and only nights count.",
        examples=["64 degF", 15],
    )
    night_curtain: Flag | None = Field(
        None, description="Whether a curtain is drawn at night already.", examples=[False]
    )
    water: Annotated[float, Measure("volume", 0.0, 500.0)] | None = Field(
        None, description="Water in barrels that stand in it.", examples=["200 gal", 0.8]
    )


class DayTemperatures(Part):
    """One day of a weather table."""

    date: Annotated[date, DAY] = Field(description="The day.", examples=["2026-01-19"])
    low: AirTemperature = Field(description="Lowest air temperature.", examples=["4 degF", -15])
    high: AirTemperature = Field(description="Highest air temperature.", examples=["20 degF", -7])


class MonthTemperatures(Part):
    """Mean of a month's daily lows and highs, as climate tables give them."""

    month: Annotated[int, _Month()] = Field(description="The month, 1 to 12 or by name.", examples=[1, "january"])
    low: AirTemperature = Field(description="Mean daily low.", examples=["18 degF", -8])
    high: AirTemperature = Field(description="Mean daily high.", examples=["33 degF", 1])


class HourlyTemperatures(Part):
    """Air temperatures hour by hour."""

    start: Annotated[datetime, INSTANT] = Field(
        description="Hour of the first value, in the place's own time with its offset.",
        examples=["2025-12-01T00:00:00-05:00"],
    )
    values: Annotated[list[AirTemperature], AtMost(MOST_HOURS)] = Field(
        description="One value an hour.", examples=[["20 degF", "19 degF"]]
    )


class Outdoor(Part):
    """The air outside: the coldest night to plan for, and one of hourly, daily and monthly temperatures."""

    design: AirTemperature | None = Field(
        None, description="Coldest night to plan for. Default: the coldest of the table.", examples=["0 degF", -18]
    )
    hourly: HourlyTemperatures | None = Field(
        None,
        description="Hour by hour.",
        examples=[{"start": "2025-12-01T00:00:00-05:00", "values": ["20 degF", "19 degF"]}],
    )
    daily: Annotated[list[DayTemperatures], AtMost(MOST_DAYS)] | None = Field(
        None,
        description="Day by day, without gaps.",
        examples=[[{"date": "2026-01-19", "low": "4 degF", "high": "20 degF"}]],
    )
    monthly: Annotated[list[MonthTemperatures], AtMost(12)] | None = Field(
        None,
        description="Months of a climate table; each at most once.",
        examples=[[{"month": "january", "low": "18 degF", "high": "33 degF"}]],
    )


class Period(Part):
    """A stretch of days, both ends included."""

    start: Annotated[date, DAY] = Field(description="First day.", examples=["2025-11-15"])
    until: Annotated[date, DAY] = Field(description="Last day.", examples=["2026-03-31"])


class PlannedAir(DrawnAir):
    """Air drawn through the heap, and its fan."""

    fan_power: ElectricPower | None = Field(
        None, description="Electricity the fan takes while it runs, with its unit.", examples=["25 W"]
    )


class PlannedWater(DrawnWater):
    """Water pumped through a loop, and its pump."""

    pump_power: ElectricPower | None = Field(
        None, description="Electricity the pump takes while it runs, with its unit.", examples=["15 W"]
    )


class PlannedDraw(Part):
    """How the heat is brought from the heap to the house."""

    air: PlannedAir | None = Field(
        None,
        description="By a fan and duct.",
        examples=[{"flow": "64 ft3/min", "inlet": "45 degF", "outlet": "79 degF", "fan_power": "25 W"}],
    )
    water: PlannedWater | None = Field(
        None,
        description="By a pump and loop.",
        examples=[{"flow": "0.5 gal/min", "inlet": "60 degF", "outlet": "85 degF", "pump_power": "15 W"}],
    )
