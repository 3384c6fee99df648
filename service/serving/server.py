"""One process that serves: the server library with watched connections, and an end that comes in time."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import os
import socket
import threading
from types import FrameType
from typing import Any, Final

import uvicorn

from service.operation import logs, tally
from service.operation.settings import Patience, most_connections, patience, proxies, raise_file_limit
from service.problems.problem import Problem
from service.serving.connection import Line
from service.serving.doors import Doors
from service.serving.protocol import protocol_for, watch
from service.work.places import the_places, work

APP: Final = "service.app:create_app"
HEARTBEAT_S: Final = 1.0
"""How often a process tells its supervisor that it is alive."""
ALIVE: Final = b"."
_GRACE_SHARE: Final = 0.6
"""Part of the time to stop that is for requests under way; the rest is for closing down."""
LAST_WORD_S: Final = 1.0
"""How long requests that are ended by the stop may take to say so [s]."""
_LOG: Final = logging.getLogger(__name__)


class Server(uvicorn.Server):
    """Watches its connections and ends within `stop_s`, whatever is open."""

    def __init__(self, config: uvicorn.Config, limits: Patience, line: Line, report: int | None = None) -> None:
        super().__init__(config)
        self._limits = limits
        self._line = line
        self._entering: set[asyncio.Task[Any]] = set()
        self._report = report

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to serve, to watch, and to tell that this process lives."""
        loop = asyncio.get_running_loop()
        loop.set_exception_handler(logs.failed_in_loop)
        await super().startup([])
        loop.add_reader(self._line.hears, self._take)
        connections = self.server_state.connections
        self._beside = [loop.create_task(watch(connections, self._limits)), loop.create_task(_count(connections))]
        self._beside.append(loop.create_task(_begin_work()))
        if self._report is not None:
            os.set_blocking(self._report, False)
            self._beside.append(loop.create_task(self._tell(self._report)))

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Let requests under way end, then cut what is left."""
        asyncio.get_running_loop().remove_reader(self._line.hears)
        await super().shutdown(sockets)
        if self.server_state.tasks:  # told that the time is over; each has a last answer to give
            await asyncio.wait(self.server_state.tasks, timeout=LAST_WORD_S)
        for task in self._beside:
            task.cancel()
        for connection in list(self.server_state.connections):
            connection.transport.abort()
        await asyncio.sleep(0)

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Begin to stop; if something still holds the process when the time is over, end it.

        Nothing that was acknowledged can be lost by that: it is on the disk before it is answered.
        """
        if not self.should_exit:
            last = threading.Timer(self._limits.stop_s, os._exit, (0,))
            last.daemon = True
            last.start()
        super().handle_exit(sig, frame)

    def _take(self) -> None:
        """Serve the connections that were handed over."""
        loop = asyncio.get_running_loop()
        try:
            for connection in self._line.handed():
                entering = loop.create_task(loop.connect_accepted_socket(self._protocol, connection))
                self._entering.add(entering)
                entering.add_done_callback(self._entered)
        except EOFError:
            loop.remove_reader(self._line.hears)
            self.should_exit = True

    def _protocol(self) -> asyncio.Protocol:
        made: asyncio.Protocol = self.config.http_protocol_class(  # type: ignore[call-arg]
            config=self.config, server_state=self.server_state, app_state=self.lifespan.state
        )
        return made

    def _entered(self, entering: asyncio.Task[Any]) -> None:
        self._entering.discard(entering)
        if not entering.cancelled() and (error := entering.exception()) is not None:
            _LOG.warning("a connection could not be served", exc_info=error)

    async def _tell(self, report: int) -> None:
        """Beat; where nobody listens any more the supervisor is gone, and this process ends too."""
        while True:
            try:
                os.write(report, ALIVE)
            except BlockingIOError:
                pass
            except OSError:
                self.should_exit = True
            await asyncio.sleep(HEARTBEAT_S)


async def _begin_work() -> None:
    """Start a process for heavy work and one for quick work, so that the first who ask do not wait for them."""
    with contextlib.suppress(Problem):
        await asyncio.gather(work(os.getpid), work(os.getpid, weight="quick"))


async def _count(connections: set[Any]) -> None:
    """Count what is counted by looking."""
    while True:
        tally.CONNECTIONS.set(len(connections))
        await asyncio.sleep(HEARTBEAT_S)


def serve(line: Line, app: str = APP, report: int | None = None) -> None:
    """Serve connections that a supervisor hands over until a signal comes.

    Parameters
    ----------
    line
        Where connections come from, and where to tell how far the request on each is.
    app
        Where the application is made, `module:function`.
    report
        Where to beat for a supervisor, an open pipe.
    """
    limits = patience()
    the_places()
    named = proxies()
    doors = Doors(most_connections(limits, raise_file_limit()), int(limits.per_peer), named)
    config = uvicorn.Config(
        app,
        factory=True,
        http=protocol_for(limits, doors, logs.tell_cut, line, named),
        ws="none",
        loop="asyncio",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_keep_alive=max(int(limits.keep_alive_s), 1),
        timeout_graceful_shutdown=max(int(limits.stop_s * _GRACE_SHARE), 1),
    )
    server = Server(config, limits, line, report)
    with contextlib.suppress(KeyboardInterrupt):
        server.run()
