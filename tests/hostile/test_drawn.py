"""Requests drawn from the interface's own description: 20,000 of them, every check on, chains of requests included.

The seed is printed, so that a run can be had again: `WARMHEAP_SEED=… pytest -m slow tests/hostile/test_drawn.py -s`.
"""

from __future__ import annotations

import json
import os
import random
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import httpx
import pytest

HERE = Path(__file__).parent
HEAVY = "^/(sizing|season|greenhouse|build-sheet)$"
"""A good request there is a second or two of work: of them fewer are drawn at random."""
LEAST = 20_000
MOST_RUNS = 12
EXAMPLES, FEW_EXAMPLES = 120, 6
"""Requests drawn for each operation in one run at random."""
MOST_SECONDS = 2400
PATIENT_S = 60
"""How long an answer may take here: the machine may be busy with something else."""
PATIENT = {"WARMHEAP_WAIT_S": str(PATIENT_S), "WARMHEAP_WORK_S": str(PATIENT_S)}


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """The service as it is served, on a port and with a data folder of its own."""
    with closing(socket.socket()) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {**os.environ, "WARMHEAP_DATA": str(tmp_path / "data"), **PATIENT}
    command = [sys.executable, "-m", "service.cli", "serve", "--port", str(port)]
    with subprocess.Popen(command, env=environment, stderr=subprocess.DEVNULL) as server:
        try:
            yield _when_ready(f"http://127.0.0.1:{port}")
            assert server.poll() is None, "the server has ended"
        finally:
            server.terminate()


def _when_ready(address: str) -> str:
    for _ in range(300):
        try:
            if httpx.get(f"{address}/health/ready").status_code == 200:
                httpx.get(f"{address}/openapi.json", timeout=60)  # the first time it is put together
                return address
        except httpx.TransportError:
            pass
        time.sleep(0.1)
    raise AssertionError("the server did not start")


def _drawn(address: str, seed: int, folder: Path, *options: str) -> int:
    """Run the checks once; how many requests were drawn. Fails with the report where one does not hold."""
    command = [
        str(Path(sys.executable).with_name("schemathesis")),
        f"--config-file={HERE / 'schemathesis.toml'}",
        "run",
    ]
    command += [f"{address}/openapi.json", f"--seed={seed}", "--no-color", "--warnings=off"]
    command += [f"--request-timeout={PATIENT_S}", f"--max-response-time={PATIENT_S}", *options]
    environment = {**os.environ, "SCHEMATHESIS_HOOKS": "tests.hostile.drawing_hooks"}
    ran = subprocess.run(
        command,
        cwd=folder,
        env={**environment, "PYTHONPATH": str(HERE.parents[1])},
        capture_output=True,
        text=True,
        check=False,
        timeout=MOST_SECONDS,
    )
    assert ran.returncode == 0, f"seed {seed}\n{ran.stdout[-12000:]}{ran.stderr[-2000:]}"
    count = re.search(r"([\d,]+) generated", ran.stdout)
    assert count is not None, ran.stdout[-2000:]
    return int(count[1].replace(",", ""))


@pytest.mark.slow
def test_twenty_thousand_drawn_requests_hold(address: str, tmp_path: Path) -> None:
    seed = int(os.environ.get("WARMHEAP_SEED", random.SystemRandom().randrange(10**6)))
    print(f"\nWARMHEAP_SEED={seed}")
    drawn = _drawn(address, seed, tmp_path, "--phases=examples,coverage")
    print(f"{drawn} requests at every bound of every field", flush=True)
    few = (f"--max-examples={FEW_EXAMPLES}", f"--include-path-regex={HEAVY}", "--phases=fuzzing")
    drawn += _drawn(address, seed, tmp_path, *few)
    runs = 0
    while drawn < LEAST and runs < MOST_RUNS:
        runs += 1
        options = (f"--max-examples={EXAMPLES}", f"--exclude-path-regex={HEAVY}", "--phases=fuzzing,stateful")
        drawn += _drawn(address, seed + runs, tmp_path, *options)
        print(f"{drawn} requests after run {runs}", flush=True)
    assert drawn >= LEAST
    assert json.loads(httpx.get(f"{address}/health/ready").content)["status"] == "ready"
