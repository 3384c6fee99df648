"""The outlook as a chart in SVG: likely core, its band, the limit, and when the core gets too cool.

No text of the caller's goes into it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from textwrap import wrap
from typing import Final

import svg

from rules.catalogue import said
from service.course.outlook import CourseAhead
from service.heat.physics.arrays import Array
from service.outlook import words
from service.render.charts import BAND, COLD, EMBER, ChartPoint, as_chart, line_between, text_at
from service.render.scales import Scale, day_ticks, round_ticks
from service.render.wording import spelled
from service.units.quantities import System, to_units

MEDIA_TYPE: Final = "image/svg+xml"
WIDTH, HEIGHT = 760, 450
LEFT, RIGHT, TOP, BOTTOM = 56, 650, 112, 366
LABEL_HEIGHT: Final = 18


@dataclass(frozen=True, slots=True)
class Frame:
    """The scales of one chart and the core's bands in the reader's unit."""

    x: Scale
    y: Scale
    ticks: list[float]
    bands: Array
    limit: float
    unit: str


def outlook_as_svg(outlook: CourseAhead, units: System | None = None) -> str:
    """The chart as the text of an SVG file."""
    system = units or outlook.picture.status.units
    frame = _frame(outlook, system)
    title = words.outlook_title(outlook, system)
    drawn: list[svg.Element] = [
        *_heading(outlook, title, system),
        *_cold_ground(frame),
        *_axes(outlook, frame),
        *_core(frame),
        *_limit(outlook, frame, system),
        *_legend(),
    ]
    return as_chart(title, words.outlook_description(outlook, system), WIDTH, HEIGHT, drawn)


def _frame(outlook: CourseAhead, system: System) -> Frame:
    bands = outlook.core_c.copy()
    for place, celsius in enumerate(outlook.core_c.flat):
        bands.flat[place] = to_units(float(celsius), "temperature", system)[0]
    limit, unit = to_units(outlook.limit_c, "temperature", system)
    ticks = round_ticks(min(float(bands.min()), limit), max(float(bands.max()), limit), 6)
    x, y = Scale(0, outlook.days, LEFT, RIGHT), Scale(ticks[0], ticks[-1], BOTTOM, TOP)
    return Frame(x, y, ticks, bands, limit, spelled(unit))


def _heading(outlook: CourseAhead, title: str, system: System) -> Iterator[svg.Element]:
    heading = text_at(title, 20, 32, "ink", size=19)
    heading.font_weight = "bold"
    yield heading
    for row, line in enumerate(wrap(words.outlook_headline(outlook, system), 95)[:2]):
        yield text_at(line, 20, 53 + 17 * row, "faint", size=13)


def _cold_ground(frame: Frame) -> Iterator[svg.Element]:
    """The ground below the limit."""
    top = frame.y(frame.limit)
    yield svg.Rect(x=LEFT, y=top, width=RIGHT - LEFT, height=BOTTOM - top, fill=COLD, class_=["fill-cold"])


def _axes(outlook: CourseAhead, frame: Frame) -> Iterator[svg.Element]:
    today = outlook.picture.status.as_of.date()
    yield text_at(said("outlook.chart.core", unit=frame.unit), 20, TOP - 14, "faint")
    for tick in frame.ticks:
        yield line_between((LEFT, frame.y(tick)), (RIGHT, frame.y(tick)), "grid")
        yield text_at(f"{tick:g}", LEFT - 10, frame.y(tick) + 4, "ink", anchor="end")
    for day in day_ticks(outlook.days):
        place, date = frame.x(day), words.day_in_words(today + timedelta(days=day), short=True)
        yield line_between((place, BOTTOM), (place, BOTTOM + 5), "faint")
        yield text_at(date, place, BOTTOM + 20, "ink", anchor="middle")
        yield text_at(
            said("outlook.chart.today") if day == 0 else f"{day}", place, BOTTOM + 36, "faint", size=11, anchor="middle"
        )
    yield line_between((LEFT, BOTTOM), (RIGHT, BOTTOM), "faint")
    yield text_at(said("outlook.chart.days-ahead"), RIGHT + 10, BOTTOM + 36, "faint", size=11)


def _core(frame: Frame) -> Iterator[svg.Element]:
    low, median, high = ([(frame.x(day), frame.y(value)) for day, value in enumerate(line)] for line in frame.bands.T)
    yield svg.Polygon(points=_points([*high, *reversed(low)]), fill=BAND, fill_opacity=0.75, class_=["fill-band"])
    for places, width in ((low, 0.8), (high, 0.8), (median, 3)):
        yield svg.Polyline(
            points=_points(places),
            fill="none",
            stroke=EMBER,
            stroke_width=width,
            class_=["line-ember"],
            extra={"stroke-linejoin": "round", "stroke-linecap": "round"},
        )
    yield svg.Circle(cx=median[0][0], cy=median[0][1], r=4.5, fill=EMBER, class_=["fill-ember"])


def _points(places: list[ChartPoint]) -> list[svg.Point]:
    return [svg.Point(*place) for place in places]


def _limit(outlook: CourseAhead, frame: Frame, system: System) -> Iterator[svg.Element]:
    """The limit, the day the core is likely to be below it, and the last values at the right edge."""
    height, end = frame.y(frame.limit), frame.bands[-1].tolist()
    yield line_between((LEFT, height), (RIGHT, height), "cold-ink", width=2, dashes="7 5")
    limit = said("outlook.chart.limit", limit=f"{frame.limit:.0f} {frame.unit}")
    last = (frame.y(end[1]), f"{end[1]:.0f} {frame.unit}", "ember", 15)
    for place, text, role, size in _apart((height, limit, "cold-ink", 12), last):
        yield text_at(text, RIGHT + 10, place + 4, role, size=size)
    cool = outlook.until_cool
    if cool is not None and cool.value > 0:
        place = frame.x(cool.value)
        day = words.day_in_words(outlook.picture.status.as_of.date() + timedelta(days=int(cool.value)))
        yield line_between((place, height), (place, BOTTOM), "cold-ink", width=1.5, dashes="2 4")
        anchor = "end" if place > (LEFT + RIGHT) / 2 else "start"
        aside = place + (-8 if anchor == "end" else 8)
        yield text_at(said("outlook.chart.too-cool", day=day), aside, BOTTOM - 8, "ink", anchor=anchor)


def _apart(*labels: tuple[float, str, str, int]) -> Iterator[tuple[float, str, str, int]]:
    """Labels at the right edge, pushed apart where they would overlap."""
    last = float("-inf")
    for place, text, role, size in sorted(labels):
        last = max(place, last + LABEL_HEIGHT)
        yield last, text, role, size


def _legend() -> Iterator[svg.Element]:
    height = HEIGHT - 22
    yield line_between((LEFT, height - 4), (LEFT + 26, height - 4), "ember", width=3)
    yield text_at(said("outlook.chart.likely"), LEFT + 34, height, "ink")
    yield svg.Rect(x=300, y=height - 11, width=26, height=13, fill=BAND, fill_opacity=0.75, class_=["fill-band"])
    yield text_at(said("outlook.chart.band"), 334, height, "ink")
    yield line_between((530, height - 4), (556, height - 4), "cold-ink", width=2, dashes="7 5")
    yield text_at(said("outlook.chart.below"), 564, height, "ink")
