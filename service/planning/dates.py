"""The dates of a plan: order, build, look, top up, draw, change over, shut down, rest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from service.facts.size import SETTLED_SHARE
from service.mix.words import plain_name
from service.planning.options import Option
from service.planning.slots import Site, SlotPlan
from service.render.wording import in_words, listed
from service.units.quantities import System

DEFAULT_ORDER_DAYS: Final = 14.0
TOP_UP_AFTER: Final = 10
FEED_AGAIN_AFTER: Final = 14
FIRST_LOOK_AFTER: Final = 3
"""Days after building for looking, topping up what has sunk, and the second half of the feed (common practice)."""
STOVE_BEFORE: Final = 7
"""Days before the first draw (our own)."""
REUSE_BEFORE: Final = 30
"""Days before the next autumn's building for sieving half-rotted chips (our own)."""
REUSED_SHARE: Final = 1.0 / 3.0
"""Most of a heap that half-rotted chips may make up (common practice)."""
YEAR_DAYS: Final = 300
"""A plan this long sees a summer."""

TEXTS: Final[dict[str, tuple[str, str]]] = {
    "order": (
        "Order chips for {heap}",
        "So that they lie there by {build}: {amounts}. Ask for fresh ones; they heat best.",
    ),
    "build": ("Build {heap}", "It should be hot after about {hot}; {chance} of such heaps are by the first draw."),
    "look": ("Look at {heap}", "A core still cold after three days is no failure yet; a smell of rot or ammonia is."),
    "top_up": (
        "Top up {heap}",
        "It has sunk by about a fifth, {sunk}. Fill it up with chips, lay the cover again, check tube and probe.",
    ),
    "feed_again": ("Second half of the feed for {heap}", "If it is fed: the other half, with water."),
    "stove": (
        "Have the stove ready",
        "Without it the house would lie about {short} under its target on the mean night of need. Check flue, fresh "
        "air and the alarm for carbon monoxide.",
    ),
    "begin": ("Begin drawing {heap}: {draw}", "Only if its core is at {hot_from} or more. Else wait, and look again."),
    "change": ("Draw {draw} from {heap}", "Mean over day and night. Draw less if its core nears {limit}."),
    "end": ("Stop drawing {heap}", "Let it rest. It can warm a frame, or be topped up for spring."),
    "shut_down": ("Shut down for the spring", "No more heat is needed. Stop fan and pump, open the vents."),
    "drain": (
        "Drain the loop, if there is one",
        "Blow it empty before the next frost, unless it holds antifreeze.",
    ),
    "rest": (
        "Summer rest",
        "Let the heaps cool and finish. In drought read the core: a dry, hot heap burns.",
    ),
    "reuse": (
        "Sieve half-rotted chips",
        "Up to {reused} of the coarse part, a third of a heap, can go into the next one; the fine is compost.",
    ),
}
"""Title and text of each kind of date (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Dated:
    """One date of the plan."""

    day: date
    what: str
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
    return sorted(found, key=lambda each: (each.day, list(TEXTS).index(each.what), each.heap or 0))


def _stove(option: Option, system: System) -> list[Dated]:
    """Where the heaps do not carry every night, the stove comes first."""
    if option.nights_short.value <= 0.0:
        return []
    short = {"short": in_words(option.short_k.value, "delta_degC", system)}
    return [_dated(option.plans[0].slot.first - timedelta(days=STOVE_BEFORE), "stove", None, short)]


def _closing(option: Option, end: date, quoted: dict[str, str]) -> list[Dated]:
    """The spring, and the summer where the table sees one."""
    last = option.plans[-1].slot.last
    closing = [(last + timedelta(days=1), "shut_down"), (last + timedelta(days=2), "drain")]
    if (end - option.plans[0].built_on).days >= YEAR_DAYS:
        autumn = option.plans[0].built_on + timedelta(days=365)
        closing += [(last + timedelta(days=7), "rest"), (autumn - timedelta(days=REUSE_BEFORE), "reuse")]
    return [_dated(day, what, None, quoted) for day, what in closing]


def _bulk(site: Site, times: int, system: System) -> dict[str, str]:
    """What to order for a heap, or for all that are built at once; by how much it sinks; what can be used again."""

    def words(volume_m3: float) -> str:
        return in_words(volume_m3 * times * site.laid_m3, "m3", system)

    volumes = [
        (plain_name(stuff.material), mass / stuff.figures["density"].value)
        for stuff, mass in site.mix.parts
        if not stuff.is_liquid
    ]
    amounts = listed([f"{words(volume)} of {name}" for name, volume in volumes])
    return {"amounts": amounts, "sunk": words(1.0 - SETTLED_SHARE), "reused": words(REUSED_SHARE)}


def _name(number: int, option: Option) -> str:
    if option.times > 1:
        return f"all {option.times} heaps"
    return "the heap" if len(option.plans) == 1 else f"heap {number}"


def _building(plan: SlotPlan, order_days: float, *, feeds: bool) -> list[tuple[date, str]]:
    built = plan.built_on
    told = [
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


def _dated(day: date, what: str, heap: int | None, quoted: dict[str, str]) -> Dated:
    title, text = TEXTS[what]
    return Dated(day, what, heap, title.format_map(quoted), text.format_map(quoted))
