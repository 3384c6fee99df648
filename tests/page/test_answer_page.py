"""The answer page: it says what the answer says, in the order that matters, and each question is one tap away."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from rules.tables.questions import QUESTIONS
from service.actions.rank import FIRE_ACTION
from service.answer.advice import advise
from service.answer.brief import first_sentence
from service.answer.words import when
from service.page.body import filled_from
from service.page.entries import read_typed
from service.page.form import FIELDS
from service.page.ledger import WIDTH, ledger_of
from service.page.recap import both_scales
from service.page.view import view_of
from service.status.models import Status
from service.status.reading import read_status
from tests.each import each
from tests.examples import FOLDER
from tests.page.as_typed import as_typed
from tests.page.reader import Form, Page, filled, page_of, post
from tests.page.samples import DRY_AND_FALLING, EVERY_FIELD, FIRE, SMALLEST

EXAMPLES = sorted(FOLDER.glob("advice.*.request.json"))
NOT_ASKED = {"weather": {"forecast"}, "pile": {"ingredients"}}
"""What the form leaves out, or has fewer rows for; nor does it take a mass beside a volume."""


def body_of(example: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(example.read_text(encoding="utf-8"))
    return found


def through_the_form(body: dict[str, Any]) -> Status:
    """The status of a body typed into the form."""
    return read_status(filled_from(read_typed(urlencode(as_typed(body)).encode())).body)


def answer_to(values: dict[str, str | list[str]]) -> Page:
    return page_of(filled(values).main_form.submit())


@pytest.fixture(scope="module")
def dry() -> Page:
    """The page for a heap that is dry and falling."""
    return answer_to(DRY_AND_FALLING)


# --------------------------------------------------------------------------------- the form and the interface agree


@each(EXAMPLES)
def test_the_form_asks_the_same_as_the_interface(example: Path) -> None:
    """Typed into the form, an example becomes the very status its JSON is, but for what the form does not ask."""
    body = body_of(example)
    through_form = through_the_form(body).model_dump()
    direct = read_status(body).model_dump()
    for status in (through_form, direct):
        for part, left_out in NOT_ASKED.items():
            for field in left_out if status[part] else ():
                status[part].pop(field)
        status["on_hand"] = status["on_hand"] and sorted(status["on_hand"])
        if (status["pile"]["size"] or {}).get("volume") is not None:
            status["pile"]["size"].pop("mass")
    assert _rounded(through_form) == _rounded(direct)


def _rounded(value: Any) -> Any:
    """The same with numbers to nine digits and moments to the second: hours ago are told as decimals."""
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [_rounded(inner) for inner in value]
    if isinstance(value, float):
        return float(f"{value:.9g}")
    return value.replace(microsecond=0) if hasattr(value, "microsecond") else value


def test_ingredients_reach_the_status() -> None:
    values = {name: value for name, value in EVERY_FIELD.items() if isinstance(value, str)}
    parts = filled_from({name: (value,) for name, value in values.items() if value}).body["pile"]["ingredients"]
    assert [part["material"] for part in parts] == ["arborist chips", "horse manure", "leaves", "urea"]
    assert parts[2]["amount"] == "90 kg"


# -------------------------------------------------------------------------------------- the page says what it says


@each(EXAMPLES, every=4)
def test_every_part_of_the_answer_is_on_the_page(example: Path) -> None:
    """Compared with the advice to what was typed, since the form asks for less than the interface takes."""
    body = body_of(example)
    text = page_of(post(as_typed(body))).all("main")[0].text
    answer = advise(through_the_form(body))
    assert answer["id"] in text
    for action in answer["actions"]:
        assert action["title"] in text or action["action"] == FIRE_ACTION
        assert when(action).capitalize() in text
        for step in action["steps"]:
            assert step in text
        for reason in action["reasons"]:
            assert reason["text"] in text and reason["source"]["cite"] in text
        for caution in action["cautions"]:
            assert text.count(caution["text"]) == 1
    for avoided in answer["avoid"]:
        assert f"{avoided['title']}." in text
    assert answer["look_again"]["watch_for"] in text
    for assumed in answer["assumed"]:
        assert assumed["why"] in text


def test_the_first_action_comes_first_and_is_the_heading(dry: Page) -> None:
    first = dry.all("section")[0]
    assert "first" in first.attributes["class"]
    assert dry.all("h1")[0].text == "Add water" and len(dry.all("h1")) == 1
    assert dry.all("p", "when")[0].text == "Today"
    assert "gal" in first.text and "Take care" in first.text


def test_reasons_fold_and_of_each_caution_the_first_words_do_not(dry: Page) -> None:
    """Unfolded stand the few words of a caution for life, and of any other its first sentence."""
    for why in dry.all("details", "why"):
        assert "open" not in why.attributes
    answer = advise(read_status(filled_from(read_typed(urlencode(DRY_PAIRS).encode())).body))
    heads = {e.text for e in dry.all("summary")} | {e.text for e in dry.all("li")}
    first, *others = answer["actions"]
    for caution in first["cautions"]:
        words = caution["brief"] if caution["gravity"] == "life" else first_sentence(caution["text"])
        assert words in heads
    for caution in (said for action in others for said in action["cautions"] if said["gravity"] == "life"):
        assert caution["brief"] in heads, "a caution for life stands above, whichever action it is of"


DRY_PAIRS = [
    (name, value) for name, given in DRY_AND_FALLING.items() for value in ([given] if isinstance(given, str) else given)
]


def test_headings_step_down_one_at_a_time(dry: Page) -> None:
    levels = [int(e.tag[1]) for e in dry.elements if re.fullmatch(r"h[1-6]", e.tag)]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_no_score_no_gauge_no_traffic_light(dry: Page) -> None:
    """Urgency stands in words; nothing rates the heap with one number or a colour."""
    assert not [e for e in dry.elements if e.tag in ("meter", "progress") or e.attributes.get("role") == "meter"]
    text = dry.all("main")[0].text.lower()
    assert not re.search(r"\bscore\b|\brating of\b|/\s*100\b|\bgrade\b", text)


def test_what_was_told_is_said_back_in_both_scales(dry: Page) -> None:
    told = {e.text for e in dry.all("dd")}
    assert "116 °F (46.7 °C)" in told and "20 °F (-6.7 °C)" in told
    assert "Dusty: it puffs and falls apart" in told and "Steam, Wet outside, dry inside" in told


@each(
    [
        ("121F", "us", "121 °F (49.4 °C)"),
        ("47 C", "us", "116.6 °F (47 °C)"),
        ("47,5 °C", "metric", "47.5 °C (117.5 °F)"),
        ("40", "metric", "40 °C (104 °F)"),
        ("104", "us", "104 °F (40 °C)"),
        ("hot", "us", "hot"),
    ]
)
def test_temperatures_are_typed_freely(text: str, system: Any, shown: str) -> None:
    assert both_scales(text, system) == shown


@each(range(-200, 1300, 7))
def test_a_temperature_typed_in_either_scale_is_the_same_status(tenth: int) -> None:
    """Both ways of writing one reading, with point or comma, agree to a millionth of a degree."""
    celsius = tenth / 10
    ways = (f"{celsius} C", f"{celsius * 1.8 + 32:.10f}F", f"{celsius}".replace(".", ",") + " °C")
    cores = [read_status(filled_from({"pile.age": ("9",), "temperatures.core": (way,)}).body) for way in ways]
    assert max(abs(status.temperatures.core - celsius) for status in cores) < 1e-6  # type: ignore[operator]


def test_text_is_never_markup() -> None:
    page = answer_to({**SMALLEST, "on_hand.more": "bark", "pile.ingredients.0.material": "chips"})
    reply = post({**SMALLEST, "on_hand.more": "<b>bark</b>\"'&"})
    assert "<b>bark" not in reply.text and "&lt;b&gt;bark" in reply.text
    assert "read as" in page.all("main")[0].text


# ------------------------------------------------------------------------------------------------------------ fire


def test_fire_comes_first_and_alone() -> None:
    page = answer_to(FIRE)
    assert page.all("h1")[0].text.startswith("Keep clear of the heap and call the fire service.")
    assert page.all("section")[0].attributes["class"].split() == ["first", "fire"]
    assert not page.all("section", "ask") and not page.all("section", "ledger") and not page.all("svg", "chart")
    assert page.all("details", "avoid")


def test_great_heat_written_with_its_unit_is_never_refused() -> None:
    for core in ("176 F", "300 C"):
        assert "fire service" in answer_to({**SMALLEST, "temperatures.core": core}).all("h1")[0].text


# -------------------------------------------------------------------------------------------------------- one tap


def tap_forms(page: Page) -> list[Form]:
    return [form for form in page.forms if form.attributes.get("class") == "tap"]


def question_for(field: str, values: dict[str, str | list[str]]) -> Page:
    """An answer page on which `field` is asked, put there by hand: the ranking of questions is tested elsewhere."""
    from service.page.render import answer_page

    typed = {name: (value,) if isinstance(value, str) else tuple(value) for name, value in values.items()}
    answer = advise(read_status(filled_from(typed).body), "none")
    asked = next(question for question in QUESTIONS if question.field == field)
    answer["ask_next"] = [
        {"question": asked.text, "field": field, "why": asked.why, "changes_first_action": 0.4},
        *answer["ask_next"],
    ]
    moment = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
    return Page(answer_page(view_of(answer, typed, moment, "2026-01-01"), typed))


@each([question.field for question in QUESTIONS], every=4)
def test_every_question_can_be_answered_on_the_spot_or_leads_to_its_place(field: str) -> None:
    page = question_for(field, SMALLEST)
    forms = tap_forms(page)
    assert forms[0].told() == SMALLEST
    button = forms[0].buttons()[0]
    name = field[1:].replace("/", ".")
    if button.attributes.get("name") == "edit":
        section = button.attributes["value"]
        back = page_of(forms[0].submit(button))
        assert "open" in back.by_id(section).attributes
        assert forms[0].attributes["action"] == f"/form#{section}"
    elif name in FIELDS and FIELDS[name].kind in ("one", "pick"):
        for each in forms[0].buttons():
            assert page_of(forms[0].submit(each)).all("h1")
    else:
        assert button.text in ("Advise again", "Add what I ticked")


def test_one_tap_answers_the_question_and_keeps_the_rest() -> None:
    page = answer_to(SMALLEST)
    first = tap_forms(page)[0]
    names = {button.attributes.get("name") for button in first.buttons()}
    assert names == {"moisture_feel"}, "a heap of which little is known is asked for a squeeze test first"
    dusty = next(button for button in first.buttons() if button.attributes["value"] == "dusty")
    sent = first.values(dusty)
    assert ("moisture_feel_at", "arm_deep") in sent and SMALLEST.items() <= first.told().items()
    after = page_of(first.submit(dusty))
    assert after.all("h1")[0].text == "Add water"
    assert not [
        form for form in tap_forms(after) if "moisture_feel" in {b.attributes.get("name") for b in form.buttons()}
    ]


def test_an_earlier_reading_can_be_given_as_two_numbers() -> None:
    form = tap_forms(question_for("/history", SMALLEST))[0]
    form.fill("history.0.core", "52 C")
    form.fill("history.0.ago", "4 days")
    assert "52 °C (125.6 °F)" in {e.text for e in page_of(form.submit()).all("dd")}


def test_none_of_these_is_one_tap() -> None:
    forms = tap_forms(question_for("/signs", SMALLEST))
    none = next(form for form in forms if form.buttons()[0].attributes.get("value") == "none")
    assert "I looked and saw none of these" in {e.text for e in page_of(none.submit()).all("dd")}


# ------------------------------------------------------------------------------------------- ledger and days ahead


def _w(value: float) -> dict[str, Any]:
    return {"value": value, "low": value - 10, "high": value + 10, "unit": "W"}


def _balance(**parts: float | None) -> dict[str, Any]:
    told = {name: None if value is None else _w(value) for name, value in parts.items()}
    return {
        "made": told.get("made"),
        "lost": {"ground_and_air": told.get("ground"), "evaporation": told.get("vapour")},
        "drawn": {"air": {"sensible": told.get("air"), "latent": told.get("wet")}, "water": told.get("water")},
        "stored": told.get("stored"),
        "unexplained": told.get("unexplained"),
    }


def test_the_bars_are_as_long_as_the_heat_they_stand_for() -> None:
    ledger = ledger_of(_balance(made=600, ground=300, vapour=100, water=400, stored=-100, unexplained=100))
    assert [(piece.letter, piece.width) for piece in ledger.comes] == [("A", 75.0), ("B", 12.5), ("J", 12.5)]
    assert [(piece.letter, piece.width) for piece in ledger.goes] == [("C", 37.5), ("D", 12.5), ("G", 50.0)]
    assert sum(piece.width for piece in ledger.comes) == sum(piece.width for piece in ledger.goes) == WIDTH
    assert [piece.at for piece in ledger.goes] == [0.0, 37.5, 50.0]


def test_what_is_stored_goes_and_what_is_given_up_comes() -> None:
    warming = ledger_of(_balance(made=600, ground=300, stored=200, unexplained=-100))
    assert [piece.letter for piece in warming.goes] == ["C", "H", "K"] and [p.letter for p in warming.comes] == ["A"]
    cooling = ledger_of(_balance(made=0, ground=300, stored=-200, unexplained=100))
    assert [piece.letter for piece in cooling.comes] == ["B", "J"]
    assert cooling.comes[0].figure == "200 W (190 to 210)"


def test_what_cannot_be_told_is_named_not_drawn() -> None:
    ledger = ledger_of(_balance(made=600, ground=300))
    assert ledger.untold == (
        "Lost with vapour",
        "Drawn by air, as warmth",
        "Drawn by air, as vapour",
        "Drawn by water",
        "Stored",
        "Unexplained",
    )
    assert ledger_of(_balance()).comes == ()


@each(EXAMPLES, every=4)
def test_the_chart_stays_on_its_paper_and_says_the_same_in_words(example: Path) -> None:
    from service.page.chart import SIDE, outlook_chart

    outlook = advise(read_status(body_of(example)))["outlook"]
    chart = outlook_chart(outlook)
    assert chart is not None
    for point in f"{chart.band} {chart.middle}".split():
        x, y = map(float, point.split(","))
        assert 0 <= x <= SIDE and 0 <= y <= SIDE
    assert f"{outlook['core']['median'][-1]:.0f}" in chart.in_words
    assert len(chart.rows) == len(outlook["at"]) and len(chart.days) == 3


def test_no_chart_where_no_course_was_worked_out() -> None:
    from service.page.chart import outlook_chart

    assert outlook_chart({"unit": "degC", "at": [], "core": {}, "days_until_cool": None}) is None
