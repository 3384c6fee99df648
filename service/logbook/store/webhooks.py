"""Webhooks of a pile: entered, listed, deleted; their messages kept until they are taken or given up."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, cast

from sqlalchemy import delete, func, select, update
from sqlalchemy.orm import Session

from service.logbook.shapes.webhooks import Event, WebhookFailure, WebhookPage
from service.logbook.store.models import PileRow, new_id
from service.logbook.store.piles import local
from service.logbook.store.webhook_models import LONGEST_ERROR, Webhook, WebhookMessage
from service.problems.problem import Problem

MOST_WEBHOOKS: Final = 10
MOST_SHOWN: Final = 20
MOST_ATTEMPTS: Final = 1000
"""More than any message is sent; what says more is damaged."""
KEPT_TAKEN: Final = timedelta(days=7)
KEPT_FAILED: Final = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class Due:
    """A message to be sent now."""

    id: str
    webhook_id: str
    url: str
    secret: str
    body: bytes
    attempts: int


def add_webhook(
    session: Session, pile: PileRow, url: str, events: Sequence[str], *, secret: str, now: datetime
) -> Webhook:
    """A new webhook of a pile."""
    count = session.scalar(select(func.count()).select_from(Webhook).where(Webhook.pile_id == pile.id)) or 0
    if count >= MOST_WEBHOOKS:
        raise Problem("too-many", f"One pile keeps at most {MOST_WEBHOOKS} webhooks; delete one first.")
    row = Webhook(pile_id=pile.id, url=url, secret=secret, events=" ".join(events), made_at=now)
    session.add(row)
    session.flush()
    return row


def webhook_of(session: Session, pile: PileRow, webhook_id: str) -> Webhook:
    """One webhook of a pile. Raises Problem `not-found`."""
    row = session.scalars(select(Webhook).where(Webhook.id == webhook_id, Webhook.pile_id == pile.id)).one_or_none()
    if row is None:
        raise Problem("not-found", "There is no webhook of this id.")
    return row


def webhooks_of(session: Session, pile: PileRow) -> list[Webhook]:
    """All webhooks of a pile, oldest first."""
    return list(session.scalars(select(Webhook).where(Webhook.pile_id == pile.id).order_by(Webhook.id)))


def delete_webhook(session: Session, row: Webhook) -> None:
    """Delete a webhook with its messages."""
    session.execute(delete(Webhook).where(Webhook.id == row.id))


def enqueue(session: Session, row: Webhook, event: str, body: Mapping[str, object], now: datetime) -> None:
    """Keep a message to be sent as soon as may be."""
    message = WebhookMessage(
        id=new_id(), webhook_id=row.id, event=event, body=json.dumps(body), made_at=now, attempts=0, next_at=now
    )
    session.add(message)


def any_due(session: Session, now: datetime) -> bool:
    """Whether a message is due."""
    return session.scalar(select(WebhookMessage.id).where(WebhookMessage.next_at <= now).limit(1)) is not None


def claim(session: Session, now: datetime, most: int, lease: timedelta) -> list[Due]:
    """Messages that are due, each taken by one worker only: should that one die, they are due again after `lease`."""
    due = (
        select(WebhookMessage, Webhook)
        .join(Webhook, Webhook.id == WebhookMessage.webhook_id)
        .where(WebhookMessage.next_at <= now, Webhook.disabled_at.is_(None))
        .order_by(WebhookMessage.next_at, WebhookMessage.id)
        .limit(most)
    )
    claimed = []
    for message, row in session.execute(due).all():
        mine = update(WebhookMessage).where(WebhookMessage.id == message.id, WebhookMessage.next_at == message.next_at)
        if session.execute(mine.values(next_at=now + lease)).rowcount == 1:  # type: ignore[attr-defined]
            body, attempts = message.body.encode(), min(max(message.attempts, 0), MOST_ATTEMPTS)
            claimed.append(Due(message.id, row.id, row.url, row.secret, body, attempts))
    return claimed


def settle_attempt(
    session: Session, due: Due, now: datetime, *, status: int | None, error: str | None, next_at: datetime | None
) -> None:
    """Keep what came of an attempt: taken where there is no error, else due again, or given up without `next_at`."""
    changed: dict[str, int | str | datetime | None] = {
        "attempts": due.attempts + 1,
        "tried_at": now,
        "status": status,
        "error": None if error is None else error[:LONGEST_ERROR],
        "next_at": next_at,
    }
    if error is None:
        changed["taken_at"] = now
    elif next_at is None:
        changed["failed_at"] = now
    session.execute(update(WebhookMessage).where(WebhookMessage.id == due.id).values(**changed))


def disable(session: Session, webhook_id: str, why: str, now: datetime) -> None:
    """Send no more to a webhook; what waits for it is given up."""
    session.execute(update(Webhook).where(Webhook.id == webhook_id).values(disabled_at=now, disabled_why=why))
    waiting = (WebhookMessage.webhook_id == webhook_id, WebhookMessage.next_at.is_not(None))
    session.execute(update(WebhookMessage).where(*waiting).values(next_at=None, failed_at=now, error=why))


def retry_failed(session: Session, row: Webhook, now: datetime) -> int:
    """Send again all that was given up, from the first attempt on, and enable the webhook; how many there are."""
    row.disabled_at = row.disabled_why = None
    failed = (WebhookMessage.webhook_id == row.id, WebhookMessage.failed_at.is_not(None))
    again = update(WebhookMessage).where(*failed).values(failed_at=None, next_at=now, attempts=0)
    return int(session.execute(again).rowcount)  # type: ignore[attr-defined]


def forget_old(session: Session, now: datetime) -> None:
    """Delete messages taken or given up long ago."""
    session.execute(delete(WebhookMessage).where(WebhookMessage.taken_at < now - KEPT_TAKEN))
    session.execute(delete(WebhookMessage).where(WebhookMessage.failed_at < now - KEPT_FAILED))


def watched(session: Session) -> list[tuple[str, str]]:
    """(account, pile) of every pile with a webhook that is not disabled."""
    found = select(PileRow.account_id, PileRow.id).join(Webhook, Webhook.pile_id == PileRow.id)
    return [(account, pile) for account, pile in session.execute(found.where(Webhook.disabled_at.is_(None)).distinct())]


def webhook_shown(session: Session, pile: PileRow, row: Webhook) -> WebhookPage:
    """A webhook without its secret, with what waits and the newest failures."""

    def count(column: Any) -> int:
        mine = select(func.count()).select_from(WebhookMessage).where(WebhookMessage.webhook_id == row.id)
        return session.scalar(mine.where(column.is_not(None))) or 0

    troubled = select(WebhookMessage).where(WebhookMessage.webhook_id == row.id, WebhookMessage.error.is_not(None))
    newest = session.scalars(troubled.order_by(WebhookMessage.id.desc()).limit(MOST_SHOWN))
    return {
        "id": row.id,
        "pile": pile.id,
        "url": row.url,
        "events": cast("list[Event]", row.events.split()),
        "made_at": local(pile, row.made_at).isoformat(),
        "disabled_at": None if row.disabled_at is None else local(pile, row.disabled_at).isoformat(),
        "disabled_why": row.disabled_why,
        "waiting": count(WebhookMessage.next_at),
        "taken": count(WebhookMessage.taken_at),
        "failed": count(WebhookMessage.failed_at),
        "failures": [_failure(pile, message) for message in newest],
    }


def _failure(pile: PileRow, message: WebhookMessage) -> WebhookFailure:
    def told(moment: datetime | None) -> str | None:
        return None if moment is None else local(pile, moment).isoformat()

    return {
        "id": f"msg_{message.id}",
        "event": message.event,
        "made_at": local(pile, message.made_at).isoformat(),
        "attempts": message.attempts,
        "tried_at": told(message.tried_at),
        "status": message.status,
        "error": message.error or "",
        "next_at": told(message.next_at),
        "given_up_at": told(message.failed_at),
    }
