"""Every field of a status stands wherever fields are asked, drawn and explained, or a reason says why it does not."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel

from rules.catalogue import ENGLISH
from rules.tables.lifetimes import FOREVER
from service.facts.fields import FIELDS as FACT_FIELDS
from service.logbook.formats.columns import COLUMNS
from service.page.form import FIELDS as FORM_FIELDS
from service.status.lifetimes import LIFETIMES, lifetime_of
from service.status.models import Status
from tests.coherence.statuses import statuses

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


def _told_in(body: Any, above: str = "") -> Iterator[str]:
    if isinstance(body, dict) and above != "/read_at":
        for name, value in body.items():
            yield from _told_in(value, f"{above}/{name}")
    elif isinstance(body, list) and body and isinstance(body[0], dict):
        for value in body:
            yield from _told_in(value, f"{above}/*")
    else:
        yield above


def _form() -> set[str]:
    return {"/" + re.sub(r"\.\d+(\.|$)", r".*\1", name).replace(".", "/") for name in FORM_FIELDS}


def _explained() -> set[str]:
    return {pointer for fields in FACT_FIELDS.values() for pointer in fields.every}


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


def test_the_form_asks_for_every_field() -> None:
    shapes = {pointer: OTHER_SHAPES for pointer in LEAVES if pointer.startswith("/pile/size/")}
    missing = _missing(_form(), NOT_ON_THE_FORM | shapes)
    assert missing == [], "add a line for it in service/page/asked*.py, or say here why the form does not ask"


def test_random_statuses_tell_every_field() -> None:
    found = {pointer for body in statuses(11, DRAWN) for pointer in _told_in(body)}
    missing = _missing(found, NOT_DRAWN)
    assert missing == [], "draw it in tests/coherence/statuses.py, or say here why the laws need not see it"


def test_every_field_stands_behind_a_fact() -> None:
    missing = _missing(_explained(), NOT_BEHIND_A_FACT, upwards=True)
    assert missing == [], "name it in service/facts/fields.py beside the facts it tells or sways"


def test_what_changes_from_day_to_day_has_a_column() -> None:
    changing = {pointer for pointer in LEAVES if lifetime_of(pointer).lapses < FOREVER and "*" not in pointer}
    columns = {column.field for column in COLUMNS.values()}
    settings = {pointer: "told once, by a person" for pointer in changing if lifetime_of(pointer).fresh >= 30}
    missing = [p for p in sorted(changing - columns) if not _excused(p, NOT_A_COLUMN | settings)]
    assert missing == [], "add it to service/logbook/formats/columns.py, or say here why machines do not send it"


def test_lifetimes_speak_of_fields_that_are() -> None:
    parts = {"/".join(pointer.split("/")[:end]) for pointer in LEAVES for end in range(2, pointer.count("/") + 2)}
    assert set(LIFETIMES) <= parts


@pytest.mark.parametrize("excuses", [NOT_ON_THE_FORM, NOT_DRAWN, NOT_BEHIND_A_FACT, NOT_A_COLUMN])
def test_no_excuse_outlives_its_field(excuses: dict[str, str]) -> None:
    assert [excused for excused in excuses if not any(_excused(pointer, {excused: ""}) for pointer in LEAVES)] == []


def test_every_field_of_the_form_has_its_words() -> None:
    lacking = [field.text_id for field in FORM_FIELDS.values() if field.text_id not in ENGLISH]
    assert lacking == [], "rules/tables/form_sentences.py: add what the form calls it"
    values = [
        f"{field.text_id}.{value}"
        for field in FORM_FIELDS.values()
        for value in field.values
        if f"{field.text_id}.{value}" not in ENGLISH and field.called.format(value=value) not in ENGLISH
    ]
    assert values == [], "rules/tables/form_sentences.py: add what the form calls each that can be chosen"
