"""What is not known about heaps as ensembles: every member is one heap that fits what was reported.

Many heaps are spread side by side, one heap is many with one. Arrays are (heaps, members) while estimates are spread,
and joined along one axis for the heat model. Priors without a source are our judgement and marked so; the spreads are
standard deviations of the logarithm.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Final

import numpy as np

from service.heat.physics import decay
from service.heat.physics.arrays import Array
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.fittings import duct_of, loop_of
from service.heat.physics.geometry import MEDIAN_RADII, sphere_radius
from service.heat.physics.losses import SOLID_DENSITY, cover_of, draught_left, wetness
from service.heat.physics.piles import CONDUCTIVITY_W_MK, PERMEABILITY_M2, Piles, PileState
from service.heat.physics.spread import Estimates, flags, numbers, points
from service.units.estimate import WATER_DENSITY, Estimate, PileEstimate
from service.units.figures import figure

DEFAULT_MEMBERS: Final = figure(
    64, "1", "Members of a heap that is described, where nothing else is asked", "no source"
)

RATE_SPREAD: Final = figure(
    0.5,
    "1",
    "Standard deviation of the logarithm of the pace of rot: chosen so that starts and durations of "
    "heaps come out as reported",
    "derived",
)
LOSS_SPREAD: Final = figure(
    0.35,
    "1",
    "Standard deviation of the logarithm of losses to the air: chosen so that starts and durations of "
    "heaps come out as reported",
    "derived",
)
CONDUCTIVITY_SPREAD: Final = figure(
    0.3,
    "1",
    "Standard deviation of the logarithm of conductivity: chosen so that starts and durations of heaps "
    "come out as reported",
    "derived",
)
PERMEABILITY_SPREAD: Final = figure(
    0.7,
    "1",
    "Standard deviation of the logarithm of permeability: chosen so that starts and durations of heaps "
    "come out as reported",
    "derived",
)
NITROGEN_SPREAD: Final = figure(
    0.3,
    "1",
    "Standard deviation of the logarithm of the nitrogen told of a mix: chosen so that starts and "
    "durations of heaps come out as reported",
    "derived",
)
LIFETIME_ENVIRONMENT: Final = figure(
    (0.35, 0.85),
    "1",
    "Mean factor of warmth, water and air over a heap's past and future: chosen as the spreads are",
    "derived",
)
SHELL_WARMTH: Final = figure(
    (0.40, 0.15), "1", "Outermost node over core, both over outdoors: mean and standard deviation", "no source"
)

COLDEST_SHELL: Final = figure(0.1, "1", "Low end of that warmth", "no source")
WARMEST_SHELL: Final = figure(0.9, "1", "High end of that warmth", "no source")
DEEPEST_SKIN: Final = figure(
    0.95, "1", "The outer reading is taken no nearer to the face than this share of the radius", "no source"
)
OUTER_PROBE_DEPTH_M: Final = figure(0.22, "m", "The outer reading is taken 15 to 30 cm deep (contract)", "no source")
LOWEST_AIR_SPACE: Final = figure(0.12, "1", "No heap has less room for air", "no source")
BULK_DENSITY_LIMITS: Final = figure((120.0, 900.0), "kg/m3", "No heap is lighter or heavier", "no source")
MOISTURE_LIMITS: Final = figure((0.08, 0.82), "1", "No heap is drier or wetter", "no source")
MOST_DEGRADABLE: Final = figure(0.9, "1", "No more of the dry matter can rot", "no source")
LEAST_SHARE: Final = figure(
    1e-3, "1", "Each pool holds at least so much of the dry matter: logarithms need a number", "no source"
)

_SQUARES = MEDIAN_RADII**2
_COVER_FIELDS = ("vapour_returned", "sun_beneath", "sun_on_top", "rain_let_in")


def members(estimate: PileEstimate, n: int = DEFAULT_MEMBERS) -> tuple[Piles, PileState, Array]:
    """n heaps that fit an estimate, with equal weights that sum to 1; see `members_of`."""
    piles, state = members_of([estimate], n)
    return piles, state, np.full(n, 1.0 / n)


def members_of(estimates: Sequence[PileEstimate], n: int = DEFAULT_MEMBERS) -> tuple[Piles, PileState]:
    """n members of every heap that fit its estimate, joined: those of heap i are the columns from n i on.

    The same estimate gives the same members, and member j of two estimates shares its draws: compare them in pairs.

    Raises
    ------
    ValueError
        A mass, volume, share or ratio of an estimate is not above zero.
    """
    driest, wettest = MOISTURE_LIMITS
    moisture = np.minimum(np.maximum(_around("moisture", [e.moisture for e in estimates], n), driest), wettest)
    mass = points("mass", n).around_log(Estimates.of([e.mass_kg for e in estimates]))
    dry, water = mass * (1.0 - moisture), mass * moisture
    volume = _volumes(estimates, mass, dry, water)
    rate = points("rate", n).around_log(Estimates.of([e.pace for e in estimates]))
    ratio = Estimates.of([e.cn_degradable for e in estimates]).at_least(NITROGEN_SPREAD)
    nitrogen = decay.nitrogen_factor(points("nitrogen", n).around_log(ratio))
    inert, fast, slow, degradable = aged_pools(estimates, dry, rate * nitrogen)
    celsius = _temperatures(estimates, volume)
    values = {
        "volume_m3": volume,
        "dry_kg": dry,
        "inert_kg": inert,
        "degradable_kg": degradable,
        "rate": rate,
        "loss": points("loss", n).factor(LOSS_SPREAD),
        "nitrogen": nitrogen,
        "hottest_c": _around("hottest", [e.hottest_c for e in estimates], n),
        "conductivity_w_mk": CONDUCTIVITY_W_MK * points("conductivity", n).factor(CONDUCTIVITY_SPREAD),
        "permeability_m2": PERMEABILITY_M2 * points("permeability", n).factor(PERMEABILITY_SPREAD),
        "fixed_draw_w": 0.0,
        "draw_from_day": 0.0,
        **_covers(estimates, n),
        **duct_of(estimates, volume, celsius, wetness(water, dry)),
        **loop_of(estimates, celsius),
    }
    piles = Piles(**{name: _joined(value, volume.shape) for name, value in values.items()})
    nodes = celsius.reshape(len(celsius), -1)
    return piles, PileState.of(piles, nodes, fast.reshape(-1), slow.reshape(-1), water.reshape(-1))


def _joined(values: Any, shape: tuple[int, ...]) -> Array:
    """Values of heaps, of members or of both as one row of columns."""
    result = np.empty(shape)
    result[...] = values
    return result.reshape(-1)


@lru_cache(maxsize=8)
def usual_members(estimate: PileEstimate) -> tuple[Piles, PileState, Array]:
    """As `members`, as many as usual; kept for whoever asks for them next, and not to be written to."""
    return members(estimate)


def weather_now(estimate: PileEstimate, n: int = DEFAULT_MEMBERS) -> DailyWeather:
    """Today's weather for each member; see `weather_of`."""
    return weather_of([estimate], n)


