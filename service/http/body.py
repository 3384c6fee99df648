"""Reading request bodies within a limit and a deadline, and answering with problems."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Container, Mapping
from typing import Final

from fastapi import Request, Response

from service.operation import tally
from service.operation.progress import Pace
from service.operation.settings import the_patience
from service.problems.fire import fire_warning
from service.problems.json_text import LARGEST_BODY
from service.problems.problem import MEDIA_TYPE, Problem

GLANCE_S: Final = 0.2
"""How long a refusal looks whether a body speaks of fire: what came with the header is there by then."""
_SEEN: Final = "warmheap.body"
_JSON: Final = frozenset({"application/json"})
_UTF8: Final = frozenset({"utf-8", "utf8", "us-ascii"})


async def read_body(request: Request, largest: int = LARGEST_BODY) -> bytes:
    """The whole body, at most `largest` bytes.

    Raises
    ------
    Problem
        If it is larger than the limit, at once where its length says so (the rest is not read), or comes too slowly,
        or breaks off.
    """
    seen = note_seen(request)
    if declared_length(request) > largest:
        await _look_in(request)
        raise too_large(largest)
    async for piece in pieces_of(request):
        seen += piece
        if len(seen) > largest:
            raise too_large(largest)
    return bytes(seen)


def note_seen(request: Request) -> bytearray:
    """Where the beginning of the body is noted for a refusal to look at; read from here on by one reader."""
    request.scope[_SEEN] = bytearray()
    seen: bytearray = request.scope[_SEEN]
    return seen


async def pieces_of(request: Request) -> AsyncIterator[bytes]:
    """The body piece by piece. Raises Problem where it comes too slowly or breaks off."""
    pace, clock = Pace(the_patience()), asyncio.get_running_loop().time
    while True:
        asked_at = clock()
        try:
            async with asyncio.timeout(pace.left_s):
                message = await request.receive()
        except TimeoutError:
            raise pace.refusal() from None
        if message["type"] == "http.disconnect":
            raise Problem("body-incomplete", "The connection ended before the body did.")
        yield message.get("body", b"")
        if not message.get("more_body", False):
            return
        if not pace.moved(len(message.get("body", b"")), clock() - asked_at):
            raise pace.refusal()


def declared_length(request: Request) -> int:
    """How long the body says it is [bytes]; 0 where it does not say."""
    told = request.headers.get("content-length", "")
    return int(told) if told.isdecimal() and len(told) < 20 else 0


def too_large(largest: int) -> Problem:
    """The refusal of a body above a limit in bytes."""
    return Problem("body-too-large", f"The body is larger than {largest // 1024:,} kB.")


def check_is_json(request: Request) -> None:
    """Refuse a body that does not say it is plain JSON in UTF-8: any page can send what says nothing."""
    check_media_type(request, _JSON, "Send the status as application/json in UTF-8, not packed.", "+json")


def check_media_type(request: Request, kinds: Container[str], instead: str, suffix: str = "") -> None:
    """Refuse a body that does not say it is one of `kinds`, in plain UTF-8.

    `suffix` is that of other application types that will do. Raises Problem with `instead`, what to send.
    """
    kind, *parameters = request.headers.get("content-type", "").lower().split(";")
    kind = kind.strip()
    charset = next((p.strip()[8:].strip("\"' ") for p in parameters if p.strip().startswith("charset=")), "utf-8")
    packed = request.headers.get("content-encoding", "identity").strip().lower()
    like = bool(suffix) and kind.startswith("application/") and kind.endswith(suffix)
    fits = kind in kinds or like
    if not fits or charset not in _UTF8 or packed != "identity":
        raise Problem("unsupported-media-type", instead)


async def problem_response(request: Request, problem: Problem, headers: Mapping[str, str] | None = None) -> Response:
    """The answer to a request with a problem; whatever it is, a body that speaks of fire is told to keep clear."""
    if problem.slug.startswith("storage-"):
        tally.STORE_ERRORS.labels(problem.slug).inc()
    warned = problem.warned(fire_warning(await _body_seen(request)))
    return Response(warned.as_bytes(), warned.status, {**warned.headers, **(headers or {})}, MEDIA_TYPE)


async def _body_seen(request: Request) -> bytes:
    """As much of the body as was read, or has come already: a refusal does not wait for the rest."""
    if _SEEN not in request.scope and request.method in ("POST", "PUT", "PATCH"):
        request.scope[_SEEN] = bytearray()
        await _look_in(request)
    return bytes(request.scope.get(_SEEN, b""))


async def _look_in(request: Request) -> None:
    """Take what has come of the body, or comes in a moment, and no more than a body may be."""
    if "100-continue" in request.headers.get("expect", "").lower():
        return  # whoever asks first whether to send it is told no
    seen: bytearray = request.scope[_SEEN]
    with contextlib.suppress(TimeoutError):
        async with asyncio.timeout(GLANCE_S):
            more = True
            while more and len(seen) < LARGEST_BODY:
                message = await request.receive()
                seen += message.get("body", b"")[:LARGEST_BODY]
                more = message.get("more_body", False)
