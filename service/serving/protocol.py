"""HTTP/1.1 connections with deadlines: for the first byte, the header, the body, and the reading of the answer.

The server library waits for ever for all of these. Its protocol class is extended here, and not replaced by another
server: `python -m tests.serving.peers` measures what each does with slow peers, the README beside it has the table. The
deadlines are checked for all connections together, a few times a second, so a request that comes whole pays nothing.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Any, Final, cast

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from service.http.proxies import take_forwarded
from service.operation.progress import Pace
from service.operation.settings import Network, Patience
from service.problems.problem import Problem
from service.serving.connection import BEGUN, ENDING, IDLE, TAKEN, Line
from service.serving.doors import Doors
from service.serving.reading import Reader
from service.serving.refusals import last_answer
from service.serving.transport import Joined, bound_buffers

LOOKS: Final = 4
"""How often in the shortest deadline connections are looked at."""
LONGEST_LOOK_S: Final = 1.0
SLACK_S: Final = 5.0
"""A body that stops is first refused by the route, with words; the connection is cut this much later."""


class Guarded(H11Protocol):
    """A connection that is watched. Made by `protocol_for`, which sets the limits."""

    limits: Patience
    doors: Doors
    cut: Callable[[str], None]
    """Told why a connection was cut."""
    line: Line
    """Told how far the request is."""
    proxies: Sequence[Network]
    """Named proxies."""

    _number = -1
    _stage = IDLE
    _peer: str | None = None
    _header_begun: float | None = None
    _linger_until: float | None = None
    _looked_at = 0.0
    _came = 0
    _taken = 0
    _body: Pace | None = None
    _reading: Pace | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Let a connection in, or tell it that there is no room."""
        self.conn = Reader(h11.SERVER)
        own, peer = transport.get_extra_info("socket"), transport.get_extra_info("peername")
        bound_buffers(own)
        self._peer = self.doors.enter(peer[0] if isinstance(peer, tuple) else None)
        self._made_at = self._looked_at = self.loop.time()
        if self._peer is None:
            self.transport = transport
            self.cut("no room")
            detail = "Too many connections are open; try again in a moment."
            self._end_with(Problem("service-unavailable", detail, headers={"retry-after": "5"}))
            return
        super().connection_made(transport)
        self._number = own.fileno()
        self.transport = self._joined = Joined(transport, self._begin_answer)
        self._application, self.app = self.app, self._joining

    async def _joining(self, scope: Any, receive: Any, send: Any) -> None:
        """Run the application; the head of an answer goes out with the first of its body."""
        take_forwarded(scope, self.proxies)

        async def joined(message: Any) -> None:
            self._joined.holds = message["type"] == "http.response.start"
            self._joined.ends = not message.get("more_body", False)
            await send(message)

        try:
            await self._application(scope, receive, joined)
        except asyncio.CancelledError:  # the service stops, and the answer had begun
            self.cut("stopped")
            self.cycle.disconnected = True
            self.transport.abort()

    def eof_received(self) -> bool | None:  # type: ignore[override]
        """The peer sends no more. If it has yet to take something it was answered, it may; else it is done with."""
        if self._peer is None or not self._joined.unread():
            return None
        if self._awaits_request:
            self.transport.close()
            return True
        self.transport.abort()
        return None

    def _should_upgrade(self) -> bool:
        """There is nothing here to upgrade to, and a request that asks for it is served as any other."""
        return False

    def connection_lost(self, exc: Exception | None) -> None:
        """Count it out."""
        if self._peer is not None:
            self.doors.leave(self._peer)
            super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Take what came, and note when a header began."""
        if self._peer is None or self.transport.is_closing():
            return
        self._came += len(data)
        if self._stage == IDLE or (self._awaits_request and not self.transport.get_write_buffer_size()):
            self._mark(TAKEN)
        super().data_received(data)
        if self.conn.their_state is not h11.IDLE:
            self._header_begun = None
        elif self._header_begun is None and self._awaits_request:
            self._header_begun = self.loop.time()

    def on_response_complete(self) -> None:
        """The answer is out, or in the hands of the transport; another request may have come behind it already."""
        self._mark(BEGUN if self.transport.get_write_buffer_size() else IDLE)
        super().on_response_complete()
        if self._stage == IDLE and (not self._awaits_request or self.conn.trailing_data[0]):
            self._mark(TAKEN)

    def _begin_answer(self, whole: bool) -> None:
        self._mark(ENDING if whole else BEGUN)

    def _mark(self, stage: int) -> None:
        self._stage = stage
        self.line.mark(self._number, stage)

    def shutdown(self) -> None:
        """The service stops: nothing is waited for that is not yet a whole request."""
        if self._peer is None:
            return
        if self._stalls_body:
            self.loop.call_later(self.limits.linger_s, self._abandon)
        super().shutdown()

    def send_400_response(self, msg: str) -> None:
        """Answer what is no HTTP; where an answer is under way already, nothing else can be said."""
        self.cut("not HTTP")
        if self._awaits_request or not self.cycle.response_started:
            self._end_with(Problem("malformed-request", cast(Reader, self.conn).fault))
        else:
            self.transport.abort()

    def look(self, now: float) -> None:
        """Cut the connection if its peer has overdrawn a deadline."""
        passed, self._looked_at = now - self._looked_at, now
        if self._peer is None or self._late_reader(passed) or self._joined.leaves:
            return
        state = self.conn.their_state
        if state is h11.IDLE and self._awaits_request:
            self._late_header(now)
        elif state is h11.SEND_BODY:
            self._late_body(now, passed)
        else:
            self._body = self._linger_until = None

    @property
    def _awaits_request(self) -> bool:
        return self.cycle is None or self.cycle.response_complete

    @property
    def _stalls_body(self) -> bool:
        return self.conn.their_state is h11.SEND_BODY

    def _late_header(self, now: float) -> None:
        self._body = self._linger_until = None
        if self._header_begun is not None and now - self._header_begun > self.limits.header_s:
            self.cut("header")
            self._end_with(Problem("request-too-slow", "The header of the request was not complete in time."))
        elif self._header_begun is None and self.cycle is None and now - self._made_at > self.limits.first_byte_s:
            self.cut("first byte")
            self.transport.abort()

    def _late_body(self, now: float, passed: float) -> None:
        if self.cycle is not None and self.cycle.response_complete:
            self._linger_until = self._linger_until or now + self.limits.linger_s
            if now > self._linger_until:
                self.cut("rest of a body")
                self.transport.abort()
            return
        came, self._came = self._came, 0
        if self._body is None:
            self._body = Pace(self.limits, SLACK_S)
        elif not self.flow.read_paused and not self._body.moved(came, passed):
            self.cut("body")
            self._abandon()

    def _late_reader(self, passed: float) -> bool:
        """Cut a peer that does not read, where nothing but that is waited for."""
        if not self._joined.unread():
            self._reading = None
            self._joined.look_away()
            return False
        before, self._taken = self._taken, self._joined.taken()
        if self._reading is None:
            self._reading = Pace(self.limits)
            return False
        is_waited_for = self.flow.write_paused or self._awaits_request or self.transport.is_closing()
        if not is_waited_for or self._reading.moved(max(self._taken - before, 0), passed):
            return False
        self.cut("answer")
        self.transport.abort()
        return True

    def _abandon(self) -> None:
        """Tell the route that the peer has left, and be done."""
        if self.transport.is_closing() or (self._awaits_request and self.cycle is not None):
            return
        self.transport.abort()

    def _end_with(self, problem: Problem) -> None:
        """A last answer on a connection that is not in order."""
        self.transport.write(last_answer(problem))
        self.transport.close()


def protocol_for(
    limits: Patience, doors: Doors, cut: Callable[[str], None], line: Line, named: Sequence[Network] = ()
) -> type[Guarded]:
    """The class of connections under these limits."""
    told = {"limits": limits, "doors": doors, "cut": staticmethod(cut), "line": line, "proxies": named}
    return cast(type[Guarded], type("Connection", (Guarded,), told))


def look_interval(limits: Patience) -> float:
    """How often connections are looked at [s]."""
    shortest = min(limits.first_byte_s, limits.header_s, limits.pause_s, limits.linger_s)
    return min(shortest / LOOKS, LONGEST_LOOK_S)


async def watch(connections: set[Any], limits: Patience) -> None:
    """Look at all connections again and again."""
    loop, pause = asyncio.get_running_loop(), look_interval(limits)
    while True:
        await asyncio.sleep(pause)
        now = loop.time()
        for connection in list(connections):
            connection.look(now)
