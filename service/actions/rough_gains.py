"""What actions gain by a rough look ahead: cheap enough for answers without what-ifs.

The members are those that fit the log, under the means of the weather that the finer run goes through day by day. The
heat model takes them to the goal's date in a few long strides. Both kinds of answer rank by it, so that they begin
alike; the numbers themselves are told to nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from service.actions.dosing.records import Dose
from service.actions.gains import Effects
from service.actions.whatif import gained, heat_counted, horizon_of, modelled, with_and_without
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather, side_by_side
from service.heat.physics.kernel import HOT_DAY_C, stride
from service.heat.physics.piles import Piles, PileState, joined
from service.picture.record import Picture
from service.units.figures import figure

STRIDES: Final = figure(
    (1 / 30, 1 / 10, 1 / 5, 2 / 5, 2 / 3, 1.0),
    "1",
    "Where the strides end, as shares of the time to the goal: 1, 3, 6, 12, 20, 30 days of the usual month",
    "no source",
)
HALVINGS: Final = figure(
    1,
    "1",
    "How often a stride is halved for members that move too far in it; not where no log chose them, for "
    "they are so far apart that it tells no more",
    "no source",
)
ERR: Final = figure(
    0.1, "1", "Most strides err by less than this share of half the range of what they tell", "no source"
)


@dataclass(frozen=True, slots=True)
class Considered:
    """One heap and the doses of what is advised for it, the first action first."""

    picture: Picture
    doses: Mapping[str, Sequence[Dose]]

    @property
    def in_doubt(self) -> bool:
        """Whether a look ahead could put something else first: what the model does not know it cannot put last."""
        return next(iter(self.doses), "") in modelled(self.doses)

    @property
    def edges(self) -> tuple[float, ...]:
        """Days from now at which the strides end."""
        horizon = horizon_of(self.picture.goal.days)
        return tuple(share * horizon for share in STRIDES)


@dataclass(frozen=True, slots=True)
class Rough:
    """What each action gains, as `whatif.gain_of` says, and what it could be if the strides err: see ERR."""

    gains: Mapping[str, float]
    or_else: tuple[Mapping[str, float], ...] = ()


def rough_gains(heaps: Sequence[Considered]) -> list[Rough]:
    """What each action gains on each heap, for the ranking; all heaps alike in one run."""
    asked = [place for place, heap in enumerate(heaps) if heap.in_doubt and modelled(heap.doses)]
    found = [Rough({})] * len(heaps)
    for halvings in (0, HALVINGS):
        together = [place for place in asked if heaps[place].picture.heap.has_log == bool(halvings)]
        if together:
            for place, rough in zip(together, _gains([heaps[place] for place in together], halvings), strict=True):
                found[place] = rough
    return found


def _gains(heaps: Sequence[Considered], halvings: int) -> list[Rough]:
    blocks, weathers, sizes = [], [], []
    for heap in heaps:
        known = heap.picture.heap
        names = modelled(heap.doses)
        own = with_and_without(
            heap.picture.estimate, known.piles, known.state, {name: heap.doses[name] for name in names}
        )
        blocks += own
        weathers += [known.spans(heap.edges)] * len(own)
        sizes.append(sum(block.rate.size for block, _ in own))
    rows = _run(heaps, blocks, weathers, sizes, halvings)
    return [_of_one(heap, parts) for heap, parts in zip(heaps, rows, strict=True)]


def _run(
    heaps: Sequence[Considered],
    blocks: Sequence[tuple[Piles, PileState]],
    weathers: Sequence[DailyWeather],
    sizes: Sequence[int],
    halvings: int,
) -> Iterator[tuple[Array, ...]]:
    """Heat in both counts, hot days and heat made, of each heap's columns."""
    limits = np.repeat([heap.picture.heat_counts_from_c for heap in heaps], sizes)
    left = np.repeat([heap.picture.left_share for heap in heaps], sizes)
    ends = np.repeat(np.array([heap.edges for heap in heaps]).T, sizes, axis=1)
    piles = joined([block for block, _ in blocks])
    weather = side_by_side(weathers)
    run = stride(piles, joined([state for _, state in blocks]), weather, ends, halvings)
    rows = (heat_counted(run, piles, limits, weather.air_c[0], left), run.hot_days(HOT_DAY_C), run.ledger["made"])
    splits = np.cumsum(sizes)[:-1]
    return zip(*(np.split(row, splits, axis=-1) for row in rows), strict=True)


def _of_one(heap: Considered, rows: tuple[Array, ...]) -> Rough:
    heat_j, hot_days, made_j = rows
    names, known = tuple(modelled(heap.doses)), heap.picture.heap
    heat, hot = heat_j.reshape(2, len(names) + 1, -1), hot_days.reshape(len(names) + 1, -1)
    made, accounts = float(np.median(made_j[: hot.shape[1]])), heap.picture.accounts
    horizon = horizon_of(heap.picture.goal.days)
    effects = Effects(names, gained(names, heat), hot[1:] - hot[0], made, horizon, accounts.usable_left.value)
    gains, *others = effects.gains_if_off(known.weights, ERR)
    off = [gains | {name: other[name]} for other in others for name in names if other[name] != gains[name]]
    return Rough(gains, tuple(off))
