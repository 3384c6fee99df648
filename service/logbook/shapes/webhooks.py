"""Webhooks as the log book shows them, and what they send."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import Moment, closed

Event = Literal["advice.changed", "fire.risk", "advice.unavailable"]
_AT = "2026-01-18T07:30:00+01:00"
_HOOK = "0006487f3b2a10a1b2c3d4e5"
_PILE = "3f9a0c1d2e4b5a67"
_URL = "https://hooks.example.org/heap"


@closed
class WebhookFailure(TypedDict):
    """A message that was not taken at once."""

    id: Annotated[str, Field(description="Its `webhook-id`.", examples=[f"msg_{_HOOK}"])]
    event: Annotated[Event, Field(description="What it tells.", examples=["advice.changed"])]
    made_at: Annotated[Moment, Field(description="When that happened.", examples=[_AT])]
    attempts: Annotated[int, Field(description="How often it was sent.", examples=[3])]
    tried_at: Annotated[Moment | None, Field(description="When last.", examples=[_AT])]
    status: Annotated[int | None, Field(description="What the receiver answered last.", examples=[503])]
    error: Annotated[str, Field(description="Why it was not taken.", examples=["the receiver answered 503"])]
    next_at: Annotated[Moment | None, Field(description="When it is sent again.", examples=[_AT])]
    given_up_at: Annotated[Moment | None, Field(description="When it was given up.", examples=[None])]


@closed
class WebhookPage(TypedDict):
    """A webhook, with what waits for it and the newest failures."""

    id: Annotated[str, Field(description="Webhook id.", examples=[_HOOK])]
    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    url: Annotated[str, Field(description="Where it is sent.", examples=[_URL])]
    events: Annotated[list[Event], Field(description="What is sent.", examples=[["fire.risk"]])]
    made_at: Annotated[Moment, Field(description="When it was entered.", examples=[_AT])]
    disabled_at: Annotated[Moment | None, Field(description="Since when nothing is sent.", examples=[None])]
    disabled_why: Annotated[str | None, Field(description="Why.", examples=[None])]
    waiting: Annotated[int, Field(description="Messages to be sent.", examples=[0])]
    taken: Annotated[int, Field(description="Messages taken in the last 7 days.", examples=[12])]
    failed: Annotated[int, Field(description="Messages given up in the last 60 days.", examples=[0])]
    failures: Annotated[list[WebhookFailure], Field(description="The newest 20 messages with trouble.", examples=[[]])]
