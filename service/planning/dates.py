"""The dates of a plan: order, build, look, top up, draw, change over, shut down, rest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from rules.catalogue import said
from service.facts.size import SETTLED_SHARE
from service.mix.words import name_in_sentence
from service.planning.options import Option
from service.planning.shapes.season_answer import DateKind
from service.planning.slots import Site, SlotPlan
from service.render.wording import in_words, listed
from service.units.figures import figure
from service.units.quantities import System

DEFAULT_ORDER_DAYS: Final = figure(14.0, "days", "To order and fetch the materials before building", "no source")
TOP_UP_AFTER: Final = figure(
    10, "days", "Days after building for topping up what has sunk (common practice)", "no source"
)
FEED_AGAIN_AFTER: Final = figure(14, "days", "For the second half of the feed (common practice)", "no source")
FIRST_LOOK_AFTER: Final = figure(3, "days", "For the first look (common practice)", "no source")
STOVE_BEFORE: Final = figure(7, "days", "Days before the first draw by which the stove should be ready", "no source")
REUSE_BEFORE: Final = figure(
    30, "days", "Days before the next autumn's building for sieving half-rotted chips", "no source"
)
REUSED_SHARE: Final = figure(
    1.0 / 3.0, "1", "Most of a heap that half-rotted chips may make up (common practice)", "no source"
)
YEAR_DAYS: Final = figure(300, "days", "A plan this long sees a summer", "no source")
REST_AFTER: Final = figure(7, "days", "After the last draw the heaps are let alone from here on", "no source")

ORDER: Final[tuple[DateKind, ...]] = (
    *("order", "build", "look", "top_up", "feed_again", "stove", "begin", "change", "end", "shut_down", "drain"),
    *("rest", "reuse"),
)
"""Kinds of dates, in the order in which those of one day are told (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Dated:
    """One date of the plan."""

    day: date
    what: DateKind
    heap: int | None
    title: str
    text: str


def dates_of(
    option: Option, order_days: float, limit: str, hot_from: str, end: date, *, site: Site, system: System
) -> list[Dated]:
    """All dates of an option, in order.

    Parameters
    ----------
    limit, hot_from
        The core's limit and when it counts as hot, in words.
    end
        Last day of the table.
    site
        What the heaps are made of, and how large each is.
    """
    found: list[Dated] = []
    bulk = _bulk(site, option.times, system)
    for number, plan in enumerate(option.plans, start=1):
        name = _name(number, option)
        quoted = {
            "heap": name,
            "build": plan.built_on.isoformat(),
            "hot": in_words(float(round(plan.hot_after.value)), "days", system),
            "chance": in_words(100 * plan.chance_hot, "%", system),
            "limit": limit,
            "hot_from": hot_from,
            **bulk,
        }
        found += [
            _dated(day, what, number, quoted)
            for day, what in _building(plan, order_days, feeds=site.mix.nitrogen.value > 0.0)
        ]
        found += _drawing(plan, number, quoted, system)
    found += [*_stove(option, system), *_closing(option, end, bulk)]
    return sorted(found, key=lambda each: (each.day, ORDER.index(each.what), each.heap or 0))


def _stove(option: Option, system: System) -> list[Dated]:
    """Where the heaps do not carry every night, the stove comes first."""
    if option.nights_short.value <= 0.0:
        return []
    short = {"short": in_words(option.short_k.value, "delta_degC", system)}
    return [_dated(option.plans[0].slot.first - timedelta(days=STOVE_BEFORE), "stove", None, short)]


def _closing(option: Option, end: date, quoted: dict[str, str]) -> list[Dated]:
    """The spring, and the summer where the table sees one."""
    last = option.plans[-1].slot.last
    closing: list[tuple[date, DateKind]] = [
        (last + timedelta(days=1), "shut_down"),
        (last + timedelta(days=2), "drain"),
    ]
    if (end - option.plans[0].built_on).days >= YEAR_DAYS:
        autumn = option.plans[0].built_on + timedelta(days=365)
        closing += [(last + timedelta(days=REST_AFTER), "rest"), (autumn - timedelta(days=REUSE_BEFORE), "reuse")]
    return [_dated(day, what, None, quoted) for day, what in closing]


def _bulk(site: Site, times: int, system: System) -> dict[str, str]:
    """What to order for a heap, or for all that are built at once; by how much it sinks; what can be used again."""

    def words(volume_m3: float) -> str:
        return in_words(volume_m3 * times * site.laid_m3, "m3", system)

    volumes = [
        (name_in_sentence(stuff.material), mass / stuff.figures["density"].value)
        for stuff, mass in site.mix.parts
        if not stuff.is_liquid
    ]
    amounts = listed([said("winter.amount", amount=words(volume), name=name) for name, volume in volumes])
    return {"amounts": amounts, "sunk": words(1.0 - SETTLED_SHARE), "reused": words(REUSED_SHARE)}


def _name(number: int, option: Option) -> str:
    if option.times > 1:
        return said("winter.heap.all", count=str(option.times))
    return said("winter.heap.the") if len(option.plans) == 1 else said("winter.heap.numbered", number=str(number))


def _building(plan: SlotPlan, order_days: float, *, feeds: bool) -> list[tuple[date, DateKind]]:
    built = plan.built_on
    told: list[tuple[date, DateKind]] = [
        (built - timedelta(days=round(order_days)), "order"),
        (built, "build"),
        (built + timedelta(days=FIRST_LOOK_AFTER), "look"),
        (built + timedelta(days=TOP_UP_AFTER), "top_up"),
    ]
    return [*told, (built + timedelta(days=FEED_AGAIN_AFTER), "feed_again")] if feeds else told


def _drawing(plan: SlotPlan, number: int, quoted: dict[str, str], system: System) -> list[Dated]:
    told = []
    for place, (first, _, draw) in enumerate(plan.months):
        words = quoted | {"draw": in_words(draw, "W", system)}
        told.append(_dated(first, "begin" if place == 0 else "change", number, words))
    told.append(_dated(plan.slot.last + timedelta(days=1), "end", number, quoted))
    return told


def _dated(day: date, what: DateKind, heap: int | None, quoted: dict[str, str]) -> Dated:
    title, text = (said(f"winter.date.{what}.{part}", **quoted) for part in ("title", "text"))
    return Dated(day, what, heap, title, text)
