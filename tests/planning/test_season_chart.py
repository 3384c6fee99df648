"""The chart of a winter: what is drawn is what the JSON says, on the page, and told in words too."""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from typing import Any
from xml.etree import ElementTree

import pytest

from service.planning.season_chart import (
    CORE_BOTTOM,
    CORE_TOP,
    HEIGHT,
    LEFT,
    POWER_BOTTOM,
    POWER_TOP,
    RIGHT,
    WIDTH,
    season_as_svg,
)
from service.planning.season_words import winter_description
from service.planning.shapes.season_answer import SeasonPlan
from tests.each import each

from .asking import COLD_MONTHS, HOUSE, Body, ask

SPACE = "{http://www.w3.org/2000/svg}"
WINTER: Body = {
    "house": HOUSE,
    "outdoor": {"monthly": COLD_MONTHS},
    "period": {"start": "2025-12-15", "until": "2026-02-20"},
    "most_heaps": 2,
}
MILD: Body = {
    "house": HOUSE,
    "outdoor": {"monthly": [{"month": "july", "low": 15, "high": 28}]},
    "period": {"start": "2026-07-01", "until": "2026-07-31"},
}


@cache
def plan() -> Body:
    answer: Body = ask("/season", WINTER).json()
    return answer


def chart() -> str:
    return season_as_svg(SeasonPlan.model_validate(plan()))


@cache
def drawn() -> ElementTree.Element:
    return ElementTree.fromstring(chart())


def points(series: str) -> list[tuple[float, float]]:
    line = next(one for one in drawn().iter(f"{SPACE}polyline") if one.get("data-series") == series)
    pairs = [place.split(",") for place in line.get("points", "").split()]
    return [(float(x), float(y)) for x, y in pairs]


def scale(top: int, bottom: int) -> Any:
    """Reads values off the ticks that are written at the left."""
    ticks = {
        float((one.text or "").replace(",", "")): float(one.get("y", 0)) - 4
        for one in drawn().iter(f"{SPACE}text")
        if float(one.get("x", 0)) == LEFT - 8 and top - 1 <= float(one.get("y", 0)) - 4 <= bottom + 1
    }
    (low, low_at), (high, high_at) = min(ticks.items()), max(ticks.items())
    return lambda at: low + (at - low_at) / (high_at - low_at) * (high - low)


@each([("need", POWER_TOP, POWER_BOTTOM), ("draw", POWER_TOP, POWER_BOTTOM), ("core", CORE_TOP, CORE_BOTTOM)])
def test_lines_are_the_numbers_of_the_json(series: str, top: int, bottom: int) -> None:
    chart = plan()["chart"]
    told = chart["core"]["median"] if series == "core" else chart[series]
    value = scale(top, bottom)
    # A tenth of a pixel of 134 on the whole axis
    slack = 0.002 * abs(value(top) - value(bottom))
    assert [value(y) for _, y in points(series)] == pytest.approx(told, abs=slack)
    first, last = date.fromisoformat(chart["at"][0]), date.fromisoformat(chart["at"][-1])
    for (x, _), at in zip(points(series), chart["at"], strict=True):
        share = (date.fromisoformat(at) - first) / (last - first)
        assert x == pytest.approx(LEFT + share * (RIGHT - LEFT), abs=0.1)


def test_every_heap_has_its_three_dates() -> None:
    marks = {(one.get("data-mark"), one.get("data-date")) for one in drawn().iter() if one.get("data-mark")}
    wanted = set()
    for number, heap in enumerate(plan()["heaps"], start=1):
        for word, field in (("build", "build_on"), ("draw", "draw_from"), ("end", "draw_until")):
            wanted.add((f"{word} {'all' if heap['count'] > 1 else number}", heap[field]))
    assert marks == wanted


def test_every_way_is_a_dot_and_a_line_of_text() -> None:
    dots = [one for one in drawn().iter(f"{SPACE}circle") if one.get("data-way")]
    options = plan()["options"]
    assert [(one.get("data-way"), int(one.get("data-heaps", 0))) for one in dots] == [
        (one["way"], one["heaps"]) for one in options
    ]
    heights = [float(one.get("cy", 0)) for one in dots]
    by_heat = sorted(range(len(options)), key=lambda place: options[place]["heat"]["value"])
    assert [heights[place] for place in by_heat] == sorted(heights, reverse=True)
    text = " ".join(one.text or "" for one in drawn().iter(f"{SPACE}text"))
    assert text.count("nights short") == len(options) and "(chosen)" in text


def test_it_is_told_for_those_who_do_not_see_it() -> None:
    told = drawn().findtext(f"{SPACE}desc") or ""
    assert told == winter_description(SeasonPlan.model_validate(plan())) and told.startswith(plan()["headline"])
    for heap in plan()["heaps"]:
        assert all(heap[name] in told for name in ("build_on", "draw_from", "draw_until"))
    for month in plan()["months"]:
        assert month["month"] in told
    assert "40 °C" in told and drawn().get("role") == "img" and drawn().findtext(f"{SPACE}title")


def test_everything_lies_on_the_page() -> None:
    for one in drawn().iter():
        for name in ("x", "x1", "x2", "cx"):
            assert 0 <= float(one.get(name, 0)) <= WIDTH
        for name in ("y", "y1", "y2", "cy"):
            assert 0 <= float(one.get(name, 0)) <= HEIGHT
    for text in drawn().iter(f"{SPACE}text"):  # about 0.55 em a letter in the usual faces
        width = 0.55 * float(text.get("font-size", 0)) * len(text.text or "")
        start = float(text.get("x", 0)) - {"end": width, "middle": width / 2}.get(text.get("text-anchor", ""), 0)
        assert start >= 0 and start + width <= WIDTH, text.text


def test_it_is_asked_for_by_accept_and_needs_nothing_from_elsewhere() -> None:
    reply = ask("/season", WINTER, "image/svg+xml")
    assert reply.status_code == 200 and reply.headers["content-type"] == "image/svg+xml"
    assert reply.text == chart() and "default-src 'none'" in reply.headers["content-security-policy"]
    assert re.findall(r"https?://[^\"]*", reply.text) == ["http://www.w3.org/2000/svg"]


def test_where_no_heat_is_needed_it_says_so() -> None:
    root = ElementTree.fromstring(ask("/season", MILD, "image/svg+xml").text)
    assert root.findtext(f"{SPACE}title") == "No heat is needed"
    assert "needs no heat" in " ".join(one.text or "" for one in root.iter(f"{SPACE}text"))
