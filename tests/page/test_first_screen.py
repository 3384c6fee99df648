"""The first screen of a phone, large letters, a wide screen, going back, and dates on paper, in a real Chromium."""

from __future__ import annotations

import json
import re
from typing import Any
from urllib.parse import urlencode

import pytest

from service.answer.advice import advise
from service.answer.words import life_cautions
from service.page.address import address_of
from service.page.body import filled_from
from service.page.entries import read_typed
from service.status.reading import read_status
from tests.page.as_typed import as_typed
from tests.page.conftest import Served
from tests.page.driving import bring_to, fill, new_page, open_all, ready_offline
from tests.page.samples import DRY_AND_FALLING, SMALLEST
from tests.page.test_browser import EXAMPLES

pytestmark = pytest.mark.slow
PHONE = {"width": 360, "height": 740}
MOST_WORDS = 120


def box(page: Any, what: str) -> dict[str, float]:
    found: dict[str, float] = page.locator(what).first.bounding_box()
    return found


def test_two_facts_and_the_button_stand_on_the_first_screen(chromium: Any, served: Served) -> None:
    page = new_page(chromium, viewport=PHONE)
    page.goto(served.address)
    for what in ("[name='temperatures.core']", "[name='pile.age']", "button.main"):
        at = box(page, what)
        assert at["y"] >= 0 and at["y"] + at["height"] <= PHONE["height"], what
    assert page.locator("button.main").count() == 1
    assert page.locator(".parts > details[open]").count() == 0
    before = box(page, "button.main")["y"]
    page.mouse.wheel(0, 300)
    page.wait_for_timeout(200)
    assert page.evaluate("scrollY") > 50
    assert box(page, "button.main")["y"] == before, "the button stays where it is"
    page.context.close()


def test_the_parts_open_one_at_a_time(chromium: Any, served: Served) -> None:
    page = new_page(chromium, viewport=PHONE)
    page.goto(served.address)
    for part in ("handful", "eyes", "draw"):
        page.click(f"#{part} > summary")
        assert page.evaluate("[...document.querySelectorAll('.parts > details[open]')].map(each => each.id)") == [part]
        page.wait_for_timeout(50)
        assert 0 <= box(page, f"#{part} > summary")["y"] < PHONE["height"]
    page.context.close()


@pytest.mark.parametrize(
    ("typed", "unit", "echoed"),
    [
        ("3", "weeks", "= 21 days"),
        ("63", "days", "= 9 weeks"),
        ("24", "days", "= 3 weeks and 3 days"),
        ("9", "days", ""),
        ("1,5", "weeks", "= 10.5 days"),
        ("2 months", "days", "= 60.9 days"),
        ("9 weeks", "months", "= 63 days"),
        ("old", "weeks", ""),
    ],
)
def test_the_age_is_said_back_while_typing(chromium: Any, served: Served, typed: str, unit: str, echoed: str) -> None:
    page = new_page(chromium, viewport=PHONE)
    page.goto(served.address)
    page.select_option("[name='pile.age.unit']", unit)
    page.fill("[name='pile.age']", typed)
    assert page.text_content("[id='pile.age-echo']") == echoed
    page.context.close()


def test_units_follow_the_first_one_until_a_number_stands_beside_them(chromium: Any, served: Served) -> None:
    page = new_page(chromium, viewport=PHONE)
    page.goto(served.address)
    fill(page, {"weather.low": "5"})
    page.select_option("[name=units]", "us")
    assert page.input_value("[name='weather.low.unit']") == "degC", "it was read as it stood when it was typed"
    assert page.input_value("[name='temperatures.outdoor.unit']") == "degF"
    assert page.input_value("[name='pile.size.width.unit']") == "ft"
    page.context.close()


