"""One catalogue of texts: whole, plain enough, and open to a second language by one file."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import readability

from rules import RULES, catalogue
from rules.actions.records import ACTIONS
from rules.catalogue import (
    ENGLISH,
    as_toml,
    faults,
    languages,
    missing,
    read_texts,
    said,
    speaking,
    texts_in,
    translated,
)
from rules.tables.questions import IN_DANGER, QUESTIONS
from service.answer.advice import advise
from service.mix.answer import answer_mix
from service.mix.shapes.question import MixRequest
from service.page.body import Fault
from service.page.render import form_page
from service.planning.greenhouse import answer_greenhouse
from service.planning.season import answer_season
from service.planning.season_chart import season_as_svg
from service.planning.shapes.greenhouse import GreenhouseRequest
from service.planning.shapes.season import SeasonRequest
from service.planning.shapes.sheet import BuildSheetRequest
from service.sheet.as_text import as_text
from service.sheet.content import content
from service.sheet.drawing import drawing_of
from service.sheet.heap import sheet_of
from service.sheet.marks import Words
from service.status.reading import read_model, read_status
from tests.each import each
from tests.examples import requests

PLAINEST_WORDS = 10
"""Shorter texts say little about how hard they are to read."""
HIGHEST_GRADE = 8.0
FIELD = re.compile(r"\{\w+\}")


# --- reading grade
def grade(text: str) -> float:
    """Grade at school by Flesch and Kincaid, as the readability package counts it; a value filled in is one word."""
    sentences = [part for part in re.split(r"(?<=[.!?])\s+", FIELD.sub("ten", text)) if part]
    words = [re.findall(r"[A-Za-z0-9'-]+", sentence) for sentence in sentences]
    measured = readability.getmeasures("\n".join(" ".join(part) for part in words if part), lang="en")
    return float(measured["readability grades"]["Kincaid"])


def _readable_units() -> dict[str, str]:
    """Texts as they are read: the steps of an action together, a question with its reason, all else by itself."""
    joined: dict[str, list[str]] = {}
    for text_id, text in ENGLISH.items():
        whole = re.sub(r"^(action\.\w+\.\w+)\.\d+$", r"\1", text_id)
        if text_id.startswith("question."):
            whole = text_id.rpartition(".")[0]
        joined.setdefault(whole, []).append(text)
    return {text_id: " ".join(parts) for text_id, parts in joined.items()}


READABLE = {
    text_id: text
    for text_id, text in _readable_units().items()
    if len(text.split()) >= PLAINEST_WORDS and not text_id.startswith("chat.only-english.")  # each in its own language
}


NAMES_THE_THING = {
    *("faq.ash", "faq.rats", "faq.dangerous", "faq.food", "faq.breathing", "faq.what_ammonia"),
    *("refused.treated_wood", "refused.black_walnut", "refused.glossy_cardboard"),
}
"""Answers about gases, germs and poisons, which are called by their names: at most four grades harder."""


@each(READABLE)
def test_a_text_can_be_read_in_the_eighth_grade(text_id: str) -> None:
    highest = HIGHEST_GRADE + 4 * (text_id in NAMES_THE_THING)
    assert grade(READABLE[text_id]) <= highest, READABLE[text_id]


def test_only_what_names_the_thing_is_harder() -> None:
    assert {text_id for text_id in NAMES_THE_THING if grade(READABLE[text_id]) <= HIGHEST_GRADE} == set()


def test_the_measure_tells_hard_from_plain() -> None:
    hard = "Insufficient moisture considerably inhibits microbial decomposition of lignocellulosic substrates."
    assert grade(hard) > 12
    assert grade("The heap is dry. Pour water into holes.") < 3


def test_all_texts_together_are_far_below_the_limit() -> None:
    grades = [grade(text) for text in READABLE.values()]
    assert sum(grades) / len(grades) < 5


# --- one catalogue
def test_every_record_with_words_is_in_the_catalogue() -> None:
    for rule in RULES.values():
        assert ENGLISH[f"rule.{rule.id}"] == rule.reason
    for action in ACTIONS.values():
        assert ENGLISH[f"action.{action.id}.title"] == action.title
        assert [ENGLISH[f"action.{action.id}.step.{n}"] for n in range(1, len(action.steps) + 1)] == list(action.steps)
    assert sum(text_id.startswith("question.") for text_id in ENGLISH) == 2 * len((*QUESTIONS, *IN_DANGER))
    assert all(ENGLISH.values())
    assert set(RULES) == {text_id.removeprefix("rule.") for text_id in ENGLISH if text_id.startswith("rule.")}


def test_the_printed_catalogue_can_be_read_again(tmp_path: Path) -> None:
    file = tmp_path / "xx.toml"
    file.write_text(as_toml(ENGLISH), encoding="utf-8")
    assert read_texts(file) == dict(ENGLISH)


@pytest.mark.parametrize("language", languages())
def test_a_language_fits_and_is_whole(language: str) -> None:
    texts = texts_in(language)
    assert faults(dict(texts)) == []
    assert missing(texts) == []


# --- no sentences elsewhere
ROOT = Path(__file__).parent.parent


@each(sorted((ROOT / "service").rglob("templates/*.html")))
def test_no_word_is_written_in_a_template(template: Path) -> None:
    code = re.compile(r"{#.*?#}|{%.*?%}|{{.*?}}", re.DOTALL)
    html = code.sub("", template.read_text(encoding="utf-8"))
    labels = re.findall(r'(?:aria-label|alt|title)="([^"]*)"', html)
    text = re.sub(r'<!?[^>]*>|aria-[a-z]+="[^"]*"', " ", html)
    assert re.findall(r"[A-Za-z]{2,}", " ".join([text, *labels]).replace("warmheap", "")) == []


# --- a second language
BRACKETED = {
    text_id: re.sub(r"[^\s,()]+", r"⟦\g<0>⟧", text) if text_id.endswith(".name") else f"⟦{text}⟧"
    for text_id, text in ENGLISH.items()
}
"""Every text in brackets; names word by word, for they may be cut short."""
NOT_SPOKEN = {
    "source",
    "field",
    "given",
    "read_as",
    "item",
    "material",
    "knowledge_version",
    "unit",
    "verdict",
    "measure",
}
"""Parts of an answer that are no text of ours: who says so, names and pointers."""
COLD = {"month": "january", "low": -8, "high": 1}
HOUSE = {"volume": "110 m3", "glazing": "single_film", "perimeter": "40 m"}
MIX_BODY = {
    "recipe": [{"material": "grass_clippings", "amount": "200 kg"}, {"material": "poultry_manure", "amount": "5 kg"}],
    "on_hand": [{"material": "leaves", "most": "0.01 m3"}, {"material": "urea"}],
    "want": {"volume": "2 m3"},
}
HOUSE_BODY = {
    "house": HOUSE,
    "outdoor": {"monthly": [COLD]},
    "pile": {"draw": "300 W"},
    "draw": {"air": {"flow": "100 m3/h", "outlet": 25}},
    "off_grid": {"sun_hours": 2},
}
SHEET_BODY = {
    "as_of": "2025-10-20T12:00:00Z",
    "heat": {"power": "150 W"},
    "days": 30,
    "heap": "10 m3",
    "rating": {"power": "6 kW"},
}
SEASON_BODY = {
    "house": HOUSE,
    "outdoor": {"monthly": [COLD]},
    "period": {"start": "2026-01-05", "until": "2026-01-31"},
    "heap": "10 m3",
    "most_heaps": 1,
}


def _mix() -> Any:
    return answer_mix(read_model(MIX_BODY, MixRequest, "A mix")).model_dump()


def _house() -> Any:
    return answer_greenhouse(read_model(HOUSE_BODY, GreenhouseRequest, "A house")).model_dump()


def _sheet() -> Any:
    sheet = sheet_of(read_model(SHEET_BODY, BuildSheetRequest, "A heap"))
    drawing = drawing_of(sheet)
    told = content(sheet, drawing)
    without_sources = re.sub(r"(?s)\[.*?\]", "", as_text(told))
    return [
        told.model_dump(),
        sheet.answer.model_dump(),
        [mark.text for mark in drawing.marks if isinstance(mark, Words)],
        without_sources,
    ]


def _season() -> Any:
    plan = answer_season(read_model(SEASON_BODY, SeasonRequest, "A winter"))
    return [plan.model_dump(), season_as_svg(plan)]


def _form() -> Any:
    page = re.sub(r"(?s)<(style|datalist).*?</\1>", "", form_page({"pile.size.width": ("3 m",)}, [Fault("", "⟦⟧")]))
    return re.findall(r'[^<>]+(?=<)|(?<=aria-label=")[^"]+', page)


def _unsaid(told: Any) -> list[str]:
    """Texts in an answer that hold words which come from no text of the catalogue."""
    if isinstance(told, dict):
        return [text for key, part in told.items() if key not in NOT_SPOKEN for text in _unsaid(part)]
    if isinstance(told, list):
        return [text for part in told for text in _unsaid(part)]
    rest, before = (re.sub(r"<[^>]*>", "", told) if isinstance(told, str) else ""), ""
    while rest != before:
        rest, before = re.sub(r"⟦[^⟦⟧]*⟧", "", rest), rest
    return [told] if re.search(r"[A-Za-z]{2,}[,;:]? [A-Za-z]{2,}", rest) else []


@pytest.mark.parametrize("answered", [_mix, _house, _sheet, _form, pytest.param(_season, marks=pytest.mark.slow)])
def test_every_text_of_an_answer_comes_from_the_catalogue(answered: Callable[[], Any]) -> None:
    with speaking(translated(BRACKETED)):
        assert _unsaid(answered()) == []


def test_a_text_from_elsewhere_is_seen() -> None:
    told = {"text": "⟦Take ⟦2 kg⟧ of it.⟧ And mind it.", "source": {"cite": "Some old book"}, "name": "⟦water⟧, 3 kg"}
    assert _unsaid(told) == [told["text"]]


def _made_up(text: str) -> str:
    """Each word turned round, with the fields left as they are."""
    return " ".join(word if "{" in word else word[::-1] for word in text.split(" "))


@pytest.fixture
def made_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(catalogue, "FOLDER", tmp_path)
    texts_in.cache_clear()
    (tmp_path / "xx.toml").write_text(as_toml({key: _made_up(text) for key, text in ENGLISH.items()}), encoding="utf-8")
    (tmp_path / "yy.toml").write_text(as_toml({"action.wait.title": "Tiaw"}), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    "asked", [requests()[::4], pytest.param(requests(), marks=pytest.mark.slow)], ids=["some", "all"]
)
def test_one_file_is_enough_for_an_answer_in_another_language(made_up: Path, asked: list[Path]) -> None:
    assert languages() == ("en", "xx", "yy")
    for request in asked:
        status = read_status(request.read_bytes())
        english, other = advise(status, "full"), advise(status, "full", language="xx")
        assert other["id"] != english["id"]
        assert _numbers(english) == _numbers(other)
        for ours, theirs in zip(english["actions"], other["actions"], strict=True):
            assert theirs["title"] == _made_up(ours["title"])
            assert theirs["steps"] != ours["steps"]
            for one, two in zip(
                ours["reasons"] + ours["cautions"], theirs["reasons"] + theirs["cautions"], strict=True
            ):
                assert one["rule"] == two["rule"] and one["text"] != two["text"]
        assert other["tonight"]["verdict"] != english["tonight"]["verdict"]
        assert other["energy"]["verdict"] != english["energy"]["verdict"]
        assert other["headline"] != english["headline"] and len(other["say"]) <= 320
        assert all(
            two["question"] != one["question"] for one, two in zip(english["ask_next"], other["ask_next"], strict=True)
        )


def _numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [number for item in value.values() for number in _numbers(item)]
    if isinstance(value, list):
        return [number for item in value for number in _numbers(item)]
    return [value] if isinstance(value, int | float) and not isinstance(value, bool) else []


def test_what_a_language_lacks_is_said_in_english(made_up: Path) -> None:
    texts = texts_in("yy")
    assert texts["action.wait.title"] == "Tiaw"
    assert texts["action.add_water.title"] == "Add water"
    assert len(missing({"action.wait.title": "Tiaw"})) == len(ENGLISH) - 1


def test_an_unknown_language_and_texts_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="no texts"):
        advise(read_status({"pile": {"age": 5}, "temperatures": {"core": 20}}), language="zz")
    wrong = {"rule.no.such-rule": "x", "rule.fire.very-hot": "It reads {core_c}."}
    assert len(faults(wrong)) == 2
    with pytest.raises(ValueError, match="2 texts do not fit"):
        translated(wrong)


def test_english_is_spoken_again_afterwards() -> None:
    with speaking(translated({"word.yes": "oui"})):
        assert said("word.yes") == "oui"
    assert said("word.yes") == "yes"
