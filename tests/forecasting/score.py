"""Scores of forecasts on logs, and the table of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.status.models import Status
from service.status.reading import read_status

from .logs import Log

Array = NDArray[np.float64]
Estimator = Callable[[Status, Sequence[float]], tuple[ArrayLike, ArrayLike, ArrayLike]]
"""Takes a status and days ahead; gives median, low and high (80 % range) of the core for each. [degC]"""

LEADS: Final = (3, 7, 14)
DAYS: Final = tuple(float(day) for day in range(1, 15))
COOL_C: Final = 40.0
FLAT_K, COLLAPSE_K = 5.0, 15.0  # in a week
RESAMPLES, BOOTSTRAP_SEED = 2000, 7


@dataclass(frozen=True, slots=True)
class Forecasts:
    """Forecasts of one estimator on logs, each (logs, 14): one column per day ahead. [degC]"""

    name: str
    median: Array
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class Score:
    """At one lead: mean and median absolute error [K], share inside the 80 % range, mean width of it [K]."""

    lead: int
    mean_error: float
    median_error: float
    coverage: float
    width: float


@dataclass(frozen=True, slots=True)
class Difference:
    """Mean absolute error less another's on the same logs, with its 90 % bootstrap interval. [K]"""

    mean: float
    low: float
    high: float


def forecast(name: str, estimator: Estimator, logs: Sequence[Log]) -> Forecasts:
    """Ask an estimator about every log. A forecast that is not 14 finite ordered numbers is refused."""
    rows = []
    for log in logs:
        row = np.array([np.asarray(part, float) for part in estimator(read_status(log.body), DAYS)])
        if row.shape != (3, len(DAYS)) or not np.isfinite(row).all():
            raise ValueError(f"{name}: wants three times {len(DAYS)} finite numbers for log {log.seed}/{log.number}")
        if (row[1] > row[0] + 1e-9).any() or (row[0] > row[2] + 1e-9).any():
            raise ValueError(f"{name}: low, median, high are out of order for log {log.seed}/{log.number}")
        rows.append(row)
    median, low, high = np.array(rows).transpose(1, 0, 2)
    return Forecasts(name, median, low, high)


def futures(logs: Sequence[Log]) -> Array:
    """True core of each log on each day ahead, (logs, 14). [degC]"""
    return np.array([[log.future_c(day) for day in DAYS] for log in logs])


def errors(forecasts: Forecasts, truth_c: Array, lead: int) -> Array:
    """Absolute errors of the median at a lead, one per log. [K]"""
    result: Array = np.abs(forecasts.median - truth_c)[:, lead - 1]
    return result


def scores(forecasts: Forecasts, truth_c: Array) -> list[Score]:
    """Scores at each lead."""
    result = []
    for lead in LEADS:
        error, column = errors(forecasts, truth_c, lead), lead - 1
        low, high, true = forecasts.low[:, column], forecasts.high[:, column], truth_c[:, column]
        inside = float(((low <= true) & (true <= high)).mean())
        result.append(Score(lead, float(error.mean()), float(np.median(error)), inside, float((high - low).mean())))
    return result


def cool_hits(forecasts: Forecasts, logs: Sequence[Log]) -> tuple[float, float]:
    """Share of logs for which "below 40 degC within 14 days" is foretold rightly, and the share in which it is so.

    Foretold where the median of any day is below; true where any half day is.
    """
    said = (forecasts.median < COOL_C).any(axis=1)
    was = np.array([bool((log.path_c < COOL_C).any()) for log in logs])
    return float((said == was).mean()), float(was.mean())


def difference(first: Array, second: Array) -> Difference:
    """Paired bootstrap of the mean difference of two sets of errors on the same logs."""
    gap = first - second
    rng = np.random.Generator(np.random.PCG64(BOOTSTRAP_SEED))
    means = gap[rng.integers(0, gap.size, size=(RESAMPLES, gap.size))].mean(axis=1)
    low, high = np.quantile(means, [0.05, 0.95])
    return Difference(float(gap.mean()), float(low), float(high))


def table(forecasts: Sequence[Forecasts], logs: Sequence[Log], against: Sequence[str]) -> str:
    """The scores as text: one block per estimator, with the differences from the estimators named in `against`."""
    truth_c = futures(logs)
    named = {entry.name: entry for entry in forecasts}
    head = f"{'estimator':<28}{'lead':>5}{'mean':>7}{'median':>8}{'cover':>7}{'width':>7}  "
    lines = [head + "  ".join(f"{'mean error less ' + name + ' (90 %)':<38}" for name in against).rstrip()]
    for entry in forecasts:
        for score in scores(entry, truth_c):
            error = errors(entry, truth_c, score.lead)
            gaps = (
                _gap(None if entry.name == name else difference(error, errors(named[name], truth_c, score.lead)))
                for name in against
            )
            numbers = f"{score.mean_error:7.1f}{score.median_error:8.1f}{score.coverage:7.2f}{score.width:7.1f}"
            label = entry.name if score.lead == LEADS[0] else ""
            lines.append(f"{label:<28}{score.lead:>3} d{numbers}  {'  '.join(gaps)}".rstrip())
        right, base = cool_hits(entry, logs)
        lines.append(f"{'':<28}below 40 degC within 14 d: right {right:.0%} (so in {base:.0%} of logs)")
    return "\n".join(lines)


def _gap(found: Difference | None) -> str:
    text = "-" if found is None else f"{found.mean:+.1f} ({found.low:+.1f} to {found.high:+.1f})"
    return f"{text:<38}"


def by_kind(logs: Iterable[Log]) -> dict[str, list[Log]]:
    """The logs told of hot heaps, and those of heaps in their first days."""
    result: dict[str, list[Log]] = {"hot": [], "young": []}
    for log in logs:
        result[log.kind].append(log)
    return result


def by_course(logs: Iterable[Log]) -> dict[str, list[int]]:
    """Places of the logs by what the core really did in the week ahead."""
    result: dict[str, list[int]] = {"flat": [], "turning": [], "collapsing": []}
    for place, log in enumerate(logs):
        change = log.future_c(7.0) - log.future_c(0.0)
        result["collapsing" if change <= -COLLAPSE_K else "flat" if abs(change) < FLAT_K else "turning"].append(place)
    return result


def course_table(forecasts: Sequence[Forecasts], logs: Sequence[Log]) -> str:
    """Mean (median) error of each estimator at each lead and the coverage of its range at 7 days, by that course."""
    truth_c = futures(logs)
    lines = [f"{'core in the week ahead':<24}{'logs':>5}  {'estimator':<30}" + "".join(f"{d:>8} d    " for d in LEADS)]
    for name, places in by_course(logs).items():
        for entry in forecasts:
            some = Forecasts(entry.name, entry.median[places], entry.low[places], entry.high[places])
            found = scores(some, truth_c[places])
            numbers = "".join(f"{score.mean_error:7.1f} ({score.median_error:4.1f})" for score in found)
            lines.append(f"{name:<24}{len(places):>5}  {entry.name:<30}{numbers}  cover {found[1].coverage:.2f}")
    return "\n".join(lines)
