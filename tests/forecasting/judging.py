"""Judge forecasts once, on heaps that nothing was tuned on: fresh seeds of every truth, and the measured half left.

`python -m tests.forecasting.judging --seeds 31,32 --heaps 200`. Each status is told in full, cut short, and as a single
reading. A seed that was judged is spent: after any tuning take others.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from tests.forecasting.kinds import BEFOREHAND, HINDSIGHT
from tests.forecasting.newborn import newborn_samples
from tests.forecasting.samples import JUDGED, LEADS, TRUTHS, Sample, samples_of
from tests.forecasting.training import litter_samples
from tests.measured import litter

NEWBORN_EVERY = 3  # how many fewer of them
WAYS: Final = {"as now": 0, "damped": 2}
MADE_UP: Final = "all made up"
"""All heaps of all truths together."""


def table(some: Sequence[Sample]) -> str:
    """Mean errors by truth and kind beside the simple ways, and how often the range held."""
    head = "".join(f"{f'{lead:.0f} d: ours':>13}{'as now':>8}{'line':>7}{'damped':>8}{'held':>6}" for lead in JUDGED)
    lines = [f"{'':<34}{'n':>5}{head}"]
    for truth in (*dict.fromkeys(each.truth for each in some), MADE_UP):
        of_truth = [each for each in some if each.truth in (TRUTHS if truth == MADE_UP else (truth,))]
        for kind, is_of in (BEFOREHAND | HINDSIGHT).items():
            kept = [each for each in of_truth if is_of(each)]
            if kept:
                lines.append(f"{truth + ', ' + kind:<34}{len(kept):>5}" + "".join(_cells(kept, at) for at in JUDGED))
    return "\n".join(lines)


def _cells(some: Sequence[Sample], lead: float) -> str:
    place = int(np.flatnonzero(lead == LEADS)[0])
    known = [each for each in some if np.isfinite(each.came_c[place])]
    if not known:
        return " " * 42
    came = np.array([each.came_c[place] for each in known])
    low, median, high = np.array([each.said[:, place] for each in known]).T
    apart = [np.abs(median - came).mean()]
    for way in (*WAYS.values(), None):
        said = [each.now_c + (lead * _slope(each) if way is None else each.ways[way, place]) for each in known]
        apart.append(np.abs(np.array(said) - came).mean())
    held = ((low <= came) & (came <= high)).mean()
    ours, now, damped, line = apart
    return f"{ours:13.1f}{now:8.1f}{line:7.1f}{damped:8.1f}{held:6.2f}"


def _slope(each: Sample) -> float:
    """Slope of the line through the log, from the damped one's first steps. [K/day]"""
    return float(each.ways[2, 0] / (6.0 * -np.expm1(-LEADS[0] / 6.0)))


def judged(truths: Iterable[str], seeds: Iterable[int], heaps: int) -> list[Sample]:
    """Samples of fresh seeds of these truths; `litter` is the measured half that was kept back."""
    listed, found = list(seeds), []
    for truth in truths:
        if truth == "litter":
            found += litter_samples(litter.JUDGING)
        else:
            found += [each for seed in listed for each in samples_of(truth, TRUTHS[truth](seed, heaps))]
            found += [each for seed in listed for each in newborn_samples(truth, seed, heaps // NEWBORN_EVERY)]
    return found


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.forecasting.judging", description=__doc__)
    parser.add_argument("--seeds", required=True, help="seeds that nothing was tuned on, such as 31,32")
    parser.add_argument("--heaps", type=int, default=200, help="simulated heaps of each truth and seed")
    parser.add_argument("--truths", default=",".join(("litter", *TRUTHS)), help="which, by name")
    given = parser.parse_args()
    seeds = [int(seed) for seed in given.seeds.split(",")]
    print(table(judged(given.truths.split(","), seeds, given.heaps)))


if __name__ == "__main__":
    main()
