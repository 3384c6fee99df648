"""What can go wrong for a caller: one table of problems and their status codes (RFC 9457)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, cast

from pydantic_core import to_json

from service.problems.shape import ProblemDetails, ProblemError

MEDIA_TYPE: Final = "application/problem+json"
MOST_ERRORS: Final = 20
LARGEST_BODY: Final = 3800
LONGEST_TEXT: Final = 80
LONGEST_DETAIL: Final = 1500
LONGEST_POINTER: Final = 400
"""Bytes; JSON writes no more than two for each."""


@dataclass(frozen=True, slots=True)
class ProblemKind:
    """A kind of problem: its HTTP status and what it is called."""

    status: int
    title: str
    meaning: str


KINDS: Final[dict[str, ProblemKind]] = {
    "malformed-json": ProblemKind(400, "The body is not JSON", "The body cannot be parsed as UTF-8 JSON."),
    "body-incomplete": ProblemKind(400, "The body broke off", "The connection ended before the body did."),
    "malformed-request": ProblemKind(400, "This is no HTTP request", "The request cannot be read as HTTP/1.1."),
    "unauthorized": ProblemKind(401, "A token is needed", "The token is missing, wrong or revoked."),
    "forbidden": ProblemKind(403, "Not allowed", "The token may read but not write, or the caller is elsewhere."),
    "not-found": ProblemKind(404, "Not found", "There is nothing at this address or under this id."),
    "method-not-allowed": ProblemKind(405, "Method not allowed", "The address exists; the method does not fit."),
    "not-acceptable": ProblemKind(406, "No such form", "The Accept header names no form the address gives."),
    "body-too-slow": ProblemKind(408, "The body came too slowly", "The body was not complete in time."),
    "request-too-slow": ProblemKind(408, "The request came too slowly", "Its header was not complete in time."),
    "still-running": ProblemKind(
        409, "Still at work", "A request with the same Idempotency-Key is still being served."
    ),
    "not-enough-known": ProblemKind(409, "Not enough is known", "The log holds too little for advice; it says what."),
    "too-many": ProblemKind(409, "There are too many", "A limit on how much one account may keep is reached."),
    "entry-damaged": ProblemKind(410, "The entry is damaged", "It lies in the log book and cannot be read any more."),
    "body-too-large": ProblemKind(413, "The body is too large", "The body is larger than the limit."),
    "unsupported-media-type": ProblemKind(415, "Unsupported media type", "Send JSON as application/json."),
    "invalid-status": ProblemKind(422, "The status cannot be used", "Fields are missing, unknown or cannot be."),
    "invalid-request": ProblemKind(422, "The request cannot be used", "A field or parameter cannot be, or is missing."),
    "key-reused": ProblemKind(422, "The key was used before", "The Idempotency-Key came before with another request."),
    "too-many-requests": ProblemKind(429, "Too many requests", "This token has asked too often; wait as long as told."),
    "internal-error": ProblemKind(500, "Something failed here", "A fault of the service, not of the request."),
    "not-ready": ProblemKind(503, "Not ready", "The service cannot give advice now."),
    "service-unavailable": ProblemKind(503, "Not available now", "The work could not be done now; try again."),
    "storage-unavailable": ProblemKind(503, "The log book is not available", "It cannot be read or written now."),
    "storage-busy": ProblemKind(503, "The log book is busy", "Others are writing; try again."),
    "storage-full": ProblemKind(507, "The disk is full", "Nothing of the request was kept; the rest is safe."),
}
"""Every kind of problem by the last part of its `type`."""

_KIND_BY_STATUS: Final = {kind.status: slug for slug, kind in reversed(KINDS.items())}

FieldError = dict[str, str]


class Problem(Exception):
    """A request that cannot be answered.

    `errors` name the fields: pointer, detail and, where it helps, the value as read and what is allowed. `headers` go
    with the answer.
    """

    def __init__(
        self, slug: str, detail: str, errors: Sequence[FieldError] = (), headers: Mapping[str, str] | None = None
    ) -> None:
        super().__init__(detail)
        self.slug = slug
        self.detail = detail
        self.errors = tuple(errors)[:MOST_ERRORS]
        self.headers = dict(headers or {})

    @property
    def status(self) -> int:
        """HTTP status code."""
        return KINDS[self.slug].status

    @property
    def title(self) -> str:
        """What this kind of problem is called."""
        return KINDS[self.slug].title

    @property
    def type(self) -> str:
        """URI of this kind of problem."""
        return f"urn:warmheap:problem:{self.slug}"

    def warned(self, warning: str | None) -> Problem:
        """The same problem with `warning` in front of its detail, where there is one to give."""
        if warning is None or warning in self.detail:
            return self
        return Problem(self.slug, f"{warning} {self.detail}", self.errors, self.headers)

    def as_dict(self) -> ProblemDetails:
        """The problem's members, with as many field errors as keep it short."""
        members: ProblemDetails = {
            "type": self.type,
            "title": self.title,
            "status": self.status,
            "detail": cut_to_bytes(self.detail, LONGEST_DETAIL),
        }
        if self.errors:
            members["errors"] = cast("list[ProblemError]", self._fitting(LARGEST_BODY - len(to_json(members))))
        return members

    def _fitting(self, room: int) -> list[FieldError]:
        fitting: list[FieldError] = []
        for error in self.errors:
            room -= len(to_json(error)) + 1
            if room < 0:
                break
            fitting.append(error)
        return fitting

    def as_bytes(self) -> bytes:
        """The problem as JSON, never more than a few kilobytes."""
        return to_json(self.as_dict())


def problem_for_status(status: int, detail: str) -> Problem:
    """A problem for a bare HTTP status; a status without a kind of its own is told as a fault of the request."""
    slug = _KIND_BY_STATUS.get(status, "internal-error" if status >= 500 else "invalid-request")
    return Problem(slug, detail)


def cut(text: str, longest: int = LONGEST_TEXT) -> str:
    """A text fit to be quoted back: short, printable, and valid Unicode."""
    short = text if len(text) <= longest else text[: longest - 1] + "…"
    return "".join(mark if mark.isprintable() else "\N{REPLACEMENT CHARACTER}" for mark in short)


def cut_to_bytes(text: str, most: int) -> str:
    """A text of so many bytes of UTF-8 at most."""
    written = text.encode("utf-8", "replace")
    return text if len(written) <= most else written[: most - 3].decode("utf-8", "ignore") + "…"


def pointer(parts: Sequence[str | int]) -> str:
    """JSON pointer (RFC 6901) of a place in the body; overlong names are cut."""
    whole = "".join("/" + cut(str(part)).replace("~", "~0").replace("/", "~1") for part in parts[:16])
    return cut_to_bytes(whole, LONGEST_POINTER)
