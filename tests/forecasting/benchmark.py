"""Score estimators on held-out logs and print the table.

`python -m tests.forecasting.benchmark [--estimator service.outlook.forecast:forecast_core]
[--split test|train|N,N]`, run from the top of the repository. An estimator is `(status, days) -> (median, low, high)`.
"""

from __future__ import annotations

import argparse
import importlib
import time
from collections.abc import Sequence

from . import baselines
from .logs import PILES, TEST_SEED, TRAIN_SEEDS, Log, make_logs
from .score import Estimator, by_kind, course_table, forecast, table

BASELINES: dict[str, Estimator] = {
    "persistence": baselines.persistence,
    "line": baselines.line,
    "bounded line": baselines.bounded_line,
}
AGAINST = ("persistence", "line")


def find_estimator(path: str) -> Estimator:
    """The function named `module:function`."""
    module, _, name = path.partition(":")
    found: Estimator = getattr(importlib.import_module(module), name)
    return found


def report(logs: Sequence[Log], estimators: dict[str, Estimator]) -> str:
    """Tables of the baselines and the estimators, hot heaps first, then young ones."""
    parts = []
    titles = {"hot": "hot heaps (core above 38 degC, 10 days old or more)", "young": "young heaps (3 to 9 days old)"}
    for kind, some in by_kind(logs).items():
        began = time.perf_counter()
        forecasts = [forecast(name, function, some) for name, function in (BASELINES | estimators).items()]
        took = time.perf_counter() - began
        parts += [f"{titles[kind]}: {len(some)} logs, {took:.1f} s", table(forecasts, some, AGAINST), ""]
        if kind == "hot":
            parts += [course_table(forecasts, some), ""]
    return "\n".join(parts)


def main(arguments: Sequence[str] | None = None) -> None:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.forecasting.benchmark", description=__doc__)
    parser.add_argument("--estimator", action="append", default=[], metavar="MODULE:FUNCTION")
    parser.add_argument(
        "--split", default="test", help="test, train (tune on it only), or seeds of your own: 20261,20262"
    )
    parser.add_argument("--piles", type=int, default=PILES, help="simulated heaps per seed")
    given = parser.parse_args(arguments)
    began = time.perf_counter()
    named = {"test": (TEST_SEED,), "train": TRAIN_SEEDS}
    seeds = named.get(given.split) or tuple(int(seed) for seed in given.split.split(","))
    logs = [log for seed in seeds for log in make_logs(seed, given.piles)]
    print(f"{given.split} seeds {seeds}: {len(logs)} logs made in {time.perf_counter() - began:.0f} s\n")
    print(report(logs, {path: find_estimator(path) for path in given.estimator}))


if __name__ == "__main__":
    main()
