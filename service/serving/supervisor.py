"""Starts the processes that serve, and starts anew what dies: a crash of native code costs what that process was at.

It takes all connections in and hands each to the process that has the fewest, so nobody is refused while a process is
started again: who connects meanwhile waits a moment, and so does who was connected and asked nothing. It imports
nothing of the application, so nothing of that can take it down.
"""

from __future__ import annotations

import contextlib
import errno
import os
import selectors
import signal
import socket
import subprocess
import sys
import time
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from service.operation.process import ONE_THREAD, command, environment
from service.operation.settings import BACKLOG, raise_file_limit
from service.serving.keeper import Keeper, Orphans
from service.serving.worker import CANNOT_START, DIED_VARIABLE, KEEPER_VARIABLE, REPORT_VARIABLE

SILENT_S: Final = 30.0
"""A process that has not beaten for so long hangs, and is killed."""
START_S: Final = 60.0
"""How long one may take to start."""
SOON_S: Final = 5.0
"""One that dies within so long of its start is started again more and more slowly."""
LONGEST_WAIT_S: Final = 30.0
LONGEST_WAIT_SERVED_S: Final = 2.0
"""The same where it had served: whoever finds a request that kills it must not shut the door for longer and longer."""
BIND_S: Final = 3.0
"""How long the port of a service that has just ended is waited for."""
_TICK_S: Final = 0.2
_AT_ONCE: Final = 64
"""Connections taken in one turn."""
_FULL_S: Final = 0.02
"""Pause where file handles have run out [s]."""


@dataclass
class Child:
    """A process that serves, and when it was last heard of [s, monotonic]."""

    process: subprocess.Popen[bytes]
    report: int
    keeper: Keeper
    started: float
    heard: float
    has_served: bool = False


