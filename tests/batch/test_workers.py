"""Worker processes: lazy, gone when their starter is, and replaced when they die."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator

import pytest

from service.batch import workers as workers_module
from service.batch.answers import answer_block
from service.batch.blocks import Block
from service.batch.workers import Workers
from service.operation.batch_limits import default_count
from tests.batch.lines import SMALLEST

BLOCK = Block(5, SMALLEST + b"\n\n" + SMALLEST[:-3] + b"\n")


@pytest.fixture(name="workers")
def one_worker() -> Iterator[Workers]:
    made = Workers(1)
    yield made
    made.close()


def is_alive(process: int) -> bool:
    with contextlib.suppress(ProcessLookupError):
        os.kill(process, 0)
        return True
    return False


def until(what: str, holds: object) -> None:
    """Wait for something that will be so soon."""
    assert callable(holds)
    for _ in range(1000):
        if holds():
            return
        time.sleep(0.02)
    raise AssertionError(what)


def test_a_worker_is_started_by_the_first_block_kept_for_the_next_and_replaced_when_it_dies(workers: Workers) -> None:
    assert workers.process_ids() == []
    assert workers.answered(BLOCK).result() == answer_block(BLOCK)
    (process,) = workers.process_ids()
    assert workers.answered(BLOCK).result().problems == 1
    assert workers.process_ids() == [process]
    # The block of a worker that is killed goes to another
    os.kill(process, signal.SIGSTOP)
    waiting = workers.answered(BLOCK)
    os.kill(process, signal.SIGKILL)
    assert waiting.result() == answer_block(BLOCK)
    (other,) = workers.process_ids()
    assert other != process
    workers.close()
    assert not is_alive(other)


def test_a_block_that_kills_every_worker_gets_a_problem_for_each_line_and_the_next_is_answered(
    workers: Workers, monkeypatch: pytest.MonkeyPatch
) -> None:
    started = workers_module._start

    def dies_at_once() -> subprocess.Popen[bytes]:
        process = started()
        process.kill()
        return process

    monkeypatch.setattr(workers_module, "_start", dies_at_once)
    answered = workers.answered(BLOCK).result()
    monkeypatch.undo()
    lines = [json.loads(line) for line in answered.data.splitlines()]
    assert [line["line"] for line in lines] == [5, 7] and (answered.lines, answered.problems) == (2, 2)
    assert {(line["problem"]["status"], line["problem"]["type"]) for line in lines} == {
        (503, "urn:warmheap:problem:service-unavailable")
    }
    assert workers.answered(BLOCK).result() == answer_block(BLOCK)


def test_where_no_worker_can_be_started_each_line_gets_a_problem(
    workers: Workers, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    assert workers.answered(BLOCK).result().problems == 2


@pytest.mark.slow
def test_a_worker_that_hangs_is_ended(workers: Workers, monkeypatch: pytest.MonkeyPatch) -> None:
    workers.answered(BLOCK).result()
    (process,) = workers.process_ids()
    monkeypatch.setattr(workers_module, "LONGEST_S", 0.2)
    monkeypatch.setattr(workers_module, "ATTEMPTS", 1)
    os.kill(process, signal.SIGSTOP)
    assert workers.answered(BLOCK).result().problems == 2
    assert not is_alive(process)


def test_workers_end_when_their_starter_is_killed() -> None:
    code = (
        "from service.batch.workers import Workers; from service.batch.blocks import Block; w = Workers(1);"
        f"w.answered(Block(1, {SMALLEST!r})).result(); print(*w.process_ids(), flush=True); input()"
    )
    starter = subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert starter.stdout is not None
    worker = int(starter.stdout.readline())
    assert is_alive(worker)
    starter.kill()
    starter.communicate()
    until("the worker ended", lambda: not is_alive(worker))


@pytest.mark.slow
def test_workers_serve_a_program_with_threads_that_was_forked() -> None:
    code = f"""
import os, threading
from service.batch.blocks import Block
from service.batch.workers import Workers
stop = threading.Event()
thread = threading.Thread(target=stop.wait)
thread.start()
child = os.fork()
workers = Workers(1)
answers = [workers.answered(Block(1, {SMALLEST!r})) for _ in range(4)]
assert all(answer.result().problems == 0 for answer in answers)
workers.close()
if child == 0:
    os._exit(0)
assert os.waitpid(child, 0)[1] == 0
stop.set()
print("well")
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "well"


@pytest.mark.slow
def test_blocks_are_answered_side_by_side() -> None:
    workers = Workers(2)
    answers = [workers.answered(BLOCK) for _ in range(6)]
    assert {answer.result().lines for answer in answers} == {2}
    assert len(workers.process_ids()) == 2 and default_count() >= 1
    workers.close()
    assert not [thread for thread in threading.enumerate() if thread.name.startswith("batch")]
