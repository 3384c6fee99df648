"""Where the log book is kept: the data folder and the address of the database. Imports nothing heavy."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

DATA_VARIABLE: Final = "WARMHEAP_DATA"
DATABASE_VARIABLE: Final = "WARMHEAP_DATABASE"
FILE_NAME: Final = "warmheap.db"
_SQLITE: Final = "sqlite:///"
_POSTGRESQL: Final = ("postgresql://", "postgres://", "postgresql+psycopg://")


def data_folder() -> Path:
    """The folder of WARMHEAP_DATA, else `warmheap` in the user's data home (XDG base directories)."""
    given = os.environ.get(DATA_VARIABLE)
    if given:
        return Path(given).expanduser().absolute()
    home = os.environ.get("XDG_DATA_HOME", "")
    base = Path(home) if home and Path(home).is_absolute() else Path.home() / ".local" / "share"
    return base / "warmheap"


def database_url() -> str:
    """Address of the database: WARMHEAP_DATABASE, else the SQLite file in the data folder.

    Raises ValueError for a kind of database that is not supported; the message never holds the address.
    """
    given = os.environ.get(DATABASE_VARIABLE)
    if not given:
        return f"{_SQLITE}{data_folder() / FILE_NAME}"
    for start in _POSTGRESQL:
        if given.startswith(start):
            return "postgresql+psycopg://" + given.removeprefix(start)
    if given.startswith(_SQLITE):
        return given
    raise ValueError(f"{DATABASE_VARIABLE} is neither postgresql://… nor sqlite:///…")


def sqlite_file(url: str) -> Path | None:
    """The file of an SQLite address; None for a server."""
    return Path(url.removeprefix(_SQLITE)) if url.startswith(_SQLITE) else None


def exists() -> bool:
    """Whether there is a log book to look into without making one."""
    file = sqlite_file(database_url())
    return file is None or file.exists()
