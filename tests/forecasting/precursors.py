"""What in a log announces that a hot plateau is about to collapse: measured on the train seeds, for an estimator.

`python -m tests.forecasting.precursors`, run from the top of the repository. Printed per feature: on how many logs it
is known, the chance that a collapse ranks above a log without (AUC, 0.5 is chance), and the share of collapses found
when a fifth of the others is falsely alarmed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.status.models import Status
from service.status.reading import read_status

from . import baselines, truth
from .logs import DAYS, LENGTHS_DAYS, PILES, TRAIN_SEEDS, Log, days_to_tell, tell
from .truth_piles import build, generator

Array = NDArray[np.float64]

PLATEAU_C, FLAT_K_DAY = 50.0, 1.0  # a plateau by the readings: now above this, and the line through them this flat
FALL_K, WITHIN_DAYS = 15.0, 7  # a collapse: the true core falls by this much in this time
LOGS_PER_PILE: Final = 4
SAMPLING: Final = 9  # purpose of the generator
FEELS: Final = ("soggy", "wet", "damp", "dry", "dusty")
FALSE_ALARMS = 0.2


def plateau_logs(seed: int, piles: int = PILES) -> list[Log]:
    """Up to four logs of each heap, told on random days on which its readings lie on a hot plateau."""
    happened = truth.simulate(build(seed, piles), DAYS)
    logs = []
    for number in range(piles):
        rng = generator(seed, number, SAMPLING)
        days = days_to_tell(happened, number, "hot")
        for day in rng.permutation(days)[:LOGS_PER_PILE]:
            log = tell(happened, number, int(day), int(rng.choice(LENGTHS_DAYS[1:])), rng)
            if on_plateau(read_status(log.body)):
                logs.append(log)
    return logs


def on_plateau(status: Status) -> bool:
    """Whether the readings show a hot plateau."""
    return baselines.readings(status)[1][-1] > PLATEAU_C and abs(baselines.straight_line(status)[1]) < FLAT_K_DAY


def collapses(log: Log) -> bool:
    """Whether the true core falls by 15 K within a week."""
    return bool(log.path_c[0] - log.path_c[: 2 * WITHIN_DAYS + 1].min() >= FALL_K)


def features(status: Status) -> dict[str, float]:
    """What a log shows that might announce a collapse; larger should mean nearer. Unknown ones are NaN."""
    days, core = baselines.readings(status)
    now = core[-1]
    return {
        "core now": now,
        "fall of the last 3 readings": -_slope(days[-3:], core[-3:]),
        "fall of the last 7 readings": -_slope(days[-7:], core[-7:]),
        "fall of the last 14 readings": -_slope(days[-14:], core[-14:]),
        "bend: last 4 less the 4 before": _slope(days[-8:-4], core[-8:-4]) - _slope(days[-4:], core[-4:]),
        "below the highest of the log": float(core.max()) - now,
        "below the mean of the highest 3": float(np.sort(core)[-3:].mean()) - float(core[-3:].mean()),
        "age": status.age_days,
        **_matter(status),
        **_looked_at(status, now),
        **_drawn(status, now),
    }


def _slope(days: Array, core: Array) -> float:
    apart = days - days.mean() if days.size else days
    spread = float((apart**2).sum())
    return float((apart * core).sum()) / spread if days.size > 2 and spread > 0.0 else np.nan


def _mass_t(status: Status) -> float:
    size = status.pile.size
    if size is None:
        return np.nan
    if size.mass is not None:
        return size.mass / 1000.0
    volume = size.volume
    if volume is None and size.cone is not None:
        volume = np.pi * size.cone.diameter**2 * size.cone.height / 10.0  # between a cone and a dome
    return np.nan if volume is None else 0.42 * volume


def _matter(status: Status) -> dict[str, float]:
    rich = np.nan
    amounts = [(item.material, item.amount) for item in status.pile.ingredients or []]
    if amounts and all(amount is not None for _, amount in amounts):
        total = sum(amount.value for _, amount in amounts if amount is not None)
        rich = (
            1.0 - sum(amount.value for name, amount in amounts if amount is not None and name == "wood_chips") / total
        )
    mass = _mass_t(status)
    # Days a heap of this make-up and size stays hot, roughly, by a look at the train seeds.
    expected = 22.0 * (mass / 4.0) ** 0.5 * (1.0 + 2.0 * rich)
    return {
        "small mass": -mass,
        "poor mix": -rich,
        "age over expected hot days": status.age_days / expected,
        "slumping": np.nan if status.signs is None else float("slumping" in status.signs),
    }


def _looked_at(status: Status, now: float) -> dict[str, float]:
    outdoor, outer = status.temperatures.outdoor, status.temperatures.outer
    cold = np.nan if outdoor is None else -outdoor
    share = np.nan if outer is None or outdoor is None else (now - outer) / max(now - outdoor, 5.0)
    return {
        "dry feel": np.nan if status.moisture_feel is None else float(FEELS.index(status.moisture_feel)),
        "core over outer reading": share,
        "cold outdoors": cold,
        "bare": float(status.pile.cover == "none"),
        "exposed": np.nan
        if status.pile.wind is None
        else float(("sheltered", "normal", "exposed").index(status.pile.wind)),
        "foul smell": np.nan if status.smell is None else float(status.smell != "earthy"),
    }


def _drawn(status: Status, now: float) -> dict[str, float]:
    water = status.draw.water if status.draw is not None else None
    if water is None or not water.minutes_per_hour or water.flow is None:
        return {"draw per tonne": 0.0, "draw new or raised in 14 d": 0.0, "outlet far below core": np.nan}
    duty = water.minutes_per_hour / 60.0
    inlet = 10.0 if water.inlet is None else water.inlet
    outlet = 0.5 * (now + inlet) if water.outlet is None else water.outlet
    drawn_w = duty * water.flow * 4186.0 * (outlet - inlet)
    began = np.nan if water.since is None else (status.as_of.date() - water.since).days
    raised = not any(work.action == "reduce_draw" for work in status.done or [])
    known = water.inlet is not None and water.outlet is not None
    return {
        "draw per tonne": drawn_w / _mass_t(status),
        "draw new or raised in 14 d": drawn_w / _mass_t(status) if raised and began <= 14 else 0.0,
        "outlet far below core": (now - outlet) / max(now - inlet, 5.0) if known else np.nan,
    }


def auc(values: Array, labels: NDArray[np.bool_]) -> float:
    """Chance that a labelled value is above an unlabelled one, ties counted half."""
    yes, no = values[labels], np.sort(values[~labels])
    below = np.searchsorted(no, yes, "left") + np.searchsorted(no, yes, "right")
    return float(below.mean()) / (2.0 * no.size)


def found(values: Array, labels: NDArray[np.bool_], false_alarms: float = FALSE_ALARMS) -> float:
    """Share of the labelled above the limit that this share of the unlabelled passes."""
    return float((values[labels] > np.quantile(values[~labels], 1.0 - false_alarms)).mean())


def learn(table: Array, labels: NDArray[np.bool_], ridge: float = 3.0) -> Array:
    """Weights of a logistic regression on standardised features with a constant last, by Newton steps."""
    weights = np.zeros(table.shape[1])
    penalty = ridge * np.eye(table.shape[1])
    penalty[-1, -1] = 0.0
    for _ in range(12):
        chance = 1.0 / (1.0 + np.exp(-table @ weights))
        gradient = table.T @ (labels - chance) - penalty @ weights
        curvature = (table * (chance * (1.0 - chance))[:, None]).T @ table + penalty
        weights = weights + np.linalg.solve(curvature, gradient)
    return weights


def filled(table: Array, mean: Array, deviation: Array) -> Array:
    """Standardised, bounded at 3, the unknown at the mean, with a constant last column."""
    scaled = np.clip(np.nan_to_num((table - mean) / deviation), -3.0, 3.0)
    return np.column_stack([scaled, np.ones(len(table))])


def report(logs: Sequence[Log]) -> str:
    """One line per feature, then all together, learnt on the first two seeds and tried on the third."""
    labels = np.array([collapses(log) for log in logs])
    rows = [features(read_status(log.body)) for log in logs]
    table = np.array([list(row.values()) for row in rows])
    lines = [f"{labels.size} logs on a hot plateau, {labels.mean():.0%} collapse within {WITHIN_DAYS} days"]
    lines.append(f"{'feature':<34}{'known':>7}{'AUC':>7}{'found':>7}")
    for name, column in zip(rows[0], table.T, strict=True):
        known = np.isfinite(column)
        numbers = f"{auc(column[known], labels[known]):7.2f}{found(column[known], labels[known]):7.2f}"
        lines.append(f"{name:<34}{known.sum():7d}{numbers}")
    learning = np.array([log.seed != logs[-1].seed for log in logs])
    mean, deviation = np.nanmean(table[learning], axis=0), np.nanstd(table[learning], axis=0) + 1e-9
    ready = filled(table, mean, deviation)
    weights = learn(ready[learning], labels[learning])
    chance, rest = ready[~learning] @ weights, labels[~learning]
    lines.append(
        f"{'all, on the seed not learnt from':<34}{rest.size:7d}{auc(chance, rest):7.2f}{found(chance, rest):7.2f}"
    )
    order = np.argsort(-np.abs(weights[:-1]))[:8]
    names = list(rows[0])
    lines.append("weights per standard deviation: " + ", ".join(f"{names[i]} {weights[i]:+.2f}" for i in order))
    return "\n".join(lines)


if __name__ == "__main__":
    print(report([log for seed in TRAIN_SEEDS for log in plateau_logs(seed)]))
