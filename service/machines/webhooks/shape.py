"""What goes into and comes out of `/piles/{pile}/webhooks`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.logbook.shapes.webhooks import Event, WebhookPage
from service.machines.hub.shape import PileNow
from service.problems.json_text import LONGEST_TEXT, JsonObject
from service.problems.outgoing import Moment, closed
from service.status.part import AtMost, Part

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
        max_length=LONGEST_TEXT,
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


@closed
class NewWebhookPage(WebhookPage):
    """A new webhook with its secret, which is shown this once."""

    secret: Annotated[
        str,
        Field(
            description="For checking signatures (Standard Webhooks, v1).",
            examples=["whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"],
        ),
    ]


@closed
class WebhooksPage(TypedDict):
    """The webhooks of a pile."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    webhooks: Annotated[list[WebhookPage], Field(description="Oldest first.", examples=[[]])]


@closed
class RetriedPage(TypedDict):
    """What is sent again."""

    webhook: Annotated[str, Field(description="Webhook id.", examples=[_HOOK])]
    again: Annotated[int, Field(description="How many messages.", examples=[2])]


class WebhookData(PileNow):
    """The pile as it is, and the words of it that were told before."""

    before: JsonObject | None


class WebhookBody(TypedDict):
    """A message: what it tells, when that happened, and the pile."""

    type: Event
    timestamp: Moment
    data: WebhookData
