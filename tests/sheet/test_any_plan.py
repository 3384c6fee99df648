"""Any plan: never a failure, the drawing stays on the paper, tube and duct inside, amounts that add up."""

from __future__ import annotations

import io
from math import hypot
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from service.sheet.as_html import as_html
from service.sheet.as_pdf import as_pdf
from service.sheet.as_svg import as_svg
from service.sheet.as_text import as_text
from service.sheet.content import content
from service.sheet.drawing import HEIGHT, WIDTH, drawing_of
from service.sheet.heap import sheet_of
from tests.planning.asking import ask

from .asking import WHEN, dots, extent, lines, read

pytestmark = pytest.mark.slow

MATERIALS = ["wood_chips", "horse_manure", "straw", "leaves", "sawdust", "grass_clippings", "poultry_manure", "bark"]
mixes = st.lists(
    st.fixed_dictionaries({"material": st.sampled_from(MATERIALS), "share": st.floats(0.1, 10)}),
    min_size=1,
    max_size=5,
    unique_by=lambda part: str(part["material"]),
)
plans = st.fixed_dictionaries(
    {
        "as_of": st.just(WHEN),
        "units": st.sampled_from(["metric", "us"]),
        "heat": st.fixed_dictionaries({"power": st.floats(10, 20_000).map(lambda watts: f"{watts} W")}),
        "days": st.integers(1, 200),
        "heap": st.floats(0.5, 230).map(lambda volume: f"{volume} m3"),
    },
    optional={
        "mix": mixes,
        "title": st.text(max_size=60),
        "cover": st.sampled_from(["none", "clear_film", "tarp", "breathable", "straw"]),
        "equipment": st.sampled_from([[], ["water_loop"], ["air_duct"], ["air_duct", "water_loop"]]),
        "keep_core_above": st.floats(20, 55).map(lambda limit: f"{limit} degC"),
        "lead": st.integers(5, 90),
        "feed": st.booleans(),
        "loop": st.fixed_dictionaries({"tube": st.sampled_from(["plastic", "copper"])}),
        "barrow": st.just("100 L"),
        "paper": st.sampled_from(["a4", "letter"]),
    },
)


@settings(deadline=None, max_examples=15)
@given(body=plans)
def test_every_plan_is_drawn_and_written(body: dict[str, Any]) -> None:
    if "title" in body:
        body = body | {"title": "".join(mark for mark in body["title"] if mark.isprintable())}
    sheet = sheet_of(read(body))
    drawing = drawing_of(sheet)
    shown = content(sheet, drawing)
    told = shown.model_dump(by_alias=True)
    left, top, right, low = extent(drawing.marks)
    assert left >= 0 and top >= 0 and right <= WIDTH + 0.01 and low <= drawing.height + 0.01 <= HEIGHT + 0.02
    written = as_svg(drawing, told["drawing"]["title"], told["drawing"]["description"])
    chart = ElementTree.fromstring(written)
    outline = lines(chart, "outline")[0].points
    middle, ground = (outline[0][0] + outline[-1][0]) / 2, outline[0][1]
    wide, high = outline[-1][0] - middle, ground - min(y for _, y in outline)
    marks = [*dots(chart, "tube-cut"), *dots(chart, "duct-cut")]
    for number, (x, y, _) in enumerate(marks):
        assert (abs(x - middle) / wide) ** 2 + ((ground - y) / high) ** 2 < 0.75
        for other_x, other_y, _ in marks[number + 1 :]:
            assert hypot(x - other_x, y - other_y) * drawing.section / 1000 > 0.05
    listed = {each["item"]: each["mass"]["value"] for each in told["materials"] if each["mass"] is not None}
    laid: dict[str, float] = {}
    for layer in told["layers"]:
        assert layer["thickness"]["value"] >= 0
        for part in layer["parts"]:
            laid[part["material"]] = laid.get(part["material"], 0.0) + part["mass"]["value"]
    assert laid == {name: pytest.approx(listed[name], rel=0.02) for name in laid}
    assert as_html(shown, written).count("<table") == 3 and as_text(shown)
    document = PdfReader(io.BytesIO(as_pdf(shown, drawing, sheet.request.as_of)))
    assert 3 <= len(document.pages) <= 8


odd = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 500) | st.floats(allow_nan=False) | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["power", "share", "material"]), inner),
    max_leaves=4,
)


@settings(deadline=None, max_examples=25)
@given(
    body=st.dictionaries(
        st.sampled_from(
            ["heat", "days", "heap", "mix", "title", "as_of", "paper", "choose", "cover", "largest", "units"]
        ),
        odd,
    ),
    accept=st.sampled_from(["text/html", "application/pdf", "image/svg+xml", "application/json", "image/png", "x"]),
)
def test_no_body_makes_it_fail(body: Any, accept: str) -> None:
    assert ask("/build-sheet", body, accept).status_code < 500
