"""The log book over HTTP: piles, readings, work, advice, replay and feedback."""

from __future__ import annotations

import hashlib
import json
import threading
from collections import Counter
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from pydantic import ValidationError
from starlette.testclient import TestClient

from service.answer.shapes.advice import Advice
from service.api.log_book_shapes import OUTGOING
from service.logbook.shapes.pages import (
    AdviceRecord,
    CountsPage,
    FeedbackPage,
    LoggedPage,
    LogPage,
    PileAdvice,
    PilePage,
    PilesPage,
    ReplayPage,
    StatusPage,
)
from service.logbook.shapes.pile_file import PileFile
from service.logbook.store.engine import Store
from service.problems.problem import MEDIA_TYPE
from tests.each import each, now_and_then
from tests.shapes import shaped
from tests.store.conftest import local_client

NOW = datetime.now(UTC).replace(microsecond=0)
ABOUT = {
    "pile": {"built_on": (NOW - timedelta(days=60)).date().isoformat(), "size": {"volume": "22 yd3"}},
    "temperatures": {"core": 121, "outdoor": 28},
    "moisture_feel": "dry",
    "signs": [],
    "on_hand": ["water"],
}


def at(hours_ago: float) -> str:
    return (NOW - timedelta(hours=hours_ago)).isoformat()


@pytest.fixture
def both(store: Store) -> TestClient:
    """Somebody at this machine, on SQLite and on PostgreSQL."""
    return local_client()


def new_pile(client: TestClient, about: dict[str, Any] | None = ABOUT) -> str:
    reply = client.post("/piles", json={"name": "North heap", "units": "us", "zone": "Europe/Berlin", "about": about})
    assert reply.status_code == 201, reply.text
    pile: str = shaped(PilePage, reply.json())["id"]
    assert reply.headers["location"] == f"/piles/{pile}"
    return pile


def problem_in(reply: Any, status: int) -> dict[str, Any]:
    assert reply.status_code == status and reply.headers["content-type"] == MEDIA_TYPE, reply.text
    told: dict[str, Any] = reply.json()
    return told


def test_a_season_in_the_log_book(both: TestClient) -> None:
    """Everything once, on either database."""
    pile = new_pile(both)
    assert shaped(PilesPage, both.get("/piles").json())["count"] == 1

    readings = {
        "readings": [{"at": at(72), "temperatures": {"core": 125}}, {"at": at(24), "temperatures": {"core": 123}}]
    }
    added = shaped(LoggedPage, both.post(f"/piles/{pile}/readings", json=readings).json())
    assert len(added["readings"]) == 2 and added["already_there"] == 0 and added["warning"] is None
    again = shaped(LoggedPage, both.post(f"/piles/{pile}/readings", json=readings).json())
    assert again["readings"] == [] and again["already_there"] == 2

    work = {"at": at(30 * 24), "action": "add_water", "amount": "60 gal"}
    assert len(shaped(LoggedPage, both.post(f"/piles/{pile}/work", json=work).json())["work"]) == 1

    status = shaped(StatusPage, both.get(f"/piles/{pile}/status").json())
    assert len(status["status"]["history"]) == 2 and status["status"]["temperatures"]["core"] == "121 degF"

    first = both.get(f"/piles/{pile}/advice?effects=none")
    advice = shaped(PileAdvice, first.json())
    assert advice["pile"] == pile and advice["units"] == "us" and advice["actions"][0]["action"] == "add_water"
    assert both.get(f"/piles/{pile}/advice?effects=none").content == first.content

    told = {"advice": advice["id"], "action": "add_water", "verdict": "done", "amount": "30 gal", "at": at(0)}
    assert shaped(FeedbackPage, both.post(f"/piles/{pile}/feedback", json=told).json())["feedback"]
    changed = shaped(PileAdvice, both.get(f"/piles/{pile}/advice?effects=none").json())
    assert changed["id"] != advice["id"] and changed["actions"][0]["action"] != "add_water"

    record = shaped(AdviceRecord, both.get(f"/piles/{pile}/advice/{advice['id']}").json())
    assert record["superseded_by"] == changed["id"] and record["superseded_at"] is not None
    log = shaped(LogPage, both.get(f"/piles/{pile}/log").json())
    assert Counter(entry["kind"] for entry in log["entries"]) == {"reading": 3, "work": 2, "advice": 2, "feedback": 1}
    assert shaped(CountsPage, both.get("/feedback").json())["words"] == 1
    assert PileFile.model_validate(both.get(f"/piles/{pile}/export").json()).pile.id == pile
    gone = both.delete(f"/piles/{pile}").json()
    assert gone["deleted"] == pile
    problem_in(both.get(f"/piles/{pile}"), 404)
    assert both.get("/piles").json()["count"] == 0


