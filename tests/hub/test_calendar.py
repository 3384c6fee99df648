"""The iCalendar feed, read by a parser that was not written here."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from icalendar import Calendar
from starlette.testclient import TestClient

from service.render.icalendar import CalendarEvent, calendar_file
from tests.each import each
from tests.hub.conftest import new_pile

STAMP = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
NASTY = 'Müller\'s; heap, "north" \\ 🔥 of a very long name that goes on and on, well past 75 octets\nsecond line'


def events_in(content: bytes) -> dict[str, object]:
    return {str(event["uid"]): event for event in Calendar.from_ical(content).walk("VEVENT")}


def test_the_feed_tells_when_to_look_and_when_to_build(client: TestClient) -> None:
    pile = new_pile(client)
    reply = client.get(f"/piles/{pile}/calendar.ics")
    assert reply.headers["content-type"] == "text/calendar; charset=utf-8"
    now = client.get(f"/piles/{pile}/now").json()
    events = events_in(reply.content)
    assert events["look-again." + pile + "@warmheap"].start == datetime.fromisoformat(now["look_again_at"])  # type: ignore[attr-defined]
    assert now["begin_next_heap"] is not None
    assert events[f"next-heap.{pile}@warmheap"].start == date.fromisoformat(now["begin_next_heap"])  # type: ignore[attr-defined]
    tag = reply.headers["etag"]
    assert client.get(f"/piles/{pile}/calendar.ics", headers={"if-none-match": tag}).status_code == 304


def test_ids_stay_when_dates_move(client: TestClient) -> None:
    pile = new_pile(client)
    before = events_in(client.get(f"/piles/{pile}/calendar.ics").content)
    client.post(f"/piles/{pile}/readings", json={"moisture_feel": "damp", "temperatures": {"core": 140}})
    after = events_in(client.get(f"/piles/{pile}/calendar.ics").content)
    assert f"look-again.{pile}@warmheap" in before and f"look-again.{pile}@warmheap" in after
    moved = [each[f"look-again.{pile}@warmheap"] for each in (before, after)]
    assert moved[1]["sequence"] >= moved[0]["sequence"]  # type: ignore[index]


def test_without_advice_the_feed_is_empty_but_sound(client: TestClient) -> None:
    reply = client.get(f"/piles/{new_pile(client, None)}/calendar.ics")
    assert reply.status_code == 200 and events_in(reply.content) == {}


@each([NASTY, "", "\r\n\x00\x1bEND:VEVENT\nBEGIN:VALARM", "é" * 200, "🔥" * 60, "a" * 75, r"\\N \N \n C:\North"])
def test_any_text_comes_through_escaped_and_folded(text: str) -> None:
    """RFC 5545: lines of at most 75 octets ended by CRLF (3.1), text escaped (3.3.11)."""
    day = STAMP + timedelta(days=2)
    written = calendar_file("-//one//two//EN", [CalendarEvent("one@warmheap", STAMP, day, text, text)], name=text)
    lines = written.split(b"\r\n")
    assert lines[-1] == b"" and all(len(line) <= 75 and b"\n" not in line for line in lines)
    for line in lines:
        line.decode()
    # The parser knows the kind of text of a description, and not that of the calendar's name.
    read = Calendar.from_ical(written.replace(b"X-WR-CALNAME", b"DESCRIPTION"))
    (event,) = read.walk("VEVENT")
    expected = text.replace("\r", "").replace("\x00", "").replace("\x1b", "")
    assert str(event["summary"]) == str(event["description"]) == expected
    assert str(read["description"]) == expected and read.walk("VALARM") == []
