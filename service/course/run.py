"""The course of the heap: left as it is, at rest, and a new heap begun today, run side by side."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from service.course.heap import LearnedHeap, at_rest
from service.heat.physics.arrays import Array
from service.heat.physics.entries import FlowEntries
from service.heat.physics.kernel import simulate
from service.heat.physics.piles import Piles, PileState, joined


@dataclass(frozen=True, slots=True)
class Course:
    """Times (k,) [days] and, member by member, core (k, n) [degC], heat drawn so far (k, n) [J] and total flows [J]."""

    days: Array
    core_c: Array
    drawn_j: Array
    ledger: FlowEntries

    def daily(self, values: Array) -> Array:
        """The rows of whole days."""
        return values[:: max(1, round(1.0 / float(self.days[1])))]


def run_blocks(heap: LearnedHeap, blocks: list[tuple[Piles, PileState]]) -> list[Course]:
    """Run several versions of a heap in the same weather, one course each."""
    piles, state = joined([p for p, _ in blocks]), joined([s for _, s in blocks])
    run = simulate(piles, state, heap.weather.repeated(len(blocks)), float(heap.days), heap.step_h)
    count = heap.count
    cuts = [slice(place * count, (place + 1) * count) for place in range(len(blocks))]
    return [
        Course(
            run.days,
            run.core_c[:, cut],
            run.drawn_j[:, cut],
            FlowEntries(run.ledger.heat[:, cut], run.ledger.water[:, cut]),
        )
        for cut in cuts
    ]


def first_day(days: Array, holds: NDArray[np.bool_]) -> Array:
    """First time at which something holds of each member, infinite where it never does. `holds` is (k, n)."""
    result: Array = np.where(holds.any(axis=0), days[holds.argmax(axis=0)], np.inf)
    return result


def days_until_warm(course: Course, limit_c: float) -> Array:
    """Time until the core first reaches the limit, each member."""
    return first_day(course.days, course.core_c >= limit_c)


def days_until_cool(course: Course, limit_c: float) -> Array:
    """Time until the core, once at the limit, is below it, each member; infinite where it stays or never gets there."""
    return first_cool_again(course.days, course.core_c, limit_c)


def first_cool_again(days: Array, core_c: Array, limit_c: float) -> Array:
    """The same from cores at such times, (k, n)."""
    was_warm = np.maximum.accumulate(core_c >= limit_c, axis=0)
    return first_day(days, was_warm & (core_c < limit_c))


def courses(heap: LearnedHeap, fresh: tuple[Piles, PileState]) -> tuple[Course, Course, Course]:
    """The heap as it is drawn now, the heap at rest, and a new heap at rest."""
    new_piles, new_state = fresh
    now, rest, new = run_blocks(
        heap, [(heap.piles, heap.state), (at_rest(heap.piles), heap.state), (at_rest(new_piles), new_state)]
    )
    return now, rest, new


def told_courses(heap: LearnedHeap, now: Course, rest: Course) -> tuple[Course, Course]:
    """The heap as it is drawn now and at rest, with its core as it should be told.

    What is told beyond the model of the heap as it is, is told of the heap at rest too.
    """
    told = heap.learned.told_core(now.days, now.core_c)
    return replace(now, core_c=told), replace(rest, core_c=rest.core_c + told - now.core_c)
