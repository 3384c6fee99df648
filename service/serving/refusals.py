"""Problems as whole answers of HTTP/1.1, for where there is no application to give them; each ends its connection."""

from __future__ import annotations

import secrets
from typing import Final

from service.http.security_headers import HEADERS
from service.problems.fire import WARNING
from service.problems.problem import MEDIA_TYPE, Problem

_REASONS: Final = {400: "Bad Request", 408: "Request Timeout", 503: "Service Unavailable"}
RETRY_S: Final = 2
"""By then a process that died has been started again, as a rule [s]."""


def last_answer(problem: Problem) -> bytes:
    """The answer, header and body, after which the connection is closed."""
    body = problem.as_bytes()
    fields = {
        "content-type": MEDIA_TYPE,
        "content-length": str(len(body)),
        "cache-control": "no-store",
        "connection": "close",
        "x-request-id": secrets.token_hex(8),
        **HEADERS,
        **problem.headers,
    }
    head = [f"HTTP/1.1 {problem.status} {_REASONS[problem.status]}", *map(": ".join, fields.items()), "", ""]
    return "\r\n".join(head).encode() + body


def broken_off() -> bytes:
    """What is said to everybody whose request was under way in a process that died.

    What they sent died with it, so nobody can look whether it spoke of fire: the sentence about that is always there.
    """
    detail = (
        "The process that had this request died in the middle of it. What was to be kept may have been kept. "
        "Try again in a moment; an entry that is there already is not doubled."
    )
    problem = Problem("service-unavailable", detail, headers={"retry-after": str(RETRY_S)})
    return last_answer(problem.warned(WARNING))
