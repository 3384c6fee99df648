"""`/mcp`: the tools for language-model clients over streamable HTTP, loaded when first asked for.

Each request stands by itself: nothing is kept between two of them, so no session can be lost or stolen, there is no
stream to open and no session to end, and only POST is served.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, Final

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.routing import Route
from starlette.types import Message, Receive, Scope, Send

from service import talk
from service.http.body import check_is_json, problem_response, read_body
from service.problems.json_text import LARGEST_BODY, parse_json
from service.problems.problem import Problem

if TYPE_CHECKING:
    from mcp.server import Server

router: Final = APIRouter()
LONGEST_NAME: Final = 200
_MISSING: Final = "The tools for language-model clients are not installed: pip install '.[mcp]' adds them."


@cache
def _server() -> Server[Any]:
    """The server, made once. Importing the kit takes the better part of a second."""
    return talk.tools.server.build()


class _Door:
    """Serves one exchange at a time through the kit."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        request = Request(scope, receive)
        try:
            _check(request)
            body = await read_body(request)
            _check_names(parse_json(body))
        except Problem as problem:
            await (await problem_response(request, problem))(scope, receive, send)
            return
        server = await run_in_threadpool(_server)
        from mcp.server.streamable_http_manager import StreamableHTTPSessionManager

        manager = StreamableHTTPSessionManager(
            server, json_response=True, stateless=True, max_request_body_size=LARGEST_BODY
        )
        async with manager.run():
            await manager.handle_request(scope, _again(body, receive), send)


def _again(body: bytes, receive: Receive) -> Receive:
    """A body that was read within our own limits, for the kit to read once more; then what comes behind it."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def next_message() -> Message:
        return waiting.pop() if waiting else await receive()

    return next_message


def _check_names(call: Any) -> None:
    """Refuse long names: the kit gives back whole what it is called by and asked for."""
    for name in ("id", "method") if isinstance(call, dict) else ():
        if len(str(call.get(name, ""))) > LONGEST_NAME:
            raise Problem("invalid-request", f"/{name}: at most {LONGEST_NAME} characters are taken.")


def _check(request: Request) -> None:
    """Refuse what cannot be served: without the kit, or other than JSON."""
    if find_spec("mcp") is None:
        raise Problem("not-found", _MISSING)
    check_is_json(request)


router.routes += [Route(path, _Door(), methods=("POST",), include_in_schema=False) for path in ("/mcp", "/mcp/")]
