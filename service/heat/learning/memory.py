"""What was learned of a heap earlier, carried on: which members fitted then.

A member is a set of unknowns (how fast this heap rots, how much it loses, and so on) that stays the same number for
ever, so a later part of the log can begin from the weights that an earlier one left. Parts must not overlap, or a
reading would count twice: what is carried is at least as old as the log is long.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from service.heat.learning.shape import LearnedShown
from service.heat.physics.arrays import Array
from service.status.days import days_between
from service.status.models import Status
from service.units.figures import figure

MEMBERS_OF: Final = figure(
    1, "1", "Goes up when members change their meaning; what was carried from before then is dropped", "no source"
)
KEPT: Final = figure(
    0.25,
    "1",
    "Share of the earlier part's say that is left. Heaps change: on 115 logs of train seeds a half of it "
    "made forecasts of the members neither better nor worse, all of it made them worse",
    "no source",
)
FLOOR: Final = figure(
    0.25,
    "1",
    "Weight of a member that did not fit then, over that of one in an even crowd: the log wins within days",
    "no source",
)
LEAST_DAYS: Final = figure(
    7.0, "days", "What is carried is at least so old: the log proper goes back so far", "no source"
)


def learned_shown(status: Status, chosen: Sequence[int]) -> LearnedShown | None:
    """What was learned, as it is given to be kept; None without a log."""
    if not chosen:
        return None
    return {"as_of": status.as_of.isoformat(), "of": MEMBERS_OF, "members": list(chosen)}


def carried_members(status: Status) -> tuple[int, ...]:
    """The members that fitted earlier, where what was carried is of these members and old enough."""
    told = status.learned
    if told is None or told.of != MEMBERS_OF or days_between(told.as_of, status.as_of) < LEAST_DAYS:
        return ()
    return tuple(told.members)


def prior(carried: Sequence[int], tried: int) -> Array:
    """Logarithm of each member's weight before the log is looked at, (tried,); nothing where nothing is carried."""
    if not carried:
        return np.zeros(tried)
    numbers = np.array([number for number in carried if 0 <= number < tried], dtype=np.intp)
    if numbers.size == 0:
        return np.zeros(tried)
    even = numbers.size / tried
    times = np.bincount(numbers, minlength=tried) / even
    result: Array = KEPT * np.log((times + FLOOR) / (1.0 + FLOOR))
    return result
