"""One catalogue of texts: whole, plain enough, and open to a second language by one file."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
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
from service.status.reading import read_status
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
        whole = re.sub(r"\.(step|frost|very_hot|overheating)\.\d+$", r".\1", text_id)
        if text_id.startswith("question."):
            whole = text_id.rpartition(".")[0]
        joined.setdefault(whole, []).append(text)
    return {text_id: " ".join(parts) for text_id, parts in joined.items()}


READABLE = {text_id: text for text_id, text in _readable_units().items() if len(text.split()) >= PLAINEST_WORDS}


@each(READABLE)
def test_a_text_can_be_read_in_the_eighth_grade(text_id: str) -> None:
    assert grade(READABLE[text_id]) <= HIGHEST_GRADE, READABLE[text_id]


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
FROM_CATALOGUE = ("mix",)
"""Packages of the service that say nothing but what the catalogue holds."""
SPOKEN_WORDS = 3
"""A text of so many words is one that a person reads."""
NOT_READ = {"description", "examples", "pattern"}
"""Keywords whose texts describe the interface."""
REFUSING = {"refused", "Problem", "Source", "ValueError", "shape", "answer", "read_model"}
"""Calls whose texts are problems, sources and descriptions: they are not in the catalogue."""
LITERAL = {"_EXAMPLES", "_REQUEST"}
"""Constants of a module that hold examples."""


def _spoken(node: ast.AST) -> Iterator[tuple[int, str]]:
    """Texts of a piece of code that a person would read, with their lines."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return  # a docstring
    if isinstance(node, ast.keyword) and node.arg in NOT_READ:
        return
    if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in REFUSING:
        return
    text = None
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        text = node.value
    elif isinstance(node, ast.JoinedStr):
        text = "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    if text is None:
        for child in ast.iter_child_nodes(node):
            yield from _spoken(child)
    elif len(re.findall(r"[A-Za-z]{2,}(?=[ ,.:;]|$)", text)) >= SPOKEN_WORDS and " " in text:
        yield getattr(node, "lineno", 0), text


@pytest.mark.parametrize("package", FROM_CATALOGUE)
def test_no_sentence_is_written_beside_the_catalogue(package: str) -> None:
    found = [
        f"{module.relative_to(ROOT)}:{line}: {text!r}"
        for module in sorted((ROOT / "service" / package).rglob("*.py"))
        if "shapes" not in module.parts
        for line, text in _spoken(ast.parse(module.read_text(encoding="utf-8")))
    ]
    assert found == [], "put it into a module of sentences below rules/tables, and say it by its id"


def test_sentences_beside_the_catalogue_are_seen() -> None:
    code = 'A = "Too dry for now."\nB = f"Take {things} of it now"\nC = refused("no such thing here")\nD = "a b"'
    assert [line for line, _ in _spoken(ast.parse(code))] == [1, 2]


# --- a second language
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


def test_one_file_is_enough_for_an_answer_in_another_language(made_up: Path) -> None:
    assert languages() == ("en", "xx", "yy")
    for request in requests():
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
