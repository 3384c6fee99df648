"""Which version of the tables this service works with."""

from __future__ import annotations

from typing import Final

from service.problems.problem import Problem

HEAD: Final = "0002"
"""The newest migration."""
KNOWN: Final = (None, "0001", "0002")
"""Every version that can be brought up to date; None is an empty database."""


def check_known(found: str | None) -> None:
    """Refuse tables that a newer service made: their meaning is not known here."""
    if found not in KNOWN:
        detail = "The log book was made by a newer version of this service; use that version, or a copy made before."
        raise Problem("storage-unavailable", detail)
