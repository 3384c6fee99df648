"""Builds the application: the only place where its parts are joined."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any, Final

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.routing import Match, Route

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
    metrics,
    mix,
    outlook,
    pile_advice,
    piles,
    planning,
    planning_sheet,
    questions,
    webhooks,
)
from service.api.edge import METHODS, Edge
from service.api.log_book import close as close_log_book
from service.api.openapi import describe
from service.http.access import Gate
from service.http.body import problem_response
from service.machines.webhooks.loop import Deliveries
from service.operation.version import VERSION
from service.page import routes as page
from service.problems.problem import Problem, cut, problem_for_status
from service.status.names import did_you_mean

_PARTS: Final = (
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
    metrics,
    knowledge,
    health,
    page,
)
_DETAILS: Final = {
    404: "There is nothing at this address; GET / says where to go.",
    405: "This address does not take that method; see the Allow header.",
}


def create_app() -> FastAPI:
    """The application, ready to be served."""
    app = FastAPI(
        title="warmheap",
        version=VERSION,
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        lifespan=_lifespan,
        exception_handlers={
            Problem: _on_problem,
            RequestValidationError: _on_parameters,
            HTTPException: _on_http_error,
        },
    )
    for part in _PARTS:
        app.include_router(part.router)
    describe(app)
    app.router.routes[:0] = _beside_ids()
    batch.check_settings()
    app.add_middleware(Gate)
    app.add_middleware(Edge)
    return app


def _routes() -> list[Any]:
    return [each for part in _PARTS for each in part.router.routes]


def _beside_ids() -> list[Route]:
    """Names that stand where other addresses have an id, with the methods they do not take: they are no ids."""
    routes = _routes()
    return [
        Route(named.path, _wrong_method, methods=METHODS - named.methods - {"HEAD"}, include_in_schema=False)
        for named in routes
        if any(other.path != named.path and other.path_regex.match(named.path) for other in routes)
        if "{" not in named.path
    ]


async def _wrong_method(request: Request) -> Response:
    raise HTTPException(405)


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    deliveries = Deliveries()
    deliveries.start()
    yield
    deliveries.end()
    batch.close()
    close_log_book()


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
    if error.status_code == 405:
        headers["Allow"] = ", ".join(_methods_at(request))
    detail = _DETAILS.get(error.status_code, "The request cannot be answered.")
    return await problem_response(request, problem_for_status(error.status_code, detail), headers)


def _methods_at(request: Request) -> list[str]:
    """Every method that the address of a request takes; the framework names those of the first route only.

    Where several addresses of the interface fit, the one that says most is meant: /piles/import is no pile.
    """
    methods: dict[str, set[str]] = {}
    described = [each for each in request.app.routes if getattr(each, "path", None) == request.app.openapi_url]
    for route in _routes() + described:
        if route.matches(dict(request.scope))[0] is not Match.NONE:
            methods.setdefault(getattr(route, "path", ""), set()).update(getattr(route, "methods", None) or ())
    found = methods[min(methods, key=lambda path: path.count("{"))] if methods else set()
    return sorted(found | {"HEAD"} if "GET" in found else found)
