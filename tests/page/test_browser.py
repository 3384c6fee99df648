"""The page in a real Chromium: for everybody's eyes and hands, on narrow screens, in the dark, on paper."""

from __future__ import annotations

import json
import re
from typing import Any
from urllib.parse import urlencode

import httpx
import pytest

from service.page.form import SECTIONS
from tests.examples import FOLDER
from tests.page.as_typed import as_typed
from tests.page.conftest import Served
from tests.page.driving import STATES, bring_to, fill, new_page, open_all, ready_offline
from tests.page.samples import DRY_AND_FALLING, SMALLEST
from tests.page.test_delivery import FIRST_LOAD_BYTES, FIRST_LOAD_REQUESTS

pytestmark = pytest.mark.slow
SMALLEST_TARGET_PX = 44
WIDTHS = (320, 390, 1280)
EXAMPLES = sorted(FOLDER.glob("advice.*.request.json"))

REVIEWED = {
    "color-contrast": "axe does not see what a text in a drawing stands on; `test_colours` works it out",
}
"""Rules that axe cannot settle by itself somewhere on these pages, and why it is well there."""


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("state", STATES)
def test_axe_finds_nothing_and_nothing_sticks_out(
    chromium: Any, served: Served, state: str, width: int, dark: bool
) -> None:
    """WCAG 2.2 AA and axe's own best practices, folded and unfolded; no sideways scrolling (WCAG 1.4.10)."""
    from axe_playwright_python.sync_playwright import Axe

    page = new_page(chromium, viewport={"width": width, "height": 844}, color_scheme="dark" if dark else "light")
    bring_to(page, served.address, state)
    for unfold in (False, True):
        if unfold:
            open_all(page)
        found = Axe().run(page, options={"rules": {"target-size": {"enabled": True}}}).response
        assert [(each["id"], [node["html"] for node in each["nodes"]]) for each in found["violations"]] == []
        assert {each["id"] for each in found["incomplete"]} <= set(REVIEWED), found["incomplete"]
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert [told for told in page.complaints if "422" not in told] == []
    page.context.close()


def test_axe_would_notice(chromium: Any, served: Served) -> None:
    """Guards the tests above: faults put in by hand are found."""
    from axe_playwright_python.sync_playwright import Axe

    page = new_page(chromium)
    page.goto(served.address)
    page.evaluate(
        """() => { document.querySelector('.parts > .hint').style.color = '#aaa';
        document.querySelector("label[for='pile.age']").remove(); document.documentElement.lang = '' }"""
    )
    assert {"color-contrast", "label", "html-has-lang"} <= {v["id"] for v in Axe().run(page).response["violations"]}
    page.context.close()


_TARGETS = """() => [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, summary')]
  .filter(each => each.checkVisibility())
  .map(each => [each.outerHTML.slice(0, 90),
    (['radio', 'checkbox'].includes(each.type) ? each.closest('label') : each).getBoundingClientRect()])
  .map(([what, box]) => [what, box.width, box.height])"""


@pytest.mark.parametrize("width", [320, 390])
@pytest.mark.parametrize("state", STATES)
def test_everything_to_tap_is_large_enough_for_a_glove(chromium: Any, served: Served, state: str, width: int) -> None:
    """44 by 44 CSS pixels (WCAG 2.5.5, level AAA)."""
    page = new_page(chromium, viewport={"width": width, "height": 700})
    bring_to(page, served.address, state)
    open_all(page)
    targets = page.evaluate(_TARGETS)
    assert len(targets) > 3
    assert [t for t in targets if min(t[1], t[2]) < SMALLEST_TARGET_PX] == []
    page.context.close()


@pytest.mark.parametrize("state", STATES)
def test_it_bears_wide_spacing_and_large_letters(chromium: Any, served: Served, state: str) -> None:
    """Text spacing (WCAG 1.4.12) at 320 px, and letters twice as large (1.4.4) on a screen of 640 px."""
    for width, sheet in (
        (320, "*{line-height:1.5!important;letter-spacing:.12em!important;word-spacing:.16em!important}"),
        (640, "html{font-size:200%!important}"),
    ):
        page = new_page(chromium, viewport={"width": width, "height": 844}, bypass_csp=True)
        bring_to(page, served.address, state)
        open_all(page)
        page.add_style_tag(content=sheet)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.context.close()


# -------------------------------------------------------------------------------------------------------- keyboard

