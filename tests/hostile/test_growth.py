"""Work grows with the input and no faster: twice the worst input takes about twice the processor time."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator

import pytest

from tests.each import now_and_then
from tests.hostile.worst import cases, half_and_whole, read

MOST_GROWTH = 3.0
"""Linear work doubles, quadratic work takes four times as long; between the two."""
TOO_QUICK_S = 0.040
"""Below this nothing is judged: it harms nobody, and a neighbour on the machine spoils a ratio of so little [s]."""
TRIES = 3


@pytest.fixture(autouse=True, scope="module")
def collected() -> Iterator[None]:
    """What is there already is not looked through again for what can be let go."""
    gc.collect()
    gc.freeze()
    yield
    gc.unfreeze()


def _processor_time(parser: str, body: bytes) -> float:
    """Of this thread, without the collector's turns, which come when they like [s]."""
    gc.disable()
    try:
        start = time.thread_time()
        read(parser, body)
        return time.thread_time() - start
    finally:
        gc.enable()


@pytest.mark.parametrize(("parser", "what"), now_and_then(cases(), 12))
def test_twice_the_input_is_about_twice_the_work(parser: str, what: str) -> None:
    half, whole = half_and_whole(parser, what)
    growth = long = 0.0
    for _ in range(TRIES):  # a neighbour on the machine may spoil one
        long = _processor_time(parser, whole)
        if long < TOO_QUICK_S:
            return
        growth = long / max(_processor_time(parser, half), 1e-9)
        if growth < MOST_GROWTH:
            return
    pytest.fail(f"{parser}, {what}: {growth:.1f} times the work for twice the input ({long:.3f} s)")
