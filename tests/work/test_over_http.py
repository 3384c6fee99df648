"""What whoever asks is told when the process that does the heavy work crashes, or has to be ended."""

from __future__ import annotations

import asyncio
import os
import signal
import threading
import time
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from starlette.testclient import TestClient

from service.work import places as places_module
from service.work.places import Places

QUESTION = b'{"pile": {"age": 20}, "temperatures": {"core": 45}}'
JSON = {"content-type": "application/json"}


def placed(monkeypatch: pytest.MonkeyPatch, limit_s: float) -> Iterator[Places]:
    places = Places(1, 2, wait_s=20.0, limit_s=limit_s)
    monkeypatch.setattr(places_module, "the_places", lambda: places)
    yield places
    places.close()


@pytest.fixture(name="patient")
def one(monkeypatch: pytest.MonkeyPatch) -> Iterator[Places]:
    yield from placed(monkeypatch, 60.0)


@pytest.fixture(name="hasty")
def one_with_little_time(monkeypatch: pytest.MonkeyPatch) -> Iterator[Places]:
    yield from placed(monkeypatch, 0.3)


def test_a_crash_of_heavy_work_costs_one_request_and_is_told_as_503(client: TestClient, patient: Places) -> None:
    pid = asyncio.run(patient.work(os.getpid))
    os.kill(pid, signal.SIGSTOP)  # so that it is at work when it crashes
    found: list[httpx.Response] = []
    asking = threading.Thread(
        target=lambda: found.append(client.post("/questions", content=QUESTION, headers=JSON)), daemon=True
    )
    asking.start()
    while patient.process_ids():
        time.sleep(0.01)
    os.kill(pid, signal.SIGSEGV)
    os.kill(pid, signal.SIGCONT)
    asking.join(30)
    told = found[0]
    assert told.status_code == 503 and told.headers["retry-after"] and "try again" in told.json()["detail"]
    assert told.headers["content-type"] == "application/problem+json"
    assert client.post("/questions", content=QUESTION, headers=JSON).status_code == 200


def test_work_that_takes_too_long_is_ended_for_good(client: TestClient, hasty: Places) -> None:
    pid = asyncio.run(hasty.work(os.getpid))
    os.kill(pid, signal.SIGSTOP)
    told: Any = client.post("/questions", content=QUESTION, headers=JSON)
    assert told.status_code == 503 and "longer than it may" in told.json()["detail"] and told.headers["retry-after"]
    assert not os.path.exists(f"/proc/{pid}"), "the process that did it is gone"