def test_a_pile_is_renamed_and_its_units_changed(client: TestClient) -> None:
    pile = new_pile(client)
    advice = client.get(f"/piles/{pile}/advice?effects=none").json()
    changed = client.patch(f"/piles/{pile}", json={"name": "South heap", "units": "metric"}).json()
    assert (changed["name"], changed["units"], changed["zone"]) == ("South heap", "metric", "Europe/Berlin")
    metric = client.get(f"/piles/{pile}/advice?effects=none").json()
    assert metric["units"] == "metric" and metric["id"] != advice["id"]
    assert metric["actions"][0]["action"] == advice["actions"][0]["action"]


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({}, "/name"),
        ({"name": ""}, "/name"),
        ({"name": "x" * 61}, "/name"),
        ({"name": "x", "zone": "Mars/Base"}, "/zone"),
        ({"name": "x", "zone": "../../etc/passwd"}, "/zone"),
        ({"name": "x", "units": "si"}, "/units"),
        ({"name": "x", "about": {"smell": "bad"}}, "/smell"),
        ({"name": "x", "colour": "red"}, "/colour"),
    ],
)
def test_piles_that_cannot_be(client: TestClient, body: dict[str, Any], pointer: str) -> None:
    assert problem_in(client.post("/piles", json=body), 422)["errors"][0]["pointer"] == pointer
    assert client.get("/piles").json()["count"] == 0


def test_a_reading_may_be_one_temperature(client: TestClient) -> None:
    pile = new_pile(client, None)
    problem = problem_in(client.get(f"/piles/{pile}/advice"), 409)
    assert problem["type"].endswith("not-enough-known") and len(problem["errors"]) == 2
    assert (
        client.post(f"/piles/{pile}/readings", json={"at": at(6), "temperatures": {"core": "121 degF"}}).status_code
        == 200
    )
    assert client.post(f"/piles/{pile}/readings", json={"pile": {"age": "63 days"}}).status_code == 200
    advice = client.get(f"/piles/{pile}/advice?effects=none")
    assert advice.status_code == 200 and len(advice.json()["known"]) == 2


def test_advice_from_the_log_is_that_of_its_status(client: TestClient) -> None:
    pile = new_pile(client)
    advice = client.get(f"/piles/{pile}/advice?effects=none").json()
    record = client.get(f"/piles/{pile}/advice/{advice['id']}").json()
    plain = client.post("/advice?effects=none", json=record["status"])
    assert plain.json() == record["answer"] == {k: v for k, v in advice.items() if k not in ("pile", "known", "kept")}
    shaped(Advice, record["answer"])


def test_newer_readings_supersede_and_older_ones_too(client: TestClient) -> None:
    pile = new_pile(client)
    ids = [client.get(f"/piles/{pile}/advice?effects=none").json()["id"]]
    for hours in (0.01, 48):  # the second comes late and is of two days ago
        client.post(f"/piles/{pile}/readings", json={"at": at(hours), "temperatures": {"core": 130 - hours}})
        ids.append(client.get(f"/piles/{pile}/advice?effects=none").json()["id"])
    assert len(set(ids)) == 3
    records = [client.get(f"/piles/{pile}/advice/{answer}").json() for answer in ids]
    assert [record["superseded_by"] for record in records] == [ids[1], ids[2], None]
    assert records[2]["superseded_at"] is None


