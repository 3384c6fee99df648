"""The status of one pile: everything that may be told about it, in SI once read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Any, Literal

from pydantic import Field, ModelWrapValidatorHandler, PrivateAttr, ValidationError, model_validator
from pydantic_core import InitErrorDetails

from rules.language.status_words import Equipment, MoistureFeel, MoistureFeelAt, Season
from rules.tables.fields import FIELDS
from service.problems.json_text import JsonObject
from service.status.checks import misfits
from service.status.field import optional_field
from service.status.moments import INSTANT
from service.status.names import ON_HAND, Sign, Smell, Symptom
from service.status.part import AtMost, Flag, Part, null_too
from service.status.phone import PHONE_NUMBER
from service.status.pile import Goal, Pile
from service.status.quantities import bare_numbers_in
from service.status.readings import Carried, Probe, Reading, Temperatures, Work
from service.status.surroundings import Draw, Greenhouse, Weather
from service.units.quantities import QuantityError, System, parse_quantity

_DEFAULTED = ("as_of", "units", "temperatures")

Aged = Literal["/temperatures/core", "/temperatures/outdoor", "/pile/moisture", "/moisture_feel"]
"""Readings that lose their worth so fast that their age counts."""


@dataclass(frozen=True, slots=True)
class ReadAs:
    """A name that was given by a synonym: where, what was given, and what it was read as."""

    pointer: str
    given: str
    read_as: str


def _now() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)


class Status(Part):
    """What is known of one pile. Only its age and one core temperature are needed; null means not looked at.

    Quantities are numbers or texts with a unit; bare numbers are read in `units`. After reading all are in SI (see
    `service.units.quantities`).
    """

    as_of: Annotated[datetime, INSTANT] = Field(
        default_factory=_now,
        description="When this was so, with its offset. Default: now. Give it to have the same answer again.",
        examples=["2026-01-18T07:30:00Z"],
        json_schema_extra=null_too,
    )
    units: Literal["metric", "us"] = Field(
        "metric",
        description=FIELDS["/units"].means,
        examples=["us"],
        json_schema_extra=null_too,
    )
    season: Season | None = optional_field("/season")
    goal: Goal | None = Field(
        None, description="What the heat is wanted for.", examples=[{"until": "2026-03-31", "prefer": "season"}]
    )
    pile: Pile = Field(description="The heap.", examples=[{"age": "63 days", "size": {"volume": "22 yd3"}}])
    temperatures: Temperatures = Field(
        Temperatures(),
        description="Readings of now.",
        examples=[{"core": "121 degF", "outer": "95 degF", "outdoor": "28 degF"}],
        json_schema_extra=null_too,
    )
    probe: Probe | None = Field(None, description="The thermometer.", examples=[{"length": "4 ft", "checked": True}])
    history: Annotated[list[Reading], AtMost(200)] | None = Field(
        None,
        description="Earlier core readings, in any order.",
        examples=[[{"at": "2026-01-15T07:30:00Z", "core": "126 degF"}]],
    )
    done: Annotated[list[Work], AtMost(100)] | None = Field(
        None,
        description="Recent work, so that it is not asked for again before it has had time to act.",
        examples=[[{"at": "2026-01-12T15:00:00Z", "action": "add_water", "amount": "60 gal"}]],
    )
    moisture_feel: MoistureFeel | None = optional_field("/moisture_feel")
    moisture_feel_at: MoistureFeelAt | None = optional_field("/moisture_feel_at")
    smell: Smell | None = optional_field("/smell")
    signs: Annotated[list[Sign], AtMost(40)] | None = optional_field("/signs")
    people: Annotated[list[Symptom], AtMost(10)] | None = optional_field("/people")
    not_seen: Annotated[list[Sign], AtMost(40)] | None = optional_field("/not_seen")
    help_called: Flag | None = optional_field("/help_called")
    equipment: Annotated[list[Equipment], AtMost(10)] | None = optional_field("/equipment")
    draw: Draw | None = Field(
        None, description="How heat is drawn now.", examples=[{"air": {"flow": "45 ft3/min", "minutes_per_hour": 12}}]
    )
    greenhouse: Greenhouse | None = Field(
        None, description="The house to be warmed.", examples=[{"volume": "2400 ft3", "glazing": "double_film"}]
    )
    weather: Weather | None = Field(
        None, description="Tonight and the days ahead.", examples=[{"low": "10 degF", "sun": "overcast"}]
    )
    on_hand: Annotated[list[Annotated[str, ON_HAND]], AtMost(80)] | None = optional_field("/on_hand")

    read_at: dict[Aged, Annotated[datetime, INSTANT]] | None = Field(
        None,
        description="When a reading was taken, by its JSON pointer, where it was not at `as_of`: the older, the wider "
        "its range. Not after `as_of`.",
        examples=[{"/temperatures/core": "2026-01-17T19:00:00Z"}],
    )

    emergency_number: Annotated[str, PHONE_NUMBER] | None = optional_field("/emergency_number")

    _read_in: System | None = PrivateAttr(default=None)
    learned: Carried | None = Field(
        None,
        description="What an earlier answer learned of this heap, given back as it was; a log book does so by itself.",
        examples=[{"as_of": "2026-01-10T07:30:00Z", "of": 1, "members": [3, 17, 17, 204]}],
    )

    _read_as: tuple[ReadAs, ...] = PrivateAttr(default=())

    @property
    def read_as(self) -> tuple[ReadAs, ...]:
        """Names that were read by a synonym, in the order of the body."""
        return self._read_as

    def __hash__(self) -> int:
        """By all that was told, lists too, so that what follows from a status can be kept for who asks again."""
        return hash(self.model_dump_json())

    @property
    def heap_read_in(self) -> System:
        """The system of units in which the hottest reading of the heap was given."""
        return self._read_in or self.units

    @property
    def age_days(self) -> float:
        """Days since the heap was built: the age given, else from its day to `as_of`."""
        if self.pile.age is not None:
            return self.pile.age
        assert self.pile.built_on is not None  # `misfits` saw to it
        return float(max((self.as_of.date() - self.pile.built_on).days, 0))

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, data: Any, handler: ModelWrapValidatorHandler[Status]) -> Status:
        if not isinstance(data, dict):
            return handler(data)
        given = {key: value for key, value in data.items() if value is not None or key not in _DEFAULTED}
        with bare_numbers_in("us" if given.get("units") == "us" else "metric"):
            status = handler(given)
        errors = [InitErrorDetails(type=error, loc=place, input=None) for place, error in misfits(status)]
        if errors:
            raise ValidationError.from_exception_data("Status", errors)
        status._read_as = tuple(_synonyms(given, status))
        status._read_in = _system_of_hottest(given, status.units)
        return status


def _synonyms(given: JsonObject, status: Status) -> list[ReadAs]:
    pairs = [
        (f"/pile/ingredients/{index}/material", given["pile"]["ingredients"][index]["material"], read.material)
        for index, read in enumerate(status.pile.ingredients or [])
    ]
    for name in ("on_hand", "signs", "people"):
        read_all = getattr(status, name) or []
        pairs += [(f"/{name}/{index}", given[name][index], read) for index, read in enumerate(read_all)]
    if status.smell is not None:
        pairs.append(("/smell", given["smell"], status.smell))
    return [ReadAs(pointer, name, read) for pointer, name, read in pairs if name != read]


def _system_of_hottest(given: JsonObject, units: System) -> System | None:
    """The system in which the hottest reading was written; None where there is none but in the history."""
    temperatures = given.get("temperatures") or {}
    written = [temperatures.get("core"), temperatures.get("outer")]
    written += [point.get("value") for point in temperatures.get("points") or [] if isinstance(point, dict)]
    hottest: tuple[float, System] | None = None
    for raw in written:
        try:
            read = parse_quantity(raw, ("temperature",), units)
        except QuantityError:  # not given
            continue
        system: System = "us" if read.unit.name == "degF" else "metric"
        hottest = max(hottest or (read.si, system), (read.si, system))
    return None if hottest is None else hottest[1]