def weather_of(estimates: Sequence[PileEstimate], n: int = DEFAULT_MEMBERS) -> DailyWeather:
    """Today's weather for each member of every heap: air and wind as estimated, sun and sky of a mean winter day."""
    air = _around("outdoor", [e.outdoor_c for e in estimates], n)
    wind = np.maximum(_around("wind", [e.wind_m_s for e in estimates], n), 0.0)
    return DailyWeather.of(air.reshape(1, -1), wind.reshape(1, -1))


def _around(name: str, estimates: Sequence[Estimate], n: int) -> Array:
    return points(name, n).around(Estimates.of(estimates))


def aged_pools(estimates: Sequence[PileEstimate], dry_kg: Array, speed: Array) -> tuple[Array, Array, Array, Array]:
    """Inert, fast and slow dry matter today, and what was degradable when the heap was built, (heaps, n). [kg]

    The pools the heap was built with have shrunk through its age at a lifetime mean of warmth, water and air; today's
    dry matter is what is left of the first.
    """
    n = dry_kg.shape[-1]
    fast = points("fast", n).around_log(Estimates.of([e.fast_share for e in estimates]).floored(LEAST_SHARE))
    slow = points("slow", n).around_log(Estimates.of([e.slow_share for e in estimates]).floored(LEAST_SHARE))
    bound = np.minimum(1.0, MOST_DEGRADABLE / (fast + slow))
    fast, slow = fast * bound, slow * bound
    age = numbers(e.age_days for e in estimates)
    aged = speed * points("environment", n).between(*LIFETIME_ENVIRONMENT) * age
    fast_left = fast * np.exp(-decay.FAST_PER_DAY * aged)
    slow_left = slow * np.exp(-decay.SLOW_PER_DAY * aged)
    inert = 1.0 - fast - slow
    built = dry_kg / (inert + fast_left + slow_left)
    return inert * built, fast_left * built, slow_left * built, (fast + slow) * built


