"""What may be logged of a pile: any part of a status, as it was at one moment."""

from __future__ import annotations

import copy
from datetime import datetime
from typing import Annotated, Any, Final, Literal, get_type_hints

from pydantic import Field, ModelWrapValidatorHandler, create_model, model_validator

from service.status.moments import INSTANT
from service.status.part import AtMost, Part
from service.status.quantities import bare_numbers_in
from service.status.status import Status

NOT_LOGGED: Final = frozenset({"as_of", "units", "read_at", "learned"})
MOST_ENTRIES: Final = 1000


class EntryHead(Part):
    """When an entry was so, and how its bare numbers are read."""

    at: Annotated[datetime, INSTANT] | None = Field(
        None,
        description="When this was so, with its offset (RFC 3339). Default: now. Not in the future.",
        examples=["2026-01-18T06:00:00Z"],
    )
    as_of: Annotated[datetime, INSTANT] | None = Field(
        None,
        description="The same as `at`, so that a status can be logged as it is.",
        examples=["2026-01-18T06:00:00Z"],
    )
    units: Literal["metric", "us"] | None = Field(
        None, description="How bare numbers are read. Default: the pile's own units.", examples=["us"]
    )

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, data: Any, handler: ModelWrapValidatorHandler[EntryHead]) -> EntryHead:
        units = data.get("units") if isinstance(data, dict) else None
        with bare_numbers_in("us" if units == "us" else "metric"):
            return handler(data)


def _fields() -> dict[str, Any]:
    """The fields of a status, none of them needed."""
    hints = get_type_hints(Status, include_extras=True)
    fields: dict[str, Any] = {}
    for name, field in Status.model_fields.items():
        if name not in NOT_LOGGED:
            optional = copy.copy(field)
            optional.default, optional.json_schema_extra = None, None
            fields[name] = (hints[name] | None, optional)
    return fields


Entry: type[EntryHead] = create_model(
    "Entry",
    __base__=EntryHead,
    __doc__="Any part of a status as it was at one moment. `history` and `done` are logged at their own moments.",
    **_fields(),
)


class Entries(Part):
    """Several entries at once; all are kept or none."""

    readings: Annotated[list[Any], AtMost(MOST_ENTRIES)] = Field(
        description="The entries, in any order; each as if it were sent alone.",
        examples=[[{"at": "2026-01-18T06:00:00Z", "temperatures": {"core": "121 degF"}}]],
    )
