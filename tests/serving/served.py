"""The service as its operator starts it, in processes of its own, and raw connections to it."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

JSON = {"Content-Type": "application/json"}
SMALLEST = b'{"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}'


@dataclass
class Running:
    """A service that runs: where, and what it wrote."""

    port: int
    process: subprocess.Popen[bytes]
    log: Path
    settings: dict[str, str] = field(default_factory=dict)
    opened: list[socket.socket] = field(default_factory=list)

    def ask(
        self, method: str, path: str, body: Any = None, headers: dict[str, str] | None = None, timeout: float = 30
    ) -> tuple[http.client.HTTPResponse, bytes]:
        """One request on a connection of its own."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=timeout)
        try:
            connection.request(method, path, body, headers or {})
            reply = connection.getresponse()
            return reply, reply.read()
        finally:
            connection.close()

    def connect(self, buffer: int | None = None, source: str | None = None) -> socket.socket:
        """A raw connection; `buffer` is the size of what the kernel takes in for it, `source` where it comes from."""
        raw = socket.socket()
        if source is not None:
            raw.bind((source, 0))
        if buffer is not None:
            raw.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, buffer)
        raw.settimeout(30)
        self.opened.append(raw)
        raw.connect(("127.0.0.1", self.port))
        return raw

    def hang_up(self) -> None:
        """Close every raw connection."""
        while self.opened:
            self.opened.pop().close()

    def lines(self) -> list[dict[str, Any]]:
        """What it logged."""
        return [json.loads(line) for line in self.log.read_text().splitlines() if line.startswith("{")]

    def processes(self) -> list[int]:
        """All its processes, the supervisor first."""
        found = [self.process.pid]
        for pid in found:
            for task in Path(f"/proc/{pid}/task").glob("*/children"):
                found += [int(each) for each in task.read_text().split()]
        return found

    def workers(self) -> list[int]:
        """The processes that serve."""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text()
        return [int(each) for each in children.split()]

    def resident_mb(self) -> float:
        """Memory of all its processes [MB]."""
        return sum(_resident_kb(pid) for pid in self.processes()) / 1024

    def stop(self) -> float:
        """Ask it to stop; how long that took [s]."""
        begun = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(30)
        return time.monotonic() - begun


def _resident_kb(pid: int) -> int:
    with contextlib.suppress(OSError):
        for line in Path(f"/proc/{pid}/status").read_text().splitlines():
            if line.startswith("VmRSS"):
                return int(line.split()[1])
    return 0


@contextlib.contextmanager
def running(*options: str, files: int | None = None, **settings: str) -> Iterator[Running]:
    """A service with these options and settings, on a log book of its own, that answers."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    kept = {name: value for name, value in os.environ.items() if not name.startswith("WARMHEAP_")}
    command = [sys.executable, "-m", "service.cli", "serve", "--port", str(port), *options]
    if files is not None:
        command = ["prlimit", f"--nofile={files}:{files}", *command]
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log"
        given = {"WARMHEAP_DATA": f"{folder}/data", **{f"WARMHEAP_{key.upper()}": val for key, val in settings.items()}}
        with log.open("wb") as written:
            process = subprocess.Popen(command, env={**kept, **given}, stderr=written, stdout=written)
        service = Running(port, process, log, given)
        try:
            wait_for(lambda: answers(service), 60)
            yield service
        finally:
            service.hang_up()
            if process.poll() is None:
                process.terminate()
                with contextlib.suppress(subprocess.TimeoutExpired):
                    process.wait(15)
            process.kill()
            process.wait()


def answers(service: Running) -> bool:
    """Whether it lives."""
    assert service.process.poll() is None, service.log.read_text()[-2000:]
    try:
        return service.ask("GET", "/health/live", timeout=5)[0].status == 200
    except (OSError, http.client.HTTPException):
        return False


def wait_for(met: Any, seconds: float, every: float = 0.05) -> None:
    """Wait until something is so."""
    deadline = time.monotonic() + seconds
    while not met():
        assert time.monotonic() < deadline, "it did not come to pass"
        time.sleep(every)


def closed_after(raw: socket.socket, begun: float, longest: float) -> tuple[float, bytes]:
    """When the other side closed [s from `begun`], and what it said before."""
    said = b""
    raw.settimeout(longest)
    try:
        while piece := raw.recv(65536):
            said += piece
    except ConnectionResetError:
        pass
    return time.monotonic() - begun, said


def head(method: str, path: str, **fields: str) -> bytes:
    """The header of a request."""
    lines = [
        f"{method} {path} HTTP/1.1",
        "Host: 127.0.0.1",
        *(f"{k.replace('_', '-')}: {v}" for k, v in fields.items()),
    ]
    return "\r\n".join([*lines, "", ""]).encode()
