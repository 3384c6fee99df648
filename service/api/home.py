"""`GET /`: what this is and where to go."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request, Response

from rules.version import knowledge_version
from service.api.home_shapes import Home
from service.http.description import answer, problems
from service.operation.version import VERSION
from service.page.routes import NEGOTIATED, form_response, wants_page

router: Final = APIRouter(tags=["home"])
ASK: Final = {
    "/advice": "Ranked actions for one heap.",
    "/advice/batch": "The same for many heaps, one on each line.",
    "/explain": "Why, why not, and what would change.",
    "/questions": "What to look at next.",
    "/chat": "The same in words.",
    "/outlook": "The days ahead.",
    "/mix": "What to mix with what.",
    "/greenhouse": "How much heat the house needs.",
    "/sizing": "How big a heap, and of what.",
    "/build-sheet": "A printable sheet for building it.",
    "/season": "A winter or a year ahead.",
    "/piles": "Keep a log for a heap.",
    "/piles/import": "Bring back a log that was taken out.",
}
"""Addresses that answer POST, and what they tell."""
SMALLEST_STATUS: Final = {"pile": {"age": "63 days"}, "temperatures": {"core": "121 degF"}}


@router.get(
    "/",
    operation_id="get_home",
    summary="What this is and where to go",
    response_model=None,
    responses={**answer("Home", "What this is and where to go."), **problems()},
)
async def get_home(request: Request, response: Response) -> Home | Response:
    """A few words and links; browsers, which ask for `text/html`, get the form."""
    if wants_page(request):
        return form_response(request, NEGOTIATED)
    response.headers["vary"] = "Accept"
    return {
        "name": "warmheap",
        "what": "Advice for a greenhouse warmed by a heap of wood chips: send what you know of the heap, get ranked "
        "actions with reasons, doses, cautions and a heat balance.",
        "version": VERSION,
        "knowledge_version": knowledge_version(),
        "start": {"post": "/advice", "smallest_body": SMALLEST_STATUS},
        "ask": ASK,
        "links": {
            "advice": "/advice",
            "rules": "/rules",
            "materials": "/materials",
            "words": "/words",
            "interface": "/openapi.json",
            "live": "/health/live",
            "ready": "/health/ready",
        },
    }
