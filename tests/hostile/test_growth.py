"""Work grows with the input and no faster: twice the worst input takes about twice the processor time."""

from __future__ import annotations

import gc
import time

import pytest

from tests.hostile.worst import cases, half_and_whole, read

MOST_GROWTH = 3.0
"""Linear work doubles, quadratic work takes four times as long; between the two."""
TOO_QUICK_S = 0.040
"""Below this nothing is judged: it harms nobody, and a neighbour on the machine spoils a ratio of so little [s]."""
ROUNDS = 3
LONG_ENOUGH_S = 0.1
"""What takes longer than this is measured once."""
TRIES = 3


def _processor_time(parser: str, body: bytes) -> float:
    """Median processor time of this thread, without the collector's turns, which come when they like [s]."""
    taken = []
    while len(taken) < ROUNDS and sum(taken) < LONG_ENOUGH_S:
        start = time.thread_time()
        read(parser, body)
        taken.append(time.thread_time() - start)
    return sorted(taken)[len(taken) // 2]


@pytest.mark.parametrize(("parser", "what"), cases())
def test_twice_the_input_is_about_twice_the_work(parser: str, what: str) -> None:
    half, whole = half_and_whole(parser, what)
    gc.collect()
    gc.disable()
    try:
        for _ in range(TRIES):  # a neighbour on the machine may spoil one
            long = _processor_time(parser, whole)
            growth = long / max(_processor_time(parser, half), 1e-9)
            if long < TOO_QUICK_S or growth < MOST_GROWTH:
                return
    finally:
        gc.enable()
    pytest.fail(f"{parser}, {what}: {growth:.1f} times the work for twice the input ({long:.3f} s)")
