"""How fast answers come, as ratios measured in one run: `python -m tests.benchmark [SECONDS]`.

A real server on loopback answers an echo route, which validates the same body with the same models and writes it
back, and the advice route. Printed are requests a second, percentiles, and the server's own processor time for each
request, whose ratio does not depend on what else the machine is doing; start-up and memory beside them.
"""

from __future__ import annotations

import contextlib
import http.client
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

from service.app import create_app
from service.schemas import Status
from tests.examples import FOLDER

BODY = (FOLDER / "advice.dry_and_falling.request.json").read_bytes()
CLIENTS = 2
WARM_UP = 30
ROUNDS = 3


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
    command = [sys.executable, "-m", "uvicorn", "--factory", "tests.benchmark:app_with_echo"]
    started = time.perf_counter()
    process = subprocess.Popen([*command, "--port", str(port), "--log-level", "error"], cwd=FOLDER.parent)
    try:
        while True:
            with contextlib.suppress(OSError):
                post(http.client.HTTPConnection("127.0.0.1", port), "/advice?effects=none")
                break
            time.sleep(0.01)
        yield port, time.perf_counter() - started, process.pid
    finally:
        process.terminate()
        process.wait()


def post(connection: http.client.HTTPConnection, path: str) -> bytes:
    """One request; anything but 200 is an error of the benchmark."""
    connection.request("POST", path, BODY, {"Content-Type": "application/json"})
    response = connection.getresponse()
    answer = response.read()
    if response.status != 200:
        raise RuntimeError(f"{path} answered {response.status}")
    return answer


def rate(port: int, path: str, seconds: float) -> tuple[float, list[float]]:
    """Requests a second with a few clients at once, and the time of each request [ms]."""
    times: list[float] = []

    def client() -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port)
        for _ in range(WARM_UP):
            post(connection, path)
        end = time.perf_counter() + seconds
        while (begun := time.perf_counter()) < end:
            post(connection, path)
            times.append(1000 * (time.perf_counter() - begun))

    threads = [threading.Thread(target=client) for _ in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return len(times) / seconds, sorted(times)


def resident_kb(process: int) -> int:
    """Memory of a process [kB], from the kernel."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1])
    return 0


def processor_ms(process: int) -> float:
    """Processor time a process has used so far [ms], from the kernel."""
    fields = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def main(seconds: float) -> dict[str, float]:
    """Measure in turns, print the table, and hand the ratios back."""
    with server() as (port, first_answer, process):
        results: dict[str, list[float]] = {"/echo": [], "/advice?effects=none": [], "/advice?effects=full": []}
        costs: dict[str, list[float]] = {path: [] for path in results}
        percentiles: dict[str, tuple[float, float]] = {}
        for _ in range(ROUNDS):
            for path, rates in results.items():
                used = processor_ms(process)
                per_second, times = rate(port, path, seconds / ROUNDS)
                rates.append(per_second)
                costs[path].append((processor_ms(process) - used) / (len(times) + WARM_UP * CLIENTS))
                percentiles[path] = (times[len(times) // 2], times[int(len(times) * 0.99)])
        memory = resident_kb(process)
    echo = statistics.median(costs["/echo"])
    print(f"start to first answer {first_answer:.2f} s; memory {memory / 1024:.0f} MiB; {os.cpu_count()} processors")
    print(f"{'route':<24}{'per second':>12}{'cpu ms':>9}{'of echo':>9}{'p50 ms':>9}{'p99 ms':>9}")
    ratios = {path: echo / statistics.median(cost) for path, cost in costs.items()}
    for path, rates in results.items():
        cost, (p50, p99) = statistics.median(costs[path]), percentiles[path]
        print(f"{path:<24}{statistics.median(rates):>12.0f}{cost:>9.2f}{ratios[path]:>9.3f}{p50:>9.2f}{p99:>9.2f}")
    return ratios | {"start_s": first_answer}


if __name__ == "__main__":
    print(json.dumps(main(float(sys.argv[1]) if len(sys.argv) > 1 else 9.0)))
