"""What servers do with slow peers: `python -m tests.serving.peers`.

The same small application behind each server that is installed, as it comes, and the service as it is started. Against
each: silent connections, headers that trickle, and a body that stops; printed is how many of them are still open after
a time. httptools, hypercorn and granian are tried where they are there.
"""

from __future__ import annotations

import contextlib
import socket
import subprocess
import sys
import time
from importlib.util import find_spec

from tests.serving.served import head

EACH = 30
OPEN_S = 40.0


async def application(scope, receive, send):  # type: ignore[no-untyped-def]
    """Reads the body and answers."""
    if scope["type"] == "lifespan":
        while True:
            told = (await receive())["type"]
            await send({"type": f"{told}.complete"})
            if told == "lifespan.shutdown":
                return
    while (await receive()).get("more_body"):
        pass
    await send({"type": "http.response.start", "status": 200, "headers": [(b"content-length", b"2")]})
    await send({"type": "http.response.body", "body": b"ok"})


def commands(port: int) -> dict[str, list[str]]:
    """How each server is started."""
    app = "tests.serving.peers:application"
    run = [sys.executable, "-m"]
    found = {
        "uvicorn, h11": [*run, "uvicorn", app, "--port", str(port), "--http", "h11", "--log-level", "error"],
        "warmheap serve": [*run, "service.cli.command", "serve", "--port", str(port)],
    }
    if find_spec("httptools"):
        found["uvicorn, httptools"] = [*found["uvicorn, h11"][:-3], "httptools", "--log-level", "error"]
    if find_spec("hypercorn"):
        found["hypercorn"] = [*run, "hypercorn", app, "--bind", f"127.0.0.1:{port}"]
    if find_spec("granian"):
        found["granian"] = [*run, "granian", app, "--interface", "asgi", "--port", str(port)]
    return found


def measured(command: list[str], port: int) -> list[int]:
    """Connections still open: silent, trickling and stalled."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _wait(port)
        kinds = [[socket.create_connection(("127.0.0.1", port)) for _ in range(EACH)] for _ in range(3)]
        for raw in kinds[2]:
            raw.sendall(head("POST", "/", Content_Type="text/plain", Content_Length="100") + b"x")
        until = time.monotonic() + OPEN_S
        while time.monotonic() < until:
            for raw in kinds[1]:
                with contextlib.suppress(OSError):
                    raw.send(b"X")
            time.sleep(1.0)
        left = [sum(_is_open(raw) for raw in kind) for kind in kinds]
        for kind in kinds:
            for raw in kind:
                raw.close()
        return left
    finally:
        process.terminate()
        process.wait()


def _wait(port: int) -> None:
    while True:
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port)):
            return
        time.sleep(0.1)


def _is_open(raw: socket.socket) -> bool:
    raw.setblocking(False)
    try:
        while piece := raw.recv(65_536):
            del piece
    except BlockingIOError:
        return True
    except OSError:
        return False
    return False


def main() -> None:
    """Print the table."""
    print(f"{'':<22}{'silent':>8}{'trickling':>11}{'stalled':>9}  of {EACH} after {OPEN_S:.0f} s")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    for name, command in commands(port).items():
        left = measured(command, port)
        print(f"{name:<22}{left[0]:>8}{left[1]:>11}{left[2]:>9}")


if __name__ == "__main__":
    main()
