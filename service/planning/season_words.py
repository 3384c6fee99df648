"""The chart of a winter's plan in words, for those who do not see it."""

from __future__ import annotations

from collections.abc import Iterator

from rules.catalogue import said
from service.planning.shapes.season_answer import SeasonPlan
from service.render.numbers import quantity_in_words
from service.render.wording import shown, spelled


def way_in_words(way: str, heaps: int, *, first: bool = False) -> str:
    """How many heaps, and how they follow each other; `first` where it begins a sentence."""
    name = said(f"winter.way.{way}", count=str(heaps))
    return name[:1].upper() + name[1:] if first else name


def winter_title(plan: SeasonPlan) -> str:
    """A title."""
    chart = plan.chart
    if chart is None:
        return said("winter.chart.nothing")
    return said("winter.chart.planned", first=chart.at[0], last=chart.at[-1])


def winter_description(plan: SeasonPlan) -> str:
    """Everything that the chart shows, in sentences."""
    return " ".join(_sentences(plan))


def _sentences(plan: SeasonPlan) -> Iterator[str]:
    yield plan.headline
    chart = plan.chart
    if chart is None:
        return
    unit, power = spelled(chart.core_unit), chart.power_unit
    median = chart.core.median
    yield said("winter.chart.span", need=f"{shown(max(chart.need))} {power}", draw=f"{shown(max(chart.draw))} {power}")
    yield said(
        "winter.chart.core",
        first=f"{median[0]:.0f} {unit}",
        highest=f"{max(median):.0f} {unit}",
        last=f"{median[-1]:.0f} {unit}",
        limit=f"{shown(chart.limit)} {unit}",
    )
    for number, heap in enumerate(plan.heaps, start=1):
        times = said("winter.chart.of-them", count=str(heap.count)) if heap.count > 1 else ""
        yield said(
            "winter.chart.heap",
            number=str(number),
            times=times,
            build=heap.build_on,
            draw=heap.draw_from,
            end=heap.draw_until,
        )
    for month in plan.months:
        if month.from_pile is not None:
            need, given = (quantity_in_words(part) for part in (month.needed, month.from_pile))
            yield said("winter.chart.month", month=month.month, need=need, given=given)
    for way in plan.options:
        name = way_in_words(way.way, way.heaps, first=True)
        chosen = said("winter.chart.laid-out") if way.chosen else ""
        by = f"{shown(way.short_by['value'])} {spelled(way.short_by['unit'])}"
        short = shown(way.nights_short["value"])
        yield said(
            "winter.chart.way",
            name=name,
            heat=quantity_in_words(way.heat),
            short=short,
            by=by,
            chosen=chosen,
        )
