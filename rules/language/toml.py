"""Data files."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

TomlTable = dict[str, Any]
"""A table of a data file as it is read; whoever reads it makes a record of it, which has types."""


@contextmanager
def entry_of(file: str, table: str) -> Iterator[None]:
    """Where a record is made of an entry: what it lacks, or what is wrong in it, is told with its place.

    Raises ValueError.
    """
    try:
        yield
    except KeyError as lacking:
        raise ValueError(f"{file}: [{table}] lacks {lacking.args[0]}: add it there") from None
    except (ValueError, TypeError) as wrong:
        raise ValueError(f"{file}: [{table}]: {wrong}") from None
