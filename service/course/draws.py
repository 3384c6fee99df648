"""What can be drawn steadily with the core kept above a limit, found by running several draws side by side.

The draw begins when the heap at rest is a little over the limit. From then on the core must stay at or above it. A
heap that is drawn a little too hard collapses, so the core's margin falls off steeply: a first round of settings
brackets each member's largest draw, a second narrows the bracket to a twelfth, and only within that it is interpolated.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.course.heap import LearnedHeap, at_rest
from service.course.run import Course, days_until_warm, run_blocks
from service.heat.physics.arrays import Array
from service.heat.physics.flows import flows
from service.heat.physics.piles import Piles
from service.heat.physics.season_draw import season_draw
from service.units.estimate import SECONDS_PER_DAY
from service.units.figures import figure

START_OVER_K: Final = figure(1.0, "K", "How far over the limit the core must be before a draw begins", "no source")
LEVELS: Final = figure(
    0.15 * 1.8 ** np.arange(8),
    "1",
    "First settings of a draw in watts, over the member's draw in closed form (see `season_draw`)",
    "no source",
)
LEAST_OF_MADE: Final = figure(
    0.1, "1", "The member's draw in closed form counts as at least this share of the heat made now", "no source"
)
LEAST_W: Final = figure(1.0, "W", "The member's draw in closed form counts as at least this", "no source")
MINUTES: Final = figure(
    np.array([1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0]), "min/h", "First settings of a timer", "no source"
)
WITHIN: Final = figure(
    np.arange(1, 8) / 8, "1", "Settings of the second round, between the ends of the bracket", "no source"
)
NEVER_K: Final = figure(-1000.0, "K", "Stands for the margin of a heap that never gets warm", "no source")

SetDraw = Callable[[Piles, Array], Piles]
"""Sets piles at rest to draw at a setting of each member."""

LEAST_DRAWN_DAYS: Final = figure(0.001, "days", "A time to draw in counts as at least this: it divides", "no source")


@dataclass(frozen=True, slots=True)
class Steady:
    """A steady draw, member by member: setting (W or min/h), mean power from its first day on [W], and that day."""

    setting: Array
    power_w: Array
    from_day: Array

    def heat_j(self, days: float) -> Array:
        """Heat drawn up to a day."""
        result: Array = self.power_w * np.maximum(days - self.from_day, 0.0) * SECONDS_PER_DAY
        return result


@dataclass(frozen=True, slots=True)
class Trials:
    """Settings tried, lowest first, how far the core then stays over the limit [K], and mean power [W], each (m, n)."""

    settings: Array
    margins_k: Array
    power_w: Array

    def along(self, others: Trials) -> Trials:
        """Both together, in order of the setting."""
        settings = np.concatenate([self.settings, others.settings])
        order = np.argsort(settings, axis=0)
        return Trials(
            np.take_along_axis(settings, order, axis=0),
            np.take_along_axis(np.concatenate([self.margins_k, others.margins_k]), order, axis=0),
            np.take_along_axis(np.concatenate([self.power_w, others.power_w]), order, axis=0),
        )


def steady_draws(heap: LearnedHeap, rest: Course, limit_c: float, timers: Sequence[SetDraw]) -> list[Steady]:
    """The largest draw in watts that leaves the core above the limit to the last day, then the longest timer settings.

    Parameters
    ----------
    rest
        The heap with nothing drawn.
    timers
        Ways of drawing by minutes in the hour, each to run alone.
    """
    begin = days_until_warm(rest, limit_c + START_OVER_K)
    drawings = [_in_watts, *timers]
    firsts = [LEVELS[:, None] * _scale(heap, limit_c), *(MINUTES[:, None] * np.ones(heap.count) for _ in timers)]
    nothing = _nothing(rest, begin, limit_c)
    tried = [nothing.along(each) for each in _trials(heap, begin, limit_c, drawings, firsts)]
    seconds = [_within_bracket(each) for each in tried]
    finer = _trials(heap, begin, limit_c, drawings, seconds)
    return [_largest(coarse.along(fine), begin) for coarse, fine in zip(tried, finer, strict=True)]


def _in_watts(piles: Piles, setting: Array) -> Piles:
    return replace(piles, fixed_draw_w=setting)


def _scale(heap: LearnedHeap, limit_c: float) -> Array:
    """About the size of each member's draw [W]."""
    closed = season_draw(heap.piles, heap.state, heap.weather, float(heap.days), limit_c)
    made = flows(at_rest(heap.piles), heap.state, heap.weather)["made"]
    result: Array = np.maximum(np.maximum(closed, LEAST_OF_MADE * made), LEAST_W)
    return result


def _trials(
    heap: LearnedHeap, begin: Array, limit_c: float, drawings: Sequence[SetDraw], settings: Sequence[Array]
) -> list[Trials]:
    """Try the settings (m, n) of each way of drawing, all in one run."""
    first = np.where(np.isfinite(begin), begin, float(heap.days))
    started = replace(at_rest(heap.piles), draw_from_day=first)
    pairs = zip(drawings, settings, strict=True)
    runs = iter(run_blocks(heap, [(drawing(started, row), heap.state) for drawing, rows in pairs for row in rows]))
    seconds = np.maximum(heap.days - first, LEAST_DRAWN_DAYS) * SECONDS_PER_DAY
    found = []
    for rows in settings:
        of_these = [next(runs) for _ in rows]
        margins = np.array([_margin(run, begin, limit_c) for run in of_these])
        found.append(Trials(rows, margins, np.array([run.drawn_j[-1] / seconds for run in of_these])))
    return found


def _nothing(rest: Course, begin: Array, limit_c: float) -> Trials:
    nothing = np.zeros((1, begin.size))
    return Trials(nothing, _margin(rest, begin, limit_c)[None, :], nothing)


def _margin(run: Course, begin: Array, limit_c: float) -> Array:
    """Least distance of the core over the limit from the day the draw begins; NEVER_K where it never does. [K]"""
    later = run.days[:, None] >= begin
    least = np.where(later, run.core_c - limit_c, np.inf).min(axis=0)
    return np.where(later.any(axis=0), least, NEVER_K)


def _within_bracket(tried: Trials) -> Array:
    """Settings between the largest that keeps the core and the next one."""
    last, columns, top = _last_kept(tried), np.arange(tried.settings.shape[1]), len(tried.settings) - 1
    low, high = tried.settings[np.maximum(last, 0), columns], tried.settings[np.clip(last + 1, 1, top), columns]
    result: Array = low + WITHIN[:, None] * (high - low)
    return result


def _last_kept(tried: Trials) -> Array:
    """Index of the last setting with the core kept, all lower ones being kept too; -1 where not even rest does."""
    kept = np.logical_and.accumulate(tried.margins_k >= 0.0, axis=0)
    result: Array = kept.sum(axis=0) - 1
    return result


def _largest(tried: Trials, begin: Array) -> Steady:
    """The setting at which the margin is used up, straight between the two tried around it."""
    last, columns, top = _last_kept(tried), np.arange(begin.size), len(tried.settings) - 1
    low, high = np.maximum(last, 0), np.minimum(last + 1, top)
    left, right = tried.margins_k[low, columns], tried.margins_k[high, columns]
    used = np.where((last >= 0) & (high > low), left / np.maximum(left - right, 1e-9), 0.0)

    def between(values: Array) -> Array:
        result: Array = values[low, columns] + used * (values[high, columns] - values[low, columns])
        return np.where(last >= 0, result, 0.0)

    return Steady(between(tried.settings), between(tried.power_w), begin)
