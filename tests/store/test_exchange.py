"""All of a pile out and in again without loss, and gone when it is deleted."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from service.logbook.formats.flat_table import COLUMNS, from_table, to_table
from service.logbook.store import file_rows
from service.logbook.store.backup import backup
from service.logbook.store.check import check
from service.logbook.store.engine import Store, the_store
from service.problems.problem import Problem
from tests.store.conftest import local_client
from tests.store.test_log_book import at, new_pile, problem_in


def full_pile(client: TestClient, comment: str = "the hose is frozen") -> str:
    """A pile with readings of every source, work, advice superseded and not, and feedback of every kind."""
    pile = new_pile(client)
    client.post(
        f"/piles/{pile}/readings",
        json={"readings": [{"at": at(h), "temperatures": {"core": 120 + h}} for h in range(3)]},
    )
    pack = [{"n": "core", "u": "Cel", "v": 49.5, "t": -7200}]
    client.post(f"/piles/{pile}/readings", content=json.dumps(pack), headers={"content-type": "application/senml+json"})
    table = f"at;core [degF];smell\n{at(5)};121,5;earthy\n"
    client.post(f"/piles/{pile}/readings", content=table, headers={"content-type": "text/csv"})
    client.post(
        f"/piles/{pile}/work", json={"action": "add_water", "amount": "60 gal", "at": "2026-01-05T12:00:00+05:45"}
    )
    answer = client.get(f"/piles/{pile}/advice?effects=none").json()
    words = [{"advice": answer["id"], "action": answer["actions"][0]["action"], "verdict": "done", "amount": "9 gal"}]
    client.post(f"/piles/{pile}/feedback", json=words[0])
    second = client.get(f"/piles/{pile}/advice?effects=none").json()
    client.post(
        f"/piles/{pile}/feedback",
        json={
            "advice": second["id"],
            "action": second["actions"][0]["action"],
            "verdict": "rejected",
            "reason": "weather",
            "comment": comment,
        },
    )
    return pile


COMMENTS = [
    "plain",
    "=1+1",
    "+x",
    "-3",
    "@me",
    '"quoted"',
    "true",
    "1e5",
    "null",
    "a;b,c",
    " led",
    "it's",
    "ümläut 木",
    "{}",
]


@pytest.mark.parametrize("kind", ["json", "csv"])
def test_a_pile_comes_back_as_it_was(store: Store, kind: str) -> None:
    client = local_client()
    pile = full_pile(client)
    file = client.get(f"/piles/{pile}/export?format={kind}")
    assert file.headers["content-disposition"] == f'attachment; filename="pile-{pile}.{kind}"'
    answers = [e["id"] for e in client.get(f"/piles/{pile}/log?kind=advice").json()["entries"]]
    bytes_before = [client.get(f"/piles/{pile}/advice/{answer}/replay").content for answer in answers]
    client.delete(f"/piles/{pile}")
    back = client.post("/piles/import", content=file.content, headers={"content-type": file.headers["content-type"]})
    assert back.status_code == 201 and back.json()["id"] == pile, back.text
    assert client.get(f"/piles/{pile}/export?format={kind}").content == file.content
    replays = [client.get(f"/piles/{pile}/advice/{answer}/replay") for answer in answers]
    assert [reply.content for reply in replays] == bytes_before
    assert {reply.headers["warmheap-replay"] for reply in replays} == {"same"}
    assert check(store)["faults"] == []


@pytest.mark.parametrize(
    "comments", [COMMENTS[::3], pytest.param(COMMENTS, marks=pytest.mark.slow)], ids=["some", "all"]
)
def test_json_and_csv_say_the_same(client: TestClient, comments: list[str]) -> None:
    for comment in comments:
        pile = full_pile(client, comment)
        as_json = client.get(f"/piles/{pile}/export").json()
        as_table = client.get(f"/piles/{pile}/export?format=csv").text
        assert from_table(as_table) == as_json
        assert to_table(as_json) == as_table
        assert as_json["feedback"][1]["comment"] == comment or as_json["feedback"][0]["comment"] == comment


def test_no_cell_starts_like_a_formula(client: TestClient) -> None:
    """Spreadsheets run cells that start with = + - or @ (OWASP, CSV Injection, from memory)."""
    import csv
    import io

    for comment in ("=1+1", "+x", "-3", "@me", "\t=x".strip("\t")):
        table = client.get(f"/piles/{full_pile(client, comment)}/export?format=csv").text
        cells = [row[3] for row in csv.reader(io.StringIO(table, newline=""))]
        assert not [
            cell for cell in cells if cell.startswith(("=", "+", "@")) or (cell.startswith("-") and len(cell) > 20)
        ]


TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | FLOATS | TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=8,
)
PARTS = st.dictionaries(st.sampled_from(["pile", "a/b", "c~d"]), VALUES, max_size=3)


@settings(deadline=None, max_examples=60)
@given(
    st.dictionaries(st.sampled_from(["id", "name", "zone"]), VALUES, max_size=3),
    st.lists(st.fixed_dictionaries({"id": TEXTS, "part": PARTS}), max_size=4),
    st.lists(st.fixed_dictionaries({"answer": VALUES}), max_size=3),
)
def test_any_file_survives_the_table(pile: Any, readings: Any, advice: Any) -> None:
    file = {
        "format": "warmheap-pile", "format_version": 1, "pile": pile, "readings": readings, "work": [],
        "advice": advice, "feedback": [],
    }  # fmt: skip
    assert from_table(to_table(file)) == file


def test_where_ids_are_taken_a_copy_gets_its_own(client: TestClient) -> None:
    pile = full_pile(client)
    file = client.get(f"/piles/{pile}/export").json()
    copy = client.post("/piles/import", json=file).json()
    assert copy["id"] != pile and (copy["readings"], copy["work"], copy["advice"]) == (6, 2, 2)
    ours, theirs = (client.get(f"/piles/{one}/export").json() for one in (pile, copy["id"]))
    assert not {e["id"] for e in ours["readings"]} & {e["id"] for e in theirs["readings"]}
    assert [e["part"] for e in ours["readings"]] == [e["part"] for e in theirs["readings"]]
    assert [e["answer"] for e in ours["advice"]] == [e["answer"] for e in theirs["advice"]]
    client.delete(f"/piles/{pile}")
    assert client.get(f"/piles/{copy['id']}").json()["readings"] == 6


def spoilt(file: dict[str, Any], *path: Any, value: Any) -> dict[str, Any]:
    copy: dict[str, Any] = json.loads(json.dumps(file))
    within: Any = copy
    for part in path[:-1]:
        within = within[part]
    within[path[-1]] = value
    return copy


def test_a_spoilt_file_is_refused_whole(client: TestClient) -> None:
    pile = full_pile(client)
    file = client.get(f"/piles/{pile}/export").json()
    twice = [*file["readings"], {**file["readings"][0], "part": {"smell": "sour"}}]
    spoils = [
        spoilt(file, "format", value="other"),
        spoilt(file, "format_version", value=2),
        spoilt(file, "pile", "zone", value="Mars/Base"),
        spoilt(file, "readings", 1, "part", value={"smell": "bad"}),
        spoilt(file, "readings", 1, "at", value="2126-01-01T00:00:00Z"),
        spoilt(file, "readings", 1, "id", value="../../etc"),
        spoilt(file, "readings", value=twice),
        spoilt(file, "work", 0, "action", value="explode"),
        spoilt(file, "work", 0, "feedback", value="0" * 24),
        spoilt(file, "advice", 0, "answer", value="{}"),
        spoilt(file, "advice", 0, "answer", value="not json"),
        spoilt(file, "advice", 0, "answer_id", value="0" * 16),
        spoilt(file, "advice", 1, value=file["advice"][0]),
        spoilt(file, "feedback", 0, "advice", value="0" * 24),
        spoilt(file, "feedback", 0, "comment", value="a\0b"),
        spoilt(file, "pile", "changes", value=10**30),
        spoilt(file, "extra", value=1),
        {},
    ]
    for index, body in enumerate(spoils):
        reply = client.post("/piles/import", json=body)
        assert reply.status_code == 422, (index, reply.text)
    for raw in (b"", b"[]", b"\xff", b'{"format": "\\ud800"}', b"[" * 100_000, b'{"a": NaN}'):
        problem_in(client.post("/piles/import", content=raw, headers={"content-type": "application/json"}), 422)
    for table in (
        "",
        "a,b",
        "section,entry,field,value\r\nreadings,2,/id,x\r\n",
        ",".join(COLUMNS) + "\r\nfile,,id,x\r\n",
    ):
        problem_in(client.post("/piles/import", content=table, headers={"content-type": "text/csv"}), 422)
    assert client.get("/piles").json()["count"] == 1


def test_deleted_means_deleted(client: TestClient, folder: Path) -> None:
    """No byte of what was told is left in any file of the data folder."""
    marks = [b"Zq7xMarkInComment", b"Zq7xMarkInName", b"Zq7xSide"]
    pile = full_pile(client, marks[0].decode())
    client.patch(f"/piles/{pile}", json={"name": marks[1].decode()})
    points = [{"value": 80, "depth": 1, "side": marks[2].decode()}]
    added = client.post(
        f"/piles/{pile}/readings", json={"temperatures": {"points": points}}, headers={"idempotency-key": '"k1"'}
    )
    other = full_pile(client)
    seen = b"".join(file.read_bytes() for file in folder.iterdir())
    assert all(mark in seen for mark in marks)
    assert client.delete(f"/piles/{pile}").json() == {"deleted": pile, "wiped": True}
    left = b"".join(file.read_bytes() for file in folder.iterdir())
    assert not [mark for mark in (*marks, pile.encode(), added.json()["readings"][0].encode()) if mark in left]
    assert client.get(f"/piles/{other}").json()["readings"] == 6
    assert check(the_store())["faults"] == []


def test_a_deleted_entry_is_wiped_too(client: TestClient, folder: Path) -> None:
    pile = new_pile(client)
    points = [{"value": 80, "side": "Zq7xSide"}]
    entry = client.post(f"/piles/{pile}/readings", json={"temperatures": {"points": points}}).json()["readings"][0]
    client.delete(f"/piles/{pile}/log/{entry}")
    assert b"Zq7xSide" not in b"".join(file.read_bytes() for file in folder.iterdir())


def test_a_backup_keeps_its_own_copy(client: TestClient, folder: Path, tmp_path: Path) -> None:
    pile = full_pile(client)
    backup(the_store(), tmp_path / "copy.db")
    client.delete(f"/piles/{pile}")
    with closing(sqlite3.connect(tmp_path / "copy.db")) as copy:
        assert copy.execute("SELECT count(*) FROM readings").fetchone() == (6,)


def test_check_names_what_is_wrong(client: TestClient, folder: Path) -> None:
    pile = full_pile(client)
    store = the_store()
    assert check(store)["faults"] == []
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        file.execute("UPDATE readings SET part = '{\"smell\":\"sour\"}' WHERE part LIKE '%121,5%'")
        file.execute("UPDATE readings SET part = 'x' WHERE part LIKE '%49.5%'")
        file.execute("UPDATE advice SET answer = x'00' WHERE superseded_by IS NULL")
        file.execute("UPDATE work SET amount = '61 gal' WHERE amount = '60 gal'")
        columns = "verdict, reason, comment, at, offset_min, outcome, outcome_at"
        file.execute(
            f"INSERT INTO feedback (id, pile_id, advice_id, action, {columns}) "
            f"SELECT 'x', 'nopile', advice_id, 'wait', {columns} FROM feedback LIMIT 1"
        )
        file.commit()
    found = " ".join(check(store)["faults"])
    for words in ("not as it came in", "cannot be read", "belongs to nothing"):
        assert words in found
    assert pile


def test_what_a_file_advises_is_made_again_in_a_place(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """No process that serves runs the rule engine; where no place is free, nothing of the file counts as said today."""
    pile = full_pile(client)
    file = client.get(f"/piles/{pile}/export").json()
    asked: list[Any] = []

    def done(function: Any, *arguments: Any, weight: str) -> Any:
        asked.append((function.__name__, arguments[1:], weight))
        raise Problem("service-unavailable", "no place")

    monkeypatch.setattr(file_rows, "done", done)
    current = [{**one, "superseded_at": None, "changes": 9} for one in file["advice"]]
    head = {**file["pile"], "changes": 9}
    copy = client.post("/piles/import", json={**file, "pile": head, "advice": current})
    assert copy.status_code == 201 and asked == [("advise", ("none",), "quick")]
    given = client.get(f"/piles/{copy.json()['id']}/export").json()["advice"]
    assert all(one["superseded_at"] is not None for one in given)
