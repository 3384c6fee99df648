"""The service as its own process on a free port, for clients that were not written here."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

import httpx

STATUS = {
    "as_of": "2026-01-18T07:30:00Z",
    "units": "us",
    "pile": {"age": "10 weeks"},
    "temperatures": {"core": "121 degF"},
    "moisture_feel": "dry",
}


@contextmanager
def running_service() -> Iterator[str]:
    """Address of a service that answers."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "service.cli", "serve", "--port", str(port)]
    process = subprocess.Popen(command, env={**os.environ, "PYTHONWARNINGS": "ignore"})
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(600):
            assert process.poll() is None, "the service ended"
            try:
                httpx.get(f"{address}/health/live")
                break
            except httpx.TransportError:
                time.sleep(0.1)
        yield address
    finally:
        process.terminate()
        process.wait(20)
