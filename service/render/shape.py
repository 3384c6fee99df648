"""A quantity as it goes out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class Quantity(TypedDict):
    """A value with its 80 % range."""

    value: Annotated[float, Field(description="Most likely value, in `unit`.", examples=[900])]
    low: Annotated[float, Field(description="Low end of the 80 % range, in `unit`.", examples=[600])]
    high: Annotated[float, Field(description="High end of the 80 % range, in `unit`.", examples=[1300])]
    unit: Annotated[str, Field(description="Unit of the three numbers.", examples=["BTU/h"])]
