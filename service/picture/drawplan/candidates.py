"""Ways to draw that are worth a try."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from service.facts.house import ASSUMED_NIGHT_TARGET
from service.units.figures import figure

By = Literal["core", "timer", "off", "as_now"]
Hours = Literal["all", "night"]

PAIRS: Final = figure(
    ((30.0, 26.0), (36.0, 32.0)),
    "degC",
    "Core at which the draw starts and stops, the usual one first (a cool heap loses less of what it "
    "makes, and has more left to burn in March; on whole simulated winters of heaps that are well kept "
    "fewer die so)",
    "no source",
)
TIMED: Final = figure(
    ((36.0, 32.0), (50.0, 40.0)),
    "1",
    "Pairs where nothing holds the core: a timer that is set too long takes the heap below the lower one",
    "no source",
)
YOUNG: Final = figure(
    ((40.0, 34.0), (50.0, 40.0)),
    "1",
    "Pairs for a heap that may still be getting hot: one that has got to 40 is going",
    "no source",
)
CAREFUL: Final = figure(
    ((58.0, 48.0), (64.0, 55.0)),
    "1",
    "Pairs for a heap that is ill described: what it answers is seen before much is taken",
    "no source",
)
LAST_OVER_HOUSE_K: Final = figure(
    (8.0, 5.0),
    "K",
    "The pair of a heap's last weeks over the house's night temperature, when what it still holds would "
    "be left over: what comes back to a loop or duct is some kelvins warmer than the house, and nothing "
    "flows without a difference (no heap is there to be kept any more)",
    "no source",
)
HYSTERESIS_K: Final = figure(
    10.0, "K", "Least distance of the two where a person's own limit lifts the lower one", "no source"
)
HOTTEST_START_C: Final = figure(
    65.0,
    "degC",
    "A heap is never left to climb beyond this before heat is drawn: near where its microbes die",
    "no source",
)
BY_DAY_TOO_FROM_C: Final = figure(
    50.0,
    "degC",
    "From this core on, or its pair's start where that is more, a heap is drawn around the clock until "
    "the next reading: nights alone do not take what it makes (see the README)",
    "no source",
)

ALWAYS_C: Final = figure(
    -99.0, "degC", "Stands there where a heap is drawn around the clock whatever its core", "no source"
)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way to draw: by the core between two temperatures [degC], not at all, or as it is drawn now.

    `last_start_c` and `last_stop_c` are the two in the heap's last weeks. By the core it is drawn in `hours` until the
    next reading, and around the clock while the core is at `by_day_from_c` or more.
    """

    by: By
    start_c: float
    stop_c: float
    hours: Hours
    last_start_c: float = ASSUMED_NIGHT_TARGET.value + LAST_OVER_HOUSE_K[0]
    last_stop_c: float = ASSUMED_NIGHT_TARGET.value + LAST_OVER_HOUSE_K[1]
    by_day_from_c: float = BY_DAY_TOO_FROM_C

    def at(self, core_c: float) -> Candidate:
        """The same with the hours of a heap that reads this core."""
        return replace(self, hours="all" if core_c >= self.by_day_from_c else "night") if self.by == "core" else self

    def in_last_weeks(self) -> Candidate:
        """The same with the pair of the last weeks in force."""
        return replace(self, start_c=self.last_start_c, stop_c=self.last_stop_c)


AS_NOW: Final = Candidate("as_now", 0.0, 0.0, "all")
OFF: Final = Candidate("off", PAIRS[0][0], PAIRS[0][1], "all", PAIRS[0][0], PAIRS[0][1])


def candidates_of(
    limit_c: float | None,
    *,
    careful: bool = False,
    young: bool = False,
    timed: bool = False,
    house_c: float = ASSUMED_NIGHT_TARGET.value,
    housed: bool = False,
) -> list[Candidate]:
    """As now, off, and each pair; a person's own limit lifts the pairs over it.

    A young heap is first left to get warm, and one that nothing holds at a core (`timed`) is kept warmer: the lowest
    pair is not for them. `house_c` is what the house is kept at by night. Where a thermostat in the house stops the
    draw (`housed`), no hour is kept from it.
    """
    pairs = CAREFUL if careful else YOUNG if young else TIMED if timed else PAIRS
    lifted = dict.fromkeys(pair if limit_c is None else _over(pair, limit_c) for pair in pairs)
    empty = house_c + LAST_OVER_HOUSE_K[0], house_c + LAST_OVER_HOUSE_K[1]
    last = empty if limit_c is None else _over(empty, limit_c)

    def from_c(start: float) -> float:
        return ALWAYS_C if housed else max(BY_DAY_TOO_FROM_C, start)

    cores = [
        Candidate("core", start, stop, "night", min(last[0], start), min(last[1], stop), from_c(start))
        for start, stop in lifted
    ]
    return [AS_NOW, OFF, *cores]


def _over(pair: tuple[float, float], limit_c: float) -> tuple[float, float]:
    stop = max(pair[1], limit_c)
    return max(pair[0], min(stop + HYSTERESIS_K, max(HOTTEST_START_C, stop + 1.0))), stop
