"""The dates of a pile as an iCalendar feed (RFC 5545): when to look again, when to begin the next heap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

from rules.catalogue import said
from service.logbook.store.engine import Store
from service.machines.hub.now import now_of
from service.machines.hub.shape import PileNow
from service.render.icalendar import as_file, escaped

PRODUCT: Final = "-//warmheap//heap dates//EN"
LOOK_FOR: Final = timedelta(minutes=30)


@dataclass(frozen=True, slots=True)
class Event:
    """Something to do at a moment, or on a whole day. `uid` stays when the date moves, so that calendars move it too.

    `stamp` is when this was worked out; a later one replaces an earlier one.
    """

    uid: str
    stamp: datetime
    begins: datetime | date
    summary: str
    description: str


def calendar_of(store: Store, account_id: str, pile_id: str) -> bytes:
    """The feed of one pile; without events where there is too little for advice."""
    page = now_of(store, account_id, pile_id)
    return as_ics(page["name"], list(_events(pile_id, page)))


def _events(pile_id: str, page: PileNow) -> Iterator[Event]:
    if page["as_of"] is None or page["look_again_at"] is None:
        return
    stamp, name = datetime.fromisoformat(page["as_of"]), page["name"]
    watch_for = said(f"action.{page['action']}.watch_for")
    look = datetime.fromisoformat(page["look_again_at"])
    yield Event(f"look-again.{pile_id}@warmheap", stamp, look, f"Look at {name} again", f"Watch for: {watch_for}")
    if page["begin_next_heap"] is not None:
        day = date.fromisoformat(page["begin_next_heap"])
        words = "Begun on this day, a new heap is warm when this one is too cool to draw."
        yield Event(f"next-heap.{pile_id}@warmheap", stamp, day, f"Start the next heap after {name}", words)


def as_ics(name: str, events: list[Event]) -> bytes:
    """The calendar as bytes, lines folded and ended as the standard wants."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:{PRODUCT}",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escaped(name)}",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        *(line for event in events for line in _event_lines(event)),
        "END:VCALENDAR",
    ]
    return as_file(lines)


def _event_lines(event: Event) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{event.uid}"
    yield f"DTSTAMP:{_utc(event.stamp)}"
    yield f"SEQUENCE:{int(event.stamp.timestamp()) // 60}"
    if isinstance(event.begins, datetime):
        yield f"DTSTART:{_utc(event.begins)}"
        yield f"DTEND:{_utc(event.begins + LOOK_FOR)}"
    else:
        yield f"DTSTART;VALUE=DATE:{event.begins:%Y%m%d}"
        yield f"DTEND;VALUE=DATE:{event.begins + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escaped(event.summary)}"
    yield f"DESCRIPTION:{escaped(event.description)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _utc(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"
