"""Every field of a status stands wherever fields are asked, drawn and explained, or a reason says why it does not."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel

import service
from rules.catalogue import ENGLISH
from rules.language import facts
from rules.language.vocabulary import SIGNS, SYMPTOMS
from rules.tables.fields import FIELDS as RECORDS
from rules.tables.lifetimes import FOREVER
from rules.tables.questions import OF_PARTS, QUESTIONS
from service.facts.work import WORK_FACTS
from service.logbook.formats.columns import COLUMNS
from service.page.form import FIELDS as FORM_FIELDS
from service.page.measures import MEASURES
from service.status.field import measure_of
from service.status.lifetimes import LIFETIMES, lifetime_of
from service.status.models import Status
from service.units.table import DIMENSIONS
from tests.chat.test_phrasings import CASES
from tests.coherence.statuses import statuses, told_in
from tests.each import each

DRAWN = 1500
"""Statuses within which every field that is drawn at all turns up."""


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        if not isinstance(part, str):
            yield from _models(part)


def _listed(annotation: Any) -> bool:
    return get_origin(annotation) is list or any(_listed(part) for part in get_args(annotation))


def _leaves(model: type[BaseModel], above: str = "") -> Iterator[str]:
    for name, field in model.model_fields.items():
        parts = list(_models(field.annotation))
        pointer = f"{above}/{name}" + ("/*" if parts and _listed(field.annotation) else "")
        if not parts:
            yield pointer
        for part in parts:
            yield from _leaves(part, pointer)


LEAVES = sorted(_leaves(Status))


def _form() -> set[str]:
    return {"/" + re.sub(r"\.\d+(\.|$)", r".*\1", name).replace(".", "/") for name in FORM_FIELDS}


def _explained() -> set[str]:
    return {pointer for fact in facts.DECLARED.values() for pointer in fact.fields}


MEASURED = ("/pile/size/box/", "/pile/size/cone/", "/pile/size/cylinder/", "/pile/size/windrow/")
NO_RECORD = {
    "/as_of": "never missing",
    "/read_at": "a table of its own",
    "/learned": "members of an earlier answer",
}
BY_THE_PAGE = "the page fills it in by itself"
OTHER_SHAPES = "the form asks for one measure in a person's own words"
FOR_MACHINES = "machines and the log book send it"
NOT_ON_THE_FORM = {
    "/as_of": BY_THE_PAGE,
    "/read_at": FOR_MACHINES,
    "/learned": FOR_MACHINES,
    "/not_seen": "looked and saw none is one tap",
    "/history/*/at": "told as how long ago",
    "/done/*/at": "told as how long ago",
    "/history/*/moisture_feel": FOR_MACHINES,
    "/help_called": "asked in the answer to a fire, not before",
    "/pile/ingredients/*/share": "the amount is asked",
    "/pile/ingredients/*/moisture": "few can tell it; the chat and machines may",
    "/weather/forecast": "the coming night is asked; machines send more days",
}
NOT_DRAWN = {"/learned": "comes from an earlier answer", "/units": "answers are held in metric"}
NOT_BEHIND_A_FACT = {
    "/as_of": "the moment itself",
    "/units": "how numbers are written",
    "/read_at": "how old a reading is widens its range",
    "/learned": "members of an earlier answer",
    "/emergency_number": "only said back",
}
BY_ITS_PART = {
    "/draw/control": "switches the draw, and is no heat of its own",
    "/draw/water/tube_length": "a measure of the loop",
    "/pile/size/mass": "a size",
    "/pile/size/volume": "a size",
}
"""Records that stand behind facts by the part they belong to."""
NOT_A_COLUMN = {
    "/people": "told by people, not logged by a machine",
    "/not_seen": "belongs to `signs`",
    "/help_called": "told once, in a fire",
    "/on_hand": "a list of names of any length",
    "/learned": "written by the log book itself",
    "/temperatures/points": "several to a row",
    "/weather/forecast": "several to a row",
}


def _excused(pointer: str, excuses: dict[str, str]) -> bool:
    return any(pointer == excused or pointer.startswith(f"{excused}/") for excused in excuses)


def _missing(found: set[str], excuses: dict[str, str], *, upwards: bool = False) -> list[str]:
    """Leaves that are not found; `upwards` counts a part that stands for all in it."""

    def stands(pointer: str) -> bool:
        parts = pointer.split("/")
        ways = [pointer, *("/".join(parts[:end]) for end in range(2, len(parts)))] if upwards else [pointer]
        return any(way in found for way in ways)

    return [pointer for pointer in LEAVES if not stands(pointer) and not _excused(pointer, excuses)]


def test_every_field_of_its_own_has_a_record() -> None:
    alone = {pointer for pointer in LEAVES if "*" not in pointer and not pointer.startswith(MEASURED)}
    missing = [pointer for pointer in sorted(alone - set(RECORDS)) if not _excused(pointer, NO_RECORD)]
    assert missing == [], "add its record to rules/tables/fields, and give the model `optional_field` of it"
    assert [at for at in RECORDS if at not in LEAVES] == [], "add the field to its model in service/status"


def test_records_and_models_speak_of_the_same_words_and_units() -> None:
    for at, record in RECORDS.items():
        assert record.number is None or record.number.dimension in DIMENSIONS, at
        assert record.form is None or not record.form.units or record.form.units in MEASURES, at
        for example in record.examples:
            told = example if isinstance(example, list) else [example]
            assert record.kind != "word" or set(told) <= set(record.words), at
            assert record.kind != "number" or measure_of(record.number).read(example) is not None, at


def test_each_question_has_a_place_of_its_own() -> None:
    """Else one would take the place of another."""
    asked = [record.question.place for record in RECORDS.values() if record.question]
    assert len({*asked, *OF_PARTS}) == len(asked) + len(OF_PARTS) == len(QUESTIONS), "give `question` another `place`"
    for record in RECORDS.values():
        if record.question:
            assert sum(share for share, _ in record.question.answers) == pytest.approx(1.0), record.at


def test_what_the_chat_says_back_it_hears() -> None:
    heard = {pointer for case in CASES for pointer in told_in(json.loads(case["status"]))}
    missing = [at for at, record in RECORDS.items() if record.said and at not in heard]
    assert missing == [], (
        "add a rule to service/talk/chat/grammar.lark, what it means, and a phrasing that tells it, or leave `said` out"
    )


def test_the_form_asks_for_every_field() -> None:
    shapes = {pointer: OTHER_SHAPES for pointer in LEAVES if pointer.startswith("/pile/size/")}
    missing = _missing(_form(), NOT_ON_THE_FORM | shapes)
    assert missing == [], "add `form` to its record in rules/tables/fields, or say here why the form does not ask"


def test_random_statuses_tell_every_field() -> None:
    found = {pointer for body in statuses(11, DRAWN) for pointer in told_in(body)}
    missing = _missing(found, NOT_DRAWN)
    assert missing == [], "draw it in tests/coherence/statuses.py, or say here why the laws need not see it"


def test_every_field_stands_behind_a_fact() -> None:
    found, excuses = _explained(), NOT_BEHIND_A_FACT | BY_ITS_PART
    missing = _missing(found, NOT_BEHIND_A_FACT, upwards=True)
    missing += [at for at in RECORDS if at not in found and not _excused(at, excuses)]
    assert missing == [], "name it in `field`, `tells` or `sways` of a fact in rules/language/facts"


def test_every_fact_comes_from_fields_that_are() -> None:
    unrecorded = [f"{name}: {fact.field}" for name, fact in facts.DECLARED.items() if fact.field not in ("", *RECORDS)]
    assert unrecorded == [], "add the record of that field to rules/tables/fields"
    parts = {"/".join(pointer.split("/")[:end]) for pointer in LEAVES for end in range(2, pointer.count("/") + 2)}
    nowhere = [(name, at) for name, fact in facts.DECLARED.items() for at in fact.fields if at not in parts]
    assert nowhere == [], "add the record of that field to rules/tables/fields, or mend `tells` or `sways` of the fact"


AHEAD = ("fall_3_days_k", "fall_7_days_k", "days_until_cool", "core_below_limit")
"""Put together, from one run."""


def _put(call: ast.Call) -> Iterator[str]:
    """Patterns of the facts that a call of `put` names: by keyword, or by a text within what is unpacked."""
    for keyword in call.keywords:
        if keyword.arg is not None:
            yield keyword.arg
        elif isinstance(keyword.value, ast.DictComp) and isinstance(keyword.value.key, ast.JoinedStr):
            parts = keyword.value.key.values
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else ".+" for part in parts)


def test_every_fact_is_worked_out_by_a_function_or_repeats_a_field() -> None:
    calls = [
        node
        for folder in ("facts", "picture")
        for file in (Path(service.__file__).parent / folder).rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text()))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "put"
    ]
    by_list = {*SIGNS, *WORK_FACTS, *AHEAD, *(word.fact for word in SYMPTOMS.values())}
    patterns = re.compile("|".join(name for call in calls for name in _put(call)))
    missing = [
        name
        for name, fact in facts.DECLARED.items()
        if not fact.field and name not in by_list and not patterns.fullmatch(name)
    ]
    assert missing == [], "put it in service/facts (`derived.put(name=...)`), or give the fact its `field`"


def test_what_changes_from_day_to_day_has_a_column() -> None:
    changing = {pointer for pointer in LEAVES if lifetime_of(pointer).lapses < FOREVER and "*" not in pointer}
    columns = {column.field for column in COLUMNS.values()}
    settings = {pointer: "told once, by a person" for pointer in changing if lifetime_of(pointer).fresh >= 30}
    missing = [p for p in sorted(changing - columns) if not _excused(p, NOT_A_COLUMN | settings)]
    assert missing == [], "add `column` to its record in rules/tables/fields, or say here why machines do not send it"


def test_lifetimes_speak_of_fields_that_are() -> None:
    parts = {"/".join(pointer.split("/")[:end]) for pointer in LEAVES for end in range(2, pointer.count("/") + 2)}
    assert set(LIFETIMES) <= parts


@each([NO_RECORD, NOT_ON_THE_FORM, NOT_DRAWN, NOT_BEHIND_A_FACT, BY_ITS_PART, NOT_A_COLUMN])
def test_no_excuse_outlives_its_field(excuses: dict[str, str]) -> None:
    assert [excused for excused in excuses if not any(_excused(pointer, {excused: ""}) for pointer in LEAVES)] == []


def test_every_field_of_the_form_has_its_words() -> None:
    lacking = [field.text_id for field in FORM_FIELDS.values() if field.text_id not in ENGLISH]
    assert lacking == [], "add what the form calls it to its record in rules/tables/fields"
    values = [
        f"{field.text_id}.{value}"
        for field in FORM_FIELDS.values()
        for value in field.values
        if f"{field.text_id}.{value}" not in ENGLISH and field.called.format(value=value) not in ENGLISH
    ]
    assert values == [], "add to `choices` of its record in rules/tables/fields what the form calls each"
