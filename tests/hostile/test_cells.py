"""Any cell of any table damaged: pages are read all the same, and `check` names what does harm."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from service.logbook.store.backup import backup, restore
from service.logbook.store.check import check
from service.logbook.store.engine import close_stores, the_store
from service.logbook.store.models import Base
from service.logbook.store.readiness import store_fault
from service.problems.problem import Problem
from tests.hostile.test_damage import PATHS
from tests.store.conftest import local_client
from tests.store.test_exchange import full_pile

VALUES: tuple[Any, ...] = (
    b"\xff\xfe", "zz", "", "x" * 5000, "a\0b", "[[[1]]]", "[" * 3000, -5, 2**63 - 1, -(2**63), 1.5, 9e999, None,
)  # fmt: skip
PAGES = ("", *PATHS, "/season", "/webhooks", "/log?kind=feedback")
CELLS = [
    (table.name, column.name, value)
    for table in Base.metadata.sorted_tables
    for column in table.columns
    for value in VALUES
    if value is not None or column.nullable
]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A log book with something in every table, filled once: its folder, and the pile's id."""
    place = tmp_path_factory.mktemp("filled")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WARMHEAP_DATA", str(place))
        with local_client() as client:
            pile = full_pile(client)
            client.post(f"/piles/{pile}/readings", json={"smell": "sour"}, headers={"idempotency-key": '"k"'})
        close_stores()
        with closing(sqlite3.connect(place / "warmheap.db")) as file:
            (account,) = file.execute("SELECT account_id FROM piles").fetchone()
            file.execute(
                "INSERT INTO tokens VALUES ('0123abcd', ?, 'phone', 'owner', zeroblob(32), 1767000000000000, NULL)",
                (account,),
            )
            webhook = ("w" * 24, pile, "https://192.0.2.7/x", "whsec_AAAA", "fire.risk", 1767000000000000)
            file.execute("INSERT INTO webhooks VALUES (?, ?, ?, ?, ?, ?, NULL, NULL, NULL)", webhook)
            moments = (1767000000000000, 1, None, None, None, 1767000000000000, 500, "not taken")
            file.execute(
                "INSERT INTO webhook_messages VALUES (?, ?, 'fire.risk', '{}', ?, ?, ?, ?, ?, ?, ?, ?)",
                ("m" * 24, "w" * 24, *moments),
            )
            file.commit()
    yield place, pile


@pytest.fixture
def pile(filled: tuple[Path, str], folder: Path) -> str:
    """The id of the full pile in a copy of that log book."""
    shutil.copytree(filled[0], folder)
    return filled[1]


def _run(folder: Path, *commands: tuple[str, tuple[Any, ...]]) -> None:
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        for command, values in commands:
            file.execute(command, values)
        file.commit()


def _damage(folder: Path, table: str, column: str, value: Any) -> bool:
    """Whether the table takes it: some constraints hold without knowing what is ours."""
    command = f"UPDATE {table} SET {column} = ? WHERE rowid = (SELECT max(rowid) FROM {table})"
    try:
        _run(folder, (command, (value,)))
    except sqlite3.IntegrityError:
        return False
    return True


def _read(client: TestClient, pile: str) -> dict[str, int]:
    """Every page that is read, and its status; nothing is told but what is JSON or text."""
    found = {f"/piles/{pile}{page}": client.get(f"/piles/{pile}{page}").status_code for page in PAGES}
    found |= {path: client.get(path).status_code for path in ("/piles", "/feedback", "/health/ready")}
    return found


def harm_in(cells: list[tuple[str, str, Any]], pile: str, client: TestClient, folder: Path) -> list[str]:
    """What damaged cells do that they must not, each in a log book that was sound before."""
    sound = folder.with_name("sound.db")
    backup(the_store(), sound)
    harm = []
    for cell in cells:
        close_stores()
        for part in folder.iterdir():
            part.unlink()
        shutil.copy(sound, folder / "warmheap.db")
        harm.append(_harm_of(pile, client, folder, cell))
    return [each for each in harm if each is not None]


def _harm_of(pile: str, client: TestClient, folder: Path, cell: tuple[str, str, Any]) -> str | None:
    """What a damaged cell does that it must not."""
    if not _damage(folder, *cell):
        return None
    found = _read(client, pile)
    if worst := {path: status for path, status in found.items() if status >= 500}:
        return f"{cell[:2]} {cell[2]!r:.20}: {worst}"
    faults = check(the_store())["faults"]
    written = client.post(f"/piles/{pile}/readings", json={"temperatures": {"core": "121 degF"}}).status_code
    if (written >= 400 or {status for path, status in found.items()} != {200}) and not faults:
        return f"{cell[:2]} {cell[2]!r:.20}: not named, {found}, written {written}"
    if written >= 500:
        return f"{cell[:2]} {cell[2]!r:.20}: written {written}"
    return None


def test_a_sound_log_book_has_no_fault(pile: str, client: TestClient) -> None:
    assert check(the_store())["faults"] == []
    assert set(_read(client, pile).values()) == {200}


