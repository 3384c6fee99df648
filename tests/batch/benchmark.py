"""How fast batches are answered, beside single answers in the same run: `python -m tests.batch.benchmark [LINES]`.

The lines are the project's example statuses, each in another cold. Printed are answers a second as they
came, and the processor time for each answer of all processes together, which depends less on what else the machine is
doing; two processors give 2000 / that many a second.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import resource
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator

from pydantic_core import to_json

from service.answer.advice import advise
from service.batch.answers import answer_block
from service.batch.blocks import Cutter
from service.batch.workers import Workers
from service.status.reading import read_status
from tests.benchmark import processor_ms
from tests.examples import FOLDER, requests

ROUNDS = 3
SINGLES = 300


def lines(count: int) -> list[bytes]:
    """So many statuses, 13 heaps in 37 colds."""
    bodies = [json.loads(file.read_bytes()) for file in requests()]
    return [
        json.dumps(body | {"temperatures": {**body["temperatures"], "outdoor": f"{number % 37 - 22} degC"}}).encode()
        for number in range(count)
        for body in [bodies[number % len(bodies)]]
    ]


def own_ms() -> float:
    """Processor time of this process so far [ms]."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    return 1000 * (used.ru_utime + used.ru_stime)


def alone(statuses: list[bytes]) -> int:
    """Each by itself, as the single route does it, without HTTP."""
    for status in statuses[:SINGLES]:
        to_json(advise(read_status(status), "none"))
    return SINGLES


def together(statuses: list[bytes]) -> int:
    """In blocks, in this process."""
    cutter = Cutter()
    blocks = cutter.feed(b"\n".join(statuses))
    return sum(answer_block(block).lines for block in blocks + cutter.end())


def by(workers: Workers) -> Callable[[list[bytes]], int]:
    """In blocks, by worker processes."""

    def work(statuses: list[bytes]) -> int:
        cutter = Cutter()
        blocks = cutter.feed(b"\n".join(statuses))
        answers = [workers.answered(block) for block in blocks + cutter.end()]
        return sum(answer.result().lines for answer in answers)

    return work


def over_http(port: int) -> Callable[[list[bytes]], int]:
    """The whole way, to a server and back."""

    def work(statuses: list[bytes]) -> int:
        connection = http.client.HTTPConnection("127.0.0.1", port)
        connection.request("POST", "/advice/batch", b"\n".join(statuses), {"Content-Type": "application/x-ndjson"})
        reply, count = connection.getresponse(), 0
        while part := reply.read1(1 << 20):
            count += part.count(b"\n")
        connection.close()
        return count

    return work


@contextlib.contextmanager
def server(workers: int) -> Iterator[tuple[int, int]]:
    """A running service: its port and process id."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "uvicorn", "--factory", "service.app:create_app", "--port", str(port)]
    environment = {**os.environ, "WARMHEAP_BATCH_WORKERS": str(workers)}
    process = subprocess.Popen([*command, "--log-level", "error"], cwd=FOLDER.parent, env=environment)
    try:
        while True:
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port)):
                break
            time.sleep(0.02)
        yield port, process.pid
    finally:
        process.terminate()
        process.wait()


def children_of(process: int) -> list[int]:
    """Processes it has started, from the kernel."""
    found = []
    for task in os.listdir(f"/proc/{process}/task"):
        with open(f"/proc/{process}/task/{task}/children", encoding="ascii") as children:
            found += [int(child) for child in children.read().split()]
    return found


def main(count: int) -> dict[str, tuple[float, float]]:
    """Measure in turns, print the table; answers a second and processor milliseconds an answer, best of the rounds."""
    statuses = lines(count)
    one, two = Workers(1), Workers(2)
    with server(2) as (port, served_by):
        ways: dict[str, tuple[Callable[[list[bytes]], int], Callable[[], list[int]]]] = {
            "one at a time": (alone, list),
            "blocks, this process": (together, list),
            "blocks, 1 worker": (by(one), one.process_ids),
            "blocks, 2 workers": (by(two), two.process_ids),
            "over HTTP, 2 workers": (over_http(port), lambda: [served_by, *children_of(served_by)]),
        }
        for work, _ in ways.values():
            work(statuses[:600])
        best = dict.fromkeys(ways, (0.0, float("inf")))
        for _ in range(ROUNDS):
            for way, (work, processes) in ways.items():
                used, begun = own_ms() + sum(map(processor_ms, processes())), time.perf_counter()
                done = work(statuses)
                rate = done / (time.perf_counter() - begun)
                cost = (own_ms() + sum(map(processor_ms, processes())) - used) / done
                best[way] = (max(best[way][0], rate), min(best[way][1], cost))
    one.close()
    two.close()
    print(f"{count} lines, best of {ROUNDS} rounds, {os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    print(f"{'way':<24}{'per second':>12}{'times one':>12}{'cpu ms':>10}{'two processors':>16}")
    for way, (rate, cost) in best.items():
        print(f"{way:<24}{rate:>12.0f}{best['one at a time'][1] / cost:>12.1f}{cost:>10.2f}{2000 / cost:>16.0f}")
    return best


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000)
