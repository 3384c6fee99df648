"""A calendar file (RFC 5545): its lines, escapes and folding are written by a library, which is loaded here alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Calendar, Event, vText


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """Something to do on a whole day, or from a moment to `ends`. `uid` stays when the date moves, so that calendars
    move it too.

    `stamp` is when this was worked out; a later one, of a higher `sequence`, replaces an earlier one.
    """

    uid: str
    stamp: datetime
    begins: date
    summary: str
    description: str
    sequence: int | None = None
    ends: date | None = None


class _Plain(vText):
    r"""Text as it was written without its control characters, which RFC 5545 has no place for.

    A backslash before an N is one, too: the library takes it for a line's end.
    """

    def to_ical(self) -> bytes:
        """The text escaped (RFC 5545, 3.3.11)."""
        kept = "".join(mark for mark in self if mark == "\n" or mark.isprintable())
        return rb"\\N".join(vText(part).to_ical() for part in kept.split(r"\N"))


def calendar_file(
    product: str,
    events: Iterable[CalendarEvent],
    *,
    name: str | None = None,
    about: str | None = None,
    refreshed_every: timedelta | None = None,
) -> bytes:
    """The file's bytes; one that is `refreshed_every` so often is a feed that calendars subscribe to."""
    file = Calendar()
    for key, value in (("version", "2.0"), ("prodid", product), ("calscale", "GREGORIAN")):
        file.add(key, value)
    if refreshed_every is not None:
        file.add("method", "PUBLISH")
    if name is not None:
        file.add("x-wr-calname", _Plain(name))
    if about is not None:
        file.add("x-wr-caldesc", _Plain(about))
    if refreshed_every is not None:
        file.add("refresh-interval", refreshed_every, parameters={"VALUE": "DURATION"})
    for event in events:
        file.add_component(_entry(event))
    return bytes(file.to_ical(sorted=False))


def _entry(event: CalendarEvent) -> Event:
    entry = Event()
    entry.add("uid", event.uid)
    entry.add("dtstamp", event.stamp)
    if event.sequence is not None:
        entry.add("sequence", event.sequence)
    entry.add("dtstart", event.begins)
    if event.ends is not None:
        entry.add("dtend", event.ends)
    entry.add("summary", _Plain(event.summary))
    entry.add("description", _Plain(event.description))
    entry.add("transp", "TRANSPARENT")
    return entry
