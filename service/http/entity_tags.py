"""Whether a caller has already what would be sent, by If-None-Match (RFC 9110, 13.1.2)."""

from __future__ import annotations

from fastapi import Request


def is_known(request: Request, tag: str) -> bool:
    """Whether the caller names this ETag, weakly or not, or would take anything for the same."""
    written = ", ".join(request.headers.getlist("if-none-match"))
    return not {tag, "*"}.isdisjoint(each.strip().removeprefix("W/") for each in written.split(","))
