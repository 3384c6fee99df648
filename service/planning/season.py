"""The answer to a question about a winter or a year ahead, as it goes out."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

import numpy as np

from rules.tables.thresholds import HOT_FROM
from rules.version import knowledge_version
from service.answer.quantities import read_as_shown
from service.facts.record import Derived
from service.facts.weather import WIND_SPEEDS
from service.heat.physics.spread import points
from service.planning.climate import Climate, climate_of
from service.planning.dates import DEFAULT_ORDER_DAYS, dates_of
from service.planning.demand import demand_of
from service.planning.heap import DEFAULT_MANURE, planned_mix
from service.planning.house import house_loss, targets_of
from service.planning.nights import house_months
from service.planning.options import Option, heating_of, options_of, warmest_option
from service.planning.order import DEFAULT_CHANCE, UntoldPart, assume_untold
from service.planning.ranges import all_assumed
from service.planning.season_answer import (
    heap_shown,
    heating_shown,
    notes_of,
    option_shown,
    winter_course,
    winter_headline,
)
from service.planning.season_trial import MEMBERS
from service.planning.shapes.common import Period
from service.planning.shapes.season import SeasonRequest
from service.planning.shapes.season_answer import PlanDate, SeasonPlan
from service.planning.shapes.sizing import DEFAULT_LIMIT_C
from service.planning.slots import LEADS, Site
from service.problems.problem import Problem
from service.render.wording import in_words
from service.units.estimate import Estimate
from service.units.figures import figure

DEFAULT_HEAP_M3: Final = figure(20.0, "m3", "Size of each heap of a winter where none was told", "no source")
DEFAULT_MOST: Final = figure(2, "heaps", "Most heaps of a winter where nobody said", "no source")


def answer_season(request: SeasonRequest) -> SeasonPlan:
    """Plan a winter or a year. The same question gives the same answer."""
    derived = Derived()
    climate = climate_of(request.outdoor, request.period)
    if climate is None:
        detail = "the table of temperatures has no day of the period"
        raise Problem("invalid-request", f"/period: {detail}.", [{"pointer": "/period", "detail": f"{detail}."}])
    loss, targets = house_loss(request.house, derived), targets_of(request.house, derived)
    demand = demand_of(loss, targets, climate)
    heating = heating_of(demand)
    site = _site(request, climate, derived)
    most = DEFAULT_MOST if request.most_heaps is None else int(request.most_heaps)
    options = [] if heating is None else options_of(site, demand, heating, most)
    best = warmest_option(options) if options else None
    system, limit = request.units, request.keep_core_above
    plans, house_c = [] if best is None else best.plans, targets.night_c.value
    return SeasonPlan(
        knowledge_version=knowledge_version(),
        units=system,
        headline=winter_headline(site, best, system),
        heating=None if heating is None else heating_shown(heating),
        options=[option_shown(option, option is best, system) for option in options],
        heaps=[heap_shown(plan, best.times if best else 1, limit, house_c, system) for plan in plans],
        months=house_months(demand, None if best is None else best.cover, system),
        calendar=[] if best is None else _calendar(request, site, best, climate.days[-1]),
        chart=None if best is None else winter_course(best, demand, site.limit_c, system),
        notes=notes_of(climate, best, heating, system),
        assumed=all_assumed(derived, system),
        read_as=read_as_shown(request.read_as),
    )


def _calendar(request: SeasonRequest, site: Site, best: Option, end: date) -> list[PlanDate]:
    system = request.units
    found = dates_of(
        best,
        DEFAULT_ORDER_DAYS if request.order_ahead is None else request.order_ahead,
        in_words(site.limit_c, "degC", system),
        in_words(HOT_FROM.value, "degC", system),
        end,
        site=site,
        system=system,
    )
    return [
        PlanDate(date=each.day.isoformat(), what=each.what, heap=each.heap, title=each.title, text=each.text)
        for each in found
    ]


def _air_of(request: SeasonRequest, climate: Climate) -> Climate:
    """Air that reaches back before the period where the table does: heaps are built before the cold."""
    if request.period is None or request.outdoor.monthly is None:
        return climate_of(request.outdoor, None) or climate
    before = request.period.start - timedelta(days=LEADS[-1])
    return climate_of(request.outdoor, Period.model_construct(start=before, until=request.period.until)) or climate


def _site(request: SeasonRequest, climate: Climate, derived: Derived) -> Site:
    doubt = Estimate(0.0, -climate.doubt_k, climate.doubt_k, "derived")
    wind = WIND_SPEEDS[request.wind or "normal"]
    heap = DEFAULT_HEAP_M3 if request.heap is None else request.heap
    limit = DEFAULT_LIMIT_C if request.keep_core_above is None else request.keep_core_above
    told: tuple[UntoldPart, ...] = (
        ("/heap", request.heap, heap, "volume", "winter.why.heap"),
        ("/most_heaps", request.most_heaps, float(DEFAULT_MOST), "ratio", "winter.why.most-heaps"),
        ("/keep_core_above", request.keep_core_above, limit, "temperature", "heap-plan.why.limit"),
        ("/order_ahead", request.order_ahead, DEFAULT_ORDER_DAYS, "duration", "winter.why.order-ahead"),
        ("/mix", request.mix, DEFAULT_MANURE, "percent", "heap-plan.why.mix"),
        ("/wind", request.wind, wind.value, "speed", "heap-plan.why.wind"),
    )
    assume_untold(told, derived)
    air = _air_of(request, climate)
    return Site(
        begin=air.begin.date(),
        daily_c=tuple(float(mean) for mean in air.daily_mean()),
        doubt_k=points("outdoor", MEMBERS).around(doubt),
        wind_m_s=np.maximum(points("wind", MEMBERS).around(wind), 0.0),
        mix=planned_mix(request.mix, feed=request.feed is not False),
        laid_m3=heap,
        cover=request.cover or "none",
        limit_c=limit,
        chance=DEFAULT_CHANCE if request.chance is None else request.chance / 100,
    )
