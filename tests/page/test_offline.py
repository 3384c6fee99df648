"""Out of reach: drafts and readings stay on the phone, survive reloads, and nothing is lost or sent twice.

The server is really stopped here, so the browser meets what a phone meets behind the barn.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests.page.conftest import Served
from tests.page.driving import fill, new_page, open_all, ready_offline
from tests.page.samples import DRY_AND_FALLING, SMALLEST

pytestmark = pytest.mark.slow
DAY_MS = 86_400_000


@pytest.fixture(autouse=True)
def in_reach_again(served: Served) -> Iterator[None]:
    """The server runs again after each test, whatever became of it."""
    yield
    if not served.is_up:
        served.start()


def readings(page: Any) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = page.evaluate("JSON.parse(localStorage.getItem('warmheap.readings') ?? '[]')")
    return found


def keep(page: Any, *entries: tuple[float, str, bool]) -> None:
    """Put readings into the phone: days ago, core, whether it was used."""
    page.evaluate(
        """entries => localStorage.setItem('warmheap.readings', JSON.stringify(entries.map(
        ([days, core, used]) => ({at: Date.now() - days * 864e5, core, us: false, used}))))""",
        list(entries),
    )


def opened(chromium: Any, served: Served) -> Any:
    page = new_page(chromium)
    page.goto(served.address)
    ready_offline(page)
    return page


def test_a_draft_survives_a_reload_and_a_lost_connection(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    typed = {**DRY_AND_FALLING, "smell": "sour"}
    fill(page, typed)
    served.stop()
    page.reload()
    assert "is back" in page.inner_text("#note")
    for name, value in typed.items():
        for each in [value] if isinstance(value, str) else value:
            found = page.evaluate("name => new FormData(document.querySelector('form')).getAll(name)", name)
            assert each in found, name
    assert page.locator(".parts details:not([open]) .has").count() >= 5
    served.start()
    page.click("text=Start empty")
    page.wait_for_function("document.querySelector('#note').textContent === ''")
    assert page.input_value("[name='temperatures.core']") == ""
    page.context.close()


def test_a_reading_taken_out_of_reach_waits_and_is_used_later(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    fill(page, SMALLEST)
    served.stop()
    page.click("button.main")
    page.wait_for_url("**/form?offline")
    assert "No connection" in page.inner_text("#note") and "1 reading waits" in page.inner_text("#note")
    assert page.input_value("[name='temperatures.core']") == "45 C"
    assert [(each["core"], each["used"]) for each in readings(page)] == [("45 C", False)]
    page.reload()
    page.click("button.main")
    page.wait_for_url("**/form?offline")
    assert len(readings(page)) == 1, "the same reading, sent again, is one reading"
    assert "(waiting)" in page.text_content("#kept")
    served.start()
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    assert [(each["core"], each["used"]) for each in readings(page)] == [("45 C", True)]
    page.context.close()


def test_the_browser_that_knows_it_is_offline_does_not_even_try(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    fill(page, SMALLEST)
    page.context.set_offline(True)
    page.wait_for_function("document.querySelector('#note').textContent.includes('No connection')")
    page.click("button.main")
    assert page.evaluate("document.activeElement.id") == "note"
    assert "1 reading waits" in page.inner_text("#note")
    page.context.set_offline(False)
    page.wait_for_function("document.querySelector('#note').textContent.includes('back in reach')")
    page.context.close()


def test_earlier_readings_go_along_as_the_heap_s_history(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    keep(page, (40, "60", True), (6, "52", True), (3, "126 F", False), (0.003, "44", False))
    page.reload()
    assert page.locator("#kept li").count() == 4
    fill(page, SMALLEST)
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    told = page.locator("dd").all_text_contents()
    assert {"52.2 °C (126 °F)", "52 °C (125.6 °F)"} <= set(told) and "60 °C (140 °F)" not in told
    assert "45 °C (113 °F)" in told and "44 °C (111.2 °F)" not in told, "the same reading again stays behind"
    page.context.close()


def test_two_hundred_readings_are_kept_and_none_twice(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    keep(page, *((1 + place / 10, f"{40 + place % 9}", False) for place in range(199, -1, -1)))
    page.reload()
    assert page.locator("#kept li").count() == 200
    fill(page, SMALLEST)
    served.stop()
    for _ in range(3):
        page.click("button.main")
        page.wait_for_url("**/form?offline")
        page.reload()
    kept = readings(page)
    assert len(kept) == 200 and kept[-1]["core"] == "45 C"
    assert len({each["at"] for each in kept}) == 200
    served.start()
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    assert all(each["used"] for each in readings(page))
    page.context.close()


def test_a_reading_that_was_refused_is_not_kept(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    keep(page, (2, "50", False))
    page.reload()
    fill(page, {"units": "metric", "temperatures.core": "140", "pile.age": "20 days"})
    page.click("button.main")
    page.wait_for_selector(".faults")
    assert [each["core"] for each in readings(page)] == ["50"]
    assert page.input_value("[name='temperatures.core']") == "140"
    page.context.close()


def test_readings_can_be_removed_one_by_one_and_all_at_once(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    keep(page, (3, "50", True), (2, "51", True), (1, "52", True))
    page.reload()
    page.click("#kept summary")
    page.locator("#kept li button").first.click()
    assert [each["core"] for each in readings(page)] == ["51", "52"]
    assert page.evaluate("document.activeElement.closest('#kept') !== null")
    page.click("text=Forget these readings")
    assert readings(page) == [] and not page.locator("#kept").is_visible()
    page.context.close()


def test_the_next_visit_keeps_what_lasts_and_asks_anew_what_changes(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    fill(page, DRY_AND_FALLING)
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    built_on = page.get_attribute("main", "data-built-on")
    page.click("text=New reading")
    page.wait_for_selector("main[data-page=form]")
    for name in ("temperatures.core", "history.0.core", "weather.low", "pile.built_on"):
        assert page.input_value(f"[name='{name}']") == "", name
    assert page.input_value("[name='pile.size.volume']") == "22 yd3"
    assert built_on and page.input_value("[name='pile.age']") == "52", "the age goes on by itself"
    assert page.input_value("[name=units]") == "us" and not page.is_checked("[name=signs][value=steam]")
    page.context.close()


def test_every_advice_can_be_read_at_the_heap(chromium: Any, served: Served) -> None:
    """Three answers, one of them to a tap below another; each is there without a connection, with its date."""
    page = opened(chromium, served)
    headings = []
    for core in ("45 C", "62 C"):
        page.goto(served.address + "/form")
        fill(page, {**SMALLEST, "temperatures.core": core})
        page.click("button.main")
        page.wait_for_selector("main[data-page=answer]")
        headings.append(page.inner_text("h1"))
    where = page.url
    open_all(page)
    page.locator(".tap button[name]:not([name=edit])").first.click()
    page.wait_for_url(lambda url: url != where)
    page.wait_for_selector("main[data-page=answer]")
    headings.append(page.inner_text("h1"))
    served.stop()
    page.goto(served.address + "/form")
    page.click("text=Advice on this phone")
    links = page.locator("#answers li a")
    assert links.count() == 3
    for place, heading in enumerate(reversed(headings)):
        links = page.locator("#answers li a")
        assert re.match(r"\d+ \w+, \d\d:\d\d: ", links.nth(place).inner_text())
        links.nth(place).click()
        page.wait_for_selector("main[data-page=answer]")
        assert page.inner_text("h1") == heading
        page.go_back()
        page.click("text=Advice on this phone")
    page.click("text=Forget this advice")
    assert not page.locator("#answers").is_visible() and "warmheap-answers" not in page.evaluate("caches.keys()")
    page.context.close()


def test_an_advice_can_be_read_at_the_heap(chromium: Any, served: Served) -> None:
    page = opened(chromium, served)
    fill(page, DRY_AND_FALLING)
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    served.stop()
    page.goto(served.address)
    page.click("text=Advice on this phone")
    page.click("#answers li a")
    assert page.inner_text("h1") == "Add water"
    page.go_back()
    assert page.locator("button.main").is_visible()
    served.start()
    page.context.close()


def test_without_storage_it_still_works(chromium: Any, served: Served) -> None:
    """Private windows may refuse to keep anything."""
    page = new_page(chromium)
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('refused', 'SecurityError') }})"
    )
    page.goto(served.address)
    fill(page, SMALLEST)
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    assert page.complaints == []
    page.context.close()


def test_the_offline_notice_is_accessible(chromium: Any, served: Served) -> None:
    from axe_playwright_python.sync_playwright import Axe

    for dark in ("light", "dark"):
        page = new_page(chromium, color_scheme=dark, viewport={"width": 320, "height": 700})
        page.goto(served.address)
        ready_offline(page)
        keep(page, (3, "50", True), (2, "51", False))
        page.goto(served.address + "/form?offline")
        assert "No connection" in page.inner_text("#note") and page.locator("#kept li").count() == 2
        assert [each["id"] for each in Axe().run(page).response["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        page.context.close()


def test_a_new_version_of_the_page_replaces_the_kept_one(chromium: Any, served: Served) -> None:
    from service.page import render

    page = opened(chromium, served)
    names = page.evaluate("caches.keys()")
    assert names == [f"warmheap-{render.page_version()}"]
    page.evaluate("caches.open('warmheap-old').then(cache => cache.put('/form', new Response('old')))")
    page.evaluate("navigator.serviceWorker.getRegistration().then(each => each.unregister())")
    page.reload()
    ready_offline(page)
    page.wait_for_function("caches.keys().then(names => names.length === 1)")
    assert page.evaluate("caches.keys()") == names
    page.context.close()
