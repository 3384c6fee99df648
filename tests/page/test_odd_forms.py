"""Two hundred odd submissions: wrong units, commas, nothing, too much, signs of other scripts, markup, forged parts."""

from __future__ import annotations

import html
from typing import Any

import pytest

from service.page.address import address_letters
from service.page.form import FIELDS, UNIT_BOXES
from tests.each import each
from tests.page.reader import ask, page_of, post
from tests.page.samples import SMALLEST

ODD = [
    "12,5",
    "1.234,5",
    "1 234",
    "½",
    "٤٥",
    "四十五",
    "-",
    "--5",
    "+5",
    "5-",
    "1e3",
    "1e999",
    "NaN",
    "inf",
    "0x2D",
    "5 kg",
    "5 furlongs",
    "5 C C",
    "45 °C °F",
    "C 45",
    "🔥🔥",
    "45🌡",
    "\u202e45\u202c",
    "שלום 45",
    "<b>45</b>",
    "<script>alert(1)</script>",
    "\"'><img src=x onerror=alert(1)>",
    "{{ 7 * 7 }}",
    "{% raw %}",
    "%00",
    "\x00",
    "\r\nSet-Cookie: x=1",
    "9" * 400,
    "a" * 1000,
    " ",
    "\u00a0",
    "null",
    "undefined",
    "[]",
    "../../etc/passwd",
    "2025-13-40",
    "yesterday",
]
NAMES = ["temperatures.core", "pile.built_on", "history.0.ago", "pile.size.volume", "pile.ingredients.0.material"]


@each([(NAMES[place % len(NAMES)], value) for place, value in enumerate(ODD)])
def test_an_odd_value_is_refused_in_words_or_taken_and_never_becomes_markup(name: str, value: str) -> None:
    check_odd(name, value)


@pytest.mark.slow
@each(sorted(name for name, field in FIELDS.items() if field.kind in ("text", "number", "phone", "date")), ODD)
def test_the_same_in_every_typed_field(name: str, value: str) -> None:
    check_odd(name, value)


def check_odd(name: str, value: str) -> None:
    """The age is wanting, so none of these is advised on; each comes back as it was typed."""
    reply = post({name: value})
    assert reply.status_code == 422, reply.status_code
    page = page_of(reply, 422)
    form = page.main_form
    kept = dict(form.typed()).get(name, "")
    assert kept.replace("\r\n", "\n").strip() == html.unescape(value).replace("\r\n", "\n").strip() or "\x00" in value
    assert "<script>alert" not in reply.text and "<img src=x" not in reply.text and "49" not in kept.replace(value, "")
    faults = page.all("div", "faults")[0].text
    assert "Traceback" not in faults and len(faults) < 4000


@pytest.mark.slow
@each(sorted(FIELDS), ["<b>&\"'", "🔥", ""])
def test_every_field_takes_anything_without_falling_over(name: str, value: str) -> None:
    assert post({"temperatures.core": "?", name: value}).status_code == 422


@each(sorted(UNIT_BOXES)[::15], ["furlongs", "-degK", "<b>", ""])
def test_a_unit_that_is_not_offered_counts_as_none(box: str, unit: str) -> None:
    page = page_of(post({"pile.age": "?", box.removesuffix(".unit"): "5", box: unit}), 422)
    assert "<b>" not in page.all("main")[0].text.replace("<b>", "", 0) or unit == "<b>"


@each(["", "x", "====", "AAAA", "_-_-", "%", "\N{SNOWMAN}", address_letters({"pile.age": ("?",)})[:-4], "A" * 20_000])
def test_an_address_that_is_not_whole_is_refused(text: str) -> None:
    reply = ask("GET", "/form/told", params={"t": text})
    assert reply.status_code == 422, reply.status_code


def test_a_packed_form_cannot_hold_more_than_a_form_may() -> None:
    """Sixty-four kilobytes of nothing pack into a hundred letters; what is unpacked is bounded."""
    bomb: Any = {"on_hand.more": ("a" * 900,) * 500}
    assert len(address_letters(bomb)) < 2_000
    assert ask("GET", "/form/told", params={"t": address_letters(bomb)}).status_code == 422
    assert post({"told": address_letters(bomb), **SMALLEST}).status_code == 422


def test_an_answer_has_an_address_that_gives_it_again() -> None:
    first = post(SMALLEST)
    assert [reply.status_code for reply in first.history] == [303]
    again = ask("GET", str(first.url))
    assert again.text == first.text and "private" in again.headers["cache-control"]


def test_what_is_too_long_for_an_address_is_answered_all_the_same() -> None:
    many = [
        ("earlier", f"2026-01-{1 + n % 17:02}T{n % 24:02}:{n % 60:02}:{n * 7 % 60:02}Z {40 + n % 9}.{n * 13 % 97}")
        for n in range(500)
    ]
    reply = post([*SMALLEST.items(), *many, ("as_of", "2026-01-18T07:30:00Z"), ("on_hand.more", "?" * 900)])
    assert reply.status_code in (200, 422) and reply.text.startswith("<!doctype html>")
