"""What every exchange gets: an id, a line in the log, a count, careful headers, and a look at where it comes from."""

from __future__ import annotations

import asyncio
import logging
import re
import secrets
import sys
import time
from functools import cache
from typing import Any, Final

from prometheus_client import Counter, Histogram
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.metrics import is_at_own_port
from service.http.access import METRICS, is_of_log_book, is_only_here, is_same_for_all
from service.http.body import problem_response
from service.http.foreign_pages import refuse_foreign
from service.http.security_headers import HEADERS
from service.operation import logs, tally
from service.operation.settings import origins
from service.problems.problem import Problem
from service.work.messages import Broken
from service.work.places import asker

_ALWAYS: Final = tuple((name.encode(), value.encode()) for name, value in HEADERS.items())
_NO_STORE: Final = (b"cache-control", b"no-store")
PIECE: Final = 64 * 1024
"""A longer body goes out in pieces of this size [bytes], each only when there is room for it."""
METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_ID: Final = re.compile(rb"[A-Za-z0-9._-]{1,64}")
_TRACE: Final = re.compile(rb"00-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-([0-9a-f]{2})")
"""W3C Trace Context, version 00."""
_NO_ROUTE: Final = "(none)"
STOPPED: Final = (
    "The service stops or starts anew, and this request was ended. What was to be kept may have been kept. "
    "Try again in a moment; an entry that is there already is not doubled."
)
RETRY_S: Final = 5
"""By then a service that starts anew answers again, as a rule [s]."""


class Exchange:
    """One request with what is noted of it."""

    def __init__(self, scope: Scope) -> None:
        self.begun = time.perf_counter()
        self.scope = scope
        self.status = 0
        self.sent = 0
        own = trace = None
        for name, value in scope["headers"]:
            if name == b"x-request-id":
                own = _ID.fullmatch(value)
            elif name == b"traceparent":
                trace = _TRACE.fullmatch(value)
        made = secrets.token_hex(32)
        self.id = own[0].decode() if own else made[:16]
        self.trace = trace[1].decode() if trace else made[16:48]
        parent = f"00-{self.trace}-{made[48:]}-{trace[2].decode() if trace else '00'}"
        self.headers = ((b"x-request-id", self.id.encode()), (b"traceparent", parent.encode()))
        self.is_head = scope["method"] == "HEAD"
        self.is_public = is_same_for_all(scope["path"])

    def opened(self, message: Message) -> Message:
        """The beginning of the answer with the headers that every answer has."""
        self.status = message["status"]
        own = {name.lower() for name, _ in message["headers"]}
        added = [pair for pair in _ALWAYS if pair[0] not in own]
        if (not self.is_public or self.status >= 400) and b"cache-control" not in own:
            added.append(_NO_STORE)
        return {**message, "headers": [*message["headers"], *added, *self.headers]}

    @property
    def route(self) -> str:
        """The route as it is written in the interface, so that ids stay out of logs and counts."""
        path: str = getattr(self.scope.get("route"), "path", _NO_ROUTE)
        return path

    def close(self) -> None:
        """Count it and log it."""
        seconds = time.perf_counter() - self.begun
        method = self.scope["method"] if self.scope["method"] in METHODS else "other"
        route = self.route
        requests, times = _counters(route, method, self.status)
        requests.inc()
        times.observe(seconds)
        client = self.scope.get("client")
        logs.tell(
            "request",
            logging.WARNING if self.status >= 500 else logging.INFO,
            request_id=self.id,
            trace_id=self.trace,
            method=method,
            route=route,
            status=self.status,
            seconds=round(seconds, 4),
            bytes=self.sent,
            peer=client[0] if client else None,
            **self.scope.get(NOTES, {}),
        )


@cache
def _counters(route: str, method: str, status: int) -> tuple[Counter, Histogram]:
    """What a request is counted in. There are so many routes, methods and statuses, and no more."""
    return tally.REQUESTS.labels(route, method, str(status)), tally.SECONDS.labels(route)


NOTES: Final = "warmheap.notes"
"""Where the parts put what belongs into the log of a request, such as the id of its token."""


class Edge:
    """The outermost part of the application."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._allowed = origins()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one exchange."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        exchange = Exchange(scope)
        inner = {**scope, "method": "GET"} if exchange.is_head else scope
        exchange.scope = inner
        token = logs.request_id.set(exchange.id)
        asker.set("request")
        sender = _Sender(exchange, send)
        tally.UNDER_WAY.inc()
        try:
            await self._serve(inner, receive, sender)
        finally:
            tally.UNDER_WAY.dec()
            exchange.scope = {**inner, "method": scope["method"]}
            exchange.close()
            logs.request_id.reset(token)

    async def _serve(self, scope: Scope, receive: Receive, send: _Sender) -> None:
        try:
            if is_at_own_port(scope) and scope["path"] != METRICS:
                raise Problem("not-found", "Here are only metrics.")
            is_private = is_of_log_book(scope["path"])
            refuse_foreign(scope, self._allowed, is_private=is_private, is_only_here=is_only_here())
        except Problem as problem:
            tally.FOREIGN.inc(problem.slug == "forbidden")
            scope[NOTES] = {"refused": problem.slug}
            await (await problem_response(Request(scope, receive), problem))(scope, receive, send)
            return
        try:
            await self._app(scope, receive, send)
        except asyncio.CancelledError:  # the time to stop is over
            if send.exchange.status:
                raise
            stopped = Problem("service-unavailable", STOPPED, headers={"retry-after": str(RETRY_S)})
            await (await problem_response(Request(scope, receive), stopped))(scope, receive, send)
        except Exception as error:
            fault: Any = sys.exc_info()
            where = error.where if isinstance(error, Broken) else logs.where(fault)
            logs.tell("fault", logging.ERROR, request_id=send.exchange.id, error=where)
            if send.exchange.status:
                raise  # the answer had begun: cut the connection, so that nobody takes it for whole
            failure = Problem("internal-error", "Something failed here; try again later.")
            await (await problem_response(Request(scope, receive), failure))(scope, receive, send)


class _Sender:
    """The way out: headers added, long bodies in pieces, no body for HEAD."""

    def __init__(self, exchange: Exchange, send: Send) -> None:
        self.exchange = exchange
        self._send = send

    async def __call__(self, message: Message) -> None:
        """Pass a message on."""
        kind = message["type"]
        if kind == "http.response.start":
            await self._send(self.exchange.opened(message))
        elif kind != "http.response.body":
            await self._send(message)
        elif self.exchange.is_head:
            await self._send({**message, "body": b""})
        else:
            await self._body(message)

    async def _body(self, message: Message) -> None:
        body = message.get("body", b"")
        self.exchange.sent += len(body)
        while len(body) > PIECE:
            await self._send({"type": "http.response.body", "body": body[:PIECE], "more_body": True})
            body = body[PIECE:] if len(body) <= 2 * PIECE else memoryview(body)[PIECE:]
        await self._send({**message, "body": bytes(body)})
