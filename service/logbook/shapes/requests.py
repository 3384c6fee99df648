"""What goes into the log book over HTTP beside readings."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import Field

from service.logbook.shapes.words import FeedbackVerdict, Outcome
from service.problems.json_text import JsonObject
from service.status.moments import INSTANT
from service.status.names import ACTION
from service.status.part import AtMost, Name, Part
from service.status.zone import Zone

WhyNot = Literal[
    "no_time",
    "too_hard",
    "nothing_at_hand",
    "too_costly",
    "not_safe",
    "weather",
    "do_not_agree",
    "done_already",
    "other",
]
_AT = Annotated[datetime, INSTANT]


class NewPileBody(Part):
    """A pile to be kept."""

    name: Name = Field(description="What it is called.", examples=["North heap"])
    units: Literal["metric", "us"] = Field(
        "metric", description="Units of its answers, and of bare numbers in what is logged of it.", examples=["us"]
    )
    zone: Zone = Field(
        "UTC", description="Time zone it lies in: what is today and tonight there.", examples=["Europe/Berlin"]
    )
    about: JsonObject | None = Field(
        None,
        description="What is known of it already: an entry as for `POST /piles/{pile}/readings`.",
        examples=[{"pile": {"built_on": "2025-11-16", "size": {"volume": "22 yd3"}}}],
    )


class ChangedPileBody(Part):
    """What is to be called otherwise; absent stays as it is."""

    name: Name | None = Field(None, description="New name.", examples=["South heap"])
    units: Literal["metric", "us"] | None = Field(None, description="Units from now on.", examples=["metric"])
    zone: Zone | None = Field(None, description="Time zone from now on.", examples=["UTC"])


class WorkBody(Part):
    """Work that was done."""

    at: _AT | None = Field(
        None, description="When, with its offset. Default: now. Not in the future.", examples=["2026-01-12T15:00:00Z"]
    )
    action: Annotated[str, ACTION] = Field(description="What, as an action id.", examples=["add_water"])
    amount: str | float | None = Field(
        None, description="How much, as in `done` of a status.", examples=["60 gal", "200 L"]
    )


class FeedbackBody(Part):
    """What became of one action of an advice. Said again, the last word counts."""

    advice: Annotated[str, Field(max_length=40)] = Field(description="Id of the advice.", examples=["5f2c0e9a7d14b6c3"])
    action: Annotated[str, ACTION] = Field(description="Which of its actions.", examples=["add_water"])
    verdict: FeedbackVerdict = Field(
        description="done: it was done, and enters the pile's work; rejected: it will not be; ignored: nothing was "
        "done.",
        examples=["done"],
    )
    reason: WhyNot | None = Field(None, description="Why it was rejected.", examples=["nothing_at_hand"])
    comment: Annotated[str, Field(max_length=200, strict=True)] | None = Field(
        None, description="In own words.", examples=["the hose is frozen"]
    )
    at: _AT | None = Field(
        None,
        description="When it was done or decided. Default: now, or what was said before.",
        examples=["2026-01-18T15:00:00Z"],
    )
    amount: str | float | None = Field(None, description="How much, where it was done.", examples=["60 gal"])
    outcome: Outcome | None = Field(
        None, description="What came of it, once that can be told; may be sent later.", examples=["better"]
    )
    outcome_at: _AT | None = Field(None, description="When that was seen.", examples=["2026-01-23T07:00:00Z"])


class SeveralFeedbacks(Part):
    """Several words at once; all are kept or none."""

    feedback: Annotated[list[Any], AtMost(100)] = Field(
        description="Each as if it were sent alone.",
        examples=[[{"advice": "5f2c0e9a7d14b6c3", "action": "add_water", "verdict": "done"}]],
    )
