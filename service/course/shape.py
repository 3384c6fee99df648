"""Days to begin something on, as they go out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import Day, closed


@closed
class BeginOn(TypedDict):
    """Days on which to begin, most likely and the ends of the 80 % range; today where it is late already."""

    value: Annotated[Day, Field(description="Most likely.", examples=["2026-02-01"])]
    low: Annotated[Day, Field(description="Earliest: to be on the safe side.", examples=["2026-01-21"])]
    high: Annotated[Day, Field(description="Latest.", examples=["2026-03-10"])]
