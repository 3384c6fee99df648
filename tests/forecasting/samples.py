"""What a forecast is learned from: logs of all truths, told in full, cut short and as one reading, and what came."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from service.heat.learning.members import learned
from service.heat.learning.ways import QUARTILES, damped_k, ways_k
from service.heat.physics.kernel import simulate
from service.picture.picture import seen_in
from service.status.reading import read_status
from tests.forecasting import logs
from tests.forecasting.logs import Log
from tests.forecasting.others import coarse, plane

Array = NDArray[np.float64]

TRUTHS: Final[dict[str, Callable[[int, int], list[Log]]]] = {
    "fine": logs.make_logs,
    "coarse": coarse.make_logs,
    "plane": plane.make_logs,
}
LEADS: Final = np.array([1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 14.0, 21.0, 30.0])
JUDGED: Final = (3.0, 7.0, 14.0)
"""Those by which forecasts are judged."""
STEP_H: Final = 24.0
SHORT: Final = 2  # readings before now's that a short log keeps
SELDOM_DAYS, SELDOM_FROM_DAYS = 8.0, 15.0
"""How far apart the readings of a log kept seldom are at least, and from what length on one is made."""
SECONDS_PER_DAY: Final = 86_400.0


Versions = Callable[[Mapping[str, Any]], Iterator[tuple[str, dict[str, Any]]]]
"""Tells one status in several ways, each with its name."""


@dataclass(frozen=True, slots=True)
class Sample:
    """One heap told in one way: the ways a core may go on, the situation, and what came, by lead."""

    truth: str
    told: str
    said: Array  # (3, k): low, median, high of what is forecast [degC]
    ways: Array  # (ways, k) [K]
    features: Array  # (features, k)
    now_c: float
    came_c: Array  # (k,), NaN where it was not simulated


def versions(body: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The same status with all of its log, the last readings of it, and none."""
    history = list(body.get("history", ()))
    yield "log", dict(body)
    if len(history) > SHORT:
        yield "short", {**body, "history": history[-SHORT:]}
    yield "single", {key: value for key, value in body.items() if key != "history"}


def learned_versions(body: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The same, and a long log as somebody keeps it who reads the probe once in a while."""
    yield from versions(body)
    now = datetime.fromisoformat(body["as_of"])
    kept: list[Any] = []
    last = longest = 0.0
    for entry in reversed(list(body.get("history", ()))):
        longest = (now - datetime.fromisoformat(entry["at"])).total_seconds() / SECONDS_PER_DAY
        if longest >= last + SELDOM_DAYS:
            kept, last = [entry, *kept], longest
    if longest >= SELDOM_FROM_DAYS:
        yield "seldom", {**body, "history": kept}


def samples_of(truth: str, told: Iterable[Log], tell: Versions = versions) -> Iterator[Sample]:
    """Samples of one truth's logs, each told in some ways."""
    for log in told:
        for name, body in tell(log.body):
            yield sample(truth, name, body, log.later_c)


def sample(truth: str, told: str, body: Mapping[str, Any], later_c: Array) -> Sample:
    """One sample; `later_c` is the true core every half day from now on."""
    heap = learned(seen_in(read_status(body)).estimate)
    longest = float(LEADS[-1])
    run = simulate(heap.piles, heap.state, heap.weather(longest), longest, STEP_H)
    low, *quartiles, high = _at_leads(run.days, heap.modelled(run.days, run.core_c), (0.1, *QUARTILES, 0.9))
    ways = ways_k(heap.situation, LEADS, np.array(quartiles))
    damped = damped_k(heap.situation, LEADS)
    features = heap.situation.features(LEADS, ways[1], damped, 0.5 * (high - low))
    said = _at_leads(run.days, heap.told_core(run.days, run.core_c), (0.1, 0.5, 0.9))
    came = np.array([later_c[round(2 * lead)] if round(2 * lead) < len(later_c) else np.nan for lead in LEADS])
    return Sample(truth, told, said, ways, features, heap.situation.now_c, came)


def _at_leads(days: Array, core_c: Array, shares: tuple[float, ...]) -> Array:
    """Quantiles of the members at the leads, (shares, k)."""
    return np.array([np.interp(LEADS, days, band) for band in np.quantile(core_c, shares, axis=1)])
