"""How well each member fits what was read and seen, and what a misfit tells about the days ahead."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.heat.learning.log import Log
from service.heat.learning.log_run import LogRun
from service.heat.learning.memory import prior
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import PreparedHeaps, moving
from service.heat.physics.geometry import MEDIAN_RADII, sphere_radius
from service.heat.physics.members import OUTER_PROBE_DEPTH_M
from service.heat.physics.piles import Piles, PileState, node_temperatures, volume
from service.heat.tempering import tempered
from service.units.estimate import PileEstimate
from service.units.figures import figure

MODEL_SD_K: Final = figure(
    2.5,
    "K",
    "Error of the model beside its unknowns, standard deviation now; chosen on simulated heaps of a finer model",
    "derived",
)
MODEL_GROWS_DAYS: Final = figure(
    6.0, "days", "The days back over which that error grows by as much again; chosen on the same heaps", "derived"
)
MODEL_MEMORY_DAYS: Final = figure(10.0, "days", "How long that error lasts; chosen on the same heaps", "derived")
TAIL: Final = figure(
    4.0,
    "1",
    "Degrees of freedom of the errors: heavy tails, so that a probe that was moved or misread does not decide",
    "no source",
)
SHELL_SD_K: Final = figure(8.0, "K", "Error of the outer reading against the outer nodes", "no source")

LEAST_EFFECTIVE: Final = figure(
    4.0,
    "1",
    "Members that must at least share the weight: a log that one in 512 fits has not shown which heap it is",
    "no source",
)

TELLING_SMELLS: Final = frozenset({"sour", "rotten_egg", "ammonia"})
SMELL_TELLS: Final = figure(
    4.0, "1", "How many times likelier a telling smell is in a heap that has what makes it", "no source"
)
SHORT_OF_OXYGEN: Final = figure(
    0.5, "1", "Rate factor of oxygen in the core below which a heap smells of too little air", "no source"
)
NITROGEN_TO_SPARE: Final = figure(
    0.95, "1", "Rate factor of nitrogen above which a heap smells of ammonia", "no source"
)


@dataclass(frozen=True, slots=True)
class Fit:
    """Weights of members (sum 1), and by how much each should read more now, (n,). [K]"""

    weights: Array
    misfit_k: Array


def fit(estimate: PileEstimate, log: Log, run: LogRun) -> Fit:
    """Weigh members by core readings, by the outer temperature and by the smell, as far as they were told."""
    score, misfit = _by_core(log, run)
    score = score + prior(estimate.carried, score.size)
    if estimate.outer_c is not None:
        score = score - 0.5 * ((estimate.outer_c - _shell_c(run)) / SHELL_SD_K) ** 2
    if estimate.smell in TELLING_SMELLS:
        score = score + by_smell(estimate.smell, run.piles, run.state, run.usual)
    return Fit(tempered(score, LEAST_EFFECTIVE), misfit)


def _by_core(log: Log, run: LogRun) -> tuple[Array, Array]:
    """Logarithmic likelihood of the readings, and what is left of the misfit today [K], each (n,)."""
    misfit = log.core_c[:, None] - run.core_c
    model = MODEL_SD_K * (1.0 - log.days / MODEL_GROWS_DAYS)
    apart = np.abs(log.days[:, None] - log.days[None, :])
    lasting = np.outer(model, model) * np.exp(-apart / MODEL_MEMORY_DAYS)
    explained = np.linalg.solve(lasting + np.diag(log.errors_k**2) + log.shared_k**2, misfit)
    distance = (misfit * explained).sum(axis=0)
    return -0.5 * (TAIL + log.days.size) * np.log1p(distance / TAIL), lasting[-1] @ explained


def by_smell(smell: str | None, piles: Piles, state: PileState, weather: DailyWeather) -> Array:
    """Logarithmic likelihood of a telling smell for each member (n,), but for a constant.

    A heap smells of ammonia with nitrogen to spare, sour or rotten where air is short in the core.
    """
    if smell == "ammonia":
        smells = piles.nitrogen >= NITROGEN_TO_SPARE
    else:
        moment = PreparedHeaps.of(piles, state, weather)
        smells = moving(moment.fixed, moment.held, moment.held.celsius).oxygen[0] < SHORT_OF_OXYGEN
    result: Array = np.log(SMELL_TELLS) * smells
    return result


def _shell_c(run: LogRun) -> Array:
    """What a probe in the shell would read, straight between nodes in the square of the radius. [degC]"""
    celsius, squares = node_temperatures(run.piles, run.state), MEDIAN_RADII**2
    depth = OUTER_PROBE_DEPTH_M / sphere_radius(volume(run.piles, run.state))
    place = np.clip(1.0 - depth, MEDIAN_RADII[1], 1.0) ** 2
    above = np.clip(np.searchsorted(squares, place), 2, 3)
    share = (place - squares[above - 1]) / (squares[above] - squares[above - 1])
    columns = np.arange(place.size)
    result: Array = celsius[above - 1, columns] * (1.0 - share) + celsius[above, columns] * share
    return result


def drawn_by_weight(weights: Array, count: int) -> NDArray[np.intp]:
    """Positions of `count` members, each as often as its weight asks (systematic, without chance)."""
    places = (np.arange(count) + 0.5) / count
    result: NDArray[np.intp] = np.minimum(np.searchsorted(np.cumsum(weights), places), weights.size - 1)
    return result
