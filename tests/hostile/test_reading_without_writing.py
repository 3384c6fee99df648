"""Reading never needs writing: advice, now, fire flag and log on full and read-only disks; readiness tells of both."""

from __future__ import annotations

import sqlite3
import stat
import subprocess
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from service.logbook.store import readiness
from service.logbook.store.engine import close_stores
from tests.store.conftest import local_client
from tests.store.test_durability import fill, mounted
from tests.store.test_exchange import full_pile

READS = ("", "/status", "/now", "/log", "/export", "/advice?effects=none", "/advice", "/calendar.ics")


@pytest.fixture(autouse=True)
def _look_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(readiness, "LOOK_EVERY_S", 0.0)
    monkeypatch.setattr(readiness, "LEAST_FREE", 64 * 1024)


def _burning(client: TestClient) -> str:
    pile = full_pile(client)
    client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
    return pile


def _everything_is_read(client: TestClient, pile: str) -> None:
    for path in READS:
        reply = client.get(f"/piles/{pile}{path}")
        assert reply.status_code == 200, (path, reply.text)
    assert client.get(f"/piles/{pile}/now").json()["fire_risk"] is True
    assert client.get(f"/piles/{pile}/advice?effects=none").json()["actions"][0]["action"].startswith("keep_clear")
    assert client.get("/piles").json()["count"] == 1


def _not_ready(client: TestClient, words: str) -> None:
    reply = client.get("/health/ready")
    assert reply.status_code == 503 and words in reply.json()["detail"], reply.text


def test_on_a_full_disk_everything_is_read(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=4m", "tmpfs") as small:
        monkeypatch.setenv("WARMHEAP_DATA", str(small / "data"))
        with local_client() as client:
            pile = _burning(client)
            assert client.get("/health/ready").status_code == 200
            ballast = fill(small)
            replies = (client.post(f"/piles/{pile}/readings", json={"smell": "sour"}) for _ in range(500))
            assert any(reply.status_code == 507 for reply in replies)
            _everything_is_read(client, pile)
            assert client.get(f"/piles/{pile}/advice").json()["kept"] is False
            _not_ready(client, "The disk of the log book has")
        close_stores()
        with local_client() as client:  # started anew on the full disk
            _everything_is_read(client, pile)
            ballast.unlink()
            assert client.post(f"/piles/{pile}/readings", json={"smell": "earthy"}).status_code == 200
            assert client.get(f"/piles/{pile}/advice").json()["kept"] is True
            assert client.get("/health/ready").status_code == 200


def test_on_a_read_only_disk_everything_is_read(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with local_client() as client:
        pile = _burning(client)
    close_stores()
    with mounted(tmp_path / "frozen", "--bind", str(folder)) as frozen:
        subprocess.run(["mount", "-o", "remount,ro,bind", frozen], check=True)
        monkeypatch.setenv("WARMHEAP_DATA", str(frozen))
        with local_client() as client:
            _everything_is_read(client, pile)
            assert client.get(f"/piles/{pile}/advice").json()["kept"] is False
            assert client.post(f"/piles/{pile}/readings", json={"smell": "earthy"}).status_code == 503
            _not_ready(client, "read-only")


def test_whoever_was_never_here_has_no_piles_on_a_read_only_disk(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with local_client() as client:
        client.get("/piles")
    close_stores()
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        file.execute("DELETE FROM accounts")
        file.commit()
    with mounted(tmp_path / "frozen", "--bind", str(folder)) as frozen:
        subprocess.run(["mount", "-o", "remount,ro,bind", frozen], check=True)
        monkeypatch.setenv("WARMHEAP_DATA", str(frozen))
        with local_client() as client:
            assert client.get("/piles").json()["count"] == 0


def test_a_damaged_file_is_not_ready(client: TestClient, folder: Path) -> None:
    full_pile(client)
    assert client.get("/health/ready").status_code == 200
    close_stores()
    file = folder / "warmheap.db"
    bytes_ = bytearray(file.read_bytes())
    bytes_[8192:40960] = b"\xff" * 32768
    file.write_bytes(bytes_)
    _not_ready(client, "damaged")


def test_where_there_is_no_log_book_yet_its_place_counts(
    client: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert client.get("/health/ready").json()["status"] == "ready"
    monkeypatch.setenv("WARMHEAP_DATA", "/proc/nowhere")
    _not_ready(client, "0 kB left")
    monkeypatch.setenv("WARMHEAP_DATABASE", "mysql://x:secret@y/z")
    _not_ready(client, "neither postgresql")
    assert "secret" not in client.get("/health/ready").text


@pytest.mark.parametrize("mode", [None, 0o644])
def test_only_the_owner_reads_the_file_whatever_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, folder: Path, mode: int | None
) -> None:
    shared = tmp_path / "shared"
    shared.mkdir(mode=0o755)
    if mode is not None:
        (shared / "warmheap.db").touch()
        (shared / "warmheap.db").chmod(mode)
    monkeypatch.setenv("WARMHEAP_DATA", str(shared))
    with local_client() as client:
        full_pile(client)
        modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in shared.iterdir()}
        assert modes and set(modes.values()) == {0o600}, modes