def test_advice_of_an_earlier_moment_supersedes_nothing(client: TestClient) -> None:
    pile = new_pile(client)
    client.post(f"/piles/{pile}/readings", json={"at": at(100), "temperatures": {"core": 130}, "pile": {"age": 50}})
    current = client.get(f"/piles/{pile}/advice?effects=none").json()
    path = f"/piles/{pile}/advice"
    then = client.get(path, params={"effects": "none", "as_of": at(90)}).json()
    assert then["as_of"] == at(90) and then["id"] != current["id"]
    assert client.get(path, params={"effects": "none", "as_of": at(90)}).json() == then
    assert client.get(f"{path}/{current['id']}").json()["superseded_at"] is None
    for wrong in ((NOW + timedelta(days=1)).isoformat(), "yesterday", "2026-01-01"):
        problem = problem_in(client.get(path, params={"as_of": wrong}), 422)
        assert problem["errors"][0]["parameter"] == "as_of"


def test_a_wrong_entry_can_be_taken_out(both: TestClient) -> None:
    pile = new_pile(both)
    wrong = both.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
    assert "call the fire service" in wrong.json()["warning"]
    assert both.get(f"/piles/{pile}/advice?effects=none").json()["actions"][0]["action"].startswith("keep_clear")
    entry = wrong.json()["readings"][0]
    assert both.delete(f"/piles/{pile}/log/{entry}").json()["deleted"] == entry
    assert both.get(f"/piles/{pile}/advice?effects=none").json()["actions"][0]["action"] == "add_water"
    problem_in(both.delete(f"/piles/{pile}/log/{entry}"), 404)


def test_the_log_is_read_page_by_page(both: TestClient) -> None:
    pile = new_pile(both, None)
    entries = [{"at": at(hours), "temperatures": {"core": 100 + hours / 10}} for hours in range(25)]
    both.post(f"/piles/{pile}/readings", json={"readings": entries})
    both.post(f"/piles/{pile}/work", json={"at": at(5), "action": "add_water"})
    seen, after = [], None
    for _ in range(10):
        page = both.get(f"/piles/{pile}/log", params={"limit": 7, **({"after": after} if after else {})}).json()
        seen += page["entries"]
        after = page["next"]
        if after is None:
            break
    assert len(seen) == len({entry["id"] for entry in seen}) == 26
    moments = [datetime.fromisoformat(entry["at"]) for entry in seen]
    assert moments == sorted(moments, reverse=True)
    assert len(both.get(f"/piles/{pile}/log?kind=work").json()["entries"]) == 1
    for query in ("limit=0", "limit=501", "kind=x", "after=x", "page=2"):
        problem_in(both.get(f"/piles/{pile}/log?{query}"), 422)


def test_machines_send_senml_and_tables(both: TestClient) -> None:
    pile = new_pile(both)
    pack = [{"bn": "barn/heap:", "n": "core", "u": "Cel", "v": 49.5, "t": -60}, {"n": "outer", "u": "Cel", "v": 30}]
    sent = both.post(
        f"/piles/{pile}/readings", content=json.dumps(pack), headers={"content-type": "application/senml+json"}
    )
    assert len(sent.json()["readings"]) == 2, sent.text
    table = f"at,core [degF],smell\r\n{at(5)},121,earthy\r\n{at(4)},120,\r\n"
    kind = {"content-type": "text/csv; charset=utf-8"}
    assert len(both.post(f"/piles/{pile}/readings", content=table, headers=kind).json()["readings"]) == 2
    bad = both.post(f"/piles/{pile}/readings", content=table + f"{at(3)},warm,\r\n", headers=kind)
    assert problem_in(bad, 422)["errors"][0]["pointer"] == "/lines/4/temperatures/core"
    assert both.get(f"/piles/{pile}").json()["readings"] == 5
    other = both.post(f"/piles/{pile}/readings", content=b"x", headers={"content-type": "application/xml"})
    problem_in(other, 415)
    sources = [entry["source"] for entry in both.get(f"/piles/{pile}/log").json()["entries"]]
    assert sorted(sources) == ["csv", "csv", "json", "senml", "senml"]


