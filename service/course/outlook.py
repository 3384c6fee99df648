"""The outlook of one heap: everything that is computed, in SI, before it is put into words, a table or a chart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.actions.effects import fresh_heap
from service.course.draws import Steady, steady_draws
from service.course.heap import LearnedHeap, chance, heap_of, members_range, time_range
from service.course.next_heap import NextHeap, next_heap
from service.course.run import Course, courses, days_until_cool, days_until_warm, told_courses
from service.course.ways import DrawWay, ways_of
from service.facts.record import Assumption
from service.heat.physics.arrays import Array
from service.heat.weather import by_day, outdoor_ahead
from service.picture.account import AccountRequest, accounts_for
from service.picture.record import Picture
from service.units.estimate import SECONDS_PER_DAY, Estimate, scaled
from service.units.figures import figure

LONGEST_DAYS: Final = figure(90, "days", "No outlook looks further ahead: the weather is anybody's guess", "no source")
DEFAULT_DAYS: Final = figure(30, "days", "Horizon of an outlook without a goal", "no source")


@dataclass(frozen=True, slots=True)
class Timer:
    """The longest running time of one way of drawing [min/h], and the heat it brings [W]."""

    way: DrawWay
    minutes: Estimate
    power_w: Estimate


@dataclass(frozen=True, slots=True)
class CourseAhead:
    """What lies ahead of a heap, in SI, times in days from today; ranges are 80 %.

    `core_c`, `outdoor_c` and `drawn_j` (heat drawn so far) hold low, median and high of each whole day, (days + 1, 3).
    `until_*` are None where half the members do not get there within the days looked at; `chance_cool` is the share
    that does.
    """

    picture: Picture
    days: int
    limit_c: float
    core_c: Array
    outdoor_c: Array
    drawn_j: Array
    until_warm: Estimate | None
    until_warm_at_rest: Estimate | None
    until_cool: Estimate | None
    until_cool_at_rest: Estimate | None
    chance_cool: float
    season_draw_w: Estimate
    heat_available_j: Estimate
    draw_from: Estimate | None
    timers: tuple[Timer, ...]
    ledger_j: dict[str, Estimate]
    next_heap: NextHeap
    assumed: tuple[Assumption, ...]


def look_out(picture: Picture, days: int) -> CourseAhead:
    """Look so many days ahead (1 to LONGEST_DAYS), the limit being the goal's."""
    heap, limit_c = heap_of(picture, days), picture.goal.keep_core_above_c
    now, rest, new = courses(heap, fresh_heap(picture.estimate))
    ways = ways_of(picture)
    steady, *timers = steady_draws(heap, rest, limit_c, [way.drawing for way in ways])
    season = season_draw_over(picture, float(days))
    now, rest = told_courses(heap, now, rest)
    cool = days_until_cool(now, limit_c)
    outdoor = outdoor_ahead(picture.status, picture.estimate.outdoor_c, days)

    def time(times: Array) -> Estimate | None:
        return time_range(times, heap.weights, float(days))

    return CourseAhead(
        picture=picture,
        days=days,
        limit_c=limit_c,
        core_c=_bands(now.daily(now.core_c), heap.weights),
        outdoor_c=by_day(outdoor),
        drawn_j=_bands(now.daily(now.drawn_j), heap.weights),
        until_warm=time(days_until_warm(now, limit_c)),
        until_warm_at_rest=time(days_until_warm(rest, limit_c)),
        until_cool=time(cool),
        until_cool_at_rest=time(days_until_cool(rest, limit_c)),
        chance_cool=chance(np.isfinite(cool), heap.weights),
        season_draw_w=season,
        heat_available_j=scaled(season, days * SECONDS_PER_DAY),
        draw_from=time(np.maximum(steady.from_day, days_until_warm(rest, limit_c))),
        timers=tuple(_timer(way, found, heap, season) for way, found in zip(ways, timers, strict=True)),
        ledger_j=_ledger(now, heap.weights),
        next_heap=next_heap(new, cool, limit_c, heap.weights, days),
        assumed=(*picture.derived.assumed, *(each for way in ways for each in way.assumed)),
    )


def _bands(values: Array, weights: Array) -> Array:
    """10, 50 and 90 % points of each row."""
    bands = [members_range(row, weights) for row in values]
    return np.array([(band.low, band.value, band.high) for band in bands])


def season_draw_over(picture: Picture, days: float) -> Estimate:
    """The season draw over so many days: the account's, by its own count. [W]

    It differs from that of the advice only where other days were asked for.
    """
    if days == picture.goal.days:
        return picture.accounts.season_draw
    heap = AccountRequest(picture.estimate, days, picture.goal.keep_core_above_c, picture.derived.facts)
    return accounts_for([heap])[0].season_draw


def _timer(way: DrawWay, steady: Steady, heap: LearnedHeap, season: Estimate) -> Timer:
    """The longest setting of one way, cut where it would bring more than the season draw."""
    minutes, power = members_range(steady.setting, heap.weights), members_range(steady.power_w, heap.weights)
    share = min(1.0, season.value / power.value) if power.value > 0.0 else 1.0
    return Timer(way, scaled(minutes, share), scaled(power, share))


def _ledger(course: Course, weights: Array) -> dict[str, Estimate]:
    """Where the heat of the heap left as it is comes from and goes; of each member, made = all the others together."""
    flows = course.ledger
    parts = {
        "made": flows["made"],
        "ground_and_air": flows.ground_and_air,
        "evaporation": flows["evaporation"],
        "drainage": flows["drainage"] - flows["rain"],
        "air_sensible": flows["air_sensible"],
        "air_latent": flows["air_latent"],
        "water": flows["water"],
        "stored": flows.stored,
    }
    return {name: members_range(values, weights) for name, values in parts.items()}
