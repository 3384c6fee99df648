"""Reading request bodies within a limit and a deadline, and answering with problems."""

from __future__ import annotations

import asyncio
from collections.abc import Container, Mapping
from typing import Final

from fastapi import Request, Response
from starlette.requests import ClientDisconnect

from service.errors import MEDIA_TYPE, Problem
from service.fire import fire_warning
from service.parse import LARGEST_BODY

BODY_DEADLINE_S: Final = 15.0
_SEEN: Final = "warmheap.body"
_JSON: Final = frozenset({"application/json"})
_UTF8: Final = frozenset({"utf-8", "utf8", "us-ascii"})


async def read_body(request: Request, largest: int = LARGEST_BODY) -> bytes:
    """The whole body, at most `largest` bytes.

    Raises
    ------
    Problem
        If it is larger than the limit (the rest is not read), too slow, or breaks off.
    """
    seen = bytearray()
    request.scope[_SEEN] = seen
    try:
        async with asyncio.timeout(BODY_DEADLINE_S):
            async for chunk in request.stream():
                seen += chunk
                if len(seen) > largest:
                    raise Problem("body-too-large", f"The body is larger than {largest // 1024} kB.")
    except TimeoutError:
        raise Problem("body-too-slow", f"The body was not complete after {BODY_DEADLINE_S:.0f} seconds.") from None
    except ClientDisconnect:
        raise Problem("body-incomplete", "The connection ended before the body did.") from None
    return bytes(seen)


def check_is_json(request: Request) -> None:
    """Refuse a body that says it is something else than plain JSON in UTF-8; saying nothing is fine."""
    check_media_type(request, _JSON, "Send the status as application/json in UTF-8, not packed.", "+json")


def check_media_type(request: Request, kinds: Container[str], instead: str, suffix: str = "") -> None:
    """Refuse a body that says it is none of `kinds`, or not plain UTF-8; saying nothing is fine.

    `suffix` is that of other application types that will do. Raises Problem with `instead`, what to send.
    """
    kind, *parameters = request.headers.get("content-type", "").lower().split(";")
    kind = kind.strip()
    charset = next((p.strip()[8:].strip("\"' ") for p in parameters if p.strip().startswith("charset=")), "utf-8")
    packed = request.headers.get("content-encoding", "identity").strip().lower()
    like = bool(suffix) and kind.startswith("application/") and kind.endswith(suffix)
    fits = not kind or kind in kinds or like
    if not fits or charset not in _UTF8 or packed != "identity":
        raise Problem("unsupported-media-type", instead)


async def problem_response(request: Request, problem: Problem, headers: Mapping[str, str] | None = None) -> Response:
    """The answer to a request with a problem; whatever it is, a body that speaks of fire is told to keep clear."""
    warned = problem.warned(fire_warning(await _body_seen(request)))
    return Response(warned.as_bytes(), warned.status, {**warned.headers, **(headers or {})}, MEDIA_TYPE)


async def _body_seen(request: Request) -> bytes:
    """As much of the body as was read, or can be read now."""
    if _SEEN not in request.scope and request.method in ("POST", "PUT", "PATCH"):
        try:
            return await read_body(request)
        except Problem:
            pass
    return bytes(request.scope.get(_SEEN, b""))