# -------------------------------------------------------------------------------------- requests twice


def test_a_repeated_request_is_answered_once(both: TestClient) -> None:
    pile = new_pile(both)
    key = {"idempotency-key": '"8e03978e-40d5-43e8-bc93"'}
    body = {"temperatures": {"core": 119}}
    first = both.post(f"/piles/{pile}/readings", json=body, headers=key)
    twin = both.post(f"/piles/{pile}/readings", json=body, headers=key)
    bare = both.post(f"/piles/{pile}/readings", json=body, headers={"idempotency-key": "8e03978e-40d5-43e8-bc93"})
    assert first.content == twin.content == bare.content and first.status_code == 200
    assert [reply.headers.get("idempotency-replayed") for reply in (first, twin, bare)] == [None, "true", "true"]
    assert both.get(f"/piles/{pile}").json()["readings"] == 2
    other = problem_in(both.post(f"/piles/{pile}/readings", json={"smell": "sour"}, headers=key), 422)
    assert other["type"].endswith("key-reused")
    elsewhere = new_pile(both)
    assert both.post(f"/piles/{elsewhere}/readings", json=body, headers=key).headers.get("idempotency-replayed") is None
    problem_in(both.post(f"/piles/{pile}/readings", json=body, headers={"idempotency-key": '"a b\x7f"'}), 422)


def test_a_made_pile_is_made_once(both: TestClient) -> None:
    key = {"idempotency-key": '"one-pile"'}
    replies = [both.post("/piles", json={"name": "x"}, headers=key) for _ in range(3)]
    assert len({reply.content for reply in replies}) == 1 and {reply.status_code for reply in replies} == {201}
    assert len({reply.headers["location"] for reply in replies}) == 1
    assert both.get("/piles").json()["count"] == 1


def test_a_refused_request_keeps_no_key(client: TestClient) -> None:
    pile = new_pile(client)
    key = {"idempotency-key": '"again"'}
    problem_in(client.post(f"/piles/{pile}/readings", json={"smell": "bad"}, headers=key), 422)
    assert client.post(f"/piles/{pile}/readings", json={"smell": "sour"}, headers=key).status_code == 200


