"""The loop behind webhooks: looks at the piles that have some, keeps what there is to tell, and delivers it.

Messages are kept in the transaction that notices the change and sent afterwards, so that none is lost when the service
dies; a receiver may get one twice, with the same `webhook-id`.
"""

from __future__ import annotations

import json
import logging
import random
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from typing import Final

from rules.catalogue import said
from service.logbook.book import now_utc
from service.logbook.shapes.webhooks import Event
from service.logbook.store import webhooks as kept
from service.logbook.store.engine import Store
from service.logbook.store.piles import pile_of
from service.machines.hub.now import now_of
from service.machines.hub.shape import PileNow
from service.machines.webhooks.schedule import wait_after
from service.machines.webhooks.sending import Receipt, Send, send
from service.machines.webhooks.shape import WebhookBody
from service.machines.webhooks.signing import headers_for
from service.problems.json_text import JsonObject
from service.problems.problem import Problem

AT_ONCE: Final = 4
MOST_AT_A_TIME: Final = 40
LEASE: Final = timedelta(minutes=10)
"""Longer than 40 messages, 4 at once, of 20 s each may take."""
_TOLD: Final = ("available", "action", "urgency", "pause_draw", "fire_risk")
_LOG: Final = logging.getLogger(__name__)


class Delivery:
    """Notices and delivers. The clock and the sender are given, so that a day can be tested in a moment."""

    def __init__(
        self,
        store: Store,
        clock: Callable[[], datetime] = now_utc,
        sender: Send = send,
        jitter: Callable[[], float] = random.random,
    ) -> None:
        self._store, self._clock, self._sender, self._jitter = store, clock, sender, jitter

    def notice(self) -> None:
        """Keep a message for each webhook whose pile has changed since it was last told."""
        with self._store.reading() as session:
            piles = kept.watched(session)
        for account, pile_id in piles:
            try:
                self._notice(account, pile_id, now_of(self._store, account, pile_id))
            except Problem as problem:  # a pile deleted meanwhile, or a log book that is busy: next time
                _LOG.info("pile %s: %s", pile_id, problem.detail)

    def deliver(self) -> int:
        """Send what is due; how many attempts were made."""
        now = self._clock()
        with self._store.reading() as session:
            nothing = not kept.any_due(session, now)
        if nothing:
            return 0
        with self._store.writing() as session:
            kept.forget_old(session, now)
            due = kept.claim(session, now, MOST_AT_A_TIME, LEASE)
        with ThreadPoolExecutor(AT_ONCE, "webhook") as pool:
            list(pool.map(self._attempt, due))
        return len(due)

    def _notice(self, account: str, pile_id: str, page: PileNow) -> None:
        told = json.dumps({name: dict(page)[name] for name in _TOLD})
        with self._store.reading() as session:
            rows = kept.webhooks_of(session, pile_of(session, account, pile_id))
        if all(row.told == told or row.disabled_at is not None for row in rows):
            return
        now = self._clock()
        with self._store.writing() as session:
            for row in kept.webhooks_of(session, pile_of(session, account, pile_id, to_change=True)):
                if row.told == told or row.disabled_at is not None:
                    continue
                before = _told_before(row.told)
                for event in events_between(before, page):
                    if event in row.events.split():
                        kept.enqueue(session, row, event, message_body(event, before, page, now), now)
                row.told = told

    def _attempt(self, due: kept.Due) -> None:
        try:
            headers = headers_for(due.secret, f"msg_{due.id}", self._clock(), due.body)
        except ValueError:  # nobody could tell such a message from one of somebody else's
            outcome = Receipt(None, said("webhook.secret-damaged"))
        else:
            outcome = self._sender(due.url, headers, due.body)
        now = self._clock()
        wait = None if outcome.is_delivered else wait_after(due.attempts + 1, self._jitter)
        with self._store.writing() as session:
            error = None if outcome.is_delivered else outcome.error or said("webhook.not-taken")
            next_at = None if wait is None else now + wait
            kept.settle_attempt(session, due, now, status=outcome.status, error=error, next_at=next_at)
            if outcome.is_gone:
                kept.disable(session, due.webhook_id, said("webhook.gone"), now)
        _log(due, outcome)


def _told_before(text: str | None) -> JsonObject | None:
    """What a webhook was told last; what cannot be read any more counts as nothing."""
    try:
        told = json.loads(text or "null")
    except ValueError:
        return None
    return told if isinstance(told, dict) else None


def events_between(before: JsonObject | None, page: PileNow) -> list[Event]:
    """What has happened to a pile since it was last told; the first time its advice is told."""
    then = before or {}
    events: list[Event] = []
    if page["fire_risk"] is True and then.get("fire_risk") is not True:
        events.append("fire.risk")
    if page["available"] and any(dict(page)[name] != then.get(name) for name in ("action", "urgency", "pause_draw")):
        events.append("advice.changed")
    if not page["available"] and then.get("available"):
        events.append("advice.unavailable")
    return events


def message_body(event: Event, before: JsonObject | None, page: PileNow, now: datetime) -> WebhookBody:
    """A message: its type, when it happened, the pile as it is now, and the advice of before."""
    return {"type": event, "timestamp": now.isoformat(), "data": {**page, "before": before}}


def _log(due: kept.Due, outcome: Receipt) -> None:
    if not outcome.is_delivered:
        _LOG.info("webhook %s, attempt %d: %s", due.webhook_id, due.attempts + 1, outcome.error)
