"""The drawing is true: what is measured on the paper, times its scale, is what the plan says."""

from __future__ import annotations

from itertools import pairwise
from math import hypot

import pytest

from service.sheet.drawing import HEIGHT, WIDTH
from tests.each import each

from .asking import NAMED, SPACE, dots, drawn, extent, lines, planned

METRES = {"m": 1.0, "ft": 0.3048}
PAPER_MM = 0.02
"""Places are written to a hundredth of a millimetre."""


def metres(told: dict[str, object]) -> float:
    return float(str(told["value"])) * METRES[str(told["unit"])]


@each(NAMED)
def test_it_is_sized_in_millimetres_and_stays_on_the_paper(name: str) -> None:
    _, drawing, _ = planned(name)
    chart = drawn(name)
    for side, size in (("width", drawing.width), ("height", drawing.height)):
        assert str(chart.get(side)).endswith("mm") and float(str(chart.get(side))[:-2]) == size
    assert [float(end) for end in str(chart.get("viewBox")).split()] == [0, 0, drawing.width, drawing.height]
    left, top, right, low = extent(drawing.marks)
    assert left >= 0 and top >= 0 and right <= drawing.width <= WIDTH and low <= drawing.height <= HEIGHT


@each(NAMED, [("tube", "loop"), ("duct", "duct")])
def test_length_drawn_times_the_scale_is_the_length_listed(name: str, part: str, kind: str) -> None:
    _, drawing, told = planned(name)
    listed = told["layout"][kind]
    coils = lines(drawn(name), part)
    if listed is None:
        assert not coils
        return
    assert len(coils) == listed["layers"]
    on_paper = sum(coil.length for coil in coils)
    # Chords of 4 degrees are shorter than their arc by 0.02 %; the list has three digits that count
    assert on_paper * drawing.plan / 1000 == pytest.approx(metres(listed["length"]), rel=0.006)
    bring = next(each for each in told["materials"] if each["item"] == kind)
    assert bring["length"] == listed["length"]
    assert metres(bring["to_buy"]) > metres(listed["length"])
    for coil in coils:
        assert coil.length * drawing.plan / 1000 == pytest.approx(float(coil.facts["data-length"]), rel=0.002)


@each(NAMED)
def test_turns_lie_their_spacing_apart(name: str) -> None:
    sheet, drawing, told = planned(name)
    assert sheet.loop is not None
    chart = drawn(name)
    spacing = 1000 * metres(told["layout"]["loop"]["spacing"]) / drawing.section
    outline = lines(chart, "outline")[0]
    middle = (outline.points[0][0] + outline.points[-1][0]) / 2
    sides: dict[tuple[float, bool], list[float]] = {}
    for x, y, _ in dots(chart, "tube-cut"):
        sides.setdefault((y, x > middle), []).append(x)
    levels = {y for y, _ in sides}
    assert len(levels) == told["layout"]["loop"]["layers"]
    for side in sides.values():
        for far, near in pairwise(sorted(side, reverse=True)):
            assert far - near == pytest.approx(spacing, abs=0.6 / drawing.section * 10 + 2 * PAPER_MM)
    for low, high in pairwise(sorted(levels, reverse=True)):
        assert low - high == pytest.approx(spacing, abs=0.6 / drawing.section * 10 + 2 * PAPER_MM)


@each(NAMED)
def test_outline_is_the_heap(name: str) -> None:
    sheet, drawing, told = planned(name)
    outline = lines(drawn(name), "outline")[0].points
    wide = outline[-1][0] - outline[0][0]
    high = outline[0][1] - min(y for _, y in outline)
    assert wide * drawing.section / 1000 == pytest.approx(2 * sheet.shape.radius_m, rel=0.002)
    assert high * drawing.section / 1000 == pytest.approx(metres(told["heap"]["height"]), rel=0.006)
    for _, _, radius in dots(drawn(name), "foot"):
        assert radius * drawing.plan / 1000 == pytest.approx(sheet.shape.radius_m, rel=0.002)


