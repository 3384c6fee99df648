"""Connections that outlive their process: whoever waits for an answer when it dies gets one, and nobody gets two."""

from __future__ import annotations

import contextlib
import json
import os
import selectors
import signal
import socket
import time
from collections.abc import Iterator

import pytest

from service.serving.connection import BEGUN, ENDING, IDLE, TAKEN, Connection, Line
from service.serving.keeper import Keeper, Orphans
from service.serving.refusals import broken_off
from tests.serving.served import JSON, SMALLEST, Running, closed_after, head, wait_for
from tests.serving.test_seen import metrics, summed

FILES = 1024


class Crash:
    """A process that serves and its supervisor, both played here; the process can die."""

    def __init__(self) -> None:
        self.keeper = Keeper(FILES)
        channel, memory = (os.dup(each) for each in self.keeper.handed_over())
        self.line = Line(channel, memory)
        os.close(memory)
        self.keeper.begun()
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.selector = selectors.DefaultSelector()
        self.orphans = Orphans(self.selector, broken_off())
        self.open: list[socket.socket] = []

    def connected(self) -> tuple[socket.socket, Connection]:
        """Both ends of a new connection."""
        client = socket.create_connection(self.listener.getsockname(), timeout=5)
        return client, self.accepted(client)

    def accepted(self, client: socket.socket) -> Connection:
        """The process's end of the next connection."""
        assert self.keeper.hand(self.listener.accept()[0])
        (served,) = self.line.handed()
        served.setblocking(True)
        self.open += [client, served]
        return served

    def die(self) -> int:
        """Leave everything as it is, as a process does that is killed."""
        for each in self.open:
            if isinstance(each, Connection) and each.fileno() >= 0:
                os.close(each.detach())
        self.line.hears.close()
        self.line._says.close()
        asked, self.idle = self.keeper.left()
        self.orphans.take(asked)
        self.keeper.close()
        self.open += self.idle
        return len(asked)

    def turn(self) -> None:
        """One turn of the supervisor."""
        for key, _ in self.selector.select(0.05):
            key.data()
        self.orphans.look()

    def close(self) -> None:
        self.orphans.close()
        self.keeper.close()
        self.selector.close()
        self.listener.close()
        self.line.hears.close()
        self.line._says.close()
        for each in self.open:
            each.close()


@pytest.fixture(name="crash")
def played() -> Iterator[Crash]:
    crash = Crash()
    yield crash
    crash.close()


def said_to(client: socket.socket) -> bytes:
    said = b""
    while piece := client.recv(65536):
        said += piece
    return said


def test_who_waits_is_told_to_try_again_and_to_keep_clear_of_a_fire(crash: Crash) -> None:
    client, served = crash.connected()
    crash.line.mark(served.fileno(), TAKEN)
    assert crash.die() == 1
    top, _, body = said_to(client).partition(b"\r\n\r\n")
    problem = json.loads(body)
    assert top.startswith(b"HTTP/1.1 503 ") and b"retry-after: " in top and b"application/problem+json" in top
    assert problem["status"] == 503 and "ry again" in problem["detail"]
    assert "call the fire service" in problem["detail"], "what was asked is lost: it may have been about a fire"


def test_who_has_not_asked_is_served_by_another(crash: Crash) -> None:
    """Whether a request is there already, unread, or comes in a moment, or the answer before it was on its way out."""
    (waiting, _), (late, _), (answered, served) = (crash.connected() for _ in range(3))
    waiting.sendall(head("GET", "/rules"))
    crash.line.mark(served.fileno(), ENDING)
    assert crash.die() == 0
    assert len(crash.idle) == 3
    late.sendall(head("GET", "/rules"))
    assert [each.recv(4) for each in crash.idle[:2]] == [b"GET ", b"GET "]
    assert {each.getpeername() for each in crash.idle} == {each.getsockname() for each in (waiting, late, answered)}


def test_what_was_handed_over_and_not_taken_is_not_lost(crash: Crash) -> None:
    """A process may die at any moment, also before it has looked at what it was given."""
    client = socket.create_connection(crash.listener.getsockname(), timeout=5)
    crash.open.append(client)
    assert crash.keeper.hand(crash.listener.accept()[0])
    assert crash.die() == 0
    assert [each.getpeername() for each in crash.idle] == [client.getsockname()]


def test_what_is_read_is_marked_before_it_is_read(crash: Crash, monkeypatch: pytest.MonkeyPatch) -> None:
    """Between the reading and the looking at it another thread may run for a while, and the process die."""
    client, served = crash.connected()
    marks: list[int] = []
    before = Line.mark

    def mark(line: Line, number: int, stage: int) -> None:
        marks.append(stage)
        before(line, number, stage)

    monkeypatch.setattr(Line, "mark", mark)
    served.setblocking(False)
    with pytest.raises(BlockingIOError):
        served.recv(100)
    assert marks == [TAKEN, IDLE], "nothing came"
    client.sendall(b"GET /")
    wait_for(lambda: served.recv(100) == b"GET /", 5)
    assert crash.die() == 1, "it is gone with the process: to be asked again"
    assert b" 503 " in said_to(client)


