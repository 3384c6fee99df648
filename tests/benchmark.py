"""How fast answers come, as ratios measured in one run: `python -m tests.benchmark [SECONDS]`.

A real server on loopback answers an echo route, which validates the same body with the same models and writes it
back, and the advice route. Printed are requests a second, percentiles, and the server's own processor time for each
request, whose ratio does not depend on what else the machine is doing; start-up and memory beside them. Then every
example is asked for in full by one client, and the what-ifs of all actions are run at once on the worst of them.
"""

from __future__ import annotations

import contextlib
import http.client
import itertools
import json
import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from fastapi import FastAPI, Response

from service.actions.effects import CHANGES, REBUILDS
from service.actions.whatif import look_ahead
from service.app import create_app
from service.heat.physics.members import DEFAULT_MEMBERS
from service.picture.picture import learned_picture
from service.status.models import Status
from service.status.reading import read_status
from tests.examples import FOLDER

EXAMPLE = "dry_and_falling"
WITHOUT_LOG = "bare_in_frost"
COLDS = 37
"""So many colds outside, in turn: heaps that are asked for again are kept, and a heap asked for once is measured."""
WAYS = {
    "/echo": ("/echo", EXAMPLE),
    "none, without a log": ("/advice?effects=none", WITHOUT_LOG),
    "none, with a log": ("/advice?effects=none", EXAMPLE),
    "full": ("/advice?effects=full", EXAMPLE),
}
"""What is measured: its path, and the example that is sent."""
CLIENTS = 2
WARM_UP = 30
ROUNDS = 3
EACH = 21


def app_with_echo() -> FastAPI:
    """The service with an echo of the same body, an ordinary route of the same framework and models, beside it."""
    app = create_app()

    @app.post("/echo")
    async def echo(status: Status) -> Response:
        return Response(status.model_dump_json(), media_type="application/json")

    return app


@contextlib.contextmanager
def server() -> Iterator[tuple[int, float, int]]:
    """A running server: its port, the seconds from start to the first answer, and its process id."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "service.cli", "serve"]
    started = time.perf_counter()
    told = {**os.environ, "WARMHEAP_APP": "tests.benchmark:app_with_echo"}
    process = subprocess.Popen([*command, "--port", str(port)], cwd=FOLDER.parent, env=told, stderr=subprocess.DEVNULL)
    try:
        while True:
            with contextlib.suppress(OSError, http.client.HTTPException):
                post(http.client.HTTPConnection("127.0.0.1", port), "/advice?effects=none", next(bodies(EXAMPLE)))
                break
            time.sleep(0.01)
        yield port, time.perf_counter() - started, process.pid
    finally:
        process.terminate()
        process.wait()


def bodies(example: str) -> Iterator[bytes]:
    """The status of an example in one cold after another, without end."""
    told = json.loads((FOLDER / f"advice.{example}.request.json").read_bytes())
    return itertools.cycle(
        json.dumps(told | {"temperatures": {**told["temperatures"], "outdoor": f"{cold / 4 - 8} degC"}}).encode()
        for cold in range(COLDS)
    )


def post(connection: http.client.HTTPConnection, path: str, body: bytes) -> bytes:
    """One request; anything but 200 is an error of the benchmark."""
    connection.request("POST", path, body, {"Content-Type": "application/json"})
    response = connection.getresponse()
    answer = response.read()
    if response.status != 200:
        raise RuntimeError(f"{path} answered {response.status}")
    return answer


def rate(port: int, path: str, example: str, seconds: float) -> tuple[float, list[float]]:
    """Requests a second with a few clients at once, and the time of each request [ms]."""
    times: list[float] = []

    def client(number: int) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port)
        told = itertools.islice(bodies(example), number * COLDS // CLIENTS, None)
        for _ in range(WARM_UP):
            post(connection, path, next(told))
        end = time.perf_counter() + seconds
        while (begun := time.perf_counter()) < end:
            post(connection, path, next(told))
            times.append(1000 * (time.perf_counter() - begun))

    threads = [threading.Thread(target=client, args=(number,)) for number in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return len(times) / seconds, sorted(times)


def by_example(port: int, process: int) -> dict[str, tuple[float, float, float]]:
    """Median, 99 % point and processor time of the full answer to each example [ms], one client; dearest first."""
    connection, found = http.client.HTTPConnection("127.0.0.1", port), {}
    for file in sorted(FOLDER.glob("advice.*.request.json")):
        name, times = file.name.split(".")[1], []
        told = bodies(name)
        post(connection, "/advice?effects=full", next(told))
        used = processor_ms(process)
        for _ in range(EACH):
            body, begun = next(told), time.perf_counter()
            post(connection, "/advice?effects=full", body)
            times.append(1000 * (time.perf_counter() - begun))
        cost = (processor_ms(process) - used) / EACH
        found[name] = (statistics.median(times), sorted(times)[int(0.99 * EACH)], cost)
    return dict(sorted(found.items(), key=lambda item: -item[1][2]))


def every_what_if_ms(example: str, rounds: int = 11) -> float:
    """Processor time of learning from the log and of all what-ifs at once, those not advised too [ms]."""
    times = []
    for body in itertools.islice(bodies(example), rounds):
        status, begun = read_status(body), time.process_time()
        picture = learned_picture(status)
        look_ahead(picture.estimate, {name: [] for name in (*CHANGES, *REBUILDS)}, picture.goal.days, picture.heap)
        times.append(1000 * (time.process_time() - begun))
    return statistics.median(times)


def resident_kb(process: int) -> int:
    """Memory of a process [kB], from the kernel."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1])
    return 0


