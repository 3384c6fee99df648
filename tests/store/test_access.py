"""Whose piles: tokens, scopes, strangers, limits; for every route of the log book."""

from __future__ import annotations

import itertools
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from starlette.testclient import TestClient

from service.app import create_app
from service.http.access import is_loopback, mode_for
from service.http.rate import SPAN_S, RateLimit
from service.logbook.store.engine import Store, the_store
from service.logbook.store.models import TokenRow
from service.logbook.store.tokens import Scope, account_and_scope, make, revoke
from service.problems.problem import MEDIA_TYPE
from tests.app import APP
from tests.each import each, now_and_then
from tests.store.test_log_book import ABOUT, NOW

ADVICE = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}


def token(account: str, scope: Scope = "owner") -> str:
    with the_store().writing() as session:
        return make(session, account, "test", scope, NOW)


def bearer(written: str) -> dict[str, str]:
    return {"authorization": f"Bearer {written}"}


_PEERS = itertools.cycle(range(1, 255))
"""Each test comes from an address of its own: wrong tokens of one address are held back."""


@pytest.fixture
def guarded(store_now_and_then: Store, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A service that others can reach: it asks for a token."""
    monkeypatch.setenv("WARMHEAP_ACCESS", "tokens")
    monkeypatch.setenv("WARMHEAP_WEBHOOKS_ALLOW", "127.0.0.1")
    peer = f"198.51.100.{next(_PEERS)}"
    with TestClient(create_app(), base_url="http://heap.example", client=(peer, 4711)) as client:
        yield client


def filled_pile(client: TestClient, headers: dict[str, str]) -> dict[str, str]:
    """A pile with one of everything; the ids in it by name."""
    pile = client.post("/piles", json={"name": "secret heap", "units": "us", "about": ABOUT}, headers=headers).json()
    answer = client.get(f"/piles/{pile['id']}/advice?effects=none", headers=headers).json()
    entry = client.get(f"/piles/{pile['id']}/log?kind=reading", headers=headers).json()["entries"][0]
    hook = client.post(
        f"/piles/{pile['id']}/webhooks", json=ROUTES["POST", "/piles/{pile}/webhooks"][1], headers=headers
    )
    made = {"pile": pile["id"], "advice": answer["id"], "entry": entry["id"], "webhook": hook.json()["id"]}
    return {**made, "action": answer["actions"][0]["action"]}


# route, whether it changes something, body
ROUTES: dict[tuple[str, str], tuple[bool, Any]] = {
    ("GET", "/piles"): (False, None),
    ("POST", "/piles"): (True, {"name": "another"}),
    ("POST", "/piles/import"): (True, "export"),
    ("GET", "/piles/{pile}"): (False, None),
    ("PATCH", "/piles/{pile}"): (True, {"name": "renamed"}),
    ("GET", "/piles/{pile}/export"): (False, None),
    ("POST", "/piles/{pile}/readings"): (True, {"smell": "sour"}),
    ("POST", "/piles/{pile}/work"): (True, {"action": "add_water"}),
    ("GET", "/piles/{pile}/log"): (False, None),
    ("GET", "/piles/{pile}/status"): (False, None),
    ("GET", "/piles/{pile}/now"): (False, None),
    ("GET", "/piles/{pile}/season"): (False, None),
    ("GET", "/piles/{pile}/calendar.ics"): (False, None),
    ("GET", "/piles/{pile}/advice"): (False, None),
    ("GET", "/piles/{pile}/advice/{advice}"): (False, None),
    ("GET", "/piles/{pile}/advice/{advice}/replay"): (False, None),
    ("POST", "/piles/{pile}/feedback"): (True, "feedback"),
    ("GET", "/feedback"): (False, None),
    ("GET", "/piles/{pile}/webhooks"): (False, None),
    ("POST", "/piles/{pile}/webhooks"): (True, {"url": "http://127.0.0.1:9/hook"}),
    ("GET", "/piles/{pile}/webhooks/{webhook}"): (False, None),
    ("POST", "/piles/{pile}/webhooks/{webhook}/retry"): (True, None),
    ("DELETE", "/piles/{pile}/webhooks/{webhook}"): (True, None),
    ("DELETE", "/piles/{pile}/log/{entry}"): (True, None),
    ("DELETE", "/piles/{pile}"): (True, None),
}


def send(client: TestClient, route: tuple[str, str], ids: dict[str, str], headers: dict[str, str], export: Any) -> Any:
    body = ROUTES[route][1]
    if body == "export":
        body = export
    elif body == "feedback":
        body = {"advice": ids["advice"], "action": ids["action"], "verdict": "ignored"}
    return client.request(route[0], route[1].format(**ids), json=body, headers=headers)


def all_but_advice(client: TestClient, ids: dict[str, str], headers: dict[str, str]) -> dict[str, Any]:
    """What only an owner may change; a reader's question may add an answer to the log."""
    file: dict[str, Any] = client.get(f"/piles/{ids['pile']}/export", headers=headers).json()
    return {part: content for part, content in file.items() if part != "advice"}


def test_every_route_of_the_log_book_is_in_the_table() -> None:
    described = APP.openapi()["paths"]
    routes = {
        (method.upper(), path)
        for path, methods in described.items()
        for method in methods
        if path.startswith(("/piles", "/feedback"))
    }
    assert routes == set(ROUTES)


@pytest.mark.parametrize(
    "route", now_and_then([pytest.param(route) for route in ROUTES], 3), ids=[" ".join(route) for route in ROUTES]
)
def test_each_sees_only_its_own(guarded: TestClient, route: tuple[str, str]) -> None:
    """Without a token 401, as a reader no change (403), of another account nothing (404), as the owner all."""
    changes = ROUTES[route][0]
    owner, reader, stranger = bearer(token("anna")), bearer(token("anna", "reader")), bearer(token("bert"))
    ids = filled_pile(guarded, owner)
    export = guarded.get(f"/piles/{ids['pile']}/export", headers=owner).json()
    before = all_but_advice(guarded, ids, owner)

    for headers in ({}, bearer("wh_00000000_" + "A" * 43), bearer("x"), {"authorization": "Basic YTpi"}):
        refused = send(guarded, route, ids, headers, export)
        assert refused.status_code == 401 and refused.headers["content-type"] == MEDIA_TYPE
        assert refused.headers["www-authenticate"].startswith("Bearer")
        assert "secret heap" not in refused.text and ids["pile"] not in refused.text

    foreign = send(guarded, route, ids, stranger, export)
    if "{" in route[1]:
        assert foreign.status_code == 404, foreign.text
        nowhere = {**{name: "0" * len(found) for name, found in ids.items()}, "action": ids["action"]}
        assert foreign.json() == send(guarded, route, nowhere, stranger, export).json()
    assert "secret heap" not in foreign.text or route == ("POST", "/piles/import")

    as_reader = send(guarded, route, ids, reader, export)
    assert as_reader.status_code == (403 if changes else 200), as_reader.text
    assert all_but_advice(guarded, ids, owner) == before

    as_owner = send(guarded, route, ids, owner, export)
    assert as_owner.status_code in (200, 201), as_owner.text


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/", 200),
        ("GET", "/health/live", 200),
        ("GET", "/health/ready", 200),
        ("GET", "/rules", 200),
        ("GET", "/rules/moisture.too-dry", 200),
        ("GET", "/materials/urea", 200),
        ("GET", "/openapi.json", 200),
        ("POST", "/advice?effects=none", 401),
        ("POST", "/nothing", 401),
        ("GET", "http://heap.example//piles", 401),
        ("GET", "/Piles", 401),
        ("GET", "/rules/../piles", 401),
    ],
)
def test_off_loopback_all_but_the_public_pages_ask_for_a_token(
    guarded: TestClient, method: str, path: str, status: int
) -> None:
    reply = guarded.request(method, path, json=ADVICE if method == "POST" else None)
    assert reply.status_code == status or (status == 401 and reply.status_code == 404)
    assert reply.status_code != 200 or status == 200


