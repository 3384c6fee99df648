"""Mutants of a good table: each is read or refused in words, whatever was done to it."""

from __future__ import annotations

import csv
import io
import random
from datetime import UTC, datetime
from typing import Any

import pytest

from service.logbook.formats.flat_table import COLUMNS, from_table, to_table
from service.logbook.store.file_rows import read_file
from service.problems.problem import Problem
from tests.each import each

NOW = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
_AT = "2026-01-01T00:00:00+00:00"
_READING = {"at": _AT, "received_at": _AT, "source": "json"}
GOOD: dict[str, Any] = {
    "format": "warmheap-pile",
    "format_version": 1,
    "pile": {"id": "3f9a0c1d2e4b5a67", "name": "x", "units": "us", "zone": "UTC", "made_at": _AT, "changes": 3},
    "readings": [
        {"id": "a" * 24, **_READING, "part": {"temperatures": {"core": "121 degF"}, "signs": []}},
        {"id": "b" * 24, **_READING, "part": {"smell": "earthy"}},
    ],
    "work": [
        {"id": "c" * 24, "at": _AT, "received_at": _AT, "action": "add_water", "amount": "60 gal", "feedback": None}
    ],
    "advice": [],
    "feedback": [],
    "damaged": [{"section": "readings", "id": "d" * 24, "why": "it is not as it came in"}],
}
HEAD = ",".join(COLUMNS) + "\n"
ODD = [
    "", "/", "//", "0", "-1", "1", "2", "3", "1e9", "x", "file", "pile", "readings", "work", "advice", "feedback",
    "/readings", "/pile", "/work", "/damaged", "/format", "/part", "/part/", "/part/x", "/part/smell/x", "/at", "/id",
    "null", "true", "[]", "{}", '{"a":1}', "[" * 3000, "9" * 5000, "NaN", "\ud7ff", "\0", '"', "~", "/~2", "/a" * 2000,
]  # fmt: skip


def mutant(rows: list[list[str]], chance: random.Random) -> str:
    """The table with one to three things changed in it, as text."""
    rows = [list(row) for row in rows]
    for _ in range(chance.randint(1, 3)):
        place, row = chance.randrange(len(rows)), chance.choice(rows)
        match chance.randrange(8):
            case 0:
                rows.pop(place)
            case 1:
                rows.insert(place, list(row))
            case 2:
                rows[place], rows[0] = rows[0], rows[place]
            case 3:
                row.append(chance.choice(ODD))
            case 4:
                section = chance.choice(["file", "pile", "readings", "work"])
                field = chance.choice(["/readings", "/pile", "/work", "/at", "/part"])
                rows.insert(place, [section, chance.choice(["", "0", "1"]), field, chance.choice(ODD)])
            case 5 if len(row) == len(COLUMNS):
                rows.insert(place, [row[0], row[1], chance.choice(ODD), row[3]])
            case _:
                row[chance.randrange(len(row))] = chance.choice(ODD)
        if not rows:
            return ""
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    text = out.getvalue()
    if chance.random() < 0.2:
        place = chance.randrange(len(text))
        text = text[:place] + chance.choice(["", '"', "\r", "\n", ",", "\0"]) + text[place + chance.randrange(3) :]
    return text


def harm_of(count: int, seed: int) -> list[str]:
    """What of so many mutants neither was read nor refused in words."""
    rows, chance = list(csv.reader(io.StringIO(to_table(GOOD), newline=""))), random.Random(seed)
    harm = []
    for number in range(count):
        text = mutant(rows, chance)
        try:
            read_file(text.encode(), NOW, is_table=True)
        except Problem as problem:
            if problem.status >= 500:
                harm.append(f"{number}: {problem.detail}")
        except Exception as error:
            harm.append(f"{number}: {type(error).__name__}: {error}")
    return harm


def test_a_good_table_is_good() -> None:
    assert len(read_file(to_table(GOOD).encode(), NOW, is_table=True).readings) == 2


@each(
    [
        ("file,,/readings,5\nreadings,1,/at,x", "file has no field /readings"),
        ("file,,/pile,abc\npile,,/name,x", "file has no field /pile"),
        ("readings,0,/at,x", "numbered from 1"),
        ("readings,,/at,x", "numbered from 1"),
        ("pile,1,/name,x", "pile is one"),
        ("pile,,/name/x,y", "pile has no field /name/x"),
        ("readings,1,/part,5\nreadings,1,/part/smell,x", "lies inside a single value"),
        ("pile,,/name,x\npile,,/name,y", "/name is given twice"),
        ("readings,1,/part" + "/a" * 40 + ",1", "deeper than 16"),
    ]
)
def test_what_no_export_writes_is_refused_by_its_line(rows: str, why: str) -> None:
    with pytest.raises(Problem, match=why):
        from_table(HEAD + rows + "\n")


def test_no_mutant_of_a_table_does_harm() -> None:
    assert harm_of(200, seed=14) == []


@pytest.mark.slow
def test_none_of_many_mutants_does_harm() -> None:
    assert harm_of(30_000, seed=1426) == []
