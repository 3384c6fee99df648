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

from service.serving.keeper import Keeper, Orphans
from service.serving.kept import BEGUN, IDLE, TAKEN, Connection, Line, Listener
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
        self.listener = Listener()
        self.listener.line = self.line
        self.listener.bind(("127.0.0.1", 0))
        self.listener.listen()
        self.selector = selectors.DefaultSelector()
        self.orphans = Orphans(self.selector, broken_off())
        self.open: list[socket.socket] = []

    def connected(self) -> tuple[socket.socket, Connection]:
        """Both ends of a new connection."""
        client = socket.create_connection(self.listener.getsockname(), timeout=5)
        return client, self.accepted(client)

    def accepted(self, client: socket.socket) -> Connection:
        """The process's end of the next connection."""
        served, _ = self.listener.accept()
        self.open += [client, served]
        return served

    def die(self) -> int:
        """Leave everything as it is, as a process does that is killed."""
        for each in self.open:
            if isinstance(each, Connection) and each.fileno() >= 0:
                os.close(each.detach())
        self.line._channel.close()
        answered = self.orphans.take(self.keeper.left())
        self.keeper.close()
        return answered

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
        self.line._channel.close()
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


def test_who_asks_next_is_told_the_same(crash: Crash) -> None:
    """Whether the request was there already, unread, or comes in a moment."""
    waiting, late = crash.connected()[0], crash.connected()[0]
    waiting.sendall(head("GET", "/rules"))
    assert crash.die() == 0
    crash.turn()
    assert b" 503 " in said_to(waiting)
    late.sendall(head("GET", "/rules"))
    crash.turn()
    assert b" 503 " in said_to(late)


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
    second = crash.accepted(again)
    assert second.fileno() == number, "the handle is used anew"
    crash.line.mark(number, TAKEN)
    crash.keeper.hear()
    assert len(crash.keeper._copies) == 1
    assert crash.die() == 1 and b" 503 " in said_to(again)


def test_those_who_ask_nothing_are_let_go_in_time(crash: Crash, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.serving.keeper.ASKED_AGAIN_S", 0.1)
    monkeypatch.setattr("service.serving.keeper.LINGER_S", 0.1)
    silent, (greedy, served) = crash.connected()[0], crash.connected()
    crash.line.mark(served.fileno(), TAKEN)
    crash.die()
    until = time.monotonic() + 0.3
    while time.monotonic() < until:
        with contextlib.suppress(OSError):  # cut
            greedy.send(b"x")
        crash.turn()
    assert not crash.orphans._until
    assert said_to(silent) == b""


def test_what_cannot_be_kept_for_want_of_file_handles_is_let_go(crash: Crash) -> None:
    crash.keeper._most = 0
    crash.connected()
    crash.keeper.hear()
    assert not crash.keeper._copies


@pytest.mark.parametrize("count", [1, 300, 700])
def test_a_supervisor_that_looks_late_misses_nothing(crash: Crash, count: int) -> None:
    """More messages than it takes in one turn, opened and closed among each other."""
    for number in range(count):
        client, served = crash.connected()
        if number % 3:
            client.close()
            served.close()
        else:
            crash.line.mark(served.fileno(), TAKEN if number % 2 else IDLE)
        if number % 50 == 49:
            crash.keeper.hear()
    crash.die()
    assert len(crash.orphans._until) == len(range(0, count, 3))


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
    for each in raw[:5]:
        assert b" 503 " in closed_after(each, time.monotonic(), 20)[1]
    assert closed_after(raw[5], time.monotonic(), 20)[1] == b""
    wait_for(lambda: len(service.workers()) == 2, 20)
    assert service.ask("POST", "/advice?effects=none", SMALLEST, JSON)[0].status == 200
    died = [line for line in service.lines()[told:] if "died (SIGSEGV)" in line["event"]]
    assert [line["answered_503"] for line in died] in ([4, 0], [0, 4], [1, 3], [3, 1], [2, 2])
    assert summed(metrics(service), "warmheap_processes_died") >= 2
