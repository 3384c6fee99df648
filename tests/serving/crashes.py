"""Crashes under load: `python -m tests.serving.crashes [ROUNDS] [CLIENTS] [SEED]`.

Each round one process of a running service, one that serves or one that works for it, is ended by a signal of native
code that fails, or killed; meanwhile clients ask for advice and log readings. Printed is what the crashes cost:
requests answered 503, connections broken off, and acknowledged readings that are not in the log book afterwards.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import random
import signal
import sys
import threading
import time
from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from tests.serving.served import JSON, SMALLEST, Running, running, wait_for

REPEATS = 20
PATIENT_S = 300.0
"""So long the service may take to be whole again: the machine may be busy with much else."""
KINDS = (signal.SIGSEGV, signal.SIGKILL)


class Load:
    """Clients that ask and log readings until told to stop, with a pause after each request."""

    def __init__(self, service: Running, pile: str, clients: int, pause_s: float = 0.0) -> None:
        self.acknowledged: list[str] = []
        self.statuses: list[int] = []
        self.refused: list[str] = []
        self.broken = 0
        self._service, self._pile, self._ended = service, pile, threading.Event()
        self._pause_s = pause_s
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
        while not self._ended.wait(self._pause_s):
            count += 1
            try:
                if count % 2:
                    reply, data = self._service.ask("POST", "/advice?effects=none", SMALLEST, JSON, 90)
                else:
                    reply, data = self._log(number, count)
                self.statuses.append(reply.status)
                if reply.status != 200:
                    self.refused.append(data.decode())
            except (OSError, http.client.HTTPException):
                self.broken += 1

    def _log(self, number: int, count: int) -> tuple[http.client.HTTPResponse, bytes]:
        day, minute = divmod(count, 1440)
        moment = f"2026-{day % 12 + 1:02d}-{number + 1:02d}T{minute // 60:02d}:{minute % 60:02d}:00Z"
        entry = json.dumps({"at": moment, "temperatures": {"core": "46 degC"}})
        reply, data = self._service.ask("POST", f"/piles/{self._pile}/readings", entry, JSON, 90)
        if reply.status == 200:
            self.acknowledged += json.loads(data)["readings"]
        return reply, data


def new_pile(service: Running) -> str:
    """An empty pile."""
    made: str = json.loads(service.ask("POST", "/piles", b'{"name": "heap", "units": "metric"}', JSON)[1])["id"]
    return made


def logged(service: Running, pile: str) -> set[str]:
    """Ids of all readings in the log of a pile."""
    found: set[str] = set()
    after = ""
    while after is not None:
        path = f"/piles/{pile}/log?kind=reading&limit=500{after}"
        reply, data = service.ask("GET", path)
        for _ in range(REPEATS):  # right after a crash a client is told 503, and may repeat
            if reply.status != 503:
                break
            time.sleep(1.0)
            reply, data = service.ask("GET", path)
        page = json.loads(data)
        assert reply.status == 200, (reply.status, data[:300], after)
        found |= {entry["id"] for entry in page["entries"]}
        after = f"&after={quote(page['next'])}" if page.get("next") else None  # type: ignore[assignment]
    return found


def at_work(service: Running) -> list[int]:
    """The processes that work for those that serve; the engine runs in these alone."""
    return [pid for pid in service.processes() if pid not in (service.process.pid, *service.workers())]


def crash(service: Running, victim: int, kind: signal.Signals = signal.SIGSEGV) -> None:
    """End a process, and wait until the service is whole again."""
    workers = len(service.workers())
    with contextlib.suppress(ProcessLookupError):  # it may have ended with the one it worked for
        os.kill(victim, kind)
    wait_for(lambda: victim not in service.workers() and len(service.workers()) == workers, PATIENT_S)
    wait_for(lambda: _is_ready(service), PATIENT_S)  # what dies next has served


def _is_ready(service: Running) -> bool:
    try:
        return service.ask("GET", "/health/ready", timeout=60)[0].status == 200
    except (OSError, http.client.HTTPException):
        return False


def main(rounds: int, clients: int, seed: int) -> None:
    """Run it and print what came of it."""
    chance, begun = random.Random(seed), time.monotonic()
    cost: dict[str, int] = {"serves": 0, "works": 0}
    count: dict[str, int] = {"serves": 0, "works": 0}
    with running("--workers", "2", log="errors", wait_s="60") as service:
        pile = new_pile(service)
        with Load(service, pile, clients) as load:
            for turn in range(rounds):
                time.sleep(chance.uniform(0.05, 0.5))
                kind, victims = _victims(service, turn)
                refused = load.statuses.count(503)
                if victims:
                    crash(service, chance.choice(victims), KINDS[turn // 2 % 2])
                cost[kind] += load.statuses.count(503) - refused
                count[kind] += bool(victims)
                if turn % 50 == 49:
                    _tell(turn + 1, begun, load, count, cost)
        _tell(rounds, begun, load, count, cost)
        lost = set(load.acknowledged) - logged(service, pile)
        print(f"acknowledged {len(load.acknowledged)}, lost {len(lost)}, ready {_is_ready(service)}")


def _victims(service: Running, turn: int) -> tuple[str, Sequence[int]]:
    return ("works", at_work(service)) if turn % 2 else ("serves", service.workers())


def _tell(rounds: int, begun: float, load: Load, count: dict[str, int], cost: dict[str, int]) -> None:
    statuses: dict[Any, int] = {each: load.statuses.count(each) for each in sorted(set(load.statuses))}
    print(f"{rounds} rounds in {time.monotonic() - begun:.0f} s, by status {statuses}, broken off {load.broken},")
    print(f"  crashes of those that serve, that work: {count}, answered 503 meanwhile: {cost}", flush=True)


if __name__ == "__main__":
    main(*[int(each) for each in sys.argv[1:]], *(1000, 4, 14)[len(sys.argv) - 1 :])
