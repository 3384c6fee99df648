"""A request for a build sheet: the question about a heap, which of its answers to build, and the paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Annotated, Literal

from pydantic import Field, field_validator

from service.planning.shapes.sizing import SizingRequest
from service.status.checks import Misfit
from service.status.moments import INSTANT
from service.status.part import Text
from service.status.quantities import Measure, refused

Choice = Literal["heat", "heaps", "lead", "days", "keep_core_above"]
Paper = Literal["a4", "letter"]


class BuildSheetRequest(SizingRequest):
    """The same as for a heap to be built, and what is to be printed."""

    as_of: Annotated[datetime, INSTANT] = Field(
        default_factory=lambda: datetime.now(UTC),
        description="Date on the sheet. Default: now. With it the same request gives the same bytes.",
        examples=["2025-11-01T08:00:00Z"],
    )
    title: Text | None = Field(
        None, description="Name of the heap, on top of the sheet: one line, up to 60 letters.", examples=["North heap"]
    )
    paper: Paper | None = Field(
        None, description="Paper of the PDF. Default: A4, or Letter under `us`.", examples=["letter"]
    )
    heap: Annotated[float, Measure("volume", 0.5, 230.0)] | None = Field(
        None,
        description="Size to be built, as laid loose, instead of the one that would be found.",
        examples=["26 yd3", 20],
    )
    choose: Choice | None = Field(
        None,
        description="Which of the nearest to build where no heap gives what was asked: less `heat`, several `heaps`, a "
        "longer `lead`, fewer `days`, or a cooler core (`keep_core_above`). Default: the first that helps, in the "
        "order heat, lead, keep_core_above, days.",
        examples=["days"],
    )

    @field_validator("title")
    @classmethod
    def _one_line(cls, title: str | None) -> str | None:
        line = " ".join((title or "").split())
        if not line.isprintable():
            raise refused("the title has marks that cannot be printed; write it as one line of plain text")
        return line or None

    def misfits(self) -> Iterator[Misfit]:
        """What does not fit together in it."""
        yield from super().misfits()
        if self.heap is not None and self.choose is not None:
            yield (
                ("choose",),
                refused("with the size given there is nothing to choose; leave out one of heap and choose"),
            )
