"""Damaged entries: named by `check`, shown as damaged, and never in the way of the rest."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from service.logbook.store.backup import backup, restore
from service.logbook.store.check import check
from service.logbook.store.choice import DENSE
from service.logbook.store.engine import close_stores, the_store
from service.problems.problem import Problem
from tests.each import now_and_then
from tests.store.conftest import local_client
from tests.store.test_exchange import full_pile

PATHS = ("", "/status", "/now", "/log", "/export", "/export?format=csv", "/advice?effects=none", "/calendar.ics")
ENTRIES = [
    ("readings", "part", "x", "reading"),
    ("readings", "part", '{"smell": "sour"}', "reading"),
    ("readings", "part", b"\xff\xfe", "reading"),
    ("readings", "part", "[" * 5000, "reading"),
    ("readings", "part", None, ""),
    ("readings", "at", 2**62, "reading"),
    ("readings", "at", "soon", "reading"),
    ("readings", "offset_min", 30_000, "reading"),
    ("readings", "digest", b"", "reading"),
    ("work", "amount", "61 gal", "work"),
    ("work", "at", -(2**62), "work"),
    ("work", "action", b"\xff", "work"),
    ("advice", "answer", b"\0", "advice"),
    ("advice", "answer", "text", "advice"),
    ("advice", "status", "x", "advice"),
    ("advice", "known", "[" * 5000, "advice"),
    ("advice", "given_at", 2**62, "advice"),
    ("advice", "valid_until", "never", "advice"),
    ("feedback", "verdict", "perhaps", "feedback"),
    ("feedback", "at", 2**62, "feedback"),
    ("feedback", "offset_min", 30_000, ""),
    ("piles", "zone", "Mars/Base", "pile"),
    ("piles", "units", "cubits", "pile"),
    ("piles", "made_at", 2**62, "pile"),
]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A log book with a full pile, filled once: its folder, and the pile's id."""
    place = tmp_path_factory.mktemp("filled")
    with pytest.MonkeyPatch.context() as patch:
        for name in [name for name in os.environ if name.startswith("WARMHEAP_")]:
            patch.delenv(name)
        patch.setenv("WARMHEAP_DATA", str(place))
        with local_client() as client:
            pile = full_pile(client)
        close_stores()
    return place, pile


@pytest.fixture
def pile(filled: tuple[Path, str], folder: Path) -> str:
    """The id of the full pile in a copy of that log book."""
    shutil.copytree(filled[0], folder)
    return filled[1]


def _damage(folder: Path, table: str, column: str, value: Any) -> None:
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        if value is None:
            file.execute(f"UPDATE {table} SET {column} = substr({column}, 1, 9)")
        else:
            file.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = (SELECT max(rowid) FROM {table})", (value,))
        file.commit()


@pytest.mark.parametrize(("table", "column", "value", "named"), now_and_then(ENTRIES, 8))
def test_one_damaged_entry_takes_nothing_else_away(  # noqa: PLR0917
    pile: str, client: TestClient, folder: Path, table: str, column: str, value: Any, named: str
) -> None:
    before = client.get(f"/piles/{pile}/log").json()["entries"]
    assert check(the_store())["faults"] == []
    _damage(folder, table, column, value)
    faults = check(the_store())["faults"]
    assert any(fault.startswith(named) for fault in faults) if named else True, faults
    for path in PATHS:
        reply = client.get(f"/piles/{pile}{path}")
        assert reply.status_code in (200, 409), (path, reply.text)  # 409: too little is left for advice
    assert client.get("/piles").json()["count"] == 1
    page = client.get(f"/piles/{pile}/log").json()["entries"]
    assert len([entry for entry in page if entry["kind"] != "advice"]) == len(
        [entry for entry in before if entry["kind"] != "advice"]
    )
    for entry in (entry for entry in page if entry["kind"] == "advice"):
        for path in ("", "/replay", "/replay?knowledge=current"):
            assert client.get(f"/piles/{pile}/advice/{entry['id']}{path}").status_code in (200, 404, 410)
    file = client.get(f"/piles/{pile}/export")
    again = client.post("/piles/import", content=file.content, headers={"content-type": "application/json"})
    assert again.status_code in ((422,) if table == "piles" else (201, 422)), again.text


