"""A process that dies is replaced, whatever killed it: who asked it may repeat, and nothing acknowledged is lost."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import threading
import time
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from service.cli.command import main
from service.serving import supervisor
from tests.serving.served import JSON, SMALLEST, Running, running, wait_for
from tests.store.conftest import folder  # noqa: F401 (fixture)

REPEATS = 20

SIZING = b'{"heat": {"power": "300 W"}, "days": "2 months"}'


class Load:
    """Clients that ask and log readings until told to stop."""

    def __init__(self, service: Running, pile: str, clients: int) -> None:
        self.acknowledged: list[str] = []
        self.statuses: list[int] = []
        self.broken = 0
        self._service, self._pile, self._ended = service, pile, threading.Event()
        self._threads = [threading.Thread(target=self._run, args=(number,)) for number in range(clients)]

    def __enter__(self) -> Load:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._ended.set()
        for thread in self._threads:
            thread.join()

    def _run(self, number: int) -> None:
        count = 0
        while not self._ended.is_set():
            count += 1
            try:
                if count % 2:
                    reply, _ = self._service.ask("POST", "/advice?effects=none", SMALLEST, JSON)
                else:
                    minute = f"2026-01-{number + 1:02d}T{count // 60 % 24:02d}:{count % 60:02d}:00Z"
                    entry = json.dumps({"at": minute, "temperatures": {"core": "46 degC"}})
                    reply, data = self._service.ask("POST", f"/piles/{self._pile}/readings", entry, JSON)
                    if reply.status == 200:
                        self.acknowledged += json.loads(data)["readings"]
                self.statuses.append(reply.status)
            except (OSError, http.client.HTTPException):
                self.broken += 1


def new_pile(service: Running) -> str:
    made: str = json.loads(service.ask("POST", "/piles", b'{"name": "heap", "units": "metric"}', JSON)[1])["id"]
    return made


def logged(service: Running, pile: str) -> set[str]:
    found: set[str] = set()
    after = ""
    while after is not None:
        reply, data = service.ask("GET", f"/piles/{pile}/log?kind=reading&limit=500{after}")
        for _ in range(REPEATS):  # right after a crash a client is told 503, and may repeat
            if reply.status != 503:
                break
            time.sleep(1.0)
            reply, data = service.ask("GET", f"/piles/{pile}/log?kind=reading&limit=500{after}")
        page = json.loads(data)
        assert reply.status == 200, (reply.status, data[:300], after)
        found |= {entry["id"] for entry in page["entries"]}
        after = f"&after={quote(page['next'])}" if page.get("next") else None  # type: ignore[assignment]
    return found


def crashed_under_load(service: Running, crashes: int, clients: int = 4) -> None:
    pile, workers, told = new_pile(service), len(service.workers()), service.log.read_text().count("died (SIGSEGV)")
    with Load(service, pile, clients) as load:
        for _ in range(crashes):
            time.sleep(1.0)
            victim = service.workers()[0]
            os.kill(victim, signal.SIGSEGV)
            wait_for(lambda: victim not in service.workers() and len(service.workers()) == workers, 30)  # noqa: B023
            wait_for(lambda: service.ask("GET", "/health/ready")[0].status == 200, 60)  # what dies next has served
        time.sleep(0.5)
    assert set(load.statuses) <= {200, 503} and 200 in load.statuses
    assert load.broken == 0, "whoever was at work with that process is answered 503"
    assert load.statuses.count(503) <= crashes * clients, "each crash costs no more than what was under way"
    assert set(load.acknowledged) <= logged(service, pile)
    assert service.log.read_text().count("died (SIGSEGV)") == told + crashes


def test_a_crash_under_load_costs_what_that_process_was_at(two_workers: Running) -> None:
    crashed_under_load(two_workers, 1)


@pytest.mark.slow
@pytest.mark.parametrize("workers", ["1", "2"])
def test_twenty_crashes_under_load_cost_what_those_processes_were_at(workers: str) -> None:
    with running("--workers", workers) as service:
        crashed_under_load(service, 20)


@pytest.mark.slow
def test_the_log_book_and_health_do_not_wait_for_heavy_work() -> None:
    """Forty-five plans at once: they get their turn, or 503 with Retry-After; the others are answered meanwhile."""
    with running() as service:
        pile = new_pile(service)
        found: list[Any] = []
        asking = [
            threading.Thread(target=lambda: found.append(service.ask("POST", "/sizing", SIZING, JSON, 120)))
            for _ in range(45)
        ]
        for thread in asking:
            thread.start()
        time.sleep(1.0)
        slowest = 0.0
        while any(thread.is_alive() for thread in asking) and len(found) < 40:
            for path in ("/health/live", "/piles", f"/piles/{pile}"):
                begun = time.monotonic()
                assert service.ask("GET", path)[0].status == 200
                slowest = max(slowest, time.monotonic() - begun)
        for thread in asking:
            thread.join()
        statuses = [reply.status for reply, _ in found]
        assert set(statuses) == {200, 503} and len(statuses) == 45
        assert all(reply.getheader("retry-after") for reply, _ in found if reply.status == 503)
        assert slowest < 5.0, "it waited 106 s where threads were shared"


@pytest.fixture
def environment(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: F811
    """What `serve` sets for its processes is put back."""
    for name in ("ACCESS", "RATE", "PLACES"):
        monkeypatch.setenv(f"WARMHEAP_{name}", "")


@pytest.mark.usefixtures("environment")
def test_it_says_in_one_line_why_it_does_not_start(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for variable, value in (("WARMHEAP_HEADER_S", "soon"), ("WARMHEAP_PROXIES", "x")):
        monkeypatch.setenv(variable, value)
        assert main(["serve", "--port", "0"]) == 2
        told = capsys.readouterr().err
        assert variable in told and told.count("\n") == 1
        monkeypatch.delenv(variable)


@pytest.mark.usefixtures("environment")
def test_a_port_that_is_taken_is_told(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(supervisor, "BIND_S", 0.2)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        assert main(["serve", "--port", str(taken.getsockname()[1])]) == 1
    assert "cannot be listened on" in capsys.readouterr().err
