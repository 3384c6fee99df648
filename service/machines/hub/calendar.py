"""The dates of a pile as an iCalendar feed (RFC 5545): when to look again, when to begin the next heap."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Final

from rules.catalogue import said
from service.logbook.store.engine import Store
from service.machines.hub.now import now_of
from service.machines.hub.shape import PileNow
from service.render.icalendar import CalendarEvent, calendar_file

PRODUCT: Final = "-//warmheap//heap dates//EN"
LOOK_FOR: Final = timedelta(minutes=30)
REFRESHED_EVERY: Final = timedelta(hours=6)


def pile_calendar(store: Store, account_id: str, pile_id: str) -> bytes:
    """The feed of one pile; without events where there is too little for advice."""
    page = now_of(store, account_id, pile_id)
    return calendar_file(PRODUCT, _events(pile_id, page), name=page["name"], refreshed_every=REFRESHED_EVERY)


def _events(pile_id: str, page: PileNow) -> Iterator[CalendarEvent]:
    if page["as_of"] is None or page["look_again_at"] is None:
        return
    stamp, name = datetime.fromisoformat(page["as_of"]), page["name"]
    watch_for = said(f"action.{page['action']}.watch_for")
    look = datetime.fromisoformat(page["look_again_at"])
    number = int(stamp.timestamp()) // 60
    yield CalendarEvent(
        uid=f"look-again.{pile_id}@warmheap",
        stamp=stamp,
        begins=look.astimezone(UTC),
        summary=said("hub.look", name=name),
        description=said("hub.watch-for", watch_for=watch_for),
        sequence=number,
        ends=look.astimezone(UTC) + LOOK_FOR,
    )
    if page["begin_next_heap"] is not None:
        day = date.fromisoformat(page["begin_next_heap"])
        yield CalendarEvent(
            uid=f"next-heap.{pile_id}@warmheap",
            stamp=stamp,
            begins=day,
            summary=said("hub.next-heap", name=name),
            description=said("hub.next-heap-why"),
            sequence=number,
            ends=day + timedelta(days=1),
        )
