"""Log books to test: SQLite in a fresh folder, and a real PostgreSQL where its programs are installed."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from service.app import create_app
from service.logbook.store.engine import Store, close_stores
from tests.store.postgres import Server, missing, running_server


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A PostgreSQL server of our own for the whole run."""
    reason = missing()
    if reason is not None:
        pytest.skip(reason)
    with running_server() as server:
        yield server


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A data folder of its own for everything the test does."""
    for name in [name for name in os.environ if name.startswith("WARMHEAP_")]:
        monkeypatch.delenv(name)
    place = tmp_path / "data"
    monkeypatch.setenv("WARMHEAP_DATA", str(place))
    yield place
    close_stores()


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """An empty log book of either kind; the service in the test uses it too."""
    yield from _empty_store(request, folder, monkeypatch)


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.slow)])
def store_now_and_then(
    request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Store]:
    """The same for tests of what hardly depends on the kind; PostgreSQL has its turn with the long tests."""
    yield from _empty_store(request, folder, monkeypatch)


def _empty_store(request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    if request.param == "sqlite":
        url = f"sqlite:///{laid_out(folder)}"
    else:
        url = request.getfixturevalue("postgres").new_database()
    monkeypatch.setenv("WARMHEAP_DATABASE", url)
    opened = Store(url).open()
    yield opened
    opened.close()
    close_stores()


@pytest.fixture
def client(folder: Path) -> Iterator[TestClient]:
    """Somebody at this machine, on an empty SQLite log book."""
    laid_out(folder)
    with local_client() as client:
        yield client


def laid_out(folder: Path) -> Path:
    """A new log book, where there is none yet, as its first use makes it.

    The steps are run once for all tests that are not about them.
    """
    file = folder / "warmheap.db"
    if not file.exists():
        folder.mkdir(mode=0o700, exist_ok=True)
        file.touch(mode=0o600)
        file.write_bytes(_new_log_book())
    return file


@cache
def _new_log_book() -> bytes:
    with tempfile.TemporaryDirectory() as place:
        file = Path(place) / "warmheap.db"
        Store(f"sqlite:///{file}").open().close()
        return file.read_bytes()


def local_client() -> TestClient:
    """Somebody at this machine."""
    return TestClient(
        create_app(), base_url="http://127.0.0.1:8000", client=("127.0.0.1", 50000), raise_server_exceptions=False
    )
