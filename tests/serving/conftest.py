"""One service for all tests that do not need settings of their own: it takes seconds to start."""

from __future__ import annotations

import socket
from collections.abc import Iterator

import pytest

from tests.serving.served import Running, running


@pytest.fixture(scope="session")
def two_workers() -> Iterator[Running]:
    """Two processes that serve, with metrics at a port of their own; some tests kill one of them.

    Whoever waits for a place waits for long: where much else is tested at once, a process takes its time to start.
    """
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        own = str(probe.getsockname()[1])
    with running("--metrics", own, "--workers", "2", metrics_port=own, keep_alive_s="30", wait_s="60") as service:
        yield service
