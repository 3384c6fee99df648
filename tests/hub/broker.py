"""A real mosquitto of our own, on a free port of loopback."""

from __future__ import annotations

import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_PLACES = "/usr/sbin:/usr/local/sbin:/opt/homebrew/sbin:/usr/bin:/usr/local/bin"


def program() -> str | None:
    return shutil.which("mosquitto") or shutil.which("mosquitto", path=_PLACES)


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port: int = server.getsockname()[1]
        return port


@contextmanager
def running_broker(folder: Path, port: int) -> Iterator[None]:
    found = program()
    assert found is not None
    settings = folder / "mosquitto.conf"
    settings.write_text(f"listener {port} 127.0.0.1\nallow_anonymous true\npersistence false\n")
    process = subprocess.Popen([found, "-c", str(settings)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _wait_for(port)
        yield
    finally:
        process.terminate()
        process.wait(timeout=10)


def _wait_for(port: int) -> None:
    deadline = time.monotonic() + 20
    while True:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
            return
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.02)