def degradable_left(piles: Piles, state: PileState) -> Array:
    """Share of the degradable dry matter the heap was built with that is still there, each member (n,). [1]"""
    result: Array = (state.fast_kg + state.slow_kg).sum(axis=0) / piles.degradable_kg
    return result


def _volumes(estimates: Sequence[PileEstimate], mass: Array, dry: Array, water: Array) -> Array:
    """Volumes that go with the masses. [m3]

    Unless both were measured they rest on one guess of the size and move together; solids and water must have room.
    """
    both = [e.mass_kg.basis == "measured" and e.volume_m3.basis == "measured" for e in estimates]
    column, n = Estimates.of([e.volume_m3 for e in estimates]), mass.shape[-1]
    volume = points("mass", n).around_log(column)
    if any(both):
        volume = np.where(flags(both), points("volume", n).around_log(column), volume)
    lightest, heaviest = BULK_DENSITY_LIMITS
    filled = (dry / SOLID_DENSITY + water / WATER_DENSITY) / (1.0 - LOWEST_AIR_SPACE)
    result: Array = np.minimum(np.maximum(np.maximum(volume, mass / heaviest), filled), mass / lightest)
    return result


def _temperatures(estimates: Sequence[PileEstimate], volume: Array) -> Array:
    """Node temperatures, (4, heaps, n): a parabola through the core and the outer reading, or a usual shell. [degC]"""
    n = volume.shape[-1]
    core, air = (
        _around(name, told, n)
        for name, told in (("core", [e.core_c for e in estimates]), ("outdoor", [e.outdoor_c for e in estimates]))
    )
    read = flags(e.outer_c is not None for e in estimates)
    mean, deviation = SHELL_WARMTH
    warmth = np.minimum(np.maximum(mean + deviation * points("shell", n).normals, COLDEST_SHELL), WARMEST_SHELL)
    outer = np.where(read, numbers(e.outer_c or 0.0 for e in estimates), air + warmth * (core - air))
    place = np.maximum(1.0 - OUTER_PROBE_DEPTH_M / sphere_radius(volume), MEDIAN_RADII[1])
    square = np.where(read, np.minimum(place, DEEPEST_SKIN) ** 2, _SQUARES[-1])
    drop = (core - outer) / (square - _SQUARES[0])
    celsius = core - drop * (_SQUARES[:, None, None] - _SQUARES[0])
    coldest, warmest = np.minimum(np.minimum(core, outer), air), np.maximum(np.maximum(core, outer), air)
    result: Array = np.minimum(np.maximum(celsius, coldest), warmest)
    return result


def _covers(estimates: Sequence[PileEstimate], n: int) -> dict[str, Array]:
    covers = [cover_of(e.cover, wrap=e.wrapped) for e in estimates]
    values = {name: numbers(getattr(cover, name) for cover in covers) for name in _COVER_FIELDS}
    resistance = numbers(cover.resistance for cover in covers)
    left = draught_left(covers, n)
    return {"cover_resistance": resistance, "draught_left": left, **values}
