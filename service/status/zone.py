"""Time zones by their names."""

from __future__ import annotations

from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import BeforeValidator, Field

from service.status.quantities import refused


def read_zone(raw: object) -> str:
    """A name of the time zone database, such as Europe/Berlin."""
    if isinstance(raw, str) and 0 < len(raw) <= 60:
        try:
            return ZoneInfo(raw).key
        except (ValueError, OSError, KeyError):
            pass
    detail = 'a time zone is wanted as the time zone database names it, such as "Europe/Berlin" or "UTC"'
    raise refused(detail, read=raw[:60] if isinstance(raw, str) else None)


Zone = Annotated[str, BeforeValidator(read_zone), Field(max_length=60)]