def test_half_an_answer_is_not_continued_by_another(crash: Crash) -> None:
    client, served = crash.connected()
    served.sendall(b"HTTP/1.1 200 OK\r\ncontent-length: 100\r\n\r\nhalf")
    crash.line.mark(served.fileno(), BEGUN)
    assert crash.die() == 0
    assert said_to(client).endswith(b"half")


def test_a_refusal_is_not_lost_to_a_body_that_still_comes(crash: Crash) -> None:
    """Closing a connection with unread data in it takes from the peer what it has not read yet."""
    client, served = crash.connected()
    client.sendall(head("POST", "/piles", Content_Length="200000") + b"x" * 50_000)
    crash.line.mark(served.fileno(), TAKEN)
    assert crash.die() == 1
    for _ in range(20):
        client.sendall(b"x" * 1000)
        crash.turn()
    assert b" 503 " in said_to(client)


def test_a_connection_that_was_closed_is_closed_for_its_peer_and_kept_no_longer(crash: Crash) -> None:
    client, served = crash.connected()
    again = socket.create_connection(crash.listener.getsockname(), timeout=5)
    number = served.fileno()
    served.close()
    assert said_to(client) == b"", "at once, whatever the supervisor is at"
    crash.keeper.hear()
    second = crash.accepted(again)
    assert second.fileno() == number, "the handle is used anew"
    crash.line.mark(number, TAKEN)
    assert len(crash.keeper) == 1
    assert crash.die() == 1 and b" 503 " in said_to(again)


def test_who_goes_on_sending_is_let_go_in_time(crash: Crash, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.serving.keeper.LINGER_S", 0.1)
    greedy, served = crash.connected()
    crash.line.mark(served.fileno(), TAKEN)
    crash.die()
    until = time.monotonic() + 0.3
    while time.monotonic() < until:
        with contextlib.suppress(OSError):  # cut
            greedy.send(b"x")
        crash.turn()
    assert not crash.orphans._until


def test_what_cannot_be_kept_for_want_of_file_handles_is_served(crash: Crash) -> None:
    """It is served all the same, and closing it takes no other with it."""
    kept, _ = crash.connected()
    crash.keeper._most = 0
    client, served = crash.connected()
    client.sendall(b"x")
    assert served.recv(1) == b"x" and len(crash.keeper) == 1
    served.close()
    crash.keeper.hear()
    assert len(crash.keeper) == 1 and said_to(client) == b""
    crash.die()
    assert [each.getpeername() for each in crash.idle] == [kept.getsockname()]


@pytest.mark.parametrize("count", [1, 300, 700])
def test_a_supervisor_that_looks_late_misses_nothing(crash: Crash, count: int) -> None:
    """More messages than it takes in one turn, opened and closed among each other."""
    asked = idle = 0
    for number in range(count):
        client, served = crash.connected()
        if number % 3:
            client.close()
            served.close()
        elif number % 2:
            crash.line.mark(served.fileno(), TAKEN)
            asked += 1
        else:
            idle += 1
        if number % 50 == 49:
            crash.keeper.hear()
    assert crash.die() == asked and len(crash.idle) == idle


def test_killed_processes_leave_nobody_without_an_answer(two_workers: Running) -> None:
    """Half a header, bodies that are whole and not, nothing yet, on both of two processes, which are killed."""
    service, told = two_workers, len(two_workers.lines())
    raw = [service.connect() for _ in range(6)]
    for each in raw:  # each has been answered once: its connection is at rest
        each.sendall(head("GET", "/health/live"))
    for each in raw:
        while b'"live"' not in each.recv(4096):
            pass
    asked = head("POST", "/advice", **{"Content-Type": "application/json", "Content-Length": "500"})
    plan = b'{"heat": {"power": "300 W"}, "days": "2 months"}'
    raw[0].sendall(b"GET /rules HT")
    raw[1].sendall(asked + b"{")
    raw[2].sendall(head("POST", "/sizing", **{"Content-Type": "application/json", "Content-Length": f"{len(plan)}"}))
    raw[2].sendall(plan)
    raw[3].sendall(asked[:40])
    time.sleep(0.3)
    before = service.workers()
    for pid in before:
        os.kill(pid, signal.SIGSEGV)
    wait_for(lambda: not set(before) & set(service.workers()), 10)
    raw[4].sendall(head("HEAD", "/rules"))
    for each in raw[:4]:
        assert b" 503 " in closed_after(each, time.monotonic(), 20)[1]
    assert raw[4].recv(4096).startswith(b"HTTP/1.1 200 "), "who had asked nothing is served by another"
    wait_for(lambda: len(service.workers()) == 2, 20)
    assert service.ask("POST", "/advice?effects=none", SMALLEST, JSON)[0].status == 200
    died = [line for line in service.lines()[told:] if "died (SIGSEGV)" in line["event"]]
    assert [line["answered_503"] for line in died] in ([4, 0], [0, 4], [1, 3], [3, 1], [2, 2])
    assert summed(metrics(service), "warmheap_processes_died") >= 2