_FOCUSED = """() => { const at = document.activeElement, style = getComputedStyle(at), box = at.getBoundingClientRect();
  return {what: at.id || at.name || at.textContent.slice(0, 40), tag: at.tagName, ring: parseFloat(style.outlineWidth),
          seen: box.bottom > 0 && box.top < innerHeight, place: [...document.querySelectorAll('*')].indexOf(at)} }"""
_STOPS = """() => { const all = [...document.querySelectorAll('*')], stops = [], groups = new Set();
  for (const each of document.querySelectorAll('a[href], button, input:not([type=hidden]), select, summary')) {
    if (!each.checkVisibility() || each.closest('datalist')) continue;
    if (each.type === 'radio') {  // one stop for each group: the one chosen, else the first
      if (groups.has(each.name)) continue;
      groups.add(each.name);
      const chosen = each.form.querySelector(`[name="${each.name}"]:checked`);
      stops.push(all.indexOf(chosen ?? each));
    } else stops.push(all.indexOf(each));
  }
  return stops }"""
"""The places where Tab must stop."""


def walk(page: Any, most: int = 200) -> list[dict[str, Any]]:
    """Press Tab from the top until the page is left; where the focus was."""
    stops = []
    for _ in range(most):
        page.keyboard.press("Tab")
        at = page.evaluate(_FOCUSED)
        if at["tag"] == "BODY":
            return stops
        stops.append(at)
    raise AssertionError("the page cannot be left by Tab")


@pytest.mark.parametrize("state", STATES)
def test_the_keyboard_reaches_everything_in_order_and_is_seen(chromium: Any, served: Served, state: str) -> None:
    """In the order of the page, each with a ring at least 2 px wide and on the screen (WCAG 2.1.1, 2.4.3, 2.4.11)."""
    page = new_page(chromium)
    bring_to(page, served.address, state)
    page.evaluate("document.activeElement.blur(); getSelection().collapse(document.body, 0); scrollTo(0, 0)")
    stops = walk(page)
    assert all(stop["seen"] and stop["ring"] >= 2 for stop in stops), stops
    places = [stop["place"] for stop in stops]
    assert places == sorted(places)
    assert set(page.evaluate(_STOPS)) == set(places)
    page.context.close()