def test_a_damaged_reading_is_shown_with_what_it_may_have_said_of_fire(
    pile: str, client: TestClient, folder: Path
) -> None:
    client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
    _damage(folder, "readings", "part", '{"signs": ["smoke"')
    (shown,) = (entry for entry in client.get(f"/piles/{pile}/log").json()["entries"] if "damaged" in entry)
    assert shown["kind"] == "reading" and "call the fire service" in shown["warning"]
    assert client.get(f"/piles/{pile}/status").json()["damaged"] == [shown["id"]]


def test_of_a_dense_log_every_damaged_reading_is_named(client: TestClient, folder: Path) -> None:
    """Most of so many count for nothing, and advice passes them over; those that are damaged are told all the same."""
    about = {"pile": {"built_on": "2025-10-02"}}
    pile = client.post("/piles", json={"name": "dense", "about": about}).json()["id"]
    since = datetime.now(UTC).replace(microsecond=0) - timedelta(minutes=DENSE + 300)
    entries = [
        {"at": (since + timedelta(minutes=number)).isoformat(), "temperatures": {"core": f"{40 + number % 9} degC"}}
        for number in range(DENSE + 200)
    ]
    given: list[str] = []
    for start in range(0, len(entries), 400):
        told = client.post(f"/piles/{pile}/readings", json={"readings": entries[start : start + 400]})
        given += told.json()["readings"]
    spoilt = given[::97]
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        file.executemany(
            "UPDATE readings SET part = replace(part, '4', '5') WHERE id = ?", [(each,) for each in spoilt]
        )
        file.commit()
    told = client.get(f"/piles/{pile}/status")
    assert told.status_code == 200, told.text
    assert sorted(told.json()["damaged"]) == sorted(spoilt)
    assert client.get(f"/piles/{pile}/now").status_code in (200, 409)


def test_an_export_names_what_it_leaves_out_and_comes_in_again(pile: str, client: TestClient, folder: Path) -> None:
    _damage(folder, "readings", "part", "x")
    for kind in ("json", "csv"):
        file = client.get(f"/piles/{pile}/export?format={kind}")
        assert b"it is not" in file.content
        headers = {"content-type": file.headers["content-type"]}
        assert client.post("/piles/import", content=file.content, headers=headers).status_code == 201


def test_a_copy_with_faults_is_restored_only_where_that_is_said(
    pile: str, client: TestClient, folder: Path, tmp_path: Path
) -> None:
    _damage(folder, "piles", "zone", "Mars/Base")
    backup(the_store(), tmp_path / "copy.db")
    client.patch(f"/piles/{pile}", json={"zone": "UTC", "name": "kept"})
    with pytest.raises(Problem, match=r"has faults: pile .* is damaged: /zone"):
        restore(the_store(), tmp_path / "copy.db")
    assert client.get(f"/piles/{pile}").json()["name"] == "kept"
    restore(the_store(), tmp_path / "copy.db", damaged_too=True)
    assert client.get(f"/piles/{pile}").json()["name"] != "kept"


@pytest.mark.parametrize(
    "change",
    [
        "DROP TABLE readings",
        "DROP TABLE advised_rules",
        "ALTER TABLE work RENAME COLUMN amount TO heap",
        "UPDATE alembic_version SET version_num = '9999'",
        "UPDATE alembic_version SET version_num = '0001'",
        "DELETE FROM alembic_version",
        "UPDATE readings SET pile_id = 'nobody'",
        "UPDATE advice SET changes = 'many'",
        "DROP TABLE piles",
    ],
)
def test_a_copy_that_is_no_log_book_is_refused_in_words(
    pile: str, client: TestClient, folder: Path, tmp_path: Path, change: str
) -> None:
    backup(the_store(), tmp_path / "copy.db")
    with closing(sqlite3.connect(tmp_path / "copy.db")) as copy:
        copy.execute(change)
        copy.commit()
    with pytest.raises(Problem):
        restore(the_store(), tmp_path / "copy.db")
    with local_client() as again:
        assert again.get(f"/piles/{pile}").json()["readings"] == 6