def test_a_refusal_never_hides_a_fire(guarded: TestClient) -> None:
    reply = guarded.post("/advice", json={**ADVICE, "signs": ["smoke"]})
    assert reply.status_code == 401 and "call the fire service" in reply.json()["detail"]


def test_any_token_may_ask_for_advice(guarded: TestClient) -> None:
    for scope in ("owner", "reader"):
        reply = guarded.post("/advice?effects=none", json=ADVICE, headers=bearer(token("anna", scope)))  # type: ignore[arg-type]
        assert reply.status_code == 200


def test_a_revoked_token_is_useless_at_once(guarded: TestClient) -> None:
    written = token("anna")
    assert guarded.get("/piles", headers=bearer(written)).status_code == 200
    with the_store().writing() as session:
        revoke(session, written.split("_")[1], NOW)
    assert guarded.get("/piles", headers=bearer(written)).status_code == 401


def test_only_a_hash_of_a_token_is_kept(store: Store) -> None:
    written = token("anna")
    _, token_id, secret = written.split("_", 2)
    with store.reading() as session:
        row = session.get_one(TokenRow, token_id)
        assert len(row.digest) == 32 and secret.encode() not in row.digest
        assert account_and_scope(session, written) == (row.account_id, "owner", token_id)
        for wrong in (
            written[:-1] + ("A" if written[-1] != "A" else "B"),
            written + "A",
            "",
            "wh__",
            "\udcff",
            "wh_" * 99,
        ):
            assert account_and_scope(session, wrong) is None
    if store.file is not None:
        assert secret.encode() not in store.file.read_bytes()


