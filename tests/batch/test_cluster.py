"""The batch command on a real Dask cluster of this machine."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.batch.answers import answer_block
from service.batch.blocks import Block
from service.cli.command import main
from tests.batch.lines import SMALLEST

pytestmark = pytest.mark.slow
LINES = 4000
TEXT = b"".join(SMALLEST.replace(b"20", b"%d" % (number % 300)) + b"\n" for number in range(LINES - 1)) + b"{}\n"


@pytest.fixture(name="cluster")
def scheduler_and_workers() -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """The address of a scheduler, and two workers, each a process of its own without a nurse."""
    command = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--port", "0", "--no-dashboard"]
    scheduler = subprocess.Popen(command, stderr=subprocess.PIPE)
    assert scheduler.stderr is not None
    address = ""
    while not address:
        line = scheduler.stderr.readline().decode()
        if "Scheduler at:" in line:
            address = line.split()[-1]
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", address, "--nthreads", "1", "--no-nanny"]
    workers = [subprocess.Popen([*worker, "--no-dashboard"], stderr=subprocess.DEVNULL) for _ in range(2)]
    yield address, workers
    for process in (*workers, scheduler):
        process.kill()
        process.wait()
    scheduler.stderr.close()


def answered_alone() -> list[bytes]:
    return answer_block(Block(1, TEXT)).data.splitlines()


def run(address: str, tmp_path: Path) -> subprocess.Popen[bytes]:
    (tmp_path / "in.ndjson").write_bytes(TEXT)
    command = [sys.executable, "-m", "service.cli", "batch", "--progress", "--scheduler", address]
    return subprocess.Popen(
        [*command, str(tmp_path / "in.ndjson"), str(tmp_path / "out.ndjson")], stderr=subprocess.PIPE
    )


def test_answers_are_those_of_one_machine_though_a_worker_is_killed(
    cluster: tuple[str, list[subprocess.Popen[bytes]]], tmp_path: Path
) -> None:
    address, workers = cluster
    running = run(address, tmp_path)
    assert running.stderr is not None
    assert b"lines answered" in running.stderr.readline()
    workers[0].send_signal(signal.SIGKILL)
    _, told = running.communicate(timeout=120)
    assert running.returncode == 1, told
    assert (tmp_path / "out.ndjson").read_bytes().splitlines() == answered_alone()


def test_what_a_cluster_cannot_do_is_said(
    cluster: tuple[str, list[subprocess.Popen[bytes]]],
    tmp_path: Path,
    capfdbinary: pytest.CaptureFixture[bytes],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A block that fails wherever it is tried; other knowledge on the workers; nobody to work."""
    from service.batch import cluster as cluster_module

    address, workers = cluster
    (tmp_path / "in.ndjson").write_bytes(SMALLEST)
    command = ["batch", str(tmp_path / "in.ndjson"), "--scheduler", address]
    assert main(command) == 0
    with monkeypatch.context() as patch:
        patch.setattr(cluster_module, "answer_block", lambda block: 1 // 0)
        assert main(command) == 1
    told = capfdbinary.readouterr().out.splitlines()
    assert told[0] == answer_block(Block(1, SMALLEST)).data.strip()
    problem = json.loads(told[1])["problem"]
    assert problem["status"] == 503 and "ZeroDivisionError" in problem["detail"]
    with monkeypatch.context() as patch:
        patch.setattr(cluster_module, "knowledge_version", lambda: str(os.getpid()))
        assert main(command) == 2
    assert b"another version of the knowledge" in capfdbinary.readouterr().err
    for worker in workers:
        worker.terminate()
        worker.wait()
    monkeypatch.setattr(cluster_module, "CONNECT_S", 1.0)
    assert main(command) == 2
    assert b"no workers" in capfdbinary.readouterr().err


def test_a_cluster_that_is_not_there_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.batch import cluster as cluster_module

    monkeypatch.setattr(cluster_module, "CONNECT_S", 0.5)
    (tmp_path / "in.ndjson").write_bytes(SMALLEST)
    assert main(["batch", str(tmp_path / "in.ndjson"), "--scheduler", "tcp://127.0.0.1:9"]) == 2
    assert "cannot be reached" in capsys.readouterr().err
    assert main(["batch", str(tmp_path / "in.ndjson"), "--scheduler", "nonsense://x"]) == 2
    assert "cannot be reached" in capsys.readouterr().err
