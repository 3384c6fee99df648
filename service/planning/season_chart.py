"""A winter's plan as a chart in SVG: need and draw, the core with its band, each heap's dates, and the ways beside it.

It is drawn from the plan as it goes out, so its numbers are those of the JSON. Colours are those of the outlook's
chart; nothing is fetched from elsewhere, and no text of the caller's goes into it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from textwrap import wrap
from typing import Final

import svg

from rules.catalogue import said
from service.planning.season_words import way_in_words, winter_description, winter_title
from service.planning.shapes.season_answer import PlanChart, SeasonPlan, WayThrough
from service.render.charts import LIGHT, PAPER, ChartPoint, as_chart, line_between, text_at
from service.render.scales import Scale, round_ticks
from service.render.wording import shown, spelled

WIDTH, HEIGHT = 760, 680
LEFT, RIGHT = 70, 735
POWER_TOP, POWER_BOTTOM = 126, 260
CORE_TOP, CORE_BOTTOM = 300, 434
WAYS_TOP, WAYS_BOTTOM = 540, 640
WAYS_RIGHT: Final = 250
LINE: Final = 17


@dataclass(frozen=True, slots=True)
class Panel:
    """Scales of one panel, its ticks and its unit as a person writes it."""

    x: Scale
    y: Scale
    ticks: list[float]
    unit: str


def season_as_svg(plan: SeasonPlan) -> str:
    """The chart as the text of an SVG file; the headline alone where nothing is planned."""
    drawn = [*_heading(plan)]
    if plan.chart is not None:
        drawn += [*_power(plan.chart), *_core(plan.chart), *_heaps(plan, plan.chart), *_ways(plan)]
    return as_chart(winter_title(plan), winter_description(plan), WIDTH, HEIGHT, drawn)


def _series(points: Sequence[ChartPoint], name: str, role: str, width: float, dashes: str = "") -> svg.Polyline:
    return svg.Polyline(
        points=[svg.Point(*point) for point in points],
        fill="none",
        stroke=LIGHT[role],
        stroke_width=width,
        class_=[f"line-{role}"],
        extra={"data-series": name, "stroke-linejoin": "round", **({"stroke-dasharray": dashes} if dashes else {})},
    )


def _area(points: Sequence[ChartPoint], role: str, opacity: float) -> svg.Polygon:
    places = [svg.Point(*point) for point in points]
    return svg.Polygon(points=places, fill=LIGHT[role], fill_opacity=opacity, class_=[f"fill-{role}"])


def _heading(plan: SeasonPlan) -> Iterator[svg.Element]:
    heading = text_at(winter_title(plan), 20, 32, size=19)
    heading.font_weight = "bold"
    yield heading
    for row, line in enumerate(wrap(plan.headline, 104)[:3]):
        yield text_at(line, 20, 53 + LINE * row, "faint", size=13)


def _days(chart: PlanChart) -> list[int]:
    days = [date.fromisoformat(at) for at in chart.at]
    return [(day - days[0]).days for day in days]


def _x(chart: PlanChart) -> Scale:
    return Scale(0, max(_days(chart)[-1], 1), LEFT, RIGHT)


def _axes(chart: PlanChart, panel: Panel, top: int, bottom: int, label: str) -> Iterator[svg.Element]:
    yield text_at(f"{label}, {panel.unit}", 20, top - 10, "faint")
    for tick in panel.ticks:
        yield line_between((LEFT, panel.y(tick)), (RIGHT, panel.y(tick)), "grid")
        yield text_at(f"{tick:,g}", LEFT - 8, panel.y(tick) + 4, anchor="end")
    first = date.fromisoformat(chart.at[0])
    for day in range(_days(chart)[-1] + 1):
        at = first + timedelta(days=day)
        if at.day == 1:
            yield line_between((panel.x(day), bottom), (panel.x(day), bottom + 5), "faint")
            if panel.x(day) < RIGHT - 20:
                yield text_at(at.strftime("%b"), panel.x(day) + 2, bottom + 17, size=11)
    yield line_between((LEFT, bottom), (RIGHT, bottom), "faint")


def _power(chart: PlanChart) -> Iterator[svg.Element]:
    """What the house needs, as a line, and what is drawn, as an area."""
    need, draw, days = chart.need, chart.draw, _days(chart)
    ticks = round_ticks(0, max(*need, *draw, 1e-3), 4)
    panel = Panel(_x(chart), Scale(0, ticks[-1], POWER_BOTTOM, POWER_TOP), ticks, chart.power_unit)
    yield from _axes(chart, panel, POWER_TOP, POWER_BOTTOM, said("winter.chart.power-axis"))
    drawn = [(panel.x(day), panel.y(value)) for day, value in zip(days, draw, strict=True)]
    yield _area([(drawn[0][0], POWER_BOTTOM), *drawn, (drawn[-1][0], POWER_BOTTOM)], "band", 0.85)
    yield _series(drawn, "draw", "ember", 2.5)
    needed = [(panel.x(day), panel.y(value)) for day, value in zip(days, need, strict=True)]
    yield _series(needed, "need", "cold-ink", 2, "7 4")
    yield line_between((430, POWER_TOP - 14), (456, POWER_TOP - 14), "cold-ink", 2, "7 4")
    yield text_at(said("winter.chart.needs"), 462, POWER_TOP - 10)
    yield line_between((580, POWER_TOP - 14), (606, POWER_TOP - 14), "ember", 2.5)
    yield text_at(said("winter.chart.drawn"), 612, POWER_TOP - 10)


def _core(chart: PlanChart) -> Iterator[svg.Element]:
    """The core of the heap in use with its band, and the limit."""
    core, limit, days = chart.core, chart.limit, _days(chart)
    ticks = round_ticks(min(*core.low, limit), max(*core.high, limit), 4)
    panel = Panel(_x(chart), Scale(ticks[0], ticks[-1], CORE_BOTTOM, CORE_TOP), ticks, spelled(chart.core_unit))
    yield from _axes(chart, panel, CORE_TOP, CORE_BOTTOM, said("winter.chart.core-axis"))
    low, median, high = (
        [(panel.x(day), panel.y(value)) for day, value in zip(days, getattr(core, name), strict=True)]
        for name in ("low", "median", "high")
    )
    yield _area([*high, *reversed(low)], "band", 0.75)
    yield _series(median, "core", "ember", 3)
    yield line_between((LEFT, panel.y(limit)), (RIGHT, panel.y(limit)), "cold-ink", 2, "7 5")
    yield text_at(said("winter.chart.band", limit=f"{shown(limit)} {panel.unit}"), RIGHT, CORE_TOP - 10, anchor="end")


def _heaps(plan: SeasonPlan, chart: PlanChart) -> Iterator[svg.Element]:
    """When each heap is built, and when drawing begins and ends."""
    first, x = date.fromisoformat(chart.at[0]), _x(chart)
    for number, heap in enumerate(plan.heaps, start=1):
        name = said("winter.chart.every-heap") if heap.count > 1 else f"{number}"
        kinds = (("build_on", "build"), ("draw_from", "draw"), ("draw_until", "end"))
        marks = [(field, said(f"winter.chart.mark.{kind}", heap=name)) for field, kind in kinds]
        for row, (field, label) in enumerate(marks):
            day = (date.fromisoformat(getattr(heap, field)) - first).days
            place = x(min(day, _days(chart)[-1]))
            for top, bottom in ((POWER_TOP, POWER_BOTTOM), (CORE_TOP, CORE_BOTTOM)):
                line = line_between((place, top), (place, bottom), "faint", 1, "2 4")
                line.extra = {**(line.extra or {}), "data-date": getattr(heap, field), "data-mark": label}
                yield line
            anchor = "end" if place > RIGHT - 60 else "start"
            aside = place + (-4 if anchor == "end" else 4)
            yield text_at(label, aside, CORE_BOTTOM + 32 + 13 * row, size=11, anchor=anchor)


def _ways(plan: SeasonPlan) -> Iterator[svg.Element]:
    """Heat against heaps built; nights short are told beside it."""
    options = plan.options
    unit = options[0].heat["unit"]
    ticks = round_ticks(0, max(*(each.heat["value"] for each in options), 1.0), 3)
    most = max(each.heaps for each in options)
    x, y = Scale(0.5, most + 0.5, LEFT + 10, WAYS_RIGHT), Scale(0, ticks[-1], WAYS_BOTTOM, WAYS_TOP)
    yield text_at(said("winter.chart.ways-axis", unit=unit), 20, WAYS_TOP - 14, "faint")
    for tick in ticks:
        yield line_between((LEFT + 10, y(tick)), (WAYS_RIGHT, y(tick)), "grid")
        yield text_at(_brief(tick), LEFT + 2, y(tick) + 4, size=11, anchor="end")
    for count in range(1, most + 1):
        yield text_at(f"{count}", x(count), WAYS_BOTTOM + 17, anchor="middle")
    for number, each in enumerate(options, start=1):
        place = (x(each.heaps), y(each.heat["value"]))
        role = "ember" if each.worth_it else "faint"
        yield svg.Circle(
            cx=place[0],
            cy=place[1],
            r=6 if each.chosen else 4.5,
            fill=LIGHT[role] if each.chosen else PAPER,
            stroke=LIGHT[role],
            stroke_width=2,
            class_=[f"fill-{role if each.chosen else 'paper'}", f"line-{role}"],
            extra={"data-way": each.way, "data-heaps": str(each.heaps)},
        )
        yield text_at(
            f"{number}",
            place[0] + (9 if number % 2 else -9),
            place[1] + 4,
            size=11,
            anchor="start" if number % 2 else "end",
        )
        yield text_at(_told(number, each), WAYS_RIGHT + 24, WAYS_TOP - 14 + LINE * (number - 1) + 14, size=11)


def _told(number: int, way: WayThrough) -> str:
    heat, short = way.heat, way.nights_short
    marked = (("chosen", way.chosen), ("beaten", not way.worth_it))
    notes = [said(f"winter.chart.{mark}") for mark, holds in marked if holds]
    end = f" ({', '.join(notes)})" if notes else ""
    name = way_in_words(way.way, way.heaps, first=True)
    by = f"{shown(way.short_by['value'])} {spelled(way.short_by['unit'])}"
    told = said(
        "winter.chart.way-line",
        number=str(number),
        name=name,
        heat=f"{_brief(heat['value'])} {heat['unit']}",
        short=shown(short["value"]),
        by=by,
    )
    return f"{told}{end}"


def _brief(number: float) -> str:
    if abs(number) >= 1e6:
        return said("winter.chart.million", number=f"{number / 1e6:g}")
    return f"{number:,.0f}"
