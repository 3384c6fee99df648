"""The batch command on a real Dask cluster of this machine."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.batch.answers import answer_block
from service.batch.blocks import Block
from service.cli import main
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


def test_a_cluster_that_is_not_there_or_has_nobody_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.batch import cluster as cluster_module

    monkeypatch.setattr(cluster_module, "CONNECT_S", 0.5)
    (tmp_path / "in.ndjson").write_bytes(SMALLEST)
    assert main(["batch", str(tmp_path / "in.ndjson"), "--scheduler", "tcp://127.0.0.1:9"]) == 2
    assert "cannot be reached" in capsys.readouterr().err
    assert main(["batch", str(tmp_path / "in.ndjson"), "--scheduler", "nonsense://x"]) == 2
    assert "cannot be reached" in capsys.readouterr().err
