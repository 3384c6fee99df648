"""Heaps told on the first days after a draw was begun, raised or lowered, of every truth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from tests.forecasting import logs, truth
from tests.forecasting.logs import AHEAD_DAYS, DAYS, HOT_C, HOT_FROM_DAY, Log
from tests.forecasting.others import coarse, plane
from tests.forecasting.others.told import draw_heap, tell
from tests.forecasting.truth_piles import build

WITHIN_DAYS: Final = 7
LENGTHS_DAYS: Final = (4, 7, 14, 21, 30)
_OTHERS: Final = {"coarse": (coarse, 71), "plane": (plane, 83)}


def changed_logs(name: str, seed: int, count: int) -> Iterator[Log]:
    """Logs of a truth's first heaps that have a loop, one for each change of the draw that fell in a warm time."""
    rng = np.random.default_rng(7 * seed + 1)
    return _shells(seed, count, rng) if name == "fine" else _others(name, seed, count, rng)


def _shells(seed: int, count: int, rng: np.random.Generator) -> Iterator[Log]:
    happened = truth.simulate(build(seed, count), DAYS)
    piles = happened.built.piles
    for number in np.flatnonzero(piles.loop_flow_w_k > 0.0).tolist():
        changes = (int(piles.loop_from_day[number]), int(piles.loop_change_day[number]))
        for change in changes:
            day = change + int(rng.integers(0, WITHIN_DAYS))
            own = np.random.Generator(np.random.PCG64([seed, number, 991, change % 1000]))
            if _tells(day, change, changes) and happened.core_c[2 * day, number] >= HOT_C:
                yield logs.tell(happened, number, day, int(rng.choice(LENGTHS_DAYS)), own)


def _others(name: str, seed: int, count: int, rng: np.random.Generator) -> Iterator[Log]:
    module, purpose = _OTHERS[name]
    rngs = [np.random.Generator(np.random.PCG64([seed, number, purpose])) for number in range(count)]
    heaps = [draw_heap(seed, number, own) for number, own in enumerate(rngs)]
    courses = module.simulate(heaps, rngs)
    for heap, course, own in zip(heaps, courses, rngs, strict=True):
        if heap.loop_flow_kg_s <= 0.0:
            continue
        changes = (heap.loop_from, heap.loop_change)
        for change in changes:
            day = change + (int(rng.integers(0, WITHIN_DAYS)) if change < DAYS else 0)
            if _tells(day, change, changes) and course.core_c[2 * day] >= HOT_C:
                yield tell(heap, course, day, int(rng.choice(LENGTHS_DAYS)), own)


def _tells(day: int, change: int, changes: Sequence[int]) -> bool:
    """Whether a day may be told: its last change is this one, and none falls in the days to be forecast."""
    first, second = changes
    overtaken = change == first and second <= day
    others_ahead = any(day < other <= day + AHEAD_DAYS for other in changes)
    return HOT_FROM_DAY <= day <= DAYS - AHEAD_DAYS and not overtaken and not others_ahead
