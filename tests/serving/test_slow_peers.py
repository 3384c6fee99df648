"""Peers that are silent, trickle, stall, or do not read hold nothing for long; honest slow ones get through."""

from __future__ import annotations

import json
import select
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.operation.progress import Progress
from tests.each import now_and_then
from tests.hostile.values import GOOD, PILE
from tests.serving.served import JSON, SMALLEST, Running, closed_after, head, running, wait_for

SHORT = {"first_byte_s": "1", "header_s": "1", "keep_alive_s": "1", "pause_s": "1", "linger_s": "0.5", "stop_s": "4"}
LONGEST = 12.0
"""Far above every short deadline, far below none at all [s]."""


@pytest.fixture(name="service", scope="module")
def serving() -> Iterator[Running]:
    with running(**SHORT, batch_workers="1") as service:
        yield service


@pytest.fixture(autouse=True)
def hang_up(service: Running) -> Iterator[None]:
    yield
    service.hang_up()


def trickle(raw: socket.socket, pieces: Iterator[bytes] | list[bytes], every: float) -> None:
    """Send piece after piece, in a thread, until that fails."""

    def run() -> None:
        try:
            for piece in pieces:
                raw.sendall(piece)
                time.sleep(every)
        except OSError:
            pass

    threading.Thread(target=run, daemon=True).start()


# ------------------------------------------------------------------------------------------- what is cut


def test_silent_connections_are_closed(service: Running) -> None:
    raw = [service.connect() for _ in range(50)]
    begun = time.monotonic()
    for each in raw:
        after, said = closed_after(each, begun, LONGEST)
        assert after < LONGEST and said == b""


def test_a_header_that_trickles_is_ended_with_a_word(service: Running) -> None:
    raw = service.connect()
    begun = time.monotonic()
    trickle(raw, [bytes([byte]) for byte in head("GET", "/rules", X="y" * 200)], 0.1)
    after, said = closed_after(raw, begun, LONGEST)
    assert after < LONGEST and b" 408 " in said and b"request-too-slow" in said


def test_a_header_that_trickles_after_a_good_request_is_ended_too(service: Running) -> None:
    raw = service.connect()
    raw.sendall(head("GET", "/health/live"))
    while b"live" not in raw.recv(4096):
        pass
    begun = time.monotonic()
    trickle(raw, [bytes([byte]) for byte in head("GET", "/rules", X="y" * 200)], 0.1)
    after, said = closed_after(raw, begun, LONGEST)
    assert after < LONGEST and b" 408 " in said


def test_a_connection_at_rest_is_closed(service: Running) -> None:
    raw = service.connect()
    raw.sendall(head("GET", "/health/live"))
    after, said = closed_after(raw, time.monotonic(), LONGEST)
    assert after < LONGEST and b" 200 " in said


@pytest.mark.parametrize(
    "path", now_and_then(["/advice", "/chat", "/piles", "/piles/import", "/form", "/nowhere", "/mcp"], 3)
)
def test_a_body_that_stalls_is_refused_in_time(service: Running, path: str) -> None:
    kind = {"/chat": "text/plain", "/form": "application/x-www-form-urlencoded"}.get(path, "application/json")
    raw = service.connect()
    begun = time.monotonic()
    raw.sendall(head("POST", path, Content_Type=kind, Content_Length="100") + b"{")
    after, said = closed_after(raw, begun, LONGEST)
    assert after < LONGEST
    assert said[9:12] in ((b"404",) if path == "/nowhere" else (b"408",))


def test_a_body_of_a_byte_now_and_then_is_refused_in_time(service: Running) -> None:
    raw = service.connect()
    begun = time.monotonic()
    raw.sendall(head("POST", "/advice", Content_Type="application/json", Content_Length="1000"))
    trickle(raw, [b" "] * 500, 0.3)
    after, said = closed_after(raw, begun, LONGEST)
    assert after < LONGEST and b" 408 " in said


