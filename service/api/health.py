"""Whether the service lives, and whether it can advise."""

from __future__ import annotations

from typing import Final

from anyio import CapacityLimiter, to_thread
from fastapi import APIRouter

from rules import RULES
from rules.engine.inference import warm_up
from rules.version import knowledge_version
from service import logbook
from service.api.home_shapes import Live, Ready
from service.http.description import answer, problems
from service.problems.problem import Problem
from service.work.messages import Broken
from service.work.places import work

_OWN_THREAD: Final = CapacityLimiter(1)
"""Whoever watches the service does not wait behind what the service is busy with."""
router: Final = APIRouter(prefix="/health", tags=["health"])


@router.get(
    "/live",
    operation_id="get_live",
    summary="Whether the process answers",
    response_model=None,
    responses={**answer("Live", "It answers.", {"status": "live"}), **problems()},
)
async def get_live() -> Live:
    """Always the same: that it is sent at all is the message."""
    return {"status": "live"}


@router.get(
    "/ready",
    operation_id="get_ready",
    summary="Whether advice can be given",
    response_model=None,
    responses={**answer("Ready", "Rules, log book and disk were tried just now."), **problems("not-ready")},
)
async def get_ready() -> Ready:
    """Run the rules on a few facts; look whether the log book can be read and written, and the disk has room."""
    store_fault = await to_thread.run_sync(logbook.store.readiness.store_fault, limiter=_OWN_THREAD)
    faults = [fault for fault in (await _engine_fault(), store_fault) if fault is not None]
    if faults:
        errors = [{"pointer": "", "detail": fault} for fault in faults]
        raise Problem("not-ready", " ".join(faults), errors, {"Retry-After": "10"})
    return {
        "status": "ready",
        "knowledge_version": knowledge_version(),
        "rules": len(RULES),
        "checked": ["engine", "log book", "disk"],
    }


async def _engine_fault() -> str | None:
    try:
        await work(warm_up, weight="quick")
    except (Problem, Broken):
        return "The rule engine does not answer."
    return None
