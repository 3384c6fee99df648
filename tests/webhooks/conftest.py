"""A log book, and a receiver on loopback that answers what it is told to."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from service.machines.webhooks.guard import ALLOW_VARIABLE
from tests.store.conftest import folder as folder  # noqa: PLC0414 (the fixture)
from tests.store.conftest import laid_out, local_client


@dataclass
class Receiver:
    """What came in, and what is answered: one status after the other, the last for ever."""

    url: str = ""
    statuses: list[int] = field(default_factory=lambda: [204])
    location: str = ""
    came: list[tuple[dict[str, str], bytes]] = field(default_factory=list)

    def next_status(self) -> int:
        return self.statuses.pop(0) if len(self.statuses) > 1 else self.statuses[0]


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    told = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"]))
            told.came.append(({name.lower(): value for name, value in self.headers.items()}, body))
            self.send_response(told.next_status())
            if told.location:
                self.send_header("location", told.location)
            self.send_header("content-length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            """Stay quiet."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    told.url = f"http://127.0.0.1:{server.server_address[1]}/heap?key=1"
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    yield told
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    """Somebody at this machine, whose service may send to loopback."""
    monkeypatch.setenv(ALLOW_VARIABLE, "127.0.0.1")
    laid_out(folder)
    return local_client()
