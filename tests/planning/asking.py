"""Asking the planning routes over HTTP, and small houses and winters to ask about."""

from __future__ import annotations

import asyncio
import json
from typing import Any

import httpx

from service.problems.problem import MEDIA_TYPE
from service.problems.shape import ProblemDetails
from tests.app import APP
from tests.shapes import shaped

Body = dict[str, Any]

COLD_MONTHS = [
    {"month": "november", "low": 0, "high": 10},
    {"month": "december", "low": -6, "high": 3},
    {"month": "january", "low": -8, "high": 1},
    {"month": "february", "low": -7, "high": 2},
    {"month": "march", "low": -2, "high": 8},
]
HOUSE = {"volume": "110 m3", "glazing": "double_film", "glazing_area": "126 m2", "night_target": "6 degC"}


def ask(path: str, body: Any, accept: str | None = None) -> httpx.Response:
    headers = {"content-type": "application/json"} | ({"accept": accept} if accept else {})
    content = body if isinstance(body, bytes) else json.dumps(body)

    async def exchange() -> httpx.Response:
        transport = httpx.ASGITransport(app=APP, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://heap") as client:
            return await client.post(path, content=content, headers=headers)

    return asyncio.run(exchange())


def problem_in(reply: httpx.Response, status: int = 422) -> dict[str, Any]:
    assert reply.status_code == status, reply.text
    assert reply.headers["content-type"] == MEDIA_TYPE
    told: dict[str, Any] = reply.json()
    shaped(ProblemDetails, told)
    return told


def pointers(reply: httpx.Response) -> list[str]:
    return [error["pointer"] for error in problem_in(reply)["errors"]]
