"""How the forecasts of a season turned out: what was told of the core ahead, beside what was read then."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from service.logbook.shapes.season_page import SeasonForecast
from service.problems.json_text import JsonObject
from service.units.estimate import SECONDS_PER_DAY

LEADS: Final = (3, 7, 14)
"""Days ahead that are looked at; an answer tells its core for these."""
WITHIN: Final = timedelta(hours=12)
"""A reading this near to the moment that was forecast counts (our own)."""

TimedCore = tuple[datetime, float]
"""A moment and the core read then [degC]."""


@dataclass(frozen=True, slots=True)
class PastForecast:
    """A forecast of one moment: low, median, high and the core of the day it was told [degC]."""

    lead: int
    at: datetime
    low: float
    median: float
    high: float
    now: float


def told_in(answer: JsonObject) -> list[PastForecast]:
    """The forecasts of an answer at LEADS; none where nothing was run ahead."""
    outlook = answer["outlook"]
    core, scale = outlook["core"], outlook["unit"]
    if not outlook["at"]:
        return []
    begun = datetime.fromisoformat(answer["as_of"])
    rows = zip(outlook["at"], core["low"], core["median"], core["high"], strict=True)
    found = []
    for at, *numbers in rows:
        moment = datetime.fromisoformat(at)
        lead = round((moment - begun).total_seconds() / SECONDS_PER_DAY)
        if lead in LEADS:
            low, median, high = (_celsius(number, scale) for number in numbers)
            found.append(PastForecast(lead, moment, low, median, high, _celsius(core["median"][0], scale)))
    return found


def _celsius(value: float, scale: str) -> float:
    return (value - 32.0) / 1.8 if scale == "degF" else value


def turned_out(told: Iterable[PastForecast], read: Sequence[TimedCore]) -> list[SeasonForecast]:
    """For each lead: how many could be checked, mean error, that of "as it is now", and how often the range held."""
    moments = [at for at, _ in read]
    checked = [(each, came) for each in told if (came := _nearest(each.at, moments, read)) is not None]
    return [_of_lead(lead, [pair for pair in checked if pair[0].lead == lead]) for lead in LEADS]


def _nearest(at: datetime, moments: Sequence[datetime], read: Sequence[TimedCore]) -> float | None:
    place = bisect_left(moments, at)
    around = [read[index] for index in (place - 1, place) if 0 <= index < len(read)]
    near = min(around, key=lambda each: abs(each[0] - at), default=None)
    return near[1] if near is not None and abs(near[0] - at) <= WITHIN else None


def _of_lead(lead: int, pairs: Sequence[tuple[PastForecast, float]]) -> SeasonForecast:
    count = len(pairs)

    def mean(values: Iterable[float]) -> float | None:
        return round(sum(values) / count, 2) if count else None

    return {
        "days_ahead": lead,
        "checked": count,
        "mean_error_k": mean(abs(each.median - came) for each, came in pairs),
        "as_it_was_k": mean(abs(each.now - came) for each, came in pairs),
        "range_held": mean(float(each.low <= came <= each.high) for each, came in pairs),
    }