_SEEN_WORDS = """height => {
  const walk = document.createTreeWalker(document.querySelector('.first'), NodeFilter.SHOW_TEXT), words = [];
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    if (!node.parentElement.checkVisibility()) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (box.height && box.bottom <= height) words.push(...node.textContent.split(/\\s+/).filter(Boolean));
  }
  return words }"""


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.name.split(".")[1])
def test_what_endangers_life_stands_on_the_first_screen_of_an_answer(
    chromium: Any, served: Served, example: Any
) -> None:
    """With the first move, when, its dose and the next look, in at most 120 words."""
    pairs = as_typed(json.loads(example.read_text(encoding="utf-8")))
    typed = read_typed(urlencode(pairs).encode())
    answer = advise(read_status(filled_from(typed).body))
    page = new_page(chromium, viewport=PHONE)
    page.goto(f"{served.address}{address_of(typed)}")
    page.wait_for_selector("h1")
    for caution in life_cautions(answer["actions"]):
        words = page.get_by_text(caution["brief"], exact=True).or_(page.get_by_text(caution["text"], exact=True)).first
        at = words.bounding_box()
        assert at is not None and at["y"] + at["height"] <= PHONE["height"], caution["brief"]
    for what in ("h1", ".first .when", *([".doses"] if answer["actions"][0]["doses"] else [])):
        at = page.locator(what).first.bounding_box()
        assert at["y"] + at["height"] <= PHONE["height"], what
    seen = page.evaluate(_SEEN_WORDS, PHONE["height"])
    assert len(seen) <= MOST_WORDS, " ".join(seen)
    page.context.close()


@pytest.mark.parametrize("state", ["empty", "answer"])
def test_letters_and_charts_grow_to_twice_their_size(chromium: Any, served: Served, state: str) -> None:
    """Every visible text and every drawing with words in it; nothing to scroll sideways for (WCAG 1.4.4, 1.4.10)."""
    sizes = []
    for percent in (100, 200):
        page = new_page(chromium, viewport=PHONE, bypass_csp=True)
        bring_to(page, served.address, state)
        open_all(page)
        page.add_style_tag(content=f"html{{font-size:{percent}%!important}}")
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        sizes.append(
            page.evaluate(
                """() => [...document.querySelectorAll('main *')].filter(each => each.checkVisibility() &&
                [...each.childNodes].some(node => node.nodeType === 3 && node.textContent.trim()))
                .map(each => [each.tagName, parseFloat(getComputedStyle(each).fontSize)])"""
            )
        )
        drawn = page.evaluate("[...document.querySelectorAll('.chart svg, .bar')].map(each => each.clientHeight)")
        sizes.append([["svg", height] for height in drawn])
        page.context.close()
    for small, large in ((sizes[0], sizes[2]), (sizes[1], sizes[3])):
        assert len(small) == len(large) and (state == "empty" or small)
        assert [(a, b) for a, b in zip(small, large, strict=True) if b[1] < 1.9 * a[1]] == []


@pytest.mark.parametrize("state", ["empty", "answer"])
def test_a_wide_screen_is_used(chromium: Any, served: Served, state: str) -> None:
    page = new_page(chromium, viewport={"width": 1000, "height": 800})
    bring_to(page, served.address, state)
    left, right = ("#middle", ".parts") if state == "empty" else (".now", ".rest")
    assert box(page, left)["x"] + box(page, left)["width"] <= box(page, right)["x"]
    assert box(page, right)["x"] + box(page, right)["width"] >= 960
    assert abs(box(page, left)["y"] - box(page, right)["y"]) < 40
    if state == "empty":
        page.mouse.wheel(0, 400)
        page.wait_for_timeout(100)
        at = box(page, "button.main")
        assert 0 <= at["y"] <= 800 - at["height"]
    page.context.close()


