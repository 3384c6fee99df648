"""A real Chromium and a real server for the browser tests; they are skipped where Chromium is not installed."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from typing import Any

import pytest
import uvicorn
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.app import create_app

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), ""
)
NO_CHROMIUM = "Chromium is not installed (on Debian: apt-get install chromium)"


class Served:
    """The service on a port of its own; it can be stopped and started again. Remembers what was asked for."""

    def __init__(self) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        self.asked: list[tuple[str, str]] = []
        self.sent = 0
        self._server: uvicorn.Server | None = None
        self._thread: threading.Thread | None = None

    @property
    def address(self) -> str:
        """Where it is."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Serve until stopped."""
        config = uvicorn.Config(self._counted(create_app()), port=self.port, log_level="error")
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.02)

    def stop(self) -> None:
        """Be gone, as a service out of reach is."""
        if self._server is not None and self._thread is not None:
            self._server.should_exit = True
            self._thread.join()
            self._server = None

    @property
    def is_up(self) -> bool:
        """Whether it serves."""
        return self._server is not None

    def _counted(self, app: ASGIApp) -> ASGIApp:
        async def counting(scope: Scope, receive: Receive, send: Send) -> None:
            if scope["type"] == "http":
                self.asked.append((scope["method"], scope["path"]))

            async def send_on(message: Message) -> None:
                self.sent += len(message.get("body", b""))
                await send(message)

            await app(scope, receive, send_on)

        return counting


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    """The service, running."""
    server = Served()
    server.start()
    yield server
    server.stop()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """A browser. Of a module's own: while it runs, no other event loop can be started in this thread."""
    if not CHROMIUM:
        pytest.skip(NO_CHROMIUM)
    driver = pytest.importorskip("playwright.sync_api", reason="playwright is not installed (test extra)")
    with driver.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()
