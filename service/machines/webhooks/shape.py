"""What goes into and comes out of `/piles/{pile}/webhooks`."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import Field

from service.problems.page import Page
from service.status.part import AtMost, Part

Event = Literal["advice.changed", "fire.risk", "advice.unavailable"]
EVENTS: tuple[Event, ...] = ("advice.changed", "fire.risk", "advice.unavailable")
_AT = "2026-01-18T07:30:00+01:00"
_HOOK = "0006487f3b2a10a1b2c3d4e5"
_PILE = "3f9a0c1d2e4b5a67"
_URL = "https://hooks.example.org/heap"


class NewWebhookBody(Part):
    """A receiver of a pile's events."""

    url: str = Field(
        description="Where to send, https. Local addresses only where whoever runs the service allows them.",
        min_length=1,
        max_length=500,
        strict=True,
        examples=[_URL],
    )
    events: Annotated[list[Event], AtMost(len(EVENTS))] = Field(
        list(EVENTS),
        min_length=1,
        description="What to send. advice.changed: another first action, urgency, or the draw is to pause; fire.risk: "
        "75 degC or more, smoke, or a burnt smell; advice.unavailable: no core reading counts any longer.",
        examples=[["fire.risk"]],
    )


class WebhookFailure(Page):
    """A message that was not taken at once."""

    id: str = Field(description="Its `webhook-id`.", examples=[f"msg_{_HOOK}"])
    event: Event = Field(description="What it tells.", examples=["advice.changed"])
    made_at: datetime = Field(description="When that happened.", examples=[_AT])
    attempts: int = Field(description="How often it was sent.", examples=[3])
    tried_at: datetime | None = Field(description="When last.", examples=[_AT])
    status: int | None = Field(description="What the receiver answered last.", examples=[503])
    error: str = Field(description="Why it was not taken.", examples=["the receiver answered 503"])
    next_at: datetime | None = Field(description="When it is sent again.", examples=[_AT])
    given_up_at: datetime | None = Field(description="When it was given up.", examples=[None])


class WebhookPage(Page):
    """A webhook, with what waits for it and the newest failures."""

    id: str = Field(description="Webhook id.", examples=[_HOOK])
    pile: str = Field(description="Pile id.", examples=[_PILE])
    url: str = Field(description="Where it is sent.", examples=[_URL])
    events: list[Event] = Field(description="What is sent.", examples=[["fire.risk"]])
    made_at: datetime = Field(description="When it was entered.", examples=[_AT])
    disabled_at: datetime | None = Field(description="Since when nothing is sent.", examples=[None])
    disabled_why: str | None = Field(description="Why.", examples=[None])
    waiting: int = Field(description="Messages to be sent.", examples=[0])
    taken: int = Field(description="Messages taken in the last 7 days.", examples=[12])
    failed: int = Field(description="Messages given up in the last 60 days.", examples=[0])
    failures: list[WebhookFailure] = Field(description="The newest 20 messages with trouble.", examples=[[]])


class NewWebhookPage(WebhookPage):
    """A new webhook with its secret, which is shown this once."""

    secret: str = Field(
        description="For checking signatures (Standard Webhooks, v1).",
        examples=["whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"],
    )


class WebhooksPage(Page):
    """The webhooks of a pile."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    webhooks: list[WebhookPage] = Field(description="Oldest first.", examples=[[]])


class RetriedPage(Page):
    """What is sent again."""

    webhook: str = Field(description="Webhook id.", examples=[_HOOK])
    again: int = Field(description="How many messages.", examples=[2])
