"""Heaps told in their first three days, of every truth: most are about to warm up, and some never do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from tests.forecasting import logs, truth
from tests.forecasting.logs import Log
from tests.forecasting.others import coarse, plane
from tests.forecasting.others.told import draw_heap, tell
from tests.forecasting.samples import LEADS, Sample, sample
from tests.forecasting.truth_piles import build

DAYS: Final = 3
SIMULATED_DAYS: Final = int(LEADS[-1]) + DAYS + 1
_OTHERS: Final = {"coarse": (coarse, 71), "plane": (plane, 83)}


def newborn_samples(name: str, seed: int, count: int) -> Iterator[Sample]:
    """Samples of a truth's first heaps, heap i told on day i modulo 3 with what was read by then."""
    for log in _shells(seed, count) if name == "fine" else _others(name, seed, count):
        told = "log" if log.body["history"] else "single"
        yield sample(name, told, {key: value for key, value in log.body.items() if value != []}, log.later_c)


def _shells(seed: int, count: int) -> Iterator[Log]:
    happened = truth.simulate(build(seed, count), SIMULATED_DAYS)
    for number in range(count):
        day, rng = number % DAYS, np.random.Generator(np.random.PCG64([seed, number, 97]))
        yield logs.tell(happened, number, day, day, rng)


def _others(name: str, seed: int, count: int) -> Iterator[Log]:
    module, purpose = _OTHERS[name]
    rngs = [np.random.Generator(np.random.PCG64([seed, number, purpose])) for number in range(count)]
    heaps = [draw_heap(seed, number, rng) for number, rng in enumerate(rngs)]
    courses = module.simulate(heaps, rngs)
    for number, (heap, course, rng) in enumerate(zip(heaps, courses, rngs, strict=True)):
        yield tell(heap, course, number % DAYS, number % DAYS, rng)