def test_secrets_have_256_bits_and_differ(folder: Path) -> None:
    made = [re.fullmatch(r"wh_[0-9a-f]{8}_([A-Za-z0-9_-]{43})", token("anna")) for _ in range(20)]
    assert len({match[1] for match in made if match}) == 20


def test_comparing_takes_no_hint_from_how_much_is_right(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The digests are compared by hmac.compare_digest, for known and unknown ids alike."""
    import hmac

    written, compared = token("anna"), []
    plain = hmac.compare_digest
    monkeypatch.setattr(hmac, "compare_digest", lambda a, b: compared.append((len(a), len(b))) or plain(a, b))
    with store.reading() as session:
        for given in (written, written[:-2] + "__", "wh_00000000_" + "A" * 43, "nonsense"):
            account_and_scope(session, given)
    assert compared == [(32, 32)] * 4


# ------------------------------------------------------------------------------------------ rate limit


def test_a_token_that_asks_too_often_is_told_when_to_come_back(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARMHEAP_ACCESS", "tokens")
    monkeypatch.setenv("WARMHEAP_RATE", "5")
    with TestClient(create_app(), base_url="http://heap.example") as client:
        anna, bert = bearer(token("anna")), bearer(token("bert"))
        replies = [client.get("/piles", headers=anna) for _ in range(7)]
        assert [reply.status_code for reply in replies] == [200] * 5 + [429] * 2
        assert [re.search(r"r=(\d+)", reply.headers["ratelimit"])[1] for reply in replies] == list("4321000")  # type: ignore[index]
        assert {reply.headers["ratelimit-policy"] for reply in replies} == {f'"token";q=5;w={SPAN_S}'}
        told = replies[-1]
        assert told.headers["content-type"] == MEDIA_TYPE and 1 <= int(told.headers["retry-after"]) <= SPAN_S
        assert told.json()["type"].endswith("too-many-requests") and "5 times a minute" in told.json()["detail"]
        assert client.get("/piles", headers=bert).status_code == 200
        smoke = client.post("/advice", json={**ADVICE, "signs": ["smoke"]}, headers=anna)
        assert smoke.status_code == 429 and "call the fire service" in smoke.json()["detail"]


def test_the_count_starts_anew_after_its_span() -> None:
    now = [0.0]
    limit = RateLimit(3, clock=lambda: now[0])
    assert [limit.ask("a").passes for _ in range(4)] == [True, True, True, False]
    now[0] = SPAN_S - 0.5
    ruling = limit.ask("a")
    assert not ruling.passes and ruling.resets_in_s == 1
    now[0] = SPAN_S
    assert limit.ask("a") == type(ruling)(True, 3, 2, SPAN_S)


# -------------------------------------------------------------------------------------- this machine


@pytest.mark.parametrize(
    ("peer", "host", "status"),
    [
        ("127.0.0.1", "http://127.0.0.1:8000", 200),
        ("127.0.0.1", "http://localhost:8000", 200),
        ("::1", "http://[::1]:8000", 200),
        ("::ffff:127.0.0.1", "http://localhost", 200),
        ("203.0.113.9", "http://127.0.0.1:8000", 403),
        ("127.0.0.1", "http://heap.example", 403),
        ("127.0.0.1", "http://127.0.0.1.evil.example", 403),
        ("127.0.0.1", "http://localhost.evil.example", 403),
    ],
)
def test_without_a_token_only_this_machine_under_its_own_name(folder: Path, peer: str, host: str, status: int) -> None:
    """The name guards against pages that make a browser ask here under their own name (DNS rebinding)."""
    with TestClient(create_app(), base_url=host, client=(peer, 1)) as client:
        assert client.get("/piles").status_code == status
        assert client.post("/advice?effects=none", json=ADVICE).status_code == 200


def test_a_page_elsewhere_cannot_post_plain_forms_here(client: TestClient) -> None:
    """What a browser sends across origins without asking first is not taken."""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        reply = client.post("/piles", content=b'{"name": "x"}', headers={"content-type": kind})
        assert reply.status_code == 415


def test_on_this_machine_a_token_counts_too(client: TestClient) -> None:
    anna = bearer(token("anna", "reader"))
    client.post("/piles", json={"name": "home heap"})
    assert client.get("/piles", headers=anna).json()["count"] == 0
    assert client.post("/piles", json={"name": "x"}, headers=anna).status_code == 403
    assert client.get("/piles", headers=bearer("wrong")).status_code == 401


def test_an_open_service_serves_everybody(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARMHEAP_ACCESS", "open")
    with TestClient(create_app(), base_url="http://heap.example", client=("203.0.113.9", 1)) as client:
        assert client.post("/piles", json={"name": "x"}).status_code == 201


@each(
    [
        ("127.0.0.1", True),
        ("127.9.9.9", True),
        ("localhost", True),
        ("LOCALHOST", True),
        ("::1", True),
        ("[::1]", True),
        ("::ffff:127.0.0.1", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.5", False),
        ("", False),
        ("example.org", False),
        ("localhost.example", False),
        ("::ffff:10.0.0.1", False),
        ("1", False),
    ]
)
def test_what_means_this_machine(host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback


def test_who_may_be_served() -> None:
    assert mode_for("127.0.0.1", open_to_all=False, any_token=False) == "local"
    assert mode_for("0.0.0.0", open_to_all=False, any_token=True) == "tokens"
    assert mode_for("0.0.0.0", open_to_all=True, any_token=False) == "open"
    with pytest.raises(ValueError, match="warmheap tokens make"):
        mode_for("0.0.0.0", open_to_all=False, any_token=False)


def test_a_wrong_mode_stops_the_service(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARMHEAP_ACCESS", "everybody")
    with pytest.raises(ValueError, match="WARMHEAP_ACCESS"), TestClient(create_app()) as client:
        client.get("/")


# ------------------------------------------------------------------------------------- the real server


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def serve(folder: Path, *options: str) -> tuple[subprocess.Popen[bytes], str]:
    port = free_port()
    folder.mkdir(exist_ok=True)
    process = subprocess.Popen(
        [sys.executable, "-m", "service.cli", "serve", "--port", str(port), "--data", str(folder), *options],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    return process, f"http://127.0.0.1:{port}"


def wait_for(url: str, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + 60
    while process.poll() is None and time.monotonic() < deadline:
        try:
            httpx.get(f"{url}/health/live", timeout=1)
            return
        except httpx.TransportError:
            time.sleep(0.05)
    raise AssertionError("the service did not start")


def test_it_refuses_to_start_off_loopback_without_a_token(folder: Path) -> None:
    process, _ = serve(folder, "--host", "0.0.0.0")
    said, _ = process.communicate(timeout=60)
    assert process.returncode == 2 and b"warmheap tokens make" in said and b"--open" in said


@pytest.mark.slow
def test_nothing_secret_is_logged(folder: Path) -> None:
    written = token("home")
    process, url = serve(folder, "--host", "0.0.0.0")
    try:
        wait_for(url, process)
        good = httpx.get(f"{url}/piles", headers=bearer(written), timeout=30)
        bad = httpx.get(f"{url}/piles", headers=bearer(written[:-4] + "0000"), timeout=30)
        httpx.post(f"{url}/piles", headers=bearer(written), content=b"{", timeout=30)
        assert (good.status_code, bad.status_code) == (200, 401)
    finally:
        process.terminate()
        said, _ = process.communicate(timeout=60)
    assert written.split("_", 2)[2].encode() not in said and b"Bearer" not in said


def test_feedback_is_counted_for_whoever_asks_and_nobody_else(guarded: TestClient) -> None:
    """What became of advice on other people's heaps is theirs: a rule's page is public, its counts are not."""
    anna, bert = bearer(token("anna")), bearer(token("bert"))
    ids = filled_pile(guarded, anna)
    answer = guarded.get(f"/piles/{ids['pile']}/advice/{ids['advice']}", headers=anna).json()["answer"]
    rule = f"/rules/{answer['actions'][0]['reasons'][0]['rule']}"
    assert guarded.get(rule, headers=anna).json()["feedback"]["given"] == 1
    assert guarded.get(rule, headers=bert).json()["feedback"]["given"] == 0
    for headers in ({}, bearer("wh_00000000_" + "A" * 43), bearer("x")):
        page = guarded.get(rule, headers=headers)
        assert page.status_code == 200 and page.json()["feedback"] is None
