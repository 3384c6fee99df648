"""When a message that was not taken is sent again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Final

RETRY_AFTER: Final = (
    timedelta(seconds=5),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=5),
    timedelta(hours=8),
    timedelta(hours=10),
)
"""Waits after each attempt but the last; 25 h 35 min in all, so that a receiver may be down for a day. Growing waits
with jitter are what Standard Webhooks 1.0.0 recommends; these are our own."""
JITTER: Final = 0.1
"""Each wait is up to this share longer, so that many messages do not come back at one moment (our own)."""


def wait_after(attempts: int, jitter: Callable[[], float]) -> timedelta | None:
    """How long to wait after so many attempts; None where there is no further one. `jitter` gives 0 to 1."""
    if attempts > len(RETRY_AFTER):
        return None
    return RETRY_AFTER[attempts - 1] * (1 + JITTER * jitter())
