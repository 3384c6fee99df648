"""A process that dies is replaced, whatever killed it: who asked it may repeat, and nothing acknowledged is lost."""

from __future__ import annotations

import socket
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from service.cli.command import main
from service.serving import supervisor
from tests.serving.crashes import Load, at_work, crash, logged, new_pile
from tests.serving.served import JSON, Running, running
from tests.store.conftest import folder  # noqa: F401 (fixture)

PAUSE_S = 0.05
"""Each day clients pause, for a load takes all processors for as long as it lasts; in the long run they do not."""
SIZING = b'{"heat": {"power": "300 W"}, "days": "2 months"}'


def crashed_under_load(service: Running, crashes: int, clients: int = 4, pause_s: float = 0.0) -> None:
    """Processes that serve die: it costs no more than what was under way there."""
    pile, told = new_pile(service), service.log.read_text().count("died (SIGSEGV)")
    with Load(service, pile, clients, pause_s) as load:
        for _ in range(crashes):
            time.sleep(1.0)
            crash(service, service.workers()[0])
        time.sleep(0.5)
    assert set(load.statuses) <= {200, 503} and 200 in load.statuses
    assert load.broken == 0, "whoever was at work with that process is answered 503"
    assert load.statuses.count(503) <= crashes * clients, "each crash costs no more than what was under way"
    assert set(load.acknowledged) <= logged(service, pile)
    assert service.log.read_text().count("died (SIGSEGV)") == told + crashes


def engine_crashed_under_load(service: Running, crashes: int, clients: int = 4, pause_s: float = 0.0) -> None:
    """Processes that the rule engine runs in die: each time it costs one request, if one was there."""
    pile, told = new_pile(service), service.log.read_text().count("died (SIGSEGV)")
    with Load(service, pile, clients, pause_s) as load:
        for turn in range(crashes):
            time.sleep(1.0)
            working = at_work(service)
            crash(service, working[turn % len(working)])
        time.sleep(0.5)
    assert set(load.statuses) <= {200, 503} and 200 in load.statuses
    assert load.broken == 0 and len(load.refused) <= crashes, load.refused
    assert set(load.acknowledged) <= logged(service, pile)
    assert service.log.read_text().count("died (SIGSEGV)") == told, "none that serves died of it"


def test_a_crash_under_load_costs_what_that_process_was_at(two_workers: Running) -> None:
    crashed_under_load(two_workers, 1, pause_s=PAUSE_S)


def test_a_crash_where_the_engine_runs_costs_one_request(two_workers: Running) -> None:
    engine_crashed_under_load(two_workers, 2, pause_s=PAUSE_S)


@pytest.mark.slow
@pytest.mark.parametrize("workers", ["1", "2"])
def test_twenty_crashes_where_the_engine_runs_cost_twenty_requests(workers: str) -> None:
    with running("--workers", workers, wait_s="60") as service:
        engine_crashed_under_load(service, 20)


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