def test_a_hundred_parallel_twins_make_one_entry(both: TestClient) -> None:
    pile = new_pile(both)
    codes: list[int] = []

    def send() -> None:
        reply = both.post(
            f"/piles/{pile}/readings", json={"temperatures": {"core": 118}}, headers={"idempotency-key": '"twins"'}
        )
        codes.append(reply.status_code)
        if reply.status_code == 409:
            assert reply.json()["type"].endswith("still-running") and reply.headers["retry-after"] == "1"

    threads = [threading.Thread(target=send) for _ in range(100)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(codes) <= {200, 409} and 200 in codes and len(codes) == 100
    assert both.get(f"/piles/{pile}").json()["readings"] == 2


# ------------------------------------------------------------------------------------- replay, feedback


def test_any_advice_can_be_given_again(both: TestClient) -> None:
    pile = new_pile(both)
    answers = [both.get(f"/piles/{pile}/advice?effects={effects}").json() for effects in ("none", "full")]
    both.post(f"/piles/{pile}/readings", json={"temperatures": {"core": 90}})
    for answer in answers:
        path = f"/piles/{pile}/advice/{answer['id']}"
        again = both.get(f"{path}/replay")
        assert again.headers["warmheap-replay"] == "same"
        record = both.get(path).json()
        assert hashlib.sha256(again.content).hexdigest() == record["sha256"]
        today = shaped(ReplayPage, both.get(f"{path}/replay?knowledge=current").json())
        assert today["same_bytes"] and today["difference"]["count"] == 0


def test_other_knowledge_is_told_and_the_difference_shown(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    pile = new_pile(client)
    answer = client.get(f"/piles/{pile}/advice?effects=none").json()
    path = f"/piles/{pile}/advice/{answer['id']}/replay"
    monkeypatch.setattr("service.logbook.book.knowledge_version", lambda: "ffffffffffff")
    monkeypatch.setattr("service.answer.advice.knowledge_version", lambda: "ffffffffffff")
    # in this process, which knows other
    monkeypatch.setattr("service.logbook.book.done", lambda work, *told, **_: work(*told))
    then = client.get(path)
    assert then.headers["warmheap-replay"] == "not-rerun" and then.json()["id"] == answer["id"]
    now = client.get(f"{path}?knowledge=current").json()
    assert now["knowledge"] == {"then": answer["knowledge_version"], "now": "ffffffffffff"}
    assert not now["same_bytes"]
    assert {change["pointer"] for change in now["difference"]["changed"]} == {"/id", "/knowledge_version"}
    fresh = client.get(f"/piles/{pile}/advice?effects=none").json()
    assert fresh["id"] != answer["id"] and fresh["knowledge_version"] == "ffffffffffff"
    problem_in(client.get(f"{path}?knowledge=old"), 422)
    problem_in(client.get(f"/piles/{pile}/advice/0000000000000000/replay"), 404)


def advised(client: TestClient, pile: str) -> tuple[str, str]:
    answer = client.get(f"/piles/{pile}/advice?effects=none").json()
    return answer["id"], answer["actions"][0]["action"]


def test_feedback_said_twice_changes_nothing(both: TestClient) -> None:
    pile = new_pile(both)
    answer, action = advised(both, pile)
    told = {"advice": answer, "action": action, "verdict": "done", "amount": "30 gal"}
    first = both.post(f"/piles/{pile}/feedback", json=told).json()
    again = both.post(f"/piles/{pile}/feedback", json=told).json()
    assert first == again
    assert both.get(f"/piles/{pile}").json()["work"] == 1


def test_the_last_word_counts_and_work_follows_it(both: TestClient) -> None:
    pile = new_pile(both)
    answer, action = advised(both, pile)

    def say(**more: Any) -> dict[str, Any]:
        reply = both.post(f"/piles/{pile}/feedback", json={"advice": answer, "action": action, **more})
        assert reply.status_code == 200, reply.text
        shown: dict[str, Any] = reply.json()["feedback"][0]
        return shown

    done = say(verdict="done", amount="30 gal", at=at(1))
    assert both.get(f"/piles/{pile}/log?kind=work").json()["entries"][0]["amount"] == "30 gal"
    better = say(verdict="done", amount="30 gal", outcome="better", outcome_at=at(0))
    assert better["at"] == done["at"] and better["outcome"] == "better" and better["id"] == done["id"]
    assert both.get(f"/piles/{pile}").json()["work"] == 1
    say(verdict="done", amount="45 gal")
    assert [e["amount"] for e in both.get(f"/piles/{pile}/log?kind=work").json()["entries"]] == ["45 gal"]
    rejected = say(verdict="rejected", reason="weather", comment="the hose is frozen")
    assert rejected["reason"] == "weather" and rejected["outcome"] is None
    assert both.get(f"/piles/{pile}").json()["work"] == 0
    counts = both.get("/feedback").json()["rules"]
    assert all(c["done"] == 0 for c in counts.values())
    assert {"weather": 1} in [c["rejected_because"] for c in counts.values()]


def test_counts_move_with_every_word_and_show_at_the_rule(both: TestClient) -> None:
    pile = new_pile(both)
    answer, action = advised(both, pile)
    record = both.get(f"/piles/{pile}/advice/{answer}").json()["answer"]["actions"][0]
    rule = record["reasons"][0]["rule"]
    before = both.get(f"/rules/{rule}").json()["feedback"]
    assert (before["given"], before["no_word"], before["done"]) == (1, 1, 0)
    both.post(
        f"/piles/{pile}/feedback", json={"advice": answer, "action": action, "verdict": "done", "outcome": "better"}
    )
    after = both.get(f"/rules/{rule}").json()["feedback"]
    assert (after["given"], after["no_word"], after["done"], after["outcome"]["better"]) == (1, 0, 1, 1)
    assert both.get("/feedback").json()["rules"][rule] == after


def test_promised_chances_are_held_against_what_came(client: TestClient) -> None:
    pile = new_pile(client)
    answer = client.get(f"/piles/{pile}/advice?effects=full").json()
    words = [
        {"advice": answer["id"], "action": action["action"], "verdict": "done", "outcome": "better"}
        for action in answer["actions"]
    ]
    assert client.post(f"/piles/{pile}/feedback", json={"feedback": words}).status_code == 200
    promised = [action["effect"]["chance_of_gain"] for action in answer["actions"] if action["effect"]]
    told = [chance for chance in promised if chance is not None]
    assert told
    bands = client.get("/feedback").json()["calibration"]
    assert sum(band["told"] for band in bands) == sum(band["better"] for band in bands) == len(told)
    for chance in told:
        assert any(band["promised"][0] <= chance <= band["promised"][1] for band in bands)


@pytest.mark.parametrize(
    ("change", "status", "pointer"),
    [
        ({"action": "build_new_pile"}, 422, "/action"),
        ({"action": "nope"}, 422, "/action"),
        ({"verdict": "maybe"}, 422, "/verdict"),
        ({"reason": "because"}, 422, "/reason"),
        ({"outcome": "great"}, 422, "/outcome"),
        ({"at": (NOW + timedelta(days=1)).isoformat()}, 422, "/at"),
        ({"outcome_at": (NOW + timedelta(days=1)).isoformat()}, 422, "/outcome_at"),
        ({"amount": "30 furlongs"}, 422, "/amount"),
        ({"comment": "x" * 201}, 422, "/comment"),
        ({"advice": "0000000000000000"}, 404, None),
    ],
)
def test_feedback_that_cannot_be(client: TestClient, change: dict[str, Any], status: int, pointer: str | None) -> None:
    pile = new_pile(client)
    answer, action = advised(client, pile)
    reply = client.post(
        f"/piles/{pile}/feedback", json={"advice": answer, "action": action, "verdict": "done", **change}
    )
    problem = problem_in(reply, status)
    if pointer is not None:
        assert problem["errors"][0]["pointer"] == pointer
    assert client.get("/feedback").json()["words"] == 0


def test_several_words_are_kept_or_none(client: TestClient) -> None:
    pile = new_pile(client)
    answer, action = advised(client, pile)
    words = [{"advice": answer, "action": action, "verdict": "ignored"}, {"advice": answer, "action": "x"}]
    problem = problem_in(client.post(f"/piles/{pile}/feedback", json={"feedback": words}), 422)
    assert problem["errors"][0]["pointer"].startswith("/feedback/1/")
    assert client.get("/feedback").json()["words"] == 0


@each(OUTGOING)
def test_every_page_of_the_log_book_holds_what_it_names_and_nothing_else(shape: Any) -> None:
    with pytest.raises(ValidationError, match="extra_forbidden"):
        shaped(shape, {"neither_here_nor_there": 1})


def test_advice_without_a_log_book_leaves_no_trace(folder: Any) -> None:
    body = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}
    with local_client() as client:
        assert client.post("/advice?effects=none", json=body).status_code == 200
        assert client.get("/rules/moisture.too-dry").json()["feedback"] is None
    assert not folder.exists()


@pytest.mark.parametrize(
    "zone", now_and_then(["Europe/Berlin", "UTC", "Asia/Kathmandu", "Pacific/Auckland", "America/St_Johns"], 3)
)
def test_a_pile_lives_by_its_own_clock(client: TestClient, zone: str) -> None:
    """What is today and tonight follows the zone the pile lies in, summer time included."""
    pile = client.post("/piles", json={"name": "x", "zone": zone, "about": {**ABOUT, "units": "us"}}).json()["id"]
    status = client.get(f"/piles/{pile}/status").json()
    assert datetime.fromisoformat(status["as_of"]).utcoffset() == NOW.astimezone(ZoneInfo(zone)).utcoffset()
    advice = client.get(f"/piles/{pile}/advice?effects=none").json()
    assert datetime.fromisoformat(advice["as_of"]).utcoffset() == NOW.astimezone(ZoneInfo(zone)).utcoffset()
