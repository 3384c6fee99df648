"""The page in a real Chromium: axe, a narrow screen, and true to scale on paper."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from tests.page.conftest import chromium  # noqa: F401 - a fixture

from .test_written import page as page_of

pytestmark = pytest.mark.slow
REVIEWED = {"color-contrast"}
"""axe does not see what a text in a drawing stands on; `test_written` works it out."""


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", ["metric", "us", "too much"])
def test_axe_finds_nothing_and_nothing_sticks_out(chromium: Any, name: str, width: int) -> None:  # noqa: F811
    from axe_playwright_python.sync_playwright import Axe

    context = chromium.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    page.set_content(page_of(name))
    found = Axe().run(page).response
    assert [(each["id"], [node["html"] for node in each["nodes"]]) for each in found["violations"]] == []
    assert {each["id"] for each in found["incomplete"]} <= REVIEWED, found["incomplete"]
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


@pytest.mark.parametrize(("name", "size"), [("metric", (210.0, 297.0)), ("us", (215.9, 279.4))])
def test_it_prints_true_on_its_paper(chromium: Any, name: str, size: tuple[float, float]) -> None:  # noqa: F811
    context = chromium.new_context()
    page = context.new_page()
    page.set_content(page_of(name))
    page.emulate_media(media="print")
    wide = page.evaluate("document.querySelector('svg').getBoundingClientRect().width")
    assert wide == pytest.approx(180 / 25.4 * 96, abs=0.5)  # CSS: 96 px to the inch
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    assert 3 <= len(printed.pages) <= 8
    box = printed.pages[0].mediabox
    assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(size, abs=0.5)
    drawn = [each for each in printed.pages if "Drawing to scale" in each.extract_text()]
    assert len(drawn) == 1 and "Order of work" not in drawn[0].extract_text()
    context.close()
