"""Where the phone form is served: the form, its answer, and the few files they load."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from fastapi import APIRouter, Request, Response

from service import page as pages
from service.http.accept import best_media_type
from service.http.body import read_body
from service.http.entity_tags import is_known
from service.problems.problem import Problem
from service.work.places import work

if TYPE_CHECKING:
    from service.page.entries import Typed

router: Final = APIRouter(include_in_schema=False)
HTML: Final = "text/html"
NEGOTIATED: Final = "Accept, Accept-Language, Accept-Encoding"
_HERE: Final = "Accept-Language, Accept-Encoding"
_KEPT_BY_PHONE: Final = "private, max-age=86400"
"""An answer is to what was told at a moment, so it does not change."""
_KEPT: Final = "public, max-age=31536000, immutable"


def wants_page(request: Request) -> bool:
    """Whether the caller would rather have a page than JSON, as browsers say of themselves."""
    try:
        return best_media_type(request, ("application/json", HTML)) == HTML
    except Problem:
        return False


def form_response(request: Request, vary: str = _HERE) -> Response:
    """The empty form, in the units that are usual where the reader is."""
    american = re.match(r"\s*en-us\b", request.headers.get("accept-language", ""), re.IGNORECASE)
    page = pages.render.empty_form("us" if american else "metric")
    return _page(request, page, headers={"vary": vary, "etag": pages.render.etag_of(page)})


@router.get("/form")
async def get_form(request: Request) -> Response:
    """The empty form."""
    return form_response(request)


@router.post("/form")
async def post_form(request: Request) -> Response:
    """Leads to the answer to what was typed, or to the form again where something needs a change."""
    if request.headers.get("content-type", "").split(";")[0].strip().lower() != pages.entries.FORM_TYPE:
        raise Problem("unsupported-media-type", f"Send the form as {pages.entries.FORM_TYPE}, as browsers do.")
    body = await read_body(request, pages.entries.LARGEST_FORM)
    address, typed = pages.reply.address_for(body)
    if address is not None:
        return Response(status_code=303, headers={"location": address, "cache-control": "no-store"})
    return await _answer(request, typed)


@router.get("/form/told")
async def get_told(request: Request) -> Response:
    """The answer to what the address holds, so that one can go back to it; the same answer each time."""
    return await _answer(request, pages.address.unpacked(request.query_params.get(pages.address.PART, "")))


async def _answer(request: Request, typed: Typed) -> Response:
    page, status, kind = await work(pages.reply.answered, typed)
    kept = _KEPT_BY_PHONE if kind == "answer" else "private, no-cache"
    return _page(request, page, status, {"warmheap-page": kind, "cache-control": kept})


@router.get("/page/{name}")
async def get_file(request: Request, name: str) -> Response:
    """A file the page loads."""
    if name not in pages.render.KINDS:
        raise Problem("not-found", "There is no such file.")
    headers = {"cache-control": _KEPT if request.url.query else "no-cache"}
    if name == "worker.js":
        headers["service-worker-allowed"] = "/"
    return _sent(request, pages.render.file_bytes(name), pages.render.KINDS[name], 200, headers)


def _page(request: Request, page: str, status: int = 200, headers: dict[str, str] | None = None) -> Response:
    told = {"cache-control": "no-cache", "vary": _HERE, **(headers or {})}
    return _sent(request, page.encode(), f"{HTML}; charset=utf-8", status, told)


def _sent(request: Request, content: bytes, kind: str, status: int, headers: dict[str, str]) -> Response:
    """Content with the page's policy, packed where the browser can unpack it and it is no picture already packed."""
    told = {"vary": "Accept-Encoding", **headers, "content-security-policy": pages.render.policy()}
    if "etag" in told and is_known(request, told["etag"]):
        return Response(status_code=304, headers=told)
    if kind != "image/png" and _takes_gzip(request):
        return Response(pages.render.packed(content), status, {**told, "content-encoding": "gzip"}, kind)
    return Response(content, status, told, kind)


def _takes_gzip(request: Request) -> bool:
    codings = request.headers.get("accept-encoding", "").lower().split(",")
    said = [re.fullmatch(r"\s*gzip\s*(?:;\s*q=([01](?:\.\d*)?)\s*)?", coding) for coding in codings]
    return any(found is not None and float(found[1] or 1) > 0 for found in said)
