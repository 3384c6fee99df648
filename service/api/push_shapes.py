"""JSON schemas of what machines poll or are sent. Imported only when the description is asked for."""

from __future__ import annotations

from typing import Final

from pydantic import BaseModel

from service.schema.hub_pages import PileNow

OUTGOING: Final[tuple[type[BaseModel], ...]] = (PileNow,)