@pytest.mark.slow
def test_no_damaged_cell_takes_the_rest_away(pile: str, client: TestClient, folder: Path) -> None:
    """A sample: all of them take an hour on two busy processors."""
    assert harm_in(random.Random(1426).sample(CELLS, 200), pile, client, folder) == []


def test_a_damaged_cell_takes_nothing_else_away(pile: str, client: TestClient, folder: Path) -> None:
    assert harm_in(CELLS[87:88], pile, client, folder) == []


NAMED = [
    ("piles", "name", b"\xff\xfe"),
    ("piles", "changes", 2**63 - 1),
    ("piles", "changes", "abc"),
    ("piles", "changes", -5),
    ("feedback", "advice_id", "zz"),
    ("feedback", "action", "zz"),
    ("feedback", "comment", b"\xff"),
    ("readings", "source", b"\xff"),
    ("readings", "received_at", "abc"),
    ("readings", "lasting", "x"),
    ("advice", "known", "[[[1]]]"),
    ("advice", "units", "zz"),
    ("advice", "effects", "zz"),
    ("accounts", "name", b"\xff"),
    ("tokens", "scope", "zz"),
    ("tokens", "digest", "zz"),
    ("advised_actions", "chance_of_gain", "zz"),
    ("advised_rules", "rule", "zz"),
    ("webhooks", "url", "zz"),
    ("webhook_messages", "body", "zz"),
    ("answered", "body", "zz"),
]


@pytest.mark.parametrize("cell", [NAMED[0], *(pytest.param(cell, marks=pytest.mark.slow) for cell in NAMED[1:])])
def test_check_names_it_and_restore_refuses_it(
    pile: str, client: TestClient, folder: Path, tmp_path: Path, cell: tuple[str, str, Any]
) -> None:
    assert _harm_of(pile, client, folder, cell) is None
    _damage(folder, *cell)  # again: what was written meanwhile mends some of it
    assert check(the_store())["faults"] != []
    backup(the_store(), tmp_path / "copy.db")
    with pytest.raises(Problem, match="has faults"):
        restore(the_store(), tmp_path / "copy.db")


def test_a_damaged_pile_is_shown_as_damaged(pile: str, client: TestClient, folder: Path) -> None:
    _damage(folder, "piles", "name", b"\xff\xfe")
    (shown,) = client.get("/piles").json()["piles"]
    assert shown["id"] == pile and shown["readings"] == 7 and "/name" in shown["damaged"]
    assert client.get(f"/piles/{pile}/export").json()["damaged"][0]["section"] == "pile"
    assert client.patch(f"/piles/{pile}", json={"name": "mended"}).json() == client.get(f"/piles/{pile}").json()
    assert "damaged" not in client.get(f"/piles/{pile}").json()


def test_what_rests_on_a_damaged_entry_is_left_out_with_it(pile: str, client: TestClient, folder: Path) -> None:
    """A file with damage comes in again: the feedback on an advice that is not in it stays out too."""
    _run(folder, ("UPDATE advice SET answer = x'00' WHERE superseded_by IS NOT NULL", ()))
    file = client.get(f"/piles/{pile}/export").content
    again = client.post("/piles/import", content=file, headers={"content-type": "application/json"})
    assert again.status_code == 201, again.text
    assert (again.json()["readings"], again.json()["work"], again.json()["advice"]) == (7, 2, 1)


@pytest.mark.parametrize(
    ("command", "named"),
    [
        (
            "CREATE TRIGGER t BEFORE INSERT ON readings BEGIN SELECT raise(abort, 'no'); END",
            "the trigger t is not ours",
        ),
        ("CREATE VIEW v AS SELECT 1", "the view v is not ours"),
        ("DROP INDEX ix_piles_account_id", "the index ix_piles_account_id is missing"),
        ("ALTER TABLE piles ADD COLUMN x", "the table piles is not as this service makes it"),
    ],
)
def test_tables_that_are_not_ours_are_named(pile: str, folder: Path, tmp_path: Path, command: str, named: str) -> None:
    backup(the_store(), tmp_path / "copy.db")
    close_stores()
    with closing(sqlite3.connect(tmp_path / "copy.db")) as copy:
        copy.execute(command)
        copy.commit()
    with pytest.raises(Problem, match=named):
        restore(the_store(), tmp_path / "copy.db")


def test_a_trigger_makes_no_bare_fault_of_ours(pile: str, client: TestClient, folder: Path) -> None:
    file = client.get(f"/piles/{pile}/export").content
    _run(folder, ("CREATE TRIGGER t BEFORE INSERT ON readings BEGIN SELECT raise(abort, 'no'); END", ()))
    for path, body in ((f"/piles/{pile}/readings", b'{"smell": "earthy"}'), ("/piles/import", file)):
        answer = client.post(path, content=body, headers={"content-type": "application/json"})
        assert (answer.status_code, answer.json()["type"][-19:]) == (503, "storage-unavailable")
    assert store_fault() == "Triggers or views that are not ours lie in the log book: run `warmheap check`."
