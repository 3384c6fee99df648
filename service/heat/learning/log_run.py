"""The members run through the log: from the first reading that counts to now, under the draws of those days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.heat.learning.chance import Unforeseen, past
from service.heat.learning.log import Log
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.kernel import simulate
from service.heat.physics.members import DEFAULT_MEMBERS, members, usual_members, weather_now
from service.heat.physics.piles import Piles, PileState, node_temperatures
from service.units.estimate import Estimate, PileEstimate
from service.units.figures import figure

STEP_H: Final = figure(24.0, "h", "Step in which members are run through a log", "no source")
HALVINGS: Final = figure(1, "1", "How often a step is halved at most for members that move far in it", "no source")
FIRST_READING_K: Final = figure(2.0, "K", "80 % half-range of the core about the first reading", "no source")
DRIED_PER_DAY: Final = figure(0.001, "1", "How much wetter the heap was for each day back", "no source")
CHANGED_DRAW: Final = figure(
    {"nothing": 0.0, "less": 0.5, "more": 2.0},
    "1",
    "Running time before the draw was changed, over that of now",
    "no source",
)


@dataclass(frozen=True, slots=True)
class LogRun:
    """Members after the log: as they are now, their core at each reading (readings, n), and the weather over them."""

    piles: Piles
    state: PileState
    core_c: Array
    usual: DailyWeather
    today: Unforeseen


def run_through(estimate: PileEstimate, log: Log, n: int) -> LogRun:
    """Run n members of the heap as it was at the first reading up to now."""
    length = log.length_days
    piles, state, _ = members(_then(estimate, log), n) if length > 0.0 else _as_now(estimate, n)
    usual = weather_now(estimate, n)
    weather, today = past(usual, int(np.ceil(length)), n)
    times, cores = [np.zeros(1)], [node_temperatures(piles, state)[:1]]
    for part, start, days in _parts(estimate, log, piles):
        run = simulate(part, state, _from_day(weather, start), days, STEP_H, halvings=HALVINGS, booked=False)
        times.append(start + run.days[1:])
        cores.append(run.core_c[1:])
        state = run.state
    core = _at(log.days + length, np.concatenate(times), np.concatenate(cores)) if length > 0.0 else cores[0]
    return LogRun(piles, state, core, usual, today)


def _as_now(estimate: PileEstimate, n: int) -> tuple[Piles, PileState, Array]:
    return usual_members(estimate) if n == DEFAULT_MEMBERS else members(estimate, n)


def _then(estimate: PileEstimate, log: Log) -> PileEstimate:
    """The heap as it was believed to be at the first reading."""
    length = log.length_days
    first, doubt = float(log.core_c[0]), float(np.hypot(FIRST_READING_K, log.shared_k))
    wetter = DRIED_PER_DAY * length
    moisture = estimate.moisture
    return replace(
        estimate,
        age_days=max(estimate.age_days - length, 0.0),
        core_c=Estimate(first, first - doubt, first + doubt, "measured"),
        outer_c=None,
        moisture=Estimate(moisture.value + wetter, moisture.low + wetter, moisture.high + wetter, moisture.basis),
    )


def _parts(estimate: PileEstimate, log: Log, piles: Piles) -> Iterator[tuple[Piles, float, float]]:
    """The stretches of a log with one draw each: the heaps under it, when it begins, and how many days it lasts."""
    length = log.length_days
    lasting = length if estimate.drawn_days is None else min(float(np.round(estimate.drawn_days)), length)
    if lasting < length:
        yield _before(estimate, log, piles), 0.0, length - lasting
    if lasting > 0.0:
        yield piles, length - lasting, lasting


def _before(estimate: PileEstimate, log: Log, piles: Piles) -> Piles:
    """The heaps under the draw of before: what was found standing ran as it was set, else it ran more or less."""
    if estimate.drawn_before == "as_set":
        air, water = estimate.as_set
        ran = replace(estimate, air=air or estimate.air, water=water or estimate.water)
        return members(_then(ran, log), piles.rate.size)[0]
    factor = CHANGED_DRAW[estimate.drawn_before]
    shares = {name: np.minimum(factor * getattr(piles, name), 1.0) for name in ("air_share", "water_hour_share")}
    return replace(piles, **shares)


def _from_day(weather: DailyWeather, start: float) -> DailyWeather:
    """The weather from a day on."""
    first = int(start)
    return replace(weather, air_c=weather.air_c[first:], pace=weather.pace[first:])


def _at(wanted: Array, times: Array, values: Array) -> Array:
    """Values (times, n) at other times, straight between."""
    above = np.clip(np.searchsorted(times, wanted), 1, times.size - 1)
    share = ((wanted - times[above - 1]) / (times[above] - times[above - 1]))[:, None]
    result: Array = values[above - 1] * (1.0 - share) + values[above] * share
    return result
