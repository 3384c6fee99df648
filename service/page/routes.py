"""Where the phone form is served: the form, its answer, and the few files they load."""

from __future__ import annotations

import re
from typing import Final

from fastapi import APIRouter, Request, Response

from service.http.accept import chosen
from service.http.body import read_body
from service.problems.problem import Problem
from service.work.places import work

router: Final = APIRouter(include_in_schema=False)
HTML: Final = "text/html"
NEGOTIATED: Final = "Accept, Accept-Language, Accept-Encoding"
_HERE: Final = "Accept-Language, Accept-Encoding"
_KEPT: Final = "public, max-age=31536000, immutable"


def wants_page(request: Request) -> bool:
    """Whether the caller would rather have a page than JSON, as browsers say of themselves."""
    try:
        return chosen(request, ("application/json", HTML)) == HTML
    except Problem:
        return False


def form_response(request: Request, vary: str = _HERE) -> Response:
    """The empty form, in the units that are usual where the reader is."""
    from service.page.render import empty_form

    american = re.match(r"\s*en-us\b", request.headers.get("accept-language", ""), re.IGNORECASE)
    return _page(request, empty_form("us" if american else "metric"), headers={"vary": vary})


@router.get("/form")
async def get_form(request: Request) -> Response:
    """The empty form."""
    return form_response(request)


@router.post("/form")
async def post_form(request: Request) -> Response:
    """The answer to what was typed; the form again, with all that was typed, where something needs a change."""
    from service.page.answering import answered
    from service.page.typed import FORM_TYPE, LARGEST_FORM

    if request.headers.get("content-type", "").split(";")[0].strip().lower() != FORM_TYPE:
        raise Problem("unsupported-media-type", f"Send the form as {FORM_TYPE}, as browsers do.")
    body = await read_body(request, LARGEST_FORM)
    page, status, kind = await work(answered, body)
    return _page(request, page, status, {"warmheap-page": kind, "cache-control": "private, no-cache"})


@router.get("/page/{name}")
async def get_file(request: Request, name: str) -> Response:
    """A file the page loads."""
    from service.page.render import KINDS, file_bytes

    if name not in KINDS:
        raise Problem("not-found", "There is no such file.")
    headers = {"cache-control": _KEPT if request.url.query else "no-cache"}
    if name == "worker.js":
        headers["service-worker-allowed"] = "/"
    return _sent(request, file_bytes(name), KINDS[name], 200, headers)


def _page(request: Request, page: str, status: int = 200, headers: dict[str, str] | None = None) -> Response:
    told = {"cache-control": "no-cache", "vary": _HERE, **(headers or {})}
    return _sent(request, page.encode(), f"{HTML}; charset=utf-8", status, told)


def _sent(request: Request, content: bytes, kind: str, status: int, headers: dict[str, str]) -> Response:
    """Content with the page's policy, packed where the browser can unpack it and it is no picture already packed."""
    from service.page.render import packed, policy

    told = {"vary": "Accept-Encoding", **headers, "content-security-policy": policy()}
    if kind != "image/png" and _takes_gzip(request):
        return Response(packed(content), status, {**told, "content-encoding": "gzip"}, kind)
    return Response(content, status, told, kind)


def _takes_gzip(request: Request) -> bool:
    codings = request.headers.get("accept-encoding", "").lower().split(",")
    said = [re.fullmatch(r"\s*gzip\s*(?:;\s*q=([01](?:\.\d*)?)\s*)?", coding) for coding in codings]
    return any(found is not None and float(found[1] or 1) > 0 for found in said)
