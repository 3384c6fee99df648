"""`/metrics`: counts for whoever runs the service, in Prometheus' text form, and only for them.

It is served at an address of its own (`serve --metrics`), to who has the token of `WARMHEAP_METRICS_TOKEN`, and to this
machine where the whole service is only for it. To everybody else there is no such address.
"""

from __future__ import annotations

import asyncio
import contextlib
import hmac
import os
from typing import TYPE_CHECKING, Final

from fastapi import APIRouter, Request, Response
from starlette.types import Scope

from service import logbook
from service.api.log_book import read_from_store
from service.http.access import METRICS, is_at_this_machine
from service.logbook.store.place import database_url, exists, sqlite_file
from service.operation import tally
from service.problems.problem import Problem

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

router: Final = APIRouter(include_in_schema=False)
PORT_VARIABLE: Final = "WARMHEAP_METRICS_PORT"
TOKEN_VARIABLE: Final = "WARMHEAP_METRICS_TOKEN"
SHARED_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Where several processes put their counts together; read by the Prometheus library."""
LOOK_S: Final = 2.0
"""How long the log book is asked for its numbers; the counts do not wait for it longer."""


def is_at_own_port(scope: Scope) -> bool:
    """Whether a request came in at the address that serves metrics and nothing else."""
    port, server = os.environ.get(PORT_VARIABLE), scope.get("server")
    return port is not None and server is not None and str(server[1]) == port


@router.get(METRICS)
async def get_metrics(request: Request) -> Response:
    """Everything that is counted."""
    from prometheus_client import CONTENT_TYPE_LATEST, REGISTRY, CollectorRegistry, generate_latest
    from prometheus_client.multiprocess import MultiProcessCollector

    if not (is_at_own_port(request.scope) or _has_token(request) or is_at_this_machine(request)):
        raise Problem("not-found", "There is nothing at this address; GET / says where to go.")
    await _look_at_store()
    registry = REGISTRY
    if SHARED_VARIABLE in os.environ:
        registry = CollectorRegistry()
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    return Response(generate_latest(registry), media_type=CONTENT_TYPE_LATEST)


def _has_token(request: Request) -> bool:
    wanted, given = os.environ.get(TOKEN_VARIABLE, ""), request.headers.get("authorization", "")
    return bool(wanted) and hmac.compare_digest(given.encode(), f"Bearer {wanted}".encode())


async def _look_at_store() -> None:
    """Measure the log book; where it cannot be asked, its numbers stay as they were and an error is counted."""
    with contextlib.suppress(ValueError):
        if not exists():
            return
        file = sqlite_file(database_url())
        if file is not None:
            parts = [file.with_name(file.name + ending) for ending in ("", "-wal")]
            tally.STORE_BYTES.set(sum(part.stat().st_size for part in parts if part.exists()))
        try:
            async with asyncio.timeout(LOOK_S):
                undelivered, size = await read_from_store(_numbers)
                tally.UNDELIVERED.set(undelivered)
                if size is not None:
                    tally.STORE_BYTES.set(size)
        except (Problem, TimeoutError) as error:
            tally.STORE_ERRORS.labels(getattr(error, "slug", "too-slow")).inc()


def _numbers(session: Session) -> tuple[int, int | None]:
    """Messages that nobody has taken, and the size of the database where it is no file [bytes]."""
    from sqlalchemy import func, select

    undelivered = (
        session.scalar(select(func.count()).where(logbook.store.webhook_models.WebhookMessage.taken_at.is_(None))) or 0
    )
    if session.get_bind().dialect.name == "sqlite":
        return undelivered, None
    return undelivered, session.scalar(select(func.pg_database_size(func.current_database())))
