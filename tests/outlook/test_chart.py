"""The chart: well formed, self-contained, described, legible on light and dark, and true to the numbers."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from service.outlook import chart
from service.outlook.answer import outlook_of, outlook_shown
from service.outlook.chart import outlook_as_svg
from service.render.charts import DARK, LIGHT
from service.render.scales import Scale, day_ticks, round_ticks
from tests.outlook.statuses import SMALLEST, STEADY, Body, status_of
from tests.outlook.test_answer import DEAD, OVERDRAWN

pytestmark = pytest.mark.slow

SVG = "{http://www.w3.org/2000/svg}"
HOT: Body = {**SMALLEST, "temperatures": {"core": "400 degC"}, "units": "us"}
BODIES = {"steady": STEADY, "smallest": SMALLEST, "dead": DEAD, "overdrawn": OVERDRAWN, "hot": HOT}


def drawn(body: Body, days: int = 30) -> ElementTree.Element:
    return ElementTree.fromstring(outlook_as_svg(outlook_of(status_of(body), days)))


@pytest.mark.parametrize("days", [1, 5, 30, 90])
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_everything_lies_on_the_page(body: Body, days: int) -> None:
    root = drawn(body, days)
    for element in root.iter():
        for name in ("x", "x1", "x2", "cx"):
            assert 0 <= float(element.get(name, 0)) <= chart.WIDTH
        for name in ("y", "y1", "y2", "cy", "height"):
            assert 0 <= float(element.get(name, 0)) <= chart.HEIGHT
        for place in element.get("points", "").split():
            x, y = map(float, place.split(","))
            assert chart.LEFT <= x <= chart.RIGHT and chart.TOP <= y <= chart.BOTTOM
    for text in root.iter(f"{SVG}text"):  # about 0.55 em a letter in the usual faces
        width = 0.55 * float(text.get("font-size", 0)) * len(text.text or "")
        start = float(text.get("x", 0))
        start -= {"end": width, "middle": width / 2, "start": 0}[text.get("text-anchor", "start")]
        assert start >= 0 and start + width <= chart.WIDTH, text.text


def test_it_is_described_for_those_who_do_not_see_it() -> None:
    outlook = outlook_of(status_of(STEADY), 30)
    root = ElementTree.fromstring(outlook_as_svg(outlook))
    told = {element.get("id"): element.text for element in root if element.tag in (f"{SVG}title", f"{SVG}desc")}
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title desc"
    assert root.get("lang") == "en"
    assert told["desc"] == outlook_shown(outlook)["description"]
    assert told["title"] == "Core of the heap over the next 30 days"


def test_it_needs_nothing_from_elsewhere() -> None:
    text = outlook_as_svg(outlook_of(status_of(STEADY), 30))
    assert re.findall(r"https?://[^\"]*", text) == ["http://www.w3.org/2000/svg"]
    for word in ("href", "url(", "@import", "<script", "<image", "<foreignObject", "onload"):
        assert word not in text
    assert len(text) < 20_000


def test_axes_have_units_and_the_limit_is_drawn() -> None:
    texts = [element.text for element in drawn(STEADY).iter(f"{SVG}text")]
    assert "core, °C" in texts and "days ahead" in texts and "limit 40 °C" in texts
    assert "18 Jan" in texts and "today" in texts
    assert any(element.get("stroke-dasharray") for element in drawn(STEADY).iter(f"{SVG}line"))
    assert "core, °F" in [element.text for element in drawn(HOT).iter(f"{SVG}text")]


def test_the_line_is_the_median() -> None:
    outlook = outlook_of(status_of(STEADY), 30)
    root = ElementTree.fromstring(outlook_as_svg(outlook))
    line = next(each for each in root.iter(f"{SVG}polyline") if each.get("stroke-width") == "3")
    heights = [float(place.split(",")[1]) for place in line.get("points", "").split()]
    grid = {float(each.text or ""): float(each.get("y", 0)) - 4 for each in root.iter(f"{SVG}text") if _is_tick(each)}
    (low, low_at), (high, high_at) = min(grid.items()), max(grid.items())
    told = [low + (at - low_at) / (high_at - low_at) * (high - low) for at in heights]
    assert told == pytest.approx(outlook.core_c[:, 1].tolist(), abs=0.1)


def _is_tick(text: ElementTree.Element) -> bool:
    return text.get("text-anchor") == "end" and re.fullmatch(r"-?\d+", text.text or "") is not None


# contrast by relative luminance: WCAG 2.2, 1.4.3 (text, 4.5 to 1) and 1.4.11 (lines, 3 to 1) (from memory)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_colours_are_legible(colours: dict[str, str]) -> None:
    for role in ("ink", "faint", "ember", "cold-ink"):
        assert contrast(colours[role], colours["paper"]) >= 4.5, role
    for ground in ("band", "cold"):
        assert contrast(colours["ink"], colours[ground]) >= 4.5, ground
        assert contrast(colours["ember"], colours[ground]) >= 3, ground
        assert contrast(colours["cold-ink"], colours[ground]) >= 3, ground
    assert LIGHT.keys() == DARK.keys()


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (-12.3, 66.1), (36.9, 37.0), (8.1, 752.0), (40.0, 40.0)])
def test_ticks_are_round_and_enclose_the_values(low: float, high: float) -> None:
    ticks = round_ticks(low, high, 6)
    assert ticks[0] <= low and ticks[-1] >= high and len(ticks) <= 9
    assert all(ticks[0] < tick for tick in ticks[1:])


@pytest.mark.parametrize(("days", "last", "count"), [(1, 1, 2), (9, 9, 10), (30, 28, 5), (90, 84, 7)])
def test_day_ticks_are_few(days: int, last: int, count: int) -> None:
    ticks = day_ticks(days)
    assert (ticks[0], ticks[-1], len(ticks)) == (0, last, count)


def test_a_scale_is_straight() -> None:
    scale = Scale(10, 20, 300, 100)
    assert (scale(10), scale(15), scale(20)) == (300, 200, 100)