# ------------------------------------------------------------------------------------------------------ going back


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
@pytest.mark.parametrize("worker", [True, False], ids=["worker", "no worker"])
def test_back_returns_to_the_answer_and_to_what_was_typed(
    chromium: Any, served: Served, worker: bool, scripts: bool
) -> None:
    allowed = "allow" if worker else "block"
    page = new_page(chromium, viewport=PHONE, java_script_enabled=scripts, service_workers=allowed)
    page.goto(served.address)
    if worker and scripts:
        ready_offline(page)
    page.fill("[name='temperatures.core']", "45")
    page.fill("[name='pile.age']", "3")
    page.select_option("[name='pile.age.unit']", "weeks")
    page.click("#handful > summary")
    page.check("[name=moisture_feel][value=damp]")
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    first, where = page.inner_text("main"), page.url
    # a tap below the answer, and back to the answer it was below
    page.locator(".tap button[name]:not([name=edit])").first.click()
    page.wait_for_url(lambda url: url != where)
    page.wait_for_selector("main[data-page=answer]")
    assert page.inner_text("main") != first
    page.go_back()
    page.wait_for_selector("main[data-page=answer]")
    assert page.inner_text("main") == first
    # a new reading, and back
    page.click("text=New reading")
    page.wait_for_selector("main[data-page=form]")
    page.go_back()
    page.wait_for_selector("main[data-page=answer]")
    assert page.inner_text("main") == first
    # back to the form, with all that was typed
    page.go_back()
    page.wait_for_selector("main[data-page=form]")
    assert page.input_value("[name='temperatures.core']") == "45"
    assert page.input_value("[name='pile.age']") == "3"
    assert page.input_value("[name='pile.age.unit']") == "weeks"
    assert page.is_checked("[name=moisture_feel][value=damp]")
    page.go_forward()
    page.wait_for_selector("main[data-page=answer]")
    assert page.inner_text("main") == first
    page.context.close()


def test_back_from_a_refusal_and_its_answer_asks_nothing(chromium: Any, served: Served) -> None:
    """A page that was posted would have to be sent again."""
    page = new_page(chromium, viewport=PHONE, service_workers="block")
    bring_to(page, served.address, "wrong")
    page.fill("[name='temperatures.core']", "")
    page.goto(served.address + "/form")
    page.go_back()
    assert page.locator(".faults").is_visible() and page.input_value("[name='temperatures.core']") in ("140", "")
    page.context.close()


# ---------------------------------------------------------------------------------------------------- on paper


@pytest.mark.parametrize("state", ["little", "answer", "fire"])
def test_a_print_says_when_and_what_was_read(chromium: Any, served: Served, state: str) -> None:
    page = new_page(chromium)
    bring_to(page, served.address, state)
    page.emulate_media(media="print")
    assert re.search(r"\d+ \w{3} \d{4}, \d\d:\d\d", page.inner_text("header"))
    shown = page.inner_text(".told")
    told = {"little": ("45 °C", "20 days"), "answer": ("116 °F", "121 °F", "Dusty"), "fire": ("86 °C", "Smoke")}
    for words in told[state]:
        assert words in shown
    assert page.locator(".told dd").first.is_visible()
    page.context.close()


def test_dates_are_those_of_the_phone(chromium: Any, served: Served) -> None:
    page = new_page(chromium, timezone_id="America/Denver")
    page.goto(served.address)
    fill(page, {**SMALLEST, "history.0.core": "50 C", "history.0.ago": "3 days"})
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    hour = page.evaluate("new Date().toLocaleString('en-GB', {hour: '2-digit'})")
    assert f", {hour}:" in page.inner_text(".at") and "UTC" not in page.inner_text(".at")
    assert re.search(rf"3 days \(\d+ \w+ \d{{4}}, {hour}:", page.text_content(".told"))
    page.context.close()


def test_a_typed_sign_and_a_chosen_one_say_the_same(chromium: Any, served: Served) -> None:
    """Number pads of some phones have no minus, so the unit can say that it is below zero."""
    told = []
    for typed, unit in (("-5", "degC"), ("5", "-degC"), ("-5", "-degC")):
        page = new_page(chromium)
        page.goto(served.address)
        fill(page, {**SMALLEST, "weather.low": typed})
        page.select_option("[name='weather.low.unit']", unit)
        page.click("button.main")
        page.wait_for_selector("main[data-page=answer]")
        told.append(page.locator("dt:text-is('Coldest tonight') + dd").text_content())
        page.context.close()
    assert told == ["-5 °C (23 °F)"] * 3


def test_a_full_form_is_told_in_full(chromium: Any, served: Served) -> None:
    page = new_page(chromium, viewport=PHONE)
    page.goto(served.address)
    fill(page, DRY_AND_FALLING)
    page.click("button.main")
    page.wait_for_selector("main[data-page=answer]")
    shown = page.text_content(".told")
    for value in (
        "116 °F",
        "20 °F",
        "52 days",
        "121 °F",
        "22 yd3",
        "wood chips",
        "18 yd3",
        "0.5 gpm",
        "60 °F",
        "2400 ft3",
    ):
        assert value in shown, value
    page.context.close()
