"""Worker processes of this machine, started when the first block comes."""

from __future__ import annotations

import contextlib
import logging
import os
import subprocess
import sys
import threading
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Final

from service.batch.blocks import AnsweredBlock, Block
from service.batch.worker import read_answered, send_block
from service.problems.problem import Problem

_log = logging.getLogger(__name__)
_ROOT: Final = str(Path(__file__).resolve().parents[2])
_SETTINGS: Final = {
    **dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1"),
    # Arrays come and go with each block: their memory is kept, for asking the system for it anew costs a tenth of all.
    **dict.fromkeys(("MALLOC_TRIM_THRESHOLD_", "MALLOC_TOP_PAD_"), str(64 * 1024 * 1024)),
    "MALLOC_MMAP_THRESHOLD_": str(32 * 1024 * 1024),
}
LONGEST_S: Final = 60.0
"""A worker that takes longer over one block is ended."""
ATTEMPTS: Final = 2


class WorkerDied(Exception):
    """The process ended before it had answered, or could not be started."""


class Workers:
    """So many worker processes, each with one block at a time.

    A block whose worker dies goes to a new one, once; then every line of it gets a problem. The processes are not
    forked from this one, so it may have threads, and they end by themselves when it is gone.
    """

    def __init__(self, count: int) -> None:
        self.count = count
        self._mine = threading.local()
        self._lock = threading.Lock()
        self._processes: set[subprocess.Popen[bytes]] = set()
        self._threads = ThreadPoolExecutor(count, thread_name_prefix="batch")
        self._closed = False

    def answered(self, block: Block) -> Future[AnsweredBlock]:
        """Have a block answered."""
        return self._threads.submit(self._answered, block)

    def close(self) -> None:
        """End all workers; blocks that wait are dropped."""
        self._closed = True
        self._threads.shutdown(wait=False, cancel_futures=True)
        self.rest()
        self._threads.shutdown(wait=True)
        self.rest()  # one may have been starting

    def rest(self) -> None:
        """End the processes and give their memory back; the next block starts them anew."""
        with self._lock:
            processes, self._processes = self._processes, set()
        for process in processes:
            _end(process)

    def process_ids(self) -> list[int]:
        """Of the workers that were started and not yet seen to end."""
        with self._lock:
            return sorted(process.pid for process in self._processes)

    def _answered(self, block: Block) -> AnsweredBlock:
        for _ in range(ATTEMPTS):
            if self._closed:
                break
            try:
                return self._ask(block)
            except WorkerDied:
                if self._closed:
                    break
                _log.warning("a worker died over the lines from %d on", block.first)
        from service.batch.answers import refuse_block

        return refuse_block(block, Problem("service-unavailable", "The work on this line broke off; send it again."))

    def _ask(self, block: Block) -> AnsweredBlock:
        try:
            process = self._process()
        except OSError as error:
            raise WorkerDied from error
        assert process.stdin is not None and process.stdout is not None
        watch = threading.Timer(LONGEST_S, process.kill)
        watch.start()
        try:
            send_block(process.stdin, block)
            return read_answered(process.stdout)
        except (OSError, EOFError, ValueError) as error:
            self._drop(process)
            raise WorkerDied from error
        finally:
            watch.cancel()

    def _process(self) -> subprocess.Popen[bytes]:
        """This thread's worker, started on first use and after a rest. Raises OSError where none can be started."""
        process: subprocess.Popen[bytes] | None = getattr(self._mine, "process", None)
        with self._lock:
            if process is None or process not in self._processes:
                process = self._mine.process = _start()
                self._processes.add(process)
        return process

    def _drop(self, process: subprocess.Popen[bytes]) -> None:
        with self._lock:
            self._processes.discard(process)
        _end(process)


def _start() -> subprocess.Popen[bytes]:
    """A fresh interpreter that finds this package where it lies, and nothing in the current folder."""
    paths = [_ROOT, *filter(None, [os.environ.get("PYTHONPATH")])]
    return subprocess.Popen(
        [sys.executable, "-P", "-m", "service.batch.worker"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, **_SETTINGS, "PYTHONPATH": os.pathsep.join(paths)},
    )


def _end(process: subprocess.Popen[bytes]) -> None:
    process.kill()
    process.wait()
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with contextlib.suppress(OSError):  # what was not yet flushed has nowhere to go
                stream.close()
