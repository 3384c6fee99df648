"""Piles to push from, in an empty log book."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.store.conftest import folder as folder  # noqa: PLC0414 (the fixture)
from tests.store.conftest import laid_out, local_client

NOW = datetime.now(UTC).replace(microsecond=0)
ABOUT: dict[str, Any] = {
    "pile": {"built_on": (NOW - timedelta(days=60)).date().isoformat(), "size": {"volume": "22 yd3"}},
    "temperatures": {"core": 121, "outdoor": 28},
    "moisture_feel": "dry",
    "signs": [],
    "equipment": ["air_duct"],
    "on_hand": ["water"],
}


@pytest.fixture
def client(folder: Path) -> Iterator[TestClient]:
    """Somebody at this machine, on an empty log book."""
    laid_out(folder)
    with local_client() as client:
        yield client


def new_pile(client: TestClient, about: dict[str, Any] | None = ABOUT, name: str = "North heap") -> str:
    reply = client.post("/piles", json={"name": name, "units": "us", "zone": "Europe/Berlin", "about": about})
    assert reply.status_code == 201, reply.text
    pile: str = reply.json()["id"]
    return pile