def processor_ms(process: int) -> float:
    """Processor time a process and all it has started have used so far [ms], from the kernel."""
    return sum(_own_processor_ms(each) for each in family(process))


def family(process: int) -> list[int]:
    """A process and all it has started, and what these have started."""
    found = [process]
    for each in found:
        for task in Path(f"/proc/{each}/task").glob("*/children"):
            found += [int(child) for child in task.read_text().split()]
    return found


def _own_processor_ms(process: int) -> float:
    fields = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def main(seconds: float) -> dict[str, float]:
    """Measure in turns, print the table, and hand the ratios back."""
    with server() as (port, first_answer, process):
        results: dict[str, list[float]] = {way: [] for way in WAYS}
        costs: dict[str, list[float]] = {path: [] for path in results}
        percentiles: dict[str, tuple[float, float]] = {}
        for _ in range(ROUNDS):
            for path, rates in results.items():
                used = processor_ms(process)
                per_second, times = rate(port, *WAYS[path], seconds / ROUNDS)
                rates.append(per_second)
                costs[path].append((processor_ms(process) - used) / (len(times) + WARM_UP * CLIENTS))
                percentiles[path] = (times[len(times) // 2], times[int(len(times) * 0.99)])
        memory = sum(map(resident_kb, family(process)))
        examples = by_example(port, process)
    echo = statistics.median(costs["/echo"])
    print(f"start to first answer {first_answer:.2f} s; memory {memory / 1024:.0f} MiB; {os.cpu_count()} processors")
    print(f"{'route':<24}{'per second':>12}{'cpu ms':>9}{'of echo':>9}{'p50 ms':>9}{'p99 ms':>9}")
    ratios = {path: echo / statistics.median(cost) for path, cost in costs.items()}
    for path, rates in results.items():
        cost, (p50, p99) = statistics.median(costs[path]), percentiles[path]
        print(f"{path:<24}{statistics.median(rates):>12.0f}{cost:>9.2f}{ratios[path]:>9.3f}{p50:>9.2f}{p99:>9.2f}")
    print(f"{f'in full, one client, {DEFAULT_MEMBERS} members':<36}{'cpu ms':>9}{'':>9}{'p50 ms':>9}{'p99 ms':>9}")
    for name, (p50, p99, cost) in examples.items():
        print(f"  {name:<34}{cost:>9.1f}{'':>9}{p50:>9.1f}{p99:>9.1f}")
    worst = next(iter(examples))
    every = f"all {len(CHANGES) + len(REBUILDS)} what-ifs at once, the first of these"
    print(f"{every:<36}{every_what_if_ms(worst):>9.1f}")
    return ratios | {"start_s": first_answer}


if __name__ == "__main__":
    print(json.dumps(main(float(sys.argv[1]) if len(sys.argv) > 1 else 9.0)))
