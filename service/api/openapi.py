"""The description of the interface (OpenAPI 3.1), made when it is first asked for."""

from __future__ import annotations

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from service.http.description import Described, examples

_ABOUT = (
    "A heap of wood chips rots and warms a greenhouse. Send what you know of the heap to `POST /advice`; get ranked "
    "actions with reasons, doses, effects and cautions, and a heat balance. Quantities are numbers or texts with a "
    "unit (`104 degF`, `22 yd3`, `0.5 gpm`). Absent or null means not looked at; an empty list means looked and saw "
    "none. Every problem is `application/problem+json`."
)


_TOKEN = {
    "type": "http",
    "scheme": "bearer",
    "description": "A token made by `warmheap tokens make`. Needed where others can reach the service, everywhere but "
    "on its public pages; on the machine itself none is needed.",
}


def describe(app: FastAPI) -> None:
    """Let `app` describe itself with the models of this service."""

    def openapi() -> Described:
        if app.openapi_schema is None:
            app.openapi_schema = _description(app)
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _description(app: FastAPI) -> Described:
    from service.api.shapes import schemas  # not needed for a first answer

    described = get_openapi(
        title=app.title,
        version=app.version,
        openapi_version="3.1.0",
        summary="Advice for a heap that warms a house",
        description=_ABOUT,
        routes=app.routes,
        license_info={"name": "MIT", "identifier": "MIT"},
        servers=[{"url": "/", "description": "This service"}],
        tags=[
            {"name": "advice", "description": "The main job."},
            {"name": "knowledge", "description": "The rules and materials behind it, with their sources."},
            {"name": "log book", "description": "Piles with their readings, work, advice and feedback, kept safe."},
            {"name": "home", "description": "Where to go."},
            {"name": "health", "description": "For whoever keeps it running."},
        ],
    )
    described.setdefault("components", {}).setdefault("schemas", {}).update(schemas())
    described["components"]["securitySchemes"] = {"token": _TOKEN}
    described["security"] = [{}, {"token": []}]
    advice = described["paths"]["/advice"]["post"]
    for content, kind in (
        (advice["requestBody"]["content"]["application/json"], "request"),
        (advice["responses"]["200"]["content"]["application/json"], "response"),
    ):
        found = examples(kind)
        if found:
            content["examples"] = found
    return described
