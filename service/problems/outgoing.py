"""What the shapes of answers have in common.

An answer is a plain dict, written as it was built; its shape is a typed dict that both the type checker and the
description of the interface read, so that there is one of it. Each shape is `closed`: it holds what it names.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Any, Final

from pydantic import AfterValidator, ConfigDict, GetCoreSchemaHandler, WithJsonSchema, with_config
from pydantic_core import CoreSchema


def _moment(text: str) -> str:
    datetime.fromisoformat(text)
    return text


def _day(text: str) -> str:
    date.fromisoformat(text)
    return text


Moment = Annotated[str, AfterValidator(_moment), WithJsonSchema({"type": "string", "format": "date-time"})]
"""A moment in ISO 8601, with its offset."""
Day = Annotated[str, AfterValidator(_day), WithJsonSchema({"type": "string", "format": "date"})]
"""A day in ISO 8601."""


@dataclass(frozen=True, slots=True)
class WordOf:
    """Marks a text that is one of the words of an enumeration: what goes out holds words, never members."""

    words: type[StrEnum]

    def __get_pydantic_core_schema__(self, _source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return handler.generate_schema(self.words)


closed: Final[Any] = with_config(ConfigDict(extra="forbid"))
"""Marks a shape that has no other names than its own."""
