"""The tables of webhooks."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from service.logbook.shapes.webhooks import Event
from service.logbook.store.columns import Phrase, Small, Writing
from service.logbook.store.models import ID_LENGTH, Base, new_id

LONGEST_ERROR: Final = 300


class Webhook(Base):
    """Where a pile's events are sent. `told` is what was last told of the pile; no more is sent once it is disabled."""

    __tablename__ = "webhooks"
    __table_args__ = (Index("ix_webhooks_pile_id", "pile_id"),)

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    pile_id: Mapped[str] = mapped_column(Phrase(16), ForeignKey("piles.id", ondelete="CASCADE"))
    url: Mapped[str] = mapped_column(Phrase(500))
    secret: Mapped[str] = mapped_column(Phrase(100))
    events: Mapped[str] = mapped_column(Phrase(200))
    made_at: Mapped[datetime]
    told: Mapped[str | None] = mapped_column(Writing)
    disabled_at: Mapped[datetime | None]
    disabled_why: Mapped[str | None] = mapped_column(Phrase(LONGEST_ERROR))


class WebhookMessage(Base):
    """One message. It waits while `next_at` is set; then it was taken (`taken_at`) or given up (`failed_at`)."""

    __tablename__ = "webhook_messages"
    __table_args__ = (
        Index("ix_webhook_messages_webhook_id", "webhook_id"),
        Index("ix_webhook_messages_next_at", "next_at"),
    )

    id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), primary_key=True, default=new_id)
    webhook_id: Mapped[str] = mapped_column(Phrase(ID_LENGTH), ForeignKey("webhooks.id", ondelete="CASCADE"))
    event: Mapped[Event] = mapped_column(Phrase(30))
    body: Mapped[str] = mapped_column(Writing)
    made_at: Mapped[datetime]
    attempts: Mapped[int] = mapped_column(Small)
    next_at: Mapped[datetime | None]
    tried_at: Mapped[datetime | None]
    taken_at: Mapped[datetime | None]
    failed_at: Mapped[datetime | None]
    status: Mapped[int | None] = mapped_column(Small)
    error: Mapped[str | None] = mapped_column(Phrase(LONGEST_ERROR))
