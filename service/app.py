"""Builds the application: the only place where its parts are joined."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Final

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rules.infer import warm_up
from service.access import Gate
from service.api import (
    advice,
    batch,
    chat,
    explain,
    health,
    home,
    hub,
    knowledge,
    log,
    mcp,
    mix,
    outlook,
    pile_advice,
    piles,
    planning,
    planning_sheet,
    questions,
    webhooks,
)
from service.api.body import problem_response
from service.api.log_book import close as close_log_book
from service.api.openapi import describe
from service.errors import Problem, cut, problem_for_status
from service.page import routes as page
from service.schema.names import did_you_mean
from service.webhooks.loop import Deliveries

_HEADERS: Final = {
    "x-content-type-options": "nosniff",
    "content-security-policy": "default-src 'none'; frame-ancestors 'none'",
    "referrer-policy": "no-referrer",
}
_RAW_HEADERS: Final = tuple((name.encode(), value.encode()) for name, value in _HEADERS.items())
_DETAILS: Final = {
    404: "There is nothing at this address; GET / says where to go.",
    405: "This address does not take that method; see the Allow header.",
}


def create_app() -> FastAPI:
    """The application, ready to be served."""
    app = FastAPI(
        title="warmheap",
        version=home.VERSION,
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        lifespan=_lifespan,
        exception_handlers={
            Problem: _on_problem,
            RequestValidationError: _on_parameters,
            HTTPException: _on_http_error,
            Exception: _on_failure,
        },
    )
    for part in (
        home,
        advice,
        batch,
        explain,
        questions,
        chat,
        outlook,
        mix,
        planning,
        planning_sheet,
        piles,
        log,
        pile_advice,
        hub,
        webhooks,
        mcp,
        knowledge,
        health,
        page,
    ):
        app.include_router(part.router)
    describe(app)
    batch.check_settings()
    app.add_middleware(Gate)
    app.add_middleware(_Edge)
    return app


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    warm_up()
    deliveries = Deliveries()
    deliveries.start()
    yield
    deliveries.end()
    batch.close()
    close_log_book()


class _Edge:
    """What every exchange gets: HEAD answered like GET without the body, and headers that keep browsers careful."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one exchange."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        head = scope["method"] == "HEAD"

        async def send_on(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = {name for name, _ in message["headers"]}
                message["headers"] = [*message["headers"], *(pair for pair in _RAW_HEADERS if pair[0] not in own)]
            elif head and message["type"] == "http.response.body":
                message = {**message, "body": b""}
            await send(message)

        await self._app({**scope, "method": "GET"} if head else scope, receive, send_on)


async def _on_problem(request: Request, error: Exception) -> Response:
    assert isinstance(error, Problem)
    return await problem_response(request, error)


async def _on_parameters(request: Request, error: Exception) -> Response:
    """A query parameter with a value that is not known."""
    assert isinstance(error, RequestValidationError)
    errors = []
    for found in error.errors():
        allowed = str(found.get("ctx", {}).get("expected", "")).replace("'", "")
        given = cut(str(found.get("input", "")))
        near = did_you_mean(given, allowed.replace(" or ", ", ").split(", "))
        entry = {
            "pointer": "",
            "parameter": cut(str(found["loc"][-1])),
            "detail": f"This value is not known.{near}",
            "read": given,
        }
        errors.append({**entry, "allowed": allowed} if allowed else entry)
    detail = f"{errors[0]['parameter']}: {errors[0]['detail']}"
    return await problem_response(request, Problem("invalid-request", detail, errors))


async def _on_http_error(request: Request, error: Exception) -> Response:
    """What the framework refuses by itself: unknown addresses and methods."""
    assert isinstance(error, HTTPException)
    headers = dict(error.headers or {})
    if "GET" in headers.get("Allow", ""):
        headers["Allow"] += ", HEAD"
    detail = _DETAILS.get(error.status_code, "The request cannot be answered.")
    return await problem_response(request, problem_for_status(error.status_code, detail), headers)


async def _on_failure(request: Request, error: Exception) -> Response:
    """A fault of ours; the server logs it with its trace. This answer does not pass through `_Edge`."""
    return await problem_response(
        request, Problem("internal-error", "Something failed here; try again later."), _HEADERS
    )
