"""`POST /advice/batch`: lines of statuses in, lines of advice out, while the body still comes in."""

from __future__ import annotations

import sys
import threading
from typing import TYPE_CHECKING, Final

from fastapi import APIRouter, Request, Response

from service.http.access import holders_of
from service.http.body import check_media_type
from service.http.description import Described, Responses, problems, shape
from service.http.parameters import check_parameters
from service.operation.batch_limits import limits
from service.problems.problem import Problem, cut

if TYPE_CHECKING:
    from service.batch.workers import Workers

router: Final = APIRouter(tags=["advice"])
MEDIA_TYPE: Final = "application/x-ndjson"
MEDIA_TYPES: Final = frozenset(
    {MEDIA_TYPE, "application/ndjson", "application/jsonl", "application/x-jsonl", "application/json-lines"}
)
_PARAMETERS: Final = ("effects",)
_WHAT_IFS: Final = "A batch is answered without what-ifs; for them send a heap by itself to POST /advice."
_EXAMPLE: Final = (
    '{"as_of": "2026-01-18T07:30:00Z", "pile": {"age": "52 days"}, "temperatures": {"core": "116 degF"}}\n'
    '{"as_of": "2026-01-18T07:30:00Z", "pile": {"age": "9 weeks"}, "temperatures": {"core": "61 degC"}}\n'
)
_REQUEST: Final[Described] = {
    "required": True,
    "description": "Statuses as for `/advice`, one JSON object on each line, in UTF-8; at most "
    "WARMHEAP_BATCH_LINES (100,000) lines and WARMHEAP_BATCH_BYTES (256 MiB). Blank lines are counted, not answered.",
    "content": {MEDIA_TYPE: {"schema": shape("Status"), "example": _EXAMPLE}},
}
_QUERY: Final[Described] = {
    "name": "effects",
    "in": "query",
    "required": False,
    "description": "none is all there is: a batch is answered without what-ifs.",
    "schema": {"type": "string", "enum": ["none"], "default": "none"},
    "examples": {"none": {"value": "none"}},
}
_ANSWER: Final[Responses] = {
    200: {
        "description": "One line for each line that is not blank, in order: `line`, its number, with `advice` as "
        "`/advice?effects=none` gives it, or with `problem`, the problem details it would have got. Of many "
        "lines that cannot be used only the first few kilobytes of problems are told; a last line counts the others. A "
        "problem of the whole body (too many lines or bytes, or too slow) is a last line with the number of the first "
        "not answered.",
        "content": {
            MEDIA_TYPE: {
                "schema": shape("BatchLine"),
                "example": '{"line":1,"advice":{"id":"…","headline":"…","actions":[]}}\n'
                '{"line":2,"problem":{"type":"urn:warmheap:problem:invalid-status","status":422,"detail":"…"}}\n',
            }
        },
    }
}


@router.post(
    "/advice/batch",
    operation_id="post_advice_batch",
    summary="Advise on many piles",
    description="Each line is answered as `/advice?effects=none` answers it by itself; one that cannot be used gets "
    "its own problem and harms no other. Answers begin before the body ends, so a batch of any size takes little "
    "memory. A client that leaves ends the work.",
    response_class=Response,
    responses={
        **_ANSWER,
        **problems("body-too-large", "unsupported-media-type", "invalid-request", "service-unavailable"),
    },
    openapi_extra={"requestBody": _REQUEST, "parameters": [_QUERY]},
)
async def post_advice_batch(request: Request) -> Response:
    """Check what can be checked at once, then let the lines flow."""
    from service.batch.exchange import BatchResponse

    _check_parameters(request)
    check_media_type(request, MEDIA_TYPES, "Send one status on each line as application/x-ndjson in UTF-8, not packed.")
    allowed = limits()
    size = request.headers.get("content-length", "0")
    if size.isdecimal() and int(size) > allowed.size:
        raise Problem("body-too-large", f"The body is larger than {allowed.size // 1024:,} kB.")
    return BatchResponse(_workers(allowed.workers), allowed, holders_of(request.scope))


def _check_parameters(request: Request) -> None:
    check_parameters(request, *_PARAMETERS)
    for name, value in request.query_params.multi_items():
        if value != "none":
            detail = _WHAT_IFS if value == "full" else "This value is not known."
            error = {"pointer": "", "parameter": name, "detail": detail, "read": cut(value), "allowed": "none"}
            raise Problem("invalid-request", f"effects: {detail}", [error])


def check_settings() -> None:
    """Raise ValueError where a setting for batches cannot be, so that it is seen at the start."""
    limits()


_lock: Final = threading.Lock()
_running: Final[dict[int, Workers]] = {}


def _workers(count: int) -> Workers:
    """The workers of this process, made at the first batch."""
    from service.batch.workers import Workers

    with _lock:
        if count not in _running:
            _running[count] = Workers(count)
        return _running[count]


def close() -> None:
    """End the workers, if any were started."""
    if "service.batch.workers" not in sys.modules:
        return
    with _lock:
        for workers in _running.values():
            workers.close()
        _running.clear()
