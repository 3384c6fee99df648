"""Whether the service lives, and whether it can advise."""

from __future__ import annotations

from typing import Any, Final

from fastapi import APIRouter

from rules import RULES
from rules.engine import EngineError
from rules.infer import warm_up
from rules.version import knowledge_version
from service.api.described import answer, problems
from service.errors import Problem

router: Final = APIRouter(prefix="/health", tags=["health"])


@router.get(
    "/live",
    operation_id="get_live",
    summary="Whether the process answers",
    response_model=None,
    responses={**answer("Live", "It answers.", {"status": "live"}), **problems()},
)
async def get_live() -> dict[str, Any]:
    """Always the same: that it is sent at all is the message."""
    return {"status": "live"}


@router.get(
    "/ready",
    operation_id="get_ready",
    summary="Whether advice can be given",
    response_model=None,
    responses={**answer("Ready", "The rules were run once and answered."), **problems("not-ready")},
)
async def get_ready() -> dict[str, Any]:
    """Run the rules on a tiny set of facts."""
    try:
        warm_up()
    except EngineError:
        raise Problem("not-ready", "The rule engine does not answer.") from None
    return {"status": "ready", "knowledge_version": knowledge_version(), "rules": len(RULES)}
