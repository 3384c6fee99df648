"""Parts of the answer about a winter ahead: its ways, its heaps, the chart, and what is said."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, Final

import numpy as np

from rules.catalogue import said
from rules.language.model import Source
from rules.language.sources import COMMON_PRACTICE, STATIC_PRUNINGS_PILE, SURREY_FIRE
from rules.tables.thresholds import FIRE_LOOK_DAILY
from service.answer.plan_months import usual_months
from service.answer.quantities import measured, round_off
from service.heat.physics.balance import quantiles
from service.mix.shapes.sources import NoteTold
from service.mix.sources import notes_shown
from service.planning.climate import Climate
from service.planning.demand import Demand
from service.planning.nights import WH
from service.planning.notes import OWN_MODEL
from service.planning.options import Heating, Option
from service.planning.ranges import exactly, quantity_in_shared_unit, three
from service.planning.season_words import way_in_words
from service.planning.shapes.season_answer import CoreBand, DrawStep, HeapOfPlan, HeatingDays, PlanChart, WayThrough
from service.planning.slots import Site, SlotPlan
from service.planning.supply import share_left
from service.render.numbers import quantity_in_words
from service.render.wording import in_words
from service.units.estimate import scaled
from service.units.figures import figure
from service.units.quantities import System, to_units

CHART_EVERY_DAYS: Final = figure(3, "days", "Every so many days a chart has a point", "no source")
LEAST_HEAT_J: Final = figure(1e8, "J", "Less heat than this over a winter, 28 kWh, is called none", "no source")

NOTE_SOURCES: Final[dict[str, Source]] = {
    "follows": OWN_MODEL,
    "season-draw": OWN_MODEL,
    "ends-low": OWN_MODEL,
    "steady": OWN_MODEL,
    "share-luck": OWN_MODEL,
    "scale": STATIC_PRUNINGS_PILE,
    "daily": SURREY_FIRE,
}
"""What is to be known of every plan, and who says so."""


def winter_headline(site: Site, best: Option | None, system: System) -> str:
    """The plan in a few sentences."""
    if best is None:
        return said("winter.no-need")
    if best.heat_j.value < LEAST_HEAT_J:
        return said("winter.no-heat")
    need, given = best.cover.need.sum(axis=-1), best.cover.from_pile.sum(axis=-1)
    return said(
        "winter.headline",
        way=way_in_words(best.way, best.heaps, first=True),
        volume=in_words(site.laid_m3, "m3", system, rough=True),
        heat=quantity_in_words(measured(best.heat_j, "energy", system)),
        days=in_words(float(sum(plan.slot.days for plan in best.plans)), "days", system),
        share=in_words(100 * float(given[0] / max(need[0], 1e-9)), "%", system),
        build=best.plans[0].built_on.isoformat(),
        draw=best.plans[0].slot.first.isoformat(),
    )


def heating_shown(heating: Heating) -> HeatingDays:
    """First and last day of need."""
    last = heating.first + timedelta(days=len(heating.need_w) - 1)
    return HeatingDays(first=heating.first.isoformat(), last=last.isoformat(), days=len(heating.need_w))


def option_shown(option: Option, chosen: bool, system: System) -> WayThrough:
    """One way with its three measures: heat, heaps, nights short."""
    need, given = option.cover.need.sum(axis=-1), option.cover.from_pile.sum(axis=-1)
    left = three(np.maximum(need - given, 0.0).tolist())
    return WayThrough(
        way=option.way,
        heaps=option.heaps,
        heat=measured(option.heat_j, "energy", system),
        heat_of_use=measured(scaled(three(given.tolist()), WH), "energy", system),
        nights_short=quantity_in_shared_unit(option.nights_short, "1"),
        short_by=measured(option.short_k, "temperature_difference", system),
        stove=measured(scaled(left, WH), "energy", system),
        stove_share=measured(scaled(share_left(need, given), 100.0), "percent", system),
        worth_it=option.worth_it,
        chosen=chosen,
    )


def heap_shown(plan: SlotPlan, times: int, limit_c: float | None, house_c: float, system: System) -> HeapOfPlan:
    """One heap of the plan: its dates, its schedule, what it gives; the limit where the person named one.

    `house_c` is what the house is kept at by night, down to which the heap is emptied in its last weeks.
    """
    return HeapOfPlan(
        draw_unit="degC" if system == "metric" else "degF",
        draw_months=usual_months(plan.slot.first, plan.slot.last, limit_c, house_c, system),
        count=times,
        build_on=plan.built_on.isoformat(),
        lead_days=plan.lead_days,
        hot_after=measured(plan.hot_after, "duration", system),
        chance_hot_at_first_draw=round_off(100 * plan.chance_hot),
        draw_from=plan.slot.first.isoformat(),
        draw_until=plan.slot.last.isoformat(),
        holds_to_the_end=plan.sure,
        lasts=measured(plan.lasts, "duration", system),
        heat=measured(plan.heat_j, "energy", system),
        schedule=[
            DrawStep(start=first.isoformat(), days=days, draw=exactly(draw, "power", system))
            for first, days, draw in plan.months
        ],
    )


def winter_course(option: Option, demand: Demand, limit_c: float, system: System) -> PlanChart:
    """Need of the house, draw, and the core of the heap in use (or warming), every few days."""
    first, last = option.plans[0].built_on, option.plans[-1].slot.last
    days = [first + timedelta(days=number) for number in range(0, (last - first).days + 1, CHART_EVERY_DAYS)]
    bands = [quantiles(_core_on(option, day)) for day in days]

    def celsius(which: int) -> list[float]:
        return [round_off(to_units(band[which], "temperature", system)[0]) for band in bands]

    needs = _daily_need(demand)
    begin = demand.climate.begin.date()
    need = [needs[number] if 0 <= (number := (day - begin).days) < len(needs) else 0.0 for day in days]
    draw = [option.times * sum(plan.draw_on(day) for plan in option.plans) for day in days]
    return PlanChart(
        at=[day.isoformat() for day in days],
        power_unit=to_units(0.0, "power", system)[1],
        need=[round_off(to_units(value, "power", system)[0]) for value in need],
        draw=[round_off(to_units(value, "power", system)[0]) for value in draw],
        core_unit=to_units(0.0, "temperature", system)[1],
        limit=round_off(to_units(limit_c, "temperature", system)[0]),
        core=CoreBand(low=celsius(0), median=celsius(1), high=celsius(2)),
    )


def notes_of(climate: Climate, best: Option | None, heating: Heating | None, system: System) -> list[NoteTold]:
    """The sentences that apply."""
    quoted = {"daily": in_words(FIRE_LOOK_DAILY.value, "degC", system)}
    told: list[tuple[str, Source]] = []
    if best is not None:
        told += [(said(f"winter.note.{name}", **quoted), source) for name, source in NOTE_SOURCES.items()]
    told.append((said("house.note.night-only"), OWN_MODEL))
    if climate.table == "monthly":
        told.append((said("house.note.months-hide"), COMMON_PRACTICE))
    if best is not None and any(plan.late for plan in best.plans):
        told.append((said("winter.late"), OWN_MODEL))
    if heating is not None and heating.others:
        told.append((said("winter.elsewhen"), OWN_MODEL))
    return notes_shown(told)


def _core_on(option: Option, day: date) -> Any:
    """Core of each member of the heap that is drawn that day, else of the latest one built."""
    plans = [plan for plan in option.plans if plan.built_on <= day]
    drawn = [plan for plan in plans if plan.slot.first <= day <= plan.slot.last]
    plan = (drawn or plans)[-1]
    place = min((day - plan.built_on).days, len(plan.core_c) - 1)
    return plan.core_c[place]


def _daily_need(demand: Demand) -> list[float]:
    hours = demand.by_night(np.ones_like(demand.climate.air_c))
    need: list[float] = (demand.by_night(demand.need_w[0]) / hours).tolist()
    return need
