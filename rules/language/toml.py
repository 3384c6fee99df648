"""Data files."""

from typing import Any

TomlTable = dict[str, Any]
"""A table of a data file as it is read; whoever reads it makes a record of it, which has types."""
