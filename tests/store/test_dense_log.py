"""A log of a reading each minute: what is made of it is what all of it would give, at a small part of the cost."""

from __future__ import annotations

import json
import random
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from sqlalchemy import insert
from starlette.testclient import TestClient

from service.logbook.book import merged_status
from service.logbook.entries import ReadingEntry, canonical, digest_of
from service.logbook.merge import MOST_HISTORY, merge
from service.logbook.store import choice
from service.logbook.store.engine import the_store
from service.logbook.store.models import PileRow, ReadingRow, microseconds, moment_in_utc, new_id

NOW = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
FEW, MANY = 1_000, 30_000
MOST_GROWTH = 15.0
"""Thirty times the log; each reading of it used to be read, which made it thirty times the work."""
TRIES = 3


class Row(NamedTuple):
    at: int
    part: str


def part_at(chance: random.Random, number: int) -> dict[str, Any]:
    """What somebody tells, one of many ways."""
    told: dict[str, Any] = {}
    if chance.random() < 0.8:
        told["temperatures"] = {"core": f"{30 + number % 31} degC"}
        if chance.random() < 0.3:
            told["temperatures"]["outdoor"] = f"{number % 9} degC"
    elif chance.random() < 0.5:
        told["temperatures"] = {"points": [{"depth": "50 cm", "value": f"{number % 50} degC"}]}
    for field, values in (("smell", ["earthy", "sour"]), ("signs", [[], ["steam"]]), ("not_seen", [["steam"], []])):
        if chance.random() < 0.05:
            told[field] = chance.choice(values)
    if not told or chance.random() < 0.002:
        told["moisture_feel"] = "dusty"
    return told


def log_of(count: int, seed: int) -> list[Row]:
    """So many readings over some weeks, oldest first; some of them of one moment."""
    chance = random.Random(seed)
    span_s = chance.choice([3, 20, 59, 80]) * 86_400
    moments = sorted(chance.randrange(span_s if chance.random() < 0.9 else 3600) for _ in range(count))
    rows = [Row(microseconds(NOW - timedelta(seconds=span_s - at)), canonical(part_at(chance, at))) for at in moments]
    first = Row(rows[0].at, canonical({"pile": {"age": "30 days"}, "temperatures": {"core": "40 degC"}}))
    return [first, *rows]


def read(row: Row) -> ReadingEntry:
    return ReadingEntry(moment_in_utc(row.at), json.loads(row.part))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("count", [60, MOST_HISTORY, 1500])
def test_what_is_left_out_would_change_nothing(monkeypatch: pytest.MonkeyPatch, count: int, seed: int) -> None:
    monkeypatch.setattr(choice, "DENSE", 0)
    rows = log_of(count, seed)
    left = choice.entries_that_count(rows, NOW, read)
    assert len(left) <= 3 * MOST_HISTORY
    whole, few = (merge(entries, [], "metric", NOW) for entries in ([read(row) for row in rows], left))
    assert few.written == whole.written
    assert few.known == whole.known and few.keeps_until == whole.keeps_until


def test_a_damaged_reading_stands_for_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """The newest of its kind cannot be read: the one before it counts."""
    monkeypatch.setattr(choice, "DENSE", 0)
    rows = [Row(number, canonical({"smell": "earthy"})) for number in range(5)]
    left = choice.entries_that_count(rows, NOW, lambda row: None if row.at > 2 else read(row))
    assert [entry.at for entry in left] == [moment_in_utc(2)]


def filled(client: TestClient, readings: int) -> tuple[str, str]:
    """A pile with a reading each minute up to now: its account and id."""
    made: str = client.post("/piles", json={"name": "dense"}).json()["id"]
    assert client.post(f"/piles/{made}/readings", json={"pile": {"built_on": "2025-10-02"}}).status_code == 200
    now = datetime.now(UTC).replace(microsecond=0)
    rows = []
    for number in range(readings):
        at = now - timedelta(minutes=readings - number)
        part = canonical({"temperatures": {"core": f"{30 + number % 31} degC", "outdoor": "3 degC"}})
        told = {"at": at, "offset_min": 0, "received_at": at, "source": "json", "part": part, "lasting": False}
        rows.append({"id": new_id(), "pile_id": made, "digest": digest_of(at, part), **told})
    with the_store().writing() as session:
        session.execute(insert(ReadingRow), rows)
        return session.get_one(PileRow, made).account_id, made


def cost(account: str, pile: str) -> float:
    merged_status(the_store(), account, pile, None)
    taken = []
    for _ in range(5):
        begun = time.thread_time()
        merged_status(the_store(), account, pile, None)
        taken.append(time.thread_time() - begun)
    return sorted(taken)[2]


@pytest.mark.slow
def test_thirty_times_the_log_is_a_few_times_the_work(client: TestClient, folder: Path) -> None:
    few, many = (filled(client, count) for count in (FEW, MANY))
    growths: list[float] = []
    while len(growths) < TRIES and min(growths, default=MOST_GROWTH) >= MOST_GROWTH:  # a neighbour may spoil one
        growths.append(cost(*many) / cost(*few))
    print(f"{growths} times the work")
    assert min(growths) < MOST_GROWTH
