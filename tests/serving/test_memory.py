"""Memory stays bounded while many send slowly and many do not read; exports and imports are the largest there are."""

from __future__ import annotations

import io
import json
import time
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from pydantic_core import to_json
from starlette.testclient import TestClient

from service.logbook.formats.flat_table import to_table
from service.logbook.store.engine import Store, the_store
from service.logbook.store.exchange import export
from service.logbook.store.models import PileRow
from service.logbook.store.pile_file import write_export
from tests.serving.served import Running, head, running
from tests.store.conftest import client, folder  # noqa: F401 (fixtures)

START = datetime(2025, 1, 1, tzinfo=UTC)
READINGS = 20_000
MOST_GROWTH_MB = 120.0
"""Where each of the forty held its own file of some 5 MB, it would be above 200."""


def file_of(readings: int) -> bytes:
    """A pile's file with so many readings."""
    entries = [
        {
            "id": f"{number:024x}",
            "at": (START + timedelta(minutes=number)).isoformat(),
            "received_at": (START + timedelta(minutes=number)).isoformat(),
            "source": "json",
            "part": {"temperatures": {"core": f"{number % 30 + 30} degC", "outdoor": "3 degC"}},
        }
        for number in range(readings)
    ]
    pile = {"id": "3f9a0c1d2e4b5a67", "name": "large", "units": "metric", "zone": "UTC", "changes": 1}
    pile["made_at"] = START.isoformat()
    sections: dict[str, Any] = {"readings": entries, "work": [], "advice": [], "feedback": []}
    return json.dumps({"format": "warmheap-pile", "format_version": 1, "pile": pile, **sections}).encode()


@pytest.mark.parametrize("kind", ["json", "csv"])
@pytest.mark.parametrize("readings", [0, 1, 700])
def test_an_export_written_entry_by_entry_is_that_of_old(
    client: TestClient,  # noqa: F811
    kind: Any,
    readings: int,
) -> None:
    reply = client.post("/piles/import", content=file_of(readings), headers={"content-type": "application/json"})
    assert reply.status_code == 201, reply.text
    store: Store = the_store()
    with store.reading() as session:
        pile = session.get_one(PileRow, reply.json()["id"])
        whole = export(session, pile)
        out = io.BytesIO()
        write_export(session, pile, kind, out)
    assert out.getvalue() == (to_json(whole) if kind == "json" else to_table(whole).encode())
    sent = client.get(f"/piles/{reply.json()['id']}/export?format={kind}")
    assert sent.content == out.getvalue() and sent.headers["content-length"] == str(len(sent.content))


@pytest.mark.slow
def test_forty_exports_that_nobody_reads_take_little_memory() -> None:
    with running(pause_s="3") as service:
        reply, body = service.ask("POST", "/piles/import", file_of(READINGS), {"Content-Type": "application/json"}, 300)
        assert reply.status == 201, body
        path = f"/piles/{json.loads(body)['id']}/export"
        assert len(service.ask("GET", path, timeout=60)[1]) > 3_000_000
        before, highest = service.resident_mb(), 0.0
        for _ in range(40):
            service.connect(buffer=4096).sendall(head("GET", path))
        until = time.monotonic() + 30
        while time.monotonic() < until:
            highest = max(highest, service.resident_mb())
            time.sleep(0.2)
        assert highest - before < MOST_GROWTH_MB
        assert service.ask("GET", "/health/live")[0].status == 200
        assert any(line.get("why") == "answer" for line in service.lines())


@pytest.mark.slow
def test_thirty_uploads_that_stall_take_little_memory() -> None:
    with running() as service:
        service.ask("GET", "/piles")
        before = service.resident_mb()
        body = b" " * 10_000_000
        for _ in range(30):
            raw = service.connect()
            raw.sendall(head("POST", "/piles/import", Content_Type="application/json", Content_Length=str(len(body))))
            raw.sendall(body[:-1])
        time.sleep(1.0)
        assert service.resident_mb() - before < MOST_GROWTH_MB


@pytest.mark.slow
def test_an_honest_uplink_of_200_kbit_gets_a_large_import_through() -> None:
    """25,000 bytes a second for some four minutes, with the deadlines as they are."""
    with running() as service:
        body = file_of(READINGS + 10_000)
        assert len(body) > 5_500_000
        _slowly(service, body, 25_000)


def _slowly(service: Running, body: bytes, rate: int) -> None:
    raw = service.connect()
    raw.sendall(head("POST", "/piles/import", Content_Type="application/json", Content_Length=str(len(body))))
    begun = time.monotonic()
    for start in range(0, len(body), rate // 5):
        raw.sendall(body[start : start + rate // 5])
        time.sleep(max(begun + (start + rate // 5) / rate - time.monotonic(), 0))
    raw.settimeout(120)
    assert b" 201 " in raw.recv(65536)
