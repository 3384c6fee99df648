"""What HTTP/1.1 leaves open, or lets two readers read in two ways, is settled before anything is served."""

from __future__ import annotations

import contextlib
import time
from collections import Counter

import h11
import pytest

from service.serving import reading
from service.serving.reading import Reader
from tests.each import each
from tests.serving.served import Running, closed_after, head
from tests.serving.test_wire import answer_to, asked, chunked, posted, processor_s

HIDDEN = b"0\r\n\r\n" + head("GET", "/health/live")


def read(sent: bytes) -> list[h11.Event]:
    """All events of a request, read alone."""
    reader, found = Reader(h11.SERVER), []
    reader.receive_data(sent)
    while isinstance(event := reader.next_event(), h11.Event):
        found.append(event)
    return found


@pytest.mark.parametrize(
    "fields",
    [
        ("Transfer-Encoding: chunked", "Content-Length: 5"),
        ("Content-Length: 44", "Transfer-Encoding: chunked"),
        ("Content-Length: 0", "transfer-encoding: Chunked"),
    ],
)
def test_a_body_with_two_ends_is_refused_and_the_connection_ends(two_workers: Running, fields: tuple[str, ...]) -> None:
    raw = two_workers.connect()
    raw.sendall(posted(*fields, body=HIDDEN))
    _, said = closed_after(raw, time.monotonic(), 10)
    assert said.startswith(b"HTTP/1.1 400 ") and said.count(b"HTTP/1.1 ") == 1
    assert b"connection: close" in said


def test_chunks_before_http_1_1_are_refused() -> None:
    with pytest.raises(h11.RemoteProtocolError):
        read(b"POST /advice HTTP/1.0\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n")


@each(
    [
        (b"http://heap.example:8000/rules?x=1", b"heap.example:8000", b"/rules?x=1"),
        (b"HTTPS://heap.example", b"heap.example", b"/"),
        (b"http://heap.example?x=1", b"heap.example", b"/?x=1"),
        (b"http://[::1]:80/a//b", b"[::1]:80", b"/a//b"),
    ]
)
def test_a_whole_address_is_taken_and_names_the_host(target: bytes, host: bytes, path: bytes) -> None:
    """Whatever the field says (RFC 9112, 3.2.2)."""
    request = read(b"GET " + target + b" HTTP/1.1\r\nX: 1\r\nHost: elsewhere.example\r\nX: 2\r\n\r\n")[0]
    assert isinstance(request, h11.Request) and request.target == path
    assert sorted(request.headers) == [(b"host", host), (b"x", b"1"), (b"x", b"2")]


@each([b"/http://x/y", b"ftp://heap.example/rules", b"/", b"*"])
def test_other_targets_are_left_as_they_are(target: bytes) -> None:
    request = read(b"GET " + target + b" HTTP/1.1\r\nHost: heap.example\r\n\r\n")[0]
    assert (
        isinstance(request, h11.Request)
        and request.target == target
        and list(request.headers) == [(b"host", b"heap.example")]
    )


def test_a_whole_address_is_served_and_cannot_borrow_this_machines_name(two_workers: Running) -> None:
    here = f"http://127.0.0.1:{two_workers.port}"
    for target, host, status in (
        (f"{here}/health/live", "Host: elsewhere.example", b"200"),
        (f"{here}/piles", "Host: elsewhere.example", b"200"),
        ("http://elsewhere.example/piles", "Host: 127.0.0.1", b"403"),
    ):
        said = answer_to(two_workers, asked(f"GET {target} HTTP/1.1", "Connection: close", host=host))
        assert said[9:12] == status, target


def test_a_body_of_too_many_small_chunks_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each costs its time whatever is in it."""
    monkeypatch.setattr(reading, "FREE_CHUNKS", 100)
    top = posted("Transfer-Encoding: chunked")
    assert read(top + chunked(*[b"x"] * 100))
    assert read(top + chunked(*[b"x" * 128] * 1000)), "large ones earn their place"
    with pytest.raises(h11.RemoteProtocolError):
        read(top + chunked(*[b"x"] * 102))


@pytest.mark.slow
def test_chunks_of_a_byte_are_refused_before_they_cost_much(two_workers: Running) -> None:
    used = processor_s(two_workers.workers())
    raw = two_workers.connect()
    sent = posted("Transfer-Encoding: chunked", path="/piles/import", body=chunked(*[b" "] * 400_000))
    with contextlib.suppress(OSError):
        raw.sendall(sent)
    assert closed_after(raw, time.monotonic(), 20)[1].startswith(b"HTTP/1.1 400 ")
    assert processor_s(two_workers.workers()) - used < 1.5


def test_what_is_not_http_is_answered_as_carefully_as_anything(two_workers: Running) -> None:
    said = answer_to(two_workers, b"no request at all\r\n\r\n").lower()
    assert said.startswith(b"http/1.1 400 ")
    for field in (b"content-security-policy", b"cross-origin-resource-policy", b"referrer-policy", b"x-request-id"):
        assert b"\r\n" + field + b": " in said, field
    assert b"\r\ncache-control: no-store\r\n" in said


def test_connections_that_make_trouble_do_not_fill_the_log(two_workers: Running) -> None:
    """The same is told once in ten seconds by each of the two processes, whoever says it."""
    before = len(two_workers.lines())
    upgrade = asked("GET /rules HTTP/1.1", "Connection: Upgrade, close", "Upgrade: websocket")
    for _ in range(20):
        raw = two_workers.connect()
        raw.sendall(b"no request at all\r\n\r\n")
        closed_after(raw, time.monotonic(), 10)
        raw = two_workers.connect()
        raw.sendall(upgrade)
        closed_after(raw, time.monotonic(), 10)
        two_workers.hang_up()
    told = Counter(str(line["event"]) for line in two_workers.lines()[before:] if line["event"] != "request")
    assert all(count <= 4 for count in told.values()), told
