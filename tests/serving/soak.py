"""Many clients for long: `python -m tests.serving.soak [CLIENTS] [REQUESTS]`.

So many clients keep a connection each and ask what people, hubs and tools ask, a few of them badly; memory of all
processes of the service is noted on the way. Printed are answers by status, times, and the slope of memory over the
second half, by when everything that is kept once has been kept.
"""

from __future__ import annotations

import asyncio
import json
import random
import re
import statistics
import sys
import time
from collections import Counter
from dataclasses import dataclass, field

from tests.serving.served import SMALLEST, Running, running

SEED = 14
_Asked = list[tuple[float, bytes]]
LOOK_S = 1.0
_ENDED = re.compile(r'^warmheap_(?:connections_cut|work_ended)_total{why="(.*)"} (.*)$', re.M)
PATIENT_S = 120.0
"""Longer no client waits for an answer."""
LONGEST_S = 1500.0
"""It ends after this time, however many answers there were."""


@dataclass
class Soaked:
    """What came of it: answers by status, those given up, broken connections, times [s], memory [MB] after so many."""

    statuses: Counter[int] = field(default_factory=Counter)
    late: int = 0
    broken: int = 0
    times: list[float] = field(default_factory=list)
    memory: list[tuple[int, float]] = field(default_factory=list)
    log_mb: float = 0.0
    counted: dict[str, float] = field(default_factory=dict)
    """What the service itself counts as cut or ended, by reason."""

    @property
    def answers(self) -> int:
        """How many there were."""
        return sum(self.statuses.values())

    def slope(self) -> float:
        """Growth of memory over the second half [MB for 100,000 answers]."""
        late = [point for point in self.memory if point[0] >= self.answers / 2]
        return 100_000 * statistics.linear_regression(*zip(*late, strict=True)).slope


def requests_for(pile: str) -> _Asked:
    """What is asked, with its weight."""

    def asking(method: str, path: str, body: bytes = b"", kind: str = "application/json") -> bytes:
        typed = f"Content-Type: {kind}\r\nContent-Length: {len(body)}\r\n" if method == "POST" else ""
        return f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n{typed}\r\n".encode() + body

    return [
        (30, asking("GET", "/health/live")),
        (20, asking("GET", f"/piles/{pile}")),
        (15, asking("GET", f"/piles/{pile}/now")),
        (10, asking("GET", "/materials/urea")),
        (6, asking("GET", f"/piles/{pile}/log?limit=20")),
        (3, asking("POST", "/advice?effects=none", SMALLEST)),
        (4, asking("POST", "/advice?effects=none", b'{"pile": {"age": "x"}}')),
        (4, asking("POST", "/advice", b"{")),
        (3, asking("GET", "/nowhere")),
        (0.02, asking("POST", f"/piles/{pile}/work", b'{"action": "add_water", "amount": "5 L"}')),
        (0.2, asking("POST", "/chat", b"ten weeks old, core 121 F, crumbly dry", "text/plain")),
        (0.2, asking("POST", "/advice", SMALLEST)),
    ]


async def _client(service: Running, asked: _Asked, left: list[float], seed: int, found: Soaked) -> None:
    """One client, until nothing is `left`: requests, and the end of the time."""
    chance = random.Random(seed)
    weights, requests = [weight for weight, _ in asked], [request for _, request in asked]
    reader = writer = None
    while left[0] > 0 and time.monotonic() < left[1]:
        left[0] -= 1
        begun = time.monotonic()
        try:
            if writer is None or reader is None:
                reader, writer = await asyncio.open_connection("127.0.0.1", service.port)
            writer.write(chance.choices(requests, weights)[0])
            status = await asyncio.wait_for(_status(reader), PATIENT_S)
            found.statuses[status] += 1
            found.times.append(time.monotonic() - begun)
        except (OSError, EOFError) as error:
            found.late += isinstance(error, TimeoutError)
            found.broken += not isinstance(error, TimeoutError)
            if writer is not None:
                writer.close()
            writer = None
    if writer is not None:
        writer.close()


async def _status(reader: asyncio.StreamReader) -> int:
    head = await reader.readuntil(b"\r\n\r\n")
    length = next(int(line[15:]) for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:"))
    await reader.readexactly(length)
    return int(head[9:12])


async def _soak(service: Running, pile: str, clients: int, requests: int) -> Soaked:
    found, asked = Soaked(), requests_for(pile)
    left = [float(requests), time.monotonic() + LONGEST_S]
    tasks = [asyncio.create_task(_client(service, asked, left, SEED + number, found)) for number in range(clients)]
    while not all(task.done() for task in tasks):
        found.memory.append((found.answers, service.resident_mb()))
        await asyncio.wait(tasks, timeout=LOOK_S)
    await asyncio.gather(*tasks)
    text = service.ask("GET", "/metrics", timeout=PATIENT_S)[1].decode()
    found.counted = {why: float(times) for why, times in _ENDED.findall(text)}
    found.log_mb = service.log.stat().st_size / 1e6
    return found


def soak(clients: int, requests: int) -> Soaked:
    """Run it against a service of its own."""
    with running("--workers", "1", waiting="64") as service:
        about = {"name": "heap", "units": "metric", "about": {"pile": {"built_on": "2026-10-02"}}}
        kind = {"Content-Type": "application/json"}
        pile = json.loads(service.ask("POST", "/piles", json.dumps(about), kind)[1])["id"]
        core = json.dumps({"temperatures": {"core": "46 degC"}})
        assert service.ask("POST", f"/piles/{pile}/readings", core, kind)[0].status == 200
        return asyncio.run(_soak(service, pile, clients, requests))


def main(clients: int, requests: int) -> None:
    """Run it and print what came of it."""
    begun = time.monotonic()
    found = soak(clients, requests)
    times = sorted(found.times)
    print(f"{clients} clients, {found.answers} answers in {time.monotonic() - begun:.0f} s, ", end="")
    print(f"{found.late} not waited for, {found.broken} broken off")
    print("by status:", dict(sorted(found.statuses.items())))
    print(f"p50 {1000 * times[len(times) // 2]:.0f} ms, p99 {1000 * times[int(len(times) * 0.99)]:.0f} ms")
    low, high = min(mb for _, mb in found.memory), max(mb for _, mb in found.memory)
    print(f"memory {low:.0f} to {high:.0f} MB, last {found.memory[-1][1]:.0f} MB, {found.slope():+.1f} MB for 100,000")
    print(f"log {found.log_mb:.1f} MB; cut or ended, by reason: {found.counted}")


if __name__ == "__main__":
    main(*[int(each) for each in sys.argv[1:3]] or (1000, 200_000))
