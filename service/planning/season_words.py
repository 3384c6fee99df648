"""The chart of a winter's plan in words, for those who do not see it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from service.render.numbers import quantity_in_words
from service.render.wording import SPELLED, shown

Plan = Mapping[str, Any]
WAY_NAMES: Final = {
    "one": "one heap",
    "in_a_row": "{count} heaps in a row",
    "side_by_side": "{count} heaps side by side",
}
PLANNED: Final = "Heat and core of the heaps from {first} to {last}"
NOTHING: Final = "No heat is needed"
SPAN: Final = "The house needs up to {need} as a mean over day and night; up to {draw} is drawn from the heaps."
CORE: Final = (
    "The core of the heap in use is likely {first} at first, {highest} at most and {last} at the end; its limit is "
    "{limit}."
)
HEAP: Final = "Heap {number}{times}: build {build}, draw from {draw} to {end}."
MONTH: Final = "{month}: needed {need}, from the heaps {given}."
WAY: Final = "{name}: {heat}, {short} nights short, by {by} on the mean{chosen}."


def title(plan: Plan) -> str:
    """A title."""
    chart = plan["chart"]
    return NOTHING if chart is None else PLANNED.format(first=chart["at"][0], last=chart["at"][-1])


def description(plan: Plan) -> str:
    """Everything that the chart shows, in sentences."""
    return " ".join(_sentences(plan))


def _sentences(plan: Plan) -> Iterator[str]:
    yield plan["headline"]
    chart = plan["chart"]
    if chart is None:
        return
    unit, power = SPELLED[chart["core_unit"]], chart["power_unit"]
    median = chart["core"]["median"]
    yield SPAN.format(need=f"{shown(max(chart['need']))} {power}", draw=f"{shown(max(chart['draw']))} {power}")
    yield CORE.format(
        first=f"{median[0]:.0f} {unit}",
        highest=f"{max(median):.0f} {unit}",
        last=f"{median[-1]:.0f} {unit}",
        limit=f"{shown(chart['limit'])} {unit}",
    )
    for number, heap in enumerate(plan["heaps"], start=1):
        times = f", {heap['count']} of them" if heap["count"] > 1 else ""
        yield HEAP.format(
            number=number, times=times, build=heap["build_on"], draw=heap["draw_from"], end=heap["draw_until"]
        )
    for month in plan["months"]:
        if month["from_pile"] is not None:
            need, given = (quantity_in_words(month[name]) for name in ("needed", "from_pile"))
            yield MONTH.format(month=month["month"], need=need, given=given)
    for way in plan["options"]:
        name = WAY_NAMES[way["way"]].format(count=way["heaps"])
        chosen = ", the one laid out here" if way["chosen"] else ""
        by = f"{shown(way['short_by']['value'])} {SPELLED[way['short_by']['unit']]}"
        short = shown(way["nights_short"]["value"])
        yield WAY.format(name=name.capitalize(), heat=quantity_in_words(way["heat"]), short=short, by=by, chosen=chosen)
