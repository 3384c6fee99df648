"""`GET /piles/{pile}/now`: numbers or null, words of fixed lists, and nothing sent twice."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from rules.actions.records import ACTIONS
from service.machines.hub.shape import PileNow
from tests.hub.conftest import ABOUT, NOW, new_pile
from tests.shapes import shaped

ENDINGS = ("_c", "_w", "_kwh", "_per_hour", "days_until_cool")
SMOKE = {**ABOUT, "signs": ["smoke"]}
BARE_CORE_C = (121 - 32) / 1.8


def numbers_in(page: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in page.items() if name.endswith(ENDINGS)}


@pytest.mark.parametrize(
    ("about", "available"),
    [
        (ABOUT, True),
        (SMOKE, True),
        ({"pile": {"age": 20}, "temperatures": {"core": "45 degC"}}, True),
        ({"pile": {"age": 20}}, False),
        (None, False),
        ({**ABOUT, "at": (NOW - timedelta(days=40)).isoformat()}, False),
    ],
    ids=["full", "smoke", "least", "no core", "empty", "core lapsed"],
)
def test_numbers_are_numbers_or_null(client: TestClient, about: dict[str, Any] | None, available: bool) -> None:
    page = client.get(f"/piles/{new_pile(client, about)}/now").json()
    shaped(PileNow, page)
    assert set(page) == set(PileNow.__annotations__)
    assert page["available"] is available
    for name, value in numbers_in(page).items():
        assert value is None or type(value) in (int, float), name
    assert (page["core_c"] is not None) is available
    assert page["action"] in (*ACTIONS, None)


def test_the_numbers_are_those_of_the_log(client: TestClient) -> None:
    pile = new_pile(client)
    page, advice = (client.get(f"/piles/{pile}/{what}").json() for what in ("now", "advice"))
    assert page["core_c"] == pytest.approx(BARE_CORE_C, abs=0.01) and page["outdoor_c"] == pytest.approx(
        -2.22, abs=0.01
    )
    assert page["outer_c"] is None and page["thermal_needed_tonight_w"] is None
    assert page["action"] == advice["actions"][0]["action"] and page["phase"] == advice["phase"]
    assert page["look_again_at"] == advice["look_again"]["at"]
    made = advice["heat_balance"]["made"]
    # The advice tells the two digits its wide range allows: half of the second one off, at most 5 %
    assert made["unit"] == "BTU/h" and page["thermal_made_w"] == pytest.approx(made["value"] * 0.29307, rel=0.05)
    assert made["low"] * 0.29307 <= page["thermal_made_w"] <= made["high"] * 0.29307
    assert page["fire_risk"] is False and page["pause_draw"] is False
    assert 0 <= page["air_minutes_per_hour"] <= 60 and page["water_minutes_per_hour"] is None


@pytest.mark.parametrize("about", [SMOKE, {"signs": ["smoke"]}, {"temperatures": {"core": "172 degF"}}])
def test_fire_is_told_even_where_there_is_too_little_for_advice(client: TestClient, about: dict[str, Any]) -> None:
    page = client.get(f"/piles/{new_pile(client, about)}/now").json()
    assert page["fire_risk"] is True


def test_nothing_is_sent_twice(client: TestClient) -> None:
    """RFC 9110, 13.1.2: If-None-Match takes a list, weak tags and *."""
    pile = new_pile(client)
    address = f"/piles/{pile}/now"
    first = client.get(address)
    tag = first.headers["etag"]
    assert first.headers["cache-control"] == "private, max-age=60" and len(first.content) < 1500
    for given in (tag, f'"other", {tag}', f"W/{tag}", "*"):
        again = client.get(address, headers={"if-none-match": given})
        assert again.status_code == 304 and again.content == b"" and again.headers["etag"] == tag, given
    assert client.get(address, headers={"if-none-match": '"other"'}).status_code == 200
    client.post(f"/piles/{pile}/readings", json={"temperatures": {"core": 119}})
    changed = client.get(address, headers={"if-none-match": tag})
    assert changed.status_code == 200 and changed.json()["core_c"] == pytest.approx((119 - 32) / 1.8, abs=0.01)


def test_an_unknown_pile_or_parameter_is_refused(client: TestClient) -> None:
    assert client.get("/piles/0123456789abcdef/now").status_code == 404
    assert client.get(f"/piles/{new_pile(client)}/now?units=us").status_code == 422