class Supervisor:
    """Keeps so many processes serving on the same sockets until told to stop."""

    def __init__(
        self, sockets: Sequence[socket.socket], count: int, stop_s: float, refusal: bytes, counts: str | None = None
    ) -> None:
        self._sockets = sockets
        for each in sockets:
            each.setblocking(False)
        self._counts = counts
        self._count = count
        self._stop_s = stop_s
        self._children: list[Child] = []
        self._start_at = [0.0] * count
        self._failures = 0
        self._died = 0
        self._stopping = False
        self._ever_served = False
        self._code: int | None = None
        """Why going on makes no sense."""
        self._selector = selectors.DefaultSelector()
        self._orphans = Orphans(self._selector, refusal)
        self._files = raise_file_limit()
        self._waiting: deque[socket.socket] = deque()
        """Connections nobody could be given yet."""
        self._takes_in = False

    def run(self) -> int:
        """Serve until a signal comes; the exit status is 0, or that of a process that could not start at all."""
        with self._signals():
            while not self._stopping:
                for _ in range(self._count - len(self._children)):
                    if time.monotonic() >= min(self._start_at):
                        self._start()
                code = self._wait(_TICK_S)
                if code is not None:
                    self._stop()
                    return code
            self._stop()
        return 0

    def _start(self) -> None:
        self._start_at[self._start_at.index(min(self._start_at))] = float("inf")
        reads, writes = os.pipe()
        os.set_blocking(reads, False)
        keeper = Keeper(self._files)
        numbers = {
            REPORT_VARIABLE: [writes],
            KEEPER_VARIABLE: keeper.handed_over(),
        }
        settings = {name: ",".join(map(str, handles)) for name, handles in numbers.items()}
        settings[DIED_VARIABLE] = str(self._died)
        process = subprocess.Popen(
            command("service.serving.worker"),
            env=environment({**ONE_THREAD, **settings}),
            pass_fds=[handle for handles in numbers.values() for handle in handles],
            stdin=subprocess.DEVNULL,
        )
        os.close(writes)
        keeper.begun()
        now = time.monotonic()
        child = Child(process, reads, keeper, now, now)
        self._children.append(child)
        self._selector.register(reads, selectors.EVENT_READ, lambda: self._heard(child))
        self._selector.register(keeper.channel, selectors.EVENT_READ, keeper.hear)

    def _wait(self, seconds: float) -> int | None:
        """Listen to the processes; an exit status where going on makes no sense."""
        for key, _ in self._selector.select(seconds):
            key.data()
        self._hand_over()
        self._take_in_or_not()
        self._orphans.look()
        for child in self._children:
            silent = time.monotonic() - child.heard
            if silent > (SILENT_S if child.has_served else START_S):
                _say(f"process {child.process.pid} hangs and is ended")
                child.process.kill()
                child.heard = time.monotonic()
        return self._code

    def _take_in_or_not(self) -> None:
        """Whoever connects waits in the system's queue while there is nobody to be given to."""
        takes_in = not self._stopping and not self._waiting and any(child.has_served for child in self._children)
        if takes_in != self._takes_in:
            self._takes_in = takes_in
            for each in self._sockets:
                if takes_in:
                    self._selector.register(each, selectors.EVENT_READ, partial(self._take_in, each))
                else:
                    self._selector.unregister(each)

    def _take_in(self, listener: socket.socket) -> None:
        for _ in range(_AT_ONCE):
            try:
                self._waiting.append(listener.accept()[0])
            except BlockingIOError:
                return
            except OSError as error:
                if error.errno in (errno.EMFILE, errno.ENFILE):
                    time.sleep(_FULL_S)  # it would be told again at once, and nothing is freed by hurrying
                return
            if not self._hand_over():
                return

    def _hand_over(self) -> bool:
        """Give what waits to the processes that have the fewest; whether nothing is left."""
        while self._waiting:
            ready = sorted((each for each in self._children if each.has_served), key=lambda each: len(each.keeper))
            if not any(each.keeper.hand(self._waiting[0]) for each in ready):
                return False
            self._waiting.popleft()
        return True

    def _heard(self, child: Child) -> None:
        if os.read(child.report, 4096):
            child.heard, child.has_served = time.monotonic(), True
            self._ever_served = True
        else:
            self._ended(child)

    def _ended(self, child: Child) -> None:
        code = child.process.wait()
        asked, idle = child.keeper.left()
        self._orphans.take(asked)
        self._waiting.extend(idle)
        self._forget(child)
        if self._stopping:
            return
        if code == CANNOT_START or not (child.has_served or self._ever_served):
            self._code = code if code > 0 else 1
            return
        self._died += 1
        lived = time.monotonic() - child.started
        self._failures = 0 if lived > SOON_S else self._failures + 1
        longest = LONGEST_WAIT_SERVED_S if child.has_served else LONGEST_WAIT_S
        wait = min(2.0 ** (self._failures - 1), longest) if self._failures > 1 else 0.0
        _say(f"process {child.process.pid} died ({_cause(code)}) and is started again", answered_503=len(asked))
        self._start_at[self._start_at.index(float("inf"))] = time.monotonic() + wait

    def _forget(self, child: Child) -> None:
        self._selector.unregister(child.keeper.channel)
        child.keeper.close()
        self._selector.unregister(child.report)
        os.close(child.report)
        self._children.remove(child)
        for file in Path(self._counts or os.devnull).glob(f"gauge_live*_{child.process.pid}.db"):
            file.unlink()  # what a process that is gone had open counts no more

    def _stop(self) -> None:
        self._stopping = True
        self._take_in_or_not()
        for each in self._sockets:
            each.close()
        for child in self._children:
            child.process.terminate()
        deadline = time.monotonic() + self._stop_s + 1.0
        while self._children and time.monotonic() < deadline:
            self._wait(_TICK_S)
        for child in list(self._children):
            child.process.kill()
            self._ended(child)
        for each in self._waiting:
            each.close()
        self._orphans.close()

    @contextlib.contextmanager
    def _signals(self) -> Iterator[None]:
        """Signals end the waiting, wherever it is."""
        reads, writes = os.pipe()
        for end in (reads, writes):
            os.set_blocking(end, False)
        self._selector.register(reads, selectors.EVENT_READ, lambda: os.read(reads, 64))
        before = signal.set_wakeup_fd(writes, warn_on_full_buffer=False)
        handlers = {each: signal.signal(each, self._on_signal) for each in (signal.SIGTERM, signal.SIGINT)}
        try:
            yield
        finally:
            for each, handler in handlers.items():
                signal.signal(each, handler)
            signal.set_wakeup_fd(before)
            self._selector.close()
            os.close(reads)
            os.close(writes)

    def _on_signal(self, number: int, frame: object) -> None:
        self._stopping = True


def bound(host: str, port: int) -> list[socket.socket]:
    """Listening sockets for all addresses of a host. Raises OSError where one cannot be had within a few seconds."""
    found = dict.fromkeys(socket.getaddrinfo(host or None, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE))
    return [_bound(each[0], each[4]) for each in found]


def _bound(family: int, address: object) -> socket.socket:
    deadline = time.monotonic() + BIND_S
    while True:
        opened = socket.socket(family, socket.SOCK_STREAM)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            opened.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        try:
            opened.bind(address)  # type: ignore[arg-type]
        except OSError:
            opened.close()
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)
        else:
            opened.listen(BACKLOG)
            return opened


def _cause(code: int) -> str:
    if code >= 0:
        return f"status {code}"
    with contextlib.suppress(ValueError):
        return signal.Signals(-code).name
    return f"signal {-code}"


def _say(text: str, **fields: int) -> None:
    import json
    from datetime import UTC, datetime

    now = datetime.now(UTC).isoformat(timespec="milliseconds")
    print(json.dumps({"time": now, "level": "warning", "event": text, **fields}), file=sys.stderr, flush=True)