def test_the_whole_way_by_keyboard_alone(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    page.goto(served.address)
    page.keyboard.press("Tab")
    page.keyboard.type("45 C")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type("20 days")
    page.keyboard.press("Enter")
    page.wait_for_selector("main[data-page=answer]")
    page.focus(".first summary")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.parentElement.open") is True
    page.focus("button[value=dusty]")
    page.keyboard.press("Space")
    page.wait_for_selector("h1:text-is('Add water')")
    page.context.close()


def test_an_error_takes_the_focus_and_leads_to_the_field(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    bring_to(page, served.address, "wrong")
    assert page.evaluate("document.activeElement.className") == "faults"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    assert page.evaluate("document.activeElement.id") == "temperatures.core"
    page.click('a[href="#history.0.ago"]')
    assert page.locator("[id='history.0.ago']").is_visible()
    page.context.close()


# ------------------------------------------------------------------------------------------------- without scripts


def test_all_works_with_scripts_off(chromium: Any, served: Served) -> None:
    page = new_page(chromium, java_script_enabled=False)
    page.goto(served.address)
    page.fill("[name='temperatures.core']", "140")
    page.fill("[name='pile.age']", "20 days")
    page.select_option("[name=units]", "metric")
    page.click("text=Cold and weather")
    page.fill("[name='weather.low']", "-5")
    page.click("button.main")
    page.click(".faults a")
    assert page.url.endswith("#temperatures.core")
    assert page.input_value("[name='weather.low']") == "-5"
    page.fill("[name='temperatures.core']", "45")
    page.click("button.main")
    assert page.locator("main[data-page=answer] h1").count() == 1
    page.click("button[value=dusty]")
    assert page.inner_text("h1") == "Add water"
    page.click("text=Change what I told")
    assert page.is_checked("[name=moisture_feel][value=dusty]")
    assert page.input_value("[name='temperatures.core']") == "45"
    page.context.close()


# ---------------------------------------------------------------------------------------------------- first load


def test_a_first_load_asks_for_little(chromium: Any, served: Served) -> None:
    """As the server counts it, the kept copy of the form included."""
    page = new_page(chromium)
    served.asked.clear()
    before = served.sent
    page.goto(served.address)
    ready_offline(page)
    page.wait_for_load_state("networkidle")
    assert len(served.asked) <= FIRST_LOAD_REQUESTS, served.asked
    assert served.sent - before <= FIRST_LOAD_BYTES
    served.asked.clear()
    page.reload()
    page.wait_for_load_state("networkidle")
    assert [path for _, path in served.asked if path != "/page/worker.js"] == [], "the second time it comes from here"
    page.context.close()


def test_it_can_be_installed_as_an_app(chromium: Any, served: Served) -> None:
    page = new_page(chromium)
    page.goto(served.address)
    ready_offline(page)
    session = page.context.new_cdp_session(page)
    told = session.send("Page.getAppManifest")
    assert told["errors"] == [] and json.loads(told["data"])["name"] == "warmheap"
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [each["errorId"] for each in errors if each["errorId"] != "in-incognito"] == []
    page.context.close()


# ----------------------------------------------------------------------------------------------------- on paper


def pages_on(page: Any, paper: str) -> int:
    """How many sheets it prints on."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.name.split(".")[1])
def test_an_answer_prints_on_one_page(chromium: Any, served: Served, example: Any, paper: str) -> None:
    page = new_page(chromium, bypass_csp=True)
    body = urlencode(as_typed(json.loads(example.read_text(encoding="utf-8"))))
    headers = {"content-type": "application/x-www-form-urlencoded"}
    reply = httpx.post(served.address + "/form", content=body, headers=headers, follow_redirects=True)
    page.set_content(reply.text)
    assert pages_on(page, paper) == 1
    page.emulate_media(media="print")
    assert not page.locator("button:visible").count()
    for text in page.locator(".care li").all():
        assert text.is_visible()
    page.context.close()


@pytest.mark.parametrize("scripts", [True, False])
def test_a_blank_sheet_for_the_shed_holds_all_parts_and_marks_nothing(
    chromium: Any, served: Served, scripts: bool
) -> None:
    """Both sides of one sheet: every question, every choice of it with a box, lines to write on, and no mark made."""
    page = new_page(chromium, java_script_enabled=scripts)
    page.goto(served.address)
    page.emulate_media(media="print")
    assert pages_on(page, "A4") <= 2 and pages_on(page, "Letter") <= 2
    shown = page.inner_text("main")
    for section in SECTIONS:
        for field in section.fields:
            if field.name not in ("units", "pile.built_on"):
                assert field.label in shown, field.name
            for choice in field.choices if field.name != "units" else ():
                assert choice.label in shown, (field.name, choice.value)
    assert "Not looked" not in shown and "Not said" not in shown
    assert "°C / °F" in page.evaluate("getComputedStyle(document.querySelector('.beside'), '::after').content")
    assert page.locator("input:checked:visible, button:visible, select:visible").count() == 0
    assert "Date and hour" in page.inner_text("header")
    page.context.close()


# ------------------------------------------------------------------------------------------------- small comforts


@pytest.mark.parametrize(
    ("typed", "units", "shown"),
    [
        ("121F", "metric", "= 49.4 °C"),
        ("47 C", "us", "= 116.6 °F"),
        ("47,5", "metric", "= 117.5 °F"),
        ("104", "us", "= 40 °C"),
        ("116 °f", "metric", "= 46.7 °C"),
        ("\N{MINUS SIGN}4 F", "metric", "= -20 °C"),
        ("warm", "us", ""),
    ],
)
def test_the_other_scale_shows_while_typing_and_what_was_typed_stays(
    chromium: Any, served: Served, typed: str, units: str, shown: str
) -> None:
    page = new_page(chromium)
    page.goto(served.address)
    page.select_option("[name=units]", "metric")
    page.fill("[name='temperatures.core']", typed)
    page.select_option("[name=units]", units)
    assert page.text_content("[id='temperatures.core-echo']") == shown
    assert page.input_value("[name='temperatures.core']") == typed
    page.context.close()


def test_the_answer_to_a_full_form_is_the_same_with_and_without_scripts(chromium: Any, served: Served) -> None:
    headings = []
    for scripts in (True, False):
        page = new_page(chromium, java_script_enabled=scripts)
        page.goto(served.address)
        if scripts:
            fill(page, DRY_AND_FALLING)
            page.click("button.main")
        else:
            page.fill("[name='temperatures.core']", str(SMALLEST["temperatures.core"]))
            page.fill("[name='pile.age']", str(SMALLEST["pile.age"]))
            page.keyboard.press("Enter")
        page.wait_for_selector("main[data-page=answer]")
        headings.append(page.inner_text("h1"))
        page.context.close()
    assert headings[0] == "Add water" and headings[1]
