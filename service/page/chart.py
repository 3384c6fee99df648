"""The outlook as a small chart: where the core is going if nothing is changed, with its band."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from rules.catalogue import said
from service.answer.shapes.advice import Outlook
from service.answer.words import short_day
from service.render.numbers import quantity_in_words
from service.render.scales import Scale, round_ticks
from service.render.shape import Quantity
from service.render.wording import spelled
from service.units.estimate import SECONDS_PER_DAY

SIDE: Final = 100.0
"""Both sides of the drawing; the page stretches it, and sets the words around it so that they grow with its letters."""
MOST_TICKS: Final = 4


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: its place and its words."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Chart:
    """Points of the band and the middle line, the axes, and the same in words."""

    band: str
    middle: str
    heights: tuple[Tick, ...]
    days: tuple[Tick, ...]
    cool: Tick | None
    in_words: str
    rows: tuple[tuple[str, str, str], ...]


def outlook_chart(outlook: Outlook) -> Chart | None:
    """The chart of an answer's outlook; None where no course was worked out."""
    moments = [datetime.fromisoformat(at) for at in outlook["at"]]
    if len(moments) < 2:
        return None
    days = [(at - moments[0]).total_seconds() / SECONDS_PER_DAY for at in moments]
    low, middle, high = (outlook["core"]["low"], outlook["core"]["median"], outlook["core"]["high"])
    unit = spelled(outlook["unit"])
    ticks = round_ticks(min(low), max(high), MOST_TICKS)
    x = Scale(0.0, days[-1], 0.0, SIDE)
    y = Scale(ticks[0], ticks[-1] if ticks[-1] > ticks[0] else ticks[0] + 1, SIDE, 0.0)
    places = {
        name: list(zip(map(x, days), map(y, line), strict=True))
        for name, line in (("low", low), ("median", middle), ("high", high))
    }
    return Chart(
        band=_points([*places["high"], *reversed(places["low"])]),
        middle=_points(places["median"]),
        heights=tuple(Tick(y(tick), f"{tick:g}") for tick in ticks),
        days=_day_ticks(x, moments[0].date(), days[-1]),
        cool=_cool(x, outlook["days_until_cool"], moments[0].date()),
        in_words=_in_words(outlook, unit, moments[-1].date()),
        rows=tuple(
            (
                short_day(at.date()),
                f"{likely:.0f} {unit}",
                said("page.chart.range", low=f"{least:.0f}", high=f"{most:.0f}", unit=unit),
            )
            for at, least, likely, most in zip(moments, low, middle, high, strict=True)
        ),
    )


def _points(places: list[tuple[float, float]]) -> str:
    return " ".join(f"{x:.4g},{y:.4g}" for x, y in places)


def _day_ticks(x: Scale, today: date, last: float) -> tuple[Tick, ...]:
    """The first day, the one in the middle and the last: three have room on a narrow screen with large letters."""
    words = [said("page.chart.today"), *(short_day(today + timedelta(days=round(day))) for day in (last / 2, last))]
    return tuple(Tick(x(day), text) for day, text in zip((0.0, last / 2, last), words, strict=True))


def _cool(x: Scale, until: Quantity | None, today: date) -> Tick | None:
    """When the core is likely too cool to draw."""
    if until is None or until["value"] <= 0:
        return None
    day = short_day(today + timedelta(days=int(until["value"])))
    return Tick(x(until["value"]), said("page.chart.cool", day=day))


def _in_words(outlook: Outlook, unit: str, last: date) -> str:
    core, until = outlook["core"], outlook["days_until_cool"]
    course = said(
        "page.chart.course",
        now=f"{core['median'][0]:.0f}",
        then=f"{core['median'][-1]:.0f}",
        unit=unit,
        day=short_day(last),
        low=f"{core['low'][-1]:.0f}",
        high=f"{core['high'][-1]:.0f}",
    )
    if until is None:
        draw = said("page.chart.stays-warm")
    elif until["value"] <= 0:
        draw = said("page.chart.cool-already")
    else:
        draw = said("page.chart.cool-after", time=quantity_in_words(until))
    return f"{course} {draw}"
