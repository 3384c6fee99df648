"""How many questions it takes to reach what would be done first if all were known: `python -m tests.asking.benchmark`.

Cases are heaps of an independent model with most of their status withheld. Each way of asking is given the truth for
what it asks, one field at a time, until the first action is that of the whole status. A way that has asked all it can
and has not got there counts one more than it asked.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rules.tables.questions import QUESTIONS
from service.actions.dose_basis import dose_inputs
from service.actions.doses import doses_for
from service.actions.whatif import look_ahead
from service.answer.advice import advise
from service.picture.picture import picture_of
from service.why.flow import rerun
from service.worth.checks import weigh
from service.worth.questions import open_questions
from tests.asking.cases import TEST_SEED, Case, make_cases

HEAPS = 230
CASES = 200
RANDOM_ORDERS = 5
BOOTSTRAPS = 2000

Order = Callable[["Seen", frozenset[str]], str | None]


@dataclass
class Seen:
    """A case with what was worked out of it, by the fields asked for: nothing is worked out twice."""

    case: Case
    firsts: dict[frozenset[str], str] = field(default_factory=dict)
    asked_by_us: dict[frozenset[str], str | None] = field(default_factory=dict)

    def first(self, asked: frozenset[str]) -> str:
        """The first action once these fields were asked for."""
        if asked not in self.firsts:
            self.firsts[asked] = rerun(self.case.status(asked)).first_action
        return self.firsts[asked]

    def left(self, asked: frozenset[str]) -> list[str]:
        """Fields that can still be asked for, in the order of the table."""
        picture = picture_of(self.case.status(asked))
        return [each.field for each in open_questions(picture) if each.field in self.case.hidden - asked]

    def ours(self, asked: frozenset[str]) -> str | None:
        """The field that the service would ask for next."""
        if asked not in self.asked_by_us:
            told = advise(self.case.status(asked))
            self.firsts[asked] = told["actions"][0]["action"]
            askable = [each["field"] for each in told["ask_next"] if each["field"] in self.case.hidden - asked]
            self.asked_by_us[asked] = askable[0] if askable else next(iter(self.left(asked)), None)
        return self.asked_by_us[asked]


def by_service(seen: Seen, asked: frozenset[str]) -> str | None:
    """Ask what `ask_next` puts first."""
    return seen.ours(asked)


def by_table(seen: Seen, asked: frozenset[str]) -> str | None:
    """Ask in the order of the table, as common practice has it."""
    return next(iter(seen.left(asked)), None)


def at_random(number: int) -> Order:
    """Ask in a random order."""
    order = [each.field for each in QUESTIONS]
    np.random.default_rng(number).shuffle(order)

    def next_field(seen: Seen, asked: frozenset[str]) -> str | None:
        return min(seen.left(asked), key=order.index, default=None)

    return next_field


def questions_until(seen: Seen, order: Order) -> int:
    """How many questions until the first action is that of the whole status."""
    wanted = seen.first(seen.case.hidden)
    asked: frozenset[str] = frozenset()
    while seen.first(asked) != wanted:
        following = order(seen, asked)
        if following is None:
            return len(asked) + 1
        asked |= {following}
    return len(asked)


def counts(cases: Sequence[Case], random_orders: int = RANDOM_ORDERS) -> dict[str, NDArray[np.float64]]:
    """Questions asked in each case by each way of asking; random orders are averaged over several."""
    seen = [Seen(case) for case in cases]
    randoms = [
        [questions_until(each, at_random(1000 * each.case.number + k)) for each in seen] for k in range(random_orders)
    ]
    return {
        "this service": np.array([float(questions_until(each, by_service)) for each in seen]),
        "fixed order": np.array([float(questions_until(each, by_table)) for each in seen]),
        "random order": np.array(randoms, dtype=np.float64).mean(axis=0),
    }


def interval(differences: NDArray[np.float64]) -> tuple[float, float]:
    """90 % interval of a mean difference, by resampling cases."""
    rng = np.random.default_rng(5)
    means = rng.choice(differences, (BOOTSTRAPS, differences.size)).mean(axis=1)
    low, high = np.quantile(means, [0.05, 0.95]).tolist()
    return low, high


def table(found: dict[str, NDArray[np.float64]]) -> str:
    """Mean number of questions of each way, over all cases and over those where any was needed."""
    ours = found["this service"]
    needed = np.max(list(found.values()), axis=0) > 0
    lines = [f"{ours.size} cases; a question was needed in {needed.sum()}"]
    lines.append(f"{'way of asking':<16}{'mean':>7}{'where needed':>14}{'more than ours (90 % interval)':>34}")
    for name, count in found.items():
        gap = ""
        if name != "this service":
            low, high = interval(count - ours)
            gap = f"{(count - ours).mean():+.2f} ({low:+.2f} to {high:+.2f})"
        lines.append(f"{name:<16}{count.mean():>7.2f}{count[needed].mean():>14.2f}{gap:>34}")
    return "\n".join(lines)


def weighing_ms(cases: Sequence[Case]) -> NDArray[np.float64]:
    """Processor time to weigh all open questions of each case as it is first told [ms]."""
    found = []
    for case in cases:
        run = rerun(case.status())
        inputs = dose_inputs(run.picture)
        doses = {item.action.id: doses_for(item.action.id, inputs) for item in run.ranked}
        ahead = look_ahead(run.picture.estimate, doses, run.picture.goal.days)
        begun = time.process_time()
        weigh(run.picture, run.first_action, ahead)
        found.append(1000 * (time.process_time() - begun))
    return np.array(found)


def main(seed: int = TEST_SEED, heaps: int = HEAPS, cases: int = CASES) -> None:
    """Print the table."""
    begun = time.process_time()
    made = make_cases(seed, heaps)[:cases]
    print(table(counts(made)))
    middle, most = np.quantile(weighing_ms(made), [0.5, 0.95]).tolist()
    print(f"weighing all open questions: {middle:.1f} ms of processor time, 95 % within {most:.1f} ms")
    print(f"seed {seed}; {time.process_time() - begun:.0f} s of processor time")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
