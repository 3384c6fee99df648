"""How much one batch over HTTP may hold, and how many processes work on batches: settings of the service."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Final

LINES_VARIABLE: Final = "WARMHEAP_BATCH_LINES"
BYTES_VARIABLE: Final = "WARMHEAP_BATCH_BYTES"
WORKERS_VARIABLE: Final = "WARMHEAP_BATCH_WORKERS"
MOST_LINES: Final = 100_000
MOST_BYTES: Final = 256 * 1024 * 1024
MOST_AT_ONCE: Final = 8
"""Batches served at the same time by one process."""
MOST_OF_ONE: Final = 2
"""Of these, to one address or account: as many as get ahead on two processors."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What one batch may hold, and by how many workers it is answered."""

    lines: int
    size: int
    workers: int


def limits() -> Limits:
    """From the environment. Raises ValueError, naming the variable, where one is no whole number above 0."""
    lines, size = _whole(LINES_VARIABLE, MOST_LINES), _whole(BYTES_VARIABLE, MOST_BYTES)
    return Limits(lines, size, _whole(WORKERS_VARIABLE, default_count()))


def _whole(variable: str, usual: int) -> int:
    written = os.environ.get(variable)
    if written is None:
        return usual
    if not written.isdecimal() or int(written) == 0:
        raise ValueError(f"{variable} must be a whole number above 0, not {written[:40]!r}")
    return int(written)


def default_count() -> int:
    """As many workers as processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
