"""A whole pile as a file: what is written by an export and read by an import."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import FailFast, Field

from service.problems.json_text import JsonObject
from service.status.moments import INSTANT
from service.status.part import Name, Part
from service.status.zone import Zone

FORMAT = "warmheap-pile"
FORMAT_VERSION = 1
_AT = Annotated[datetime, INSTANT]
_Id = Annotated[str, Field(pattern=r"^[0-9a-f]{24}$")]
_PileId = Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")]
_Word = Annotated[str, Field(max_length=80)]
_Count = Annotated[int, Field(ge=0, le=2**53, strict=True)]
_MOMENT = "2026-01-18T07:30:00+00:00"


_HEAD = {
    "id": "3f9a0c1d2e4b5a67",
    "name": "North heap",
    "units": "us",
    "zone": "Europe/Berlin",
    "made_at": _MOMENT,
    "changes": 12,
}


class ExportedHead(Part):
    """The pile itself."""

    id: _PileId = Field(description="Pile id.", examples=["3f9a0c1d2e4b5a67"])
    name: Name = Field(description="Its name.", examples=["North heap"])
    units: Literal["metric", "us"] = Field(description="Units of its answers.", examples=["us"])
    zone: Zone = Field(description="Its time zone.", examples=["Europe/Berlin"])
    made_at: _AT = Field(description="When it was entered.", examples=[_MOMENT])
    changes: _Count = Field(description="How often its readings or work have changed.", examples=[12])


class ExportedReading(Part):
    """One reading."""

    id: _Id = Field(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])
    at: _AT = Field(description="When it was so.", examples=[_MOMENT])
    received_at: _AT = Field(description="When it came in.", examples=[_MOMENT])
    source: Literal["json", "senml", "csv"] = Field(description="How it came in.", examples=["json"])
    part: JsonObject = Field(
        description="The part of a status that was read.", examples=[{"temperatures": {"core": "121 degF"}}]
    )


class ExportedWork(Part):
    """One piece of work."""

    id: _Id = Field(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])
    at: _AT = Field(description="When it was done.", examples=[_MOMENT])
    received_at: _AT = Field(description="When it came in.", examples=[_MOMENT])
    action: _Word = Field(description="Action id.", examples=["add_water"])
    amount: _Word | None = Field(description="How much.", examples=["60 gal"])
    feedback: _Id | None = Field(description="The feedback that told of it.", examples=[None])


class ExportedAdvice(Part):
    """One advice with all it was given under."""

    id: _Id = Field(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])
    answer_id: _PileId = Field(description="Id of the answer.", examples=["5f2c0e9a7d14b6c3"])
    given_at: _AT = Field(description="When it was given.", examples=[_MOMENT])
    as_of: _AT = Field(description="The moment it speaks of.", examples=[_MOMENT])
    valid_until: _AT = Field(description="Until when it is valid.", examples=[_MOMENT])
    keeps_until: _AT = Field(description="Until when it would be given the same again.", examples=[_MOMENT])
    changes: _Count = Field(description="The count of changes it rests on.", examples=[12])
    effects: Literal["none", "full"] = Field(description="With what-ifs or without.", examples=["full"])
    units: Literal["metric", "us"] = Field(description="Its units.", examples=["us"])
    knowledge: Annotated[str, Field(max_length=12)] = Field(description="Its knowledge.", examples=["0a1b2c3d4e5f"])
    service: Annotated[str, Field(max_length=40)] = Field(description="Version that gave it.", examples=["0.1.0"])
    status: JsonObject = Field(description="The status it was given for.", examples=[{"pile": {"age": "63 days"}}])
    known: list[JsonObject] = Field(description="What it rests on, with ages.", examples=[[]])
    answer: str = Field(description="The answer, byte for byte.", examples=['{"id":"5f2c0e9a7d14b6c3"}'])
    superseded_at: _AT | None = Field(description="When something newer came in.", examples=[None])
    superseded_by: _PileId | None = Field(description="The answer that took its place.", examples=[None])


class ExportedFeedback(Part):
    """What became of one action."""

    id: _Id = Field(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])
    advice: _Id = Field(description="Entry id of the advice.", examples=["0006487f3b2a10a1b2c3d4e5"])
    action: _Word = Field(description="Action id.", examples=["add_water"])
    verdict: Literal["done", "rejected", "ignored"] = Field(description="What was said.", examples=["done"])
    reason: Annotated[str, Field(max_length=20)] | None = Field(description="Why not.", examples=[None])
    comment: Annotated[str, Field(max_length=200)] | None = Field(description="In own words.", examples=[None])
    at: _AT = Field(description="When it was done or decided.", examples=[_MOMENT])
    outcome: Literal["better", "same", "worse"] | None = Field(description="What came of it.", examples=["better"])
    outcome_at: _AT | None = Field(description="When that was seen.", examples=[None])


class DamagedEntry(Part):
    """An entry that could not be read any more when the file was written."""

    section: Annotated[str, Field(max_length=20)] = Field(description="Which it was one of.", examples=["readings"])
    id: Annotated[str, Field(max_length=80)] = Field(description="Entry id.", examples=["0006487f3b2a10a1b2c3d4e5"])
    why: Annotated[str, Field(max_length=200)] = Field(
        description="What is wrong with it.", examples=["it is not as it came in"]
    )


class PileFile(Part):
    """All of one pile."""

    format: Literal["warmheap-pile"] = Field(description="What this is.", examples=[FORMAT])
    format_version: int = Field(
        strict=True, ge=1, le=1, description="Version of the format.", examples=[FORMAT_VERSION]
    )
    pile: ExportedHead = Field(description="The pile.", examples=[_HEAD])
    readings: Annotated[list[ExportedReading], FailFast()] = Field(description="Readings, oldest first.", examples=[[]])
    work: Annotated[list[ExportedWork], FailFast()] = Field(description="Work, oldest first.", examples=[[]])
    advice: Annotated[list[ExportedAdvice], FailFast()] = Field(description="Advice, oldest first.", examples=[[]])
    feedback: Annotated[list[ExportedFeedback], FailFast()] = Field(
        description="Feedback, oldest first.", examples=[[]]
    )
    damaged: Annotated[list[DamagedEntry], Field(fail_fast=True)] | None = Field(
        None,
        description="What was damaged and is not in the file; neither it nor what rests on it is brought in.",
        examples=[[]],
    )