def test_depth_of_the_duct_is_drawn_as_told() -> None:
    sheet, drawing, told = planned("metric")
    assert sheet.duct is not None
    chart, duct = drawn("metric"), told["layout"]["duct"]
    outline = lines(chart, "outline")[0].points
    middle, face, ground = (outline[0][0] + outline[-1][0]) / 2, outline[-1][0], outline[-1][1]
    x, y, _ = max(dots(chart, "duct-cut"))
    # The outermost turn of the first layer comes in on the right, in the plane of the cut
    assert (x - middle) * drawing.section / 1000 == pytest.approx(metres(duct["from_centre"]), rel=0.006)
    assert (face - x) * drawing.section / 1000 == pytest.approx(metres(duct["from_outer_face"]), rel=0.006)
    assert (ground - y) * drawing.section / 1000 == pytest.approx(metres(duct["above_ground"]), rel=0.01)


@each(NAMED)
def test_tube_and_duct_lie_inside_and_apart(name: str) -> None:
    chart = drawn(name)
    outline = lines(chart, "outline")[0].points
    middle, ground = (outline[0][0] + outline[-1][0]) / 2, outline[0][1]
    wide, high = outline[-1][0] - middle, ground - min(y for _, y in outline)
    marks = [*dots(chart, "tube-cut"), *dots(chart, "duct-cut")]
    for x, y, radius in marks:
        assert ((abs(x - middle) + radius) / wide) ** 2 + ((ground - y + radius) / high) ** 2 < 1
    for number, (x, y, radius) in enumerate(marks):
        for other_x, other_y, other in marks[number + 1 :]:
            assert hypot(x - other_x, y - other_y) > 0.9 * (radius + other)
    feet = dots(chart, "foot")
    for part in ("tube", "duct"):
        for coil in lines(chart, part):
            x, y, radius = min(feet, key=lambda foot: hypot(foot[0] - coil.points[0][0], foot[1] - coil.points[0][1]))
            assert all(hypot(a - x, b - y) < 0.72 * radius for a, b in coil.points)


@each(NAMED)
def test_scale_bars_are_true(name: str) -> None:
    _, drawing, told = planned(name)
    bars = lines(drawn(name), "scale-bar")
    assert [int(bar.facts["data-scale"]) for bar in bars] == [drawing.section, drawing.plan]
    for bar in bars:
        assert bar.length * int(bar.facts["data-scale"]) / 1000 == pytest.approx(
            float(bar.facts["data-metres"]), abs=0.005
        )
    text = " ".join(each.text or "" for each in drawn(name).iter(f"{SPACE}text"))
    assert f"1:{drawing.section}" in text and f"1:{drawing.plan}" in text
    assert told["drawing"]["scale"] in (f"1:{drawing.plan}", f"section 1:{drawing.section}, plans 1:{drawing.plan}")


def test_film_leaves_the_ridge_open() -> None:
    films = lines(drawn("metric"), "film")
    assert len(films) == 2
    left, right = sorted(films, key=lambda film: film.points[0][0])
    gap = min(x for x, _ in right.points) - max(x for x, _ in left.points)
    _, drawing, _ = planned("metric")
    assert gap * drawing.section / 1000 >= 0.3


def test_layers_are_drawn_where_the_list_has_them() -> None:
    _, drawing, told = planned("metric")
    ground = lines(drawn("metric"), "outline")[0].points[0][1]
    for layer in lines(drawn("metric"), "layer"):
        listed = told["layers"][int(layer.facts["data-number"]) - 1]
        heights = [(ground - y) * drawing.section / 1000 for _, y in layer.points]
        assert min(heights) == pytest.approx(metres(listed["from"]), abs=0.01)
        assert max(heights) == pytest.approx(metres(listed["to"]), abs=0.01)


def test_probes_end_where_the_list_has_them() -> None:
    _, drawing, told = planned("metric")
    outline = lines(drawn("metric"), "outline")[0].points
    middle, ground = (outline[0][0] + outline[-1][0]) / 2, outline[0][1]
    for (x, y, _), listed in zip(dots(drawn("metric"), "probe"), told["probes"], strict=True):
        assert (middle - x) * drawing.section / 1000 == pytest.approx(metres(listed["from_centre"]), abs=0.01)
        assert (ground - y) * drawing.section / 1000 == pytest.approx(metres(listed["above_ground"]), abs=0.01)


def test_texts_of_the_plans_do_not_touch() -> None:
    for name in NAMED:
        _, drawing, _ = planned(name)
        boxes = [extent([mark]) for mark in drawing.marks if hasattr(mark, "text") and mark.size >= 2.5]
        for number, (left, top, right, low) in enumerate(boxes):
            for other in boxes[number + 1 :]:
                apart = right <= other[0] or other[2] <= left or low <= other[1] + 0.6 or other[3] <= top + 0.6
                assert apart, (name, left, top, other)