def test_batches_of_a_byte_now_and_then_give_their_places_back(service: Running) -> None:
    """Eight of them are all there is room for, two from one address."""
    raw = [service.connect(source=f"127.0.0.{2 + number // 2}") for number in range(8)]
    for each in raw:
        each.sendall(head("POST", "/advice/batch", Content_Type="application/x-ndjson", Transfer_Encoding="chunked"))
        trickle(each, [b"1\r\n \r\n"] * 500, 0.3)
    begun = time.monotonic()
    assert all(closed_after(each, begun, LONGEST)[0] < LONGEST for each in raw)
    reply, data = service.ask("POST", "/advice/batch", SMALLEST, {"Content-Type": "application/x-ndjson"})
    assert reply.status == 200 and json.loads(data)["advice"]


def test_the_rest_of_a_body_that_was_refused_is_not_waited_for(service: Running) -> None:
    raw = service.connect()
    begun = time.monotonic()
    raw.sendall(head("POST", "/nowhere", Content_Type="application/json", Content_Length="100000") + b"{" * 1000)
    trickle(raw, [b"{"] * 500, 0.1)
    after, said = closed_after(raw, begun, LONGEST)
    assert after < LONGEST and b" 404 " in said


def test_an_answer_that_is_not_read_is_cut(service: Running) -> None:
    """Many requests on one connection that never reads: what is held for it stays small, and it goes."""
    raw = service.connect(buffer=4096)
    begun = time.monotonic()
    raw.setblocking(False)
    asked = head("GET", "/openapi.json") * 50
    closed = False
    while not closed and time.monotonic() - begun < 2 * LONGEST:
        select.select([], [raw], [], 0.1)
        try:
            raw.send(asked)
        except BlockingIOError:
            time.sleep(0.1)
        except OSError:
            closed = True
    assert closed
    assert any(line.get("why") == "answer" for line in service.lines())


def held_by_system(service: Running, ports: set[int]) -> int:
    """Bytes the system holds at the service's end of connections to these ports; -1 where there is none of them."""
    held = [-1]
    for line in Path("/proc/net/tcp").read_text().splitlines()[1:]:
        fields = line.split()
        own, theirs = (int(field.rpartition(":")[2], 16) for field in fields[1:3])
        if own == service.port and theirs in ports and fields[3] != "06":  # time-wait holds nothing
            held.append(max(held[-1], 0) + int(fields[4].partition(":")[0], 16))
    return held[-1]


@pytest.mark.slow
def test_nothing_of_an_answer_that_is_not_read_stays_in_the_system(service: Running) -> None:
    """Whether it is cut in the middle, or was all given to the system before the connection was to end, or the peer
    said that it would ask no more."""
    asked = [head("GET", path, **fields) for path, fields in UNREAD]
    raw = [service.connect(buffer=4096) for _ in range(2 * len(asked))]
    for each, sent in zip(raw, asked * 2, strict=True):
        each.sendall(sent)
    ports = {each.getsockname()[1] for each in raw}
    wait_for(lambda: held_by_system(service, ports) > 100_000, LONGEST)
    for each in raw[len(asked) :]:
        each.shutdown(socket.SHUT_WR)
    wait_for(lambda: held_by_system(service, ports) == -1, LONGEST)


UNREAD: list[tuple[str, dict[str, str]]] = [
    ("/openapi.json", {}),
    ("/words", {}),
    ("/words", {"Connection": "close"}),
]


