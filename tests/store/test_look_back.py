"""What was learned of a heap is carried on in its log book, and a season is looked back on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from service.logbook.shapes.season_page import SeasonPage
from tests.shapes import shaped

BEGIN = datetime(2025, 10, 1, 8, tzinfo=UTC)
ABOUT = {"pile": {"built_on": "2025-09-20", "size": {"volume": "14 m3"}}, "equipment": [], "moisture_feel": "dry"}


def core_on(day: int) -> float:
    return 58.0 - 0.2 * day + (0.5 if day % 2 else 0.0)


@pytest.fixture(scope="module")
def days() -> int:
    return 30


def logged(client: TestClient, days: int) -> str:
    pile: str = client.post("/piles", json={"name": "A", "units": "metric", "zone": "UTC", "about": ABOUT}).json()["id"]
    entries: list[dict[str, Any]] = [
        {"at": (BEGIN + timedelta(days=day)).isoformat(), "temperatures": {"core": core_on(day), "outdoor": 6}}
        for day in range(days)
    ]
    entries[0] |= ABOUT
    assert client.post(f"/piles/{pile}/readings", json={"readings": entries}).status_code < 300
    return pile


def advice(client: TestClient, pile: str, day: int) -> dict[str, Any]:
    moment = (BEGIN + timedelta(days=day)).strftime("%Y-%m-%dT%H:%M:%SZ")
    reply = client.get(f"/piles/{pile}/advice?as_of={moment}")
    assert reply.status_code == 200, reply.text
    given: dict[str, Any] = reply.json()
    return given


def test_what_was_learned_is_carried_on_and_replayed_byte_for_byte(client: TestClient, days: int) -> None:
    pile = logged(client, days)
    first, soon, later = (advice(client, pile, day) for day in (12, 15, 20))
    assert len(first["learned"]["members"]) == 64
    records = [client.get(f"/piles/{pile}/advice/{each['id']}").json() for each in (first, soon, later)]
    assert "learned" not in records[0]["status"]
    assert "learned" not in records[1]["status"]  # the same readings would count twice
    assert records[2]["status"]["learned"] == first["learned"]
    again = client.get(f"/piles/{pile}/advice/{later['id']}/replay")
    assert again.headers["warmheap-replay"] == "same"


def test_a_season_is_looked_back_on(client: TestClient, days: int) -> None:
    pile = logged(client, days)
    given = [advice(client, pile, day) for day in (8, 12, 16)]
    client.post(f"/piles/{pile}/work", json={"at": BEGIN.isoformat(), "action": "add_water", "amount": "100 L"})
    first = given[0]["actions"][0]
    word = {"advice": given[0]["id"], "action": first["action"], "verdict": "done", "outcome": "better"}
    assert client.post(f"/piles/{pile}/feedback", json=word).status_code == 200
    moment = (BEGIN + timedelta(days=days)).strftime("%Y-%m-%dT%H:%M:%SZ")
    page = shaped(SeasonPage, client.get(f"/piles/{pile}/season?to={moment}").json())
    assert page["advice"] == 3 and page["readings"] == days
    assert (
        page["gave"]["heat"] is not None and page["gave"]["heat"]["value"] == 0.0
    )  # nothing is fitted: nothing, and known to be so
    assert {each["action"] for each in page["cost"]} >= {"add_water"}
    seven = next(each for each in page["forecasts"] if each["days_ahead"] == 7)
    assert (
        seven["checked"] == 3
        and seven["as_it_was_k"] == pytest.approx(1.4, abs=0.6)
        and seven["mean_error_k"] is not None
    )
    assert any(rule["better"] == 1 and rule["rule"] == first["reasons"][0]["rule"] for rule in page["rules"])
    assert page["next_heap"] and any("Wet the next heap" in text for text in page["next_heap"])


def test_an_empty_season_says_what_is_not_known(client: TestClient) -> None:
    pile = client.post("/piles", json={"name": "A", "units": "us", "zone": "UTC", "about": None}).json()["id"]
    page = shaped(SeasonPage, client.get(f"/piles/{pile}/season").json())
    assert page["gave"]["heat"] is None and page["advice"] == 0
    assert [each["mean_error_k"] for each in page["forecasts"]] == [None, None, None]
    assert "nothing can be said" in page["next_heap"][0]


def test_a_moment_that_is_none_is_refused(client: TestClient) -> None:
    pile = client.post("/piles", json={"name": "A", "units": "us", "zone": "UTC", "about": None}).json()["id"]
    assert client.get(f"/piles/{pile}/season?from=yesterday").status_code == 422
