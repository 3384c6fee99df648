"""What a grower would have written down of a simulated heap, and what it hid: the core of the next 14 days.

Train and test heaps come from different seeds, fixed here. Tune on the train seeds only; the test seed is for the
table. Nothing may be changed here, or in the truth, to suit an estimator.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from . import truth
from .grower import Grower
from .truth_piles import TELLING, build, generator

Array = NDArray[np.float64]
Kind = Literal["hot", "young"]

TRAIN_SEEDS: Final = (4101, 4102, 4103)
TEST_SEED: Final = 9301
PILES: Final = 480  # heaps of a seed; about 370 of them give a log
DAYS: Final = 100
AHEAD_DAYS: Final = 14
HOT_C: Final = 38.0  # a hot log is told on a random day with the core above this
HOT_FROM_DAY: Final = 10  # and not before this age
YOUNG_DAYS: Final = (3, 9)  # a young log is told between these ages, whatever the core
YOUNG_EVERY = 8  # every eighth heap gives a young log
LENGTHS_DAYS: Final = (4, 7, 14, 21, 30, 45)
LENGTH_CHANCES: Final = (0.15, 0.2, 0.3, 0.15, 0.12, 0.08)
TWICE_DAILY = 0.2  # share of growers
GAPS = 0.25
FEWEST, MOST = 3, 60
READING_SD_K, PLACEMENT_SD_K = 1.0, 0.8
MOVED = 0.15  # share of logs in which the probe was moved, by some kelvin


@dataclass(frozen=True, slots=True)
class Log:
    """One log: the status as told, and the hidden future.

    `path_c` is the true core every half day from now to 14 days ahead, (29,), without the probe's errors.
    """

    seed: int
    number: int  # of the heap
    day: int  # age of the heap
    kind: Kind
    body: dict[str, Any]
    path_c: Array
    later_c: Array  # the same as long as it was simulated, for what looks further ahead

    def future_c(self, days: float) -> float:
        """True core some days ahead, in whole half days up to 14. [degC]"""
        return float(self.path_c[round(2.0 * days)])


def make_logs(seed: int, piles: int = PILES) -> list[Log]:
    """The logs of a seed's first heaps, at most one each; a heap's log does not depend on the others."""
    happened = truth.simulate(build(seed, piles), DAYS)
    logs = (_random_log(happened, number) for number in range(piles))
    return [log for log in logs if log is not None]


def _random_log(happened: truth.Truth, number: int) -> Log | None:
    rng = generator(happened.built.seed, happened.built.first + number, TELLING)
    kind: Kind = "young" if number % YOUNG_EVERY == YOUNG_EVERY - 1 else "hot"
    length = int(rng.choice(LENGTHS_DAYS, p=LENGTH_CHANCES))
    days = days_to_tell(happened, number, kind)
    if days.size == 0:
        return None
    old_enough = days[days >= length]
    return tell(happened, number, int(rng.choice(old_enough if old_enough.size else days)), length, rng)


def tell(happened: truth.Truth, number: int, day: int, length: int, rng: np.random.Generator) -> Log:
    """The log of one heap on one day, with readings from at most `length` days back."""
    kind: Kind = "hot" if day >= HOT_FROM_DAY else "young"
    times, values = read_core(happened.core_c[: 2 * day + 1, number], min(length, day), rng)
    body = Grower(happened, number, day, rng).status(values[-1])
    as_of = datetime.fromisoformat(body["as_of"])
    body["history"] = [
        {"at": (as_of - timedelta(days=day - at)).isoformat(), "core": value}
        for at, value in zip(times[:-1], values[:-1], strict=True)
    ]
    path = happened.core_c[2 * day : 2 * (day + AHEAD_DAYS) + 1, number]
    later = happened.core_c[2 * day :, number]
    return Log(happened.built.seed, happened.built.first + number, day, kind, body, path, later)


def days_to_tell(happened: truth.Truth, number: int, kind: Kind) -> NDArray[np.intp]:
    """Ages at which the log may be told: nothing about the draw may change in the days to be forecast."""
    piles = happened.built.piles
    first, last = (HOT_FROM_DAY, DAYS - AHEAD_DAYS) if kind == "hot" else YOUNG_DAYS
    day = np.arange(first, last + 1)
    good = happened.core_c[2 * day, number] > (HOT_C if kind == "hot" else -np.inf)
    if piles.loop_flow_w_k[number] > 0.0:
        for change in (piles.loop_from_day[number], piles.loop_change_day[number]):
            good &= (change <= day) | (change > day + AHEAD_DAYS)
    result: NDArray[np.intp] = day[good]
    return result


def read_core(core_c: Array, length: int, rng: np.random.Generator) -> tuple[list[float], list[float]]:
    """Ages and whole-degree readings up to now, oldest first; the last one is now's.

    Parameters
    ----------
    core_c
        True core every half day from building to now. [degC]
    length
        How long the log goes back. [days]
    """
    day = (len(core_c) - 1) // 2
    step = 0.5 if rng.uniform() < TWICE_DAILY else 1.0
    times = np.arange(day - length, day + 0.1, step)
    kept = rng.uniform(size=times.size) >= GAPS
    kept[-1] = True
    missing = np.flatnonzero(~kept)[::-1]
    kept[missing[: max(FEWEST - int(kept.sum()), 0)]] = True
    times = times[kept][-MOST:]
    offset = np.full(times.size, PLACEMENT_SD_K * rng.standard_normal())
    if rng.uniform() < MOVED:
        # The probe is moved out of the hottest place, or was elsewhere first and is put right.
        moved = times[0] + rng.uniform(0.2, 1.0) * (times[-1] - times[0])
        worse = times > moved if rng.uniform() < 0.5 else times <= moved
        offset = offset - rng.uniform(2.0, 7.0) * worse
    true = core_c[np.rint(2.0 * times).astype(int)]
    values = np.rint(true + offset + READING_SD_K * rng.standard_normal(times.size))
    return times.tolist(), values.tolist()
