"""Columns that give values of their own kind whatever lies in the file: SQLite takes any value in any column.

A cell of another kind reads as a value that no sound row has, so that it makes one damaged row and not a page of rows
that cannot be read. PostgreSQL keeps kinds apart by itself.
"""

from __future__ import annotations

import math
from typing import Any, Final

from sqlalchemy import BigInteger, Float, LargeBinary, SmallInteger, String, Text

NO_NUMBER: Final = -(2**31)
"""Stands for a whole number that cannot be read; no count, offset or status is so low."""


def _text(value: Any) -> str | None:
    if value is None or isinstance(value, str):
        return value
    return bytes(value).decode("utf-8", "replace") if isinstance(value, (bytes, memoryview)) else str(value)


def _number(value: Any) -> int | None:
    return value if value is None or isinstance(value, int) else NO_NUMBER


def _share(value: Any) -> float | None:
    return value if value is None or isinstance(value, (int, float)) else math.nan


def _octets(value: Any) -> bytes | None:
    if value is None or isinstance(value, bytes):
        return value
    return bytes(value) if isinstance(value, memoryview) else str(value).encode()


class Phrase(String):
    """A short text."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _text


class Writing(Text):
    """A text of any length."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _text


class Small(SmallInteger):
    """A small whole number."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _number


class Big(BigInteger):
    """A large whole number."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _number


class Share(Float[float]):
    """A number with a point."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _share


class Octets(LargeBinary):
    """Bytes."""

    def result_processor(self, dialect: Any, coltype: object) -> Any:
        """What comes from the file."""
        return _octets
