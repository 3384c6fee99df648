"""The base of every part of a status."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetCoreSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from service.status.quantities import refused


class Part(BaseModel):
    """A part of a status: no unknown fields, never changed once read; null means the same as absent."""

    model_config = ConfigDict(extra="forbid", frozen=True)


@dataclass(frozen=True, slots=True)
class AtMost:
    """Annotation of a list field: its longest length, checked before any entry is read."""

    length: int

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self._check, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> JsonSchemaValue:
        described: JsonSchemaValue = handler(schema)
        return {**described, "maxItems": self.length}

    def _check(self, raw: object) -> object:
        if not isinstance(raw, list):
            raise refused("a list is wanted")
        if len(raw) > self.length:
            raise refused("the list is too long", read=f"{len(raw)} entries", allowed=f"at most {self.length} entries")
        return raw


Flag = Annotated[bool, Field(strict=True)]
Text = Annotated[str, Field(strict=True, max_length=60)]


def _check_name(raw: str) -> str:
    if not raw.strip() or not raw.isprintable() or "\N{REPLACEMENT CHARACTER}" in raw:
        raise refused("a name of letters, digits and marks is wanted, without marks that are not seen", read=raw)
    return raw


Name = Annotated[str, Field(strict=True, min_length=1, max_length=60), AfterValidator(_check_name)]
"""A name as somebody reads it: not only spaces, and no marks that part lines or turn the direction of writing."""


def null_too(schema: JsonSchemaValue) -> None:
    """Say in the schema of a field that null is taken where a default stands in."""
    kept = {key: schema.pop(key) for key in ("type", "enum", "format", "$ref") if key in schema}
    schema["anyOf"] = [kept, {"type": "null"}]
