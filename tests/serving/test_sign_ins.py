"""Whoever guesses tokens is slowed down by where the guesses come from; whoever has a good one is not."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from service.app import create_app
from service.http import access
from service.http.rate import WrongTokens
from tests.store.conftest import folder  # noqa: F401 (fixture)
from tests.store.test_access import bearer, token

FREE, EACH_S = 3, 0.125
LONGEST_S = 0.3
GUESS = "whtok_0123456789abcdef_" + "0" * 64


def client_at(peer: str) -> TestClient:
    return TestClient(create_app(), base_url="http://heap.example", client=(peer, 4711))


def test_who_guesses_is_slowed_and_then_turned_away(
    folder: Path,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    """Time stands still here, as it nearly does for somebody who sends many guesses at once."""
    monkeypatch.setenv("WARMHEAP_ACCESS", "tokens")
    monkeypatch.setattr(access, "_wrong", WrongTokens(FREE, EACH_S, clock=lambda: 0.0))
    monkeypatch.setattr(access, "LONGEST_HOLD_S", LONGEST_S)
    good = bearer(token("home"))
    guesser = client_at("203.0.113.9")
    with caplog.at_level(logging.WARNING, "warmheap"):
        told = [guesser.get("/piles", headers=bearer(GUESS)) for _ in range(8)]
    assert [reply.status_code for reply in told] == [401] * (FREE + 2) + [429] * 3
    assert all(int(reply.headers["retry-after"]) >= 1 for reply in told[FREE + 2 :])
    refused = [record.fields for record in caplog.records if record.getMessage() == "sign-in refused"]  # type: ignore[attr-defined]
    assert [line["held_s"] for line in refused][: FREE + 1] == [0.0] * FREE + [round(EACH_S, 1)]
    assert {line["peer"] for line in refused} == {"203.0.113.9"} and GUESS not in caplog.text
    assert guesser.get("/piles", headers=good).status_code == 200, "a good token is let in from there too"
    assert client_at("203.0.113.10").get("/piles", headers=bearer(GUESS)).status_code == 401


def test_wrong_tokens_are_slowed_by_where_they_come_from() -> None:
    now = [0.0]
    wrong = WrongTokens(free=5, each_s=1.0, clock=lambda: now[0])
    waits = [wrong.wait_s("a") for _ in range(10)]
    assert waits[:5] == [0, 0, 0, 0, 0] and waits[5:] == [1, 2, 3, 4, 5]
    assert wrong.wait_s("b") == 0
    now[0] = 60.0
    assert wrong.wait_s("a") == 0


def test_a_flood_of_wrong_tokens_is_bounded_in_time_and_memory() -> None:
    now = [0.0]
    wrong = WrongTokens(clock=lambda: now[0])
    for number in range(30_000):
        wrong.wait_s(f"peer {number}")
    assert len(wrong._next) == 10_000
    assert max(wrong.wait_s("one") for _ in range(5000)) < 40
