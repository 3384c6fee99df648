"""Every word that may be told is read by a rule or answered by a sentence, and every door knows it."""

from __future__ import annotations

import json

import pytest

from rules import RULES
from rules.language.conditions import facts_read
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS, Word
from rules.tables.materials import SUPPLIES
from service.answer.advice import advise
from service.page.form import FIELDS
from service.status.reading import read_status
from service.talk.chat.draft import Draft
from service.talk.chat.hearing import hear
from service.why.knowledge import words_index
from tests.chat.test_phrasings import NOW
from tests.each import each

WORDS = [*SMELLS.values(), *SIGNS.values(), *SYMPTOMS.values()]
EVERY = each(pytest.param(word, id=f"{word.kind} {word.id}") for word in WORDS)
WANTED = (
    *("alcohol", "sweet", "fishy", "sharp", "foul", "grey_mould", "ash_streaks", "white_threads", "mushrooms", "ants"),
    *("flies", "rodents", "no_more_steam", "one_side_warm", "duct_drips", "pipe_frozen", "pipe_burst", "power_out"),
    *("fan_no_air", "headache", "dizzy", "bubble_wrap", "antifreeze", "heater", "spare_fan", "mesh"),
)


def body_with(word: Word, said: str) -> dict[str, object]:
    places: dict[str, tuple[str, object]] = {
        "smell": ("smell", said),
        "sign": ("signs", [said]),
        "symptom": ("people", [said]),
    }
    name, value = places[word.kind]
    return {"as_of": NOW.isoformat(), "pile": {"age": 40}, "temperatures": {"core": 45}, name: value}


def test_all_that_is_wanted_is_there() -> None:
    assert set(WANTED) <= {word.id for word in WORDS} | set(SUPPLIES)


@EVERY
def test_a_rule_reads_it_or_a_sentence_answers_it(word: Word) -> None:
    line = next(line for line in words_index()["words"] if line["id"] == word.id and line["label"] == word.label)
    assert line["rules"] or word.tells
    if word.tells:
        assert word.source is not None


@EVERY
def test_a_status_takes_it_under_every_name(word: Word) -> None:
    for said in (word.id, *word.says):
        status = read_status(body_with(word, said))
        read = {"smell": [status.smell], "sign": status.signs, "symptom": status.people}[word.kind]
        assert read == [word.id], said


@EVERY
def test_the_form_offers_it(word: Word) -> None:
    name = {"smell": "smell", "sign": "signs", "symptom": "people"}[word.kind]
    assert word.id in {choice.value for choice in FIELDS[name].choices}


@EVERY
def test_the_chat_hears_it_under_every_name(word: Word) -> None:
    for said in word.says:
        draft = Draft()
        hear(f"{said} smell" if word.kind == "smell" and " " not in said else said, draft, NOW)
        told = json.dumps(draft.status)
        assert f'"{word.id}"' in told, said


@each([word for word in WORDS if word.tells])
def test_its_sentence_stands_in_the_answer(word: Word) -> None:
    answer = advise(read_status(body_with(word, word.id)))
    assert f"words.{word.id.replace('_', '-')}" in json.dumps(answer)


def test_every_supply_is_asked_for_by_a_move_or_read_by_a_rule() -> None:
    read = {fact for rule in RULES.values() for fact in facts_read(rule.when)}
    for supply in ("bubble_wrap", "antifreeze", "heater", "spare_fan", "mesh"):
        assert f"has_{supply}" in read
