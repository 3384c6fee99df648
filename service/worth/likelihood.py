"""How likely each answer is, member by member: by physics where it speaks, else by the shares of the table.

A row of likelihoods for each answer, (answers, n), whose columns sum to 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType
from typing import Final

import numpy as np

from rules.tables.questions import Answer, Question
from rules.tables.thresholds import TREND_LIMIT
from service.facts.drawing import DAY_HOURS
from service.facts.mixture import read_mixture
from service.facts.moisture import FEEL_MOISTURE
from service.facts.record import Derived
from service.heat.physics.arrays import Array
from service.heat.physics.geometry import BURIED_SHARES, MEDIAN_RADII, sphere_radius
from service.heat.physics.members import OUTER_PROBE_DEPTH_M
from service.heat.physics.piles import WATER_HEAT
from service.heat.physics.water_loop import running_conductance
from service.picture.record import Picture
from service.units.estimate import MINUTES_PER_HOUR
from service.units.figures import figure
from service.worth.heaps import Heaps
from service.worth.questions import TREND_DAYS, status_if

FEEL_ERROR: Final = figure(
    0.05, "1", "Standard error of a squeeze test against the heap's moisture; see `derive.moisture`", "no source"
)
NEAR_NORMAL: Final = figure(1.7, "1", "Slope that brings a logistic curve near the normal one (statistics)", "derived")
LEAST_STEADY: Final = figure(0.05, "1", "A steady core is never less likely than this", "no source")
TREND_ERROR_K_DAY: Final = figure(
    1.5, "K/day", "How far the past slope of a core strays from what the model has it do next", "no source"
)
SIZE_ERROR: Final = figure(
    0.4, "1", "Answers on size stand for heaps within about this logarithmic standard deviation", "no source"
)
RICHNESS_ERROR: Final = figure(
    0.5, "1", "Mixes stand for heaps whose fast matter is within about this logarithmic standard deviation", "no source"
)
LEAST_FAST: Final = figure(1e-3, "1", "Fast matter counts as at least this share of the dry matter", "no source")
OUTDOOR_ERROR_K: Final = figure(
    4.0, "K", "Answers on the air outside stand for about this much either way", "no source"
)
SHELL_ERROR_K: Final = figure(
    5.0, "K", "Answers on a reading in the shell stand for about this much either way", "no source"
)
OUTLET_ERROR_K: Final = figure(
    4.0, "K", "Answers on the loop's water stand for about this much either way", "no source"
)
RUNNING_ERROR: Final = figure(
    0.2, "1", "Answers on running time stand for about this share of the hour or the day either way", "no source"
)
NIGHT_BELOW_MEAN_K: Final = figure(4.0, "K", "A night's low below the mean", "no source")
WET_FROM: Final = figure(0.62, "1", "Moisture from which a heap smells of too little air", "no source")
DRY_BELOW: Final = figure(0.45, "1", "Moisture below which it shows that it is dry", "no source")
TURN: Final = figure(0.03, "1", "How sharply both turn", "no source")
TOLD_APART: Final = figure(8.0, "1", "How many times likelier a telling smell or sign is in such a heap", "no source")


def likelihoods(question: Question, picture: Picture, heaps: Heaps) -> Array:
    """How likely each answer is for each member, (answers, n)."""
    by_physics = BY_PHYSICS.get(question.field)
    shares = _shares(question.answers, heaps)
    odds = shares if by_physics is None else by_physics(question.answers, picture, heaps)
    result: Array = odds / odds.sum(axis=0)
    return result


def _shares(answers: Sequence[Answer], heaps: Heaps) -> Array:
    return np.array([[answer.share] for answer in answers]) * np.ones(heaps.weights.size)


def _near(values: Sequence[float] | Array, member: Array, error: float) -> Array:
    """Odds of answers that stand for values, for members that have others; never quite nothing."""
    distance = (np.array(values)[:, None] - member) / error
    result: Array = np.exp(-0.5 * distance**2) + 1e-6
    return result


def _chance_below(distance: Array) -> Array:
    """Chance that an error of so many standard deviations is not passed: a logistic curve near the normal one."""
    result: Array = 1.0 / (1.0 + np.exp(np.clip(-NEAR_NORMAL * distance, -50.0, 50.0)))
    return result


def _feel(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    felt = [FEEL_MOISTURE[answer.sets["/moisture_feel"]] for answer in answers]
    return _near(felt, heaps.moisture, FEEL_ERROR)


def _trend(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    """Where the core goes is where it likely came from; the shares of the table count as well."""
    shares = _shares(answers, heaps)
    if heaps.ahead is None:
        return shares
    day = int(np.argmin(np.abs(heaps.ahead.days - TREND_DAYS)))
    slope = (heaps.ahead.core_c[day] - heaps.ahead.core_c[0]) / heaps.ahead.days[day]
    falling, rising = (_chance_below((sign * slope - TREND_LIMIT.value) / TREND_ERROR_K_DAY) for sign in (-1.0, 1.0))
    odds = {"falling": falling, "rising": rising, "steady": np.maximum(1.0 - falling - rising, LEAST_STEADY)}
    result: Array = shares * np.array([odds[answer.sets["/history"]] for answer in answers])
    return result


def _size(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    volumes = [float(np.log(answer.sets["/pile/size"])) for answer in answers]
    return _near(volumes, np.log(heaps.piles.volume_m3), SIZE_ERROR)


def _ingredients(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    """Shares of the table, more where a mix is as rich in fast matter, against what was expected, as the member."""
    fast = np.log(np.maximum(heaps.state.fast_kg.sum(axis=0) / heaps.piles.dry_kg, LEAST_FAST))
    mixes = [read_mixture(status_if(answer, picture), Derived()).fast.value for answer in answers]
    richer = np.log(np.maximum(mixes, LEAST_FAST) / max(picture.estimate.fast_share.value, LEAST_FAST))
    odds: Array = _shares(answers, heaps) * _near(richer, fast - np.median(fast), RICHNESS_ERROR)
    return odds


def _outer(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    """The shell as it lies on the parabola through the innermost and the outermost node."""
    celsius, squares = heaps.counted.celsius, MEDIAN_RADII**2
    bend = (celsius[-1] - celsius[0]) / (squares[-1] - squares[0])
    place = np.clip(1.0 - OUTER_PROBE_DEPTH_M / sphere_radius(heaps.piles.volume_m3), 0.0, 1.0) ** 2
    told = [answer.sets["/temperatures/outer"] for answer in answers]
    return _near(told, celsius[0] + bend * (place - squares[0]), SHELL_ERROR_K)


def _outlet(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    """The water as loop and heap would warm it."""
    p = heaps.piles
    conductance = running_conductance(p.water_flow_kg_s, p.loop_inner_w_k, p.loop_outer_w_k, p.water_hour_share)
    warmed = conductance / np.maximum(WATER_HEAT * p.water_flow_kg_s, 1e-9)
    material_c = BURIED_SHARES @ heaps.counted.celsius
    told = [answer.sets["/draw/water/outlet"] for answer in answers]
    return _near(told, p.water_inlet_c + warmed * (material_c - p.water_inlet_c), OUTLET_ERROR_K)


def _outdoor(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    told = [answer.sets["/temperatures/outdoor"] for answer in answers]
    return _near(told, heaps.weather.air_c[0] * np.ones(heaps.weights.size), OUTDOOR_ERROR_K)


def _low(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    told = [answer.sets["/weather/low"] + NIGHT_BELOW_MEAN_K for answer in answers]
    return _near(told, heaps.weather.air_c[0] * np.ones(heaps.weights.size), OUTDOOR_ERROR_K)


def _smell(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    return _telling(answers, heaps, "/smell", wet={"sour", "rotten_egg"}, dry={"musty"})


def _signs(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    return _telling(answers, heaps, "/signs", wet={"leachate"}, dry={"dry_pockets", "wet_skin_dry_core"})


def _telling(answers: Sequence[Answer], heaps: Heaps, field: str, *, wet: set[str], dry: set[str]) -> Array:
    """Shares of the table, more where a telling word fits how wet the member is."""
    moisture = heaps.moisture
    more_wet = 1.0 + (TOLD_APART - 1.0) * _chance_below((moisture - WET_FROM) / TURN)
    more_dry = 1.0 + (TOLD_APART - 1.0) * _chance_below((DRY_BELOW - moisture) / TURN)
    odds = _shares(answers, heaps)
    for row, answer in enumerate(answers):
        told = answer.sets.get(field, ())
        said = {told} if isinstance(told, str) else set(told)
        if said & wet:
            odds[row] *= more_wet
        if said & dry:
            odds[row] *= more_dry
    return odds


def _pump_hours(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    told = [answer.sets["/draw/water/hours_per_day"] / DAY_HOURS for answer in answers]
    return _shares(answers, heaps) * _near(told, heaps.piles.water_day_share, RUNNING_ERROR)


def _pump_minutes(answers: Sequence[Answer], picture: Picture, heaps: Heaps) -> Array:
    told = [answer.sets["/draw/water/minutes_per_hour"] / MINUTES_PER_HOUR for answer in answers]
    return _shares(answers, heaps) * _near(told, heaps.piles.water_hour_share, RUNNING_ERROR)


BY_PHYSICS: Final = MappingProxyType(
    {
        "/moisture_feel": _feel,
        "/history": _trend,
        "/pile/size": _size,
        "/pile/ingredients": _ingredients,
        "/temperatures/outdoor": _outdoor,
        "/weather/low": _low,
        "/temperatures/outer": _outer,
        "/draw/water/outlet": _outlet,
        "/draw/water/hours_per_day": _pump_hours,
        "/draw/water/minutes_per_hour": _pump_minutes,
        "/smell": _smell,
        "/signs": _signs,
    }
)
"""Questions whose answers the ensemble has a say in."""
