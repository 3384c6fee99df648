"""JSON schemas of what machines poll or are sent. Imported only when the description is asked for."""

from __future__ import annotations

from typing import Any, Final

from pydantic import BaseModel

from service.http.description import Described
from service.logbook.shapes.webhooks import WebhookPage
from service.machines.hub.shape import PileNow
from service.machines.webhooks.shape import NewWebhookBody, NewWebhookPage, RetriedPage, WebhooksPage

OUTGOING: Final[tuple[type[Any], ...]] = (PileNow, NewWebhookPage, RetriedPage, WebhookPage, WebhooksPage)
INCOMING: Final[tuple[type[BaseModel], ...]] = (NewWebhookBody,)

OTHERS: Final[dict[str, Described]] = {
    "PileCalendar": {
        "description": "An iCalendar file (RFC 5545).",
        "type": "string",
        "examples": ["BEGIN:VCALENDAR\r\nVERSION:2.0\r\n…\r\nEND:VCALENDAR\r\n"],
    },
}
"""Schemas of what is no single model."""