@pytest.mark.slow
def test_who_says_that_nothing_more_is_asked_gets_all_of_the_answer(service: Running) -> None:
    """More than the system takes in at once for the peer, which reads it slowly, but reads it."""
    whole = service.ask("GET", "/words")[1]
    raw = service.connect(buffer=4096)
    raw.sendall(head("GET", "/words", Connection="close"))
    time.sleep(0.2)
    raw.shutdown(socket.SHUT_WR)
    read = b""
    while piece := raw.recv(max(len(whole) // 10, 1)):
        read += piece
        time.sleep(0.05)
    assert read.partition(b"\r\n\r\n")[2] == whole


@pytest.mark.parametrize("every", [5, pytest.param(1, marks=pytest.mark.slow)])
def test_what_its_header_shows_to_be_wrong_is_refused_before_the_body(service: Running, every: int) -> None:
    """Of each route: not one byte of the body comes, and it is not waited for (408) to be refused.

    Each refusal looks a moment for words of fire: routes take turns with what is wrong, and the long run tries all.
    """
    for place, (method, path) in enumerate(GOOD):
        wrong = {
            "too long": (path, {"Content-Type": "application/json", "Content-Length": "999999999"}),
            "of a strange kind": (path, {"Content-Type": "application/pdf", "Content-Length": "100"}),
            "of no kind": (path, {"Content-Length": "100"}),
            "of another site": (path, {"Origin": "https://other.example", **JSON, "Content-Length": "100"}),
            "at no address": (f"/nowhere{path}", {**JSON, "Content-Length": "100"}),
        }
        for what, (at, fields) in list(wrong.items())[place % every :: every]:
            raw = service.connect()
            raw.sendall(head(method, at.replace(PILE, "3f9a0c1d2e4b5a67"), **fields))
            status = raw.recv(65536)[9:12]
            assert status in (b"403", b"404", b"413", b"415"), (method, path, what, status)
            raw.close()


# --------------------------------------------------------------------------------------- what gets through


def test_a_slow_but_honest_body_gets_through(service: Running) -> None:
    """Sixty bytes every tenth of a second come slowly, but they come: longer on the way than any one deadline."""
    body = SMALLEST[:-1] + b" " * 2000 + b"}"
    raw = service.connect()
    raw.sendall(head("POST", "/advice?effects=none", Content_Type="application/json", Content_Length=str(len(body))))
    begun = time.monotonic()
    for start in range(0, len(body), 120):
        raw.sendall(body[start : start + 120])
        time.sleep(0.1)
    assert time.monotonic() - begun > 1.5
    assert b" 200 " in raw.recv(65536)


@pytest.mark.slow
def test_a_slow_but_honest_reader_gets_everything(service: Running) -> None:
    whole = service.ask("GET", "/openapi.json")[1]
    raw = service.connect(buffer=4096)
    raw.sendall(head("GET", "/openapi.json", Connection="close"))
    read = b""
    begun = time.monotonic()
    while piece := raw.recv(max(len(whole) // 25, 1)):
        read += piece
        time.sleep(0.1)
    assert time.monotonic() - begun > 2
    assert read.partition(b"\r\n\r\n")[2] == whole


@pytest.mark.slow
def test_an_answer_of_a_megabyte_is_read_at_200_kbit_a_second() -> None:
    """For longer than any deadline, with a small buffer: what is sent waits for the peer nearly always."""
    with running() as service:
        line = b'{"pile": {"age": "20 days"}, "temperatures": {"core": "45 degC"}}\n'
        whole = service.ask("POST", "/advice/batch", line * 200, {"Content-Type": "application/x-ndjson"})[1]
        raw = service.connect(buffer=16_384)
        fields = {"Content_Type": "application/x-ndjson", "Content_Length": str(len(line) * 200), "Connection": "close"}
        raw.sendall(head("POST", "/advice/batch", **fields) + line * 200)
        begun, read = time.monotonic(), 0
        while piece := raw.recv(2500):
            read += len(piece)
            time.sleep(max(read / 25_000 - (time.monotonic() - begun), 0))
        assert read >= len(whole) > 600_000


def test_two_requests_at_once_on_one_connection_are_both_answered(service: Running) -> None:
    raw = service.connect()
    raw.sendall(head("GET", "/health/live") + head("GET", "/health/live", Connection="close"))
    assert closed_after(raw, time.monotonic(), LONGEST)[1].count(b'{"status":"live"}') == 2


# ------------------------------------------------------------------------------------------------- credit


def test_credit_lasts_for_one_pause_and_no_longer_however_much_came_before() -> None:
    progress = Progress(pause_s=15, least_rate=1000)
    assert progress.moved(5_000_000, 1.0)
    assert progress.left_s == 15
    assert progress.moved(0, 14.0)
    assert not progress.moved(1, 2.0)


@pytest.mark.parametrize(
    ("rate", "holds"), now_and_then([(1_100, True), (25_000, True), (900, False), (0.1, False)], 2)
)
def test_who_moves_at_the_least_rate_goes_on_for_ever(rate: float, holds: bool) -> None:
    """200 kbit/s is 25,000 bytes a second."""
    progress = Progress(pause_s=15, least_rate=1000)
    assert all(progress.moved(int(rate * 5), 5.0) for _ in range(200)) is holds
