"""What pages of other sites can send changes nothing and reads nothing of the log book; our own pages and tools can."""

from __future__ import annotations

import asyncio
from typing import Any

import httpx
import pytest

from service.app import create_app
from tests.serving.served import SMALLEST
from tests.store.conftest import client, folder  # noqa: F401 (fixtures)

JSON = {"content-type": "application/json"}
OWN = "http://127.0.0.1:8000"
STRANGE: list[dict[str, str]] = [
    {"origin": "http://elsewhere.example"},
    {"origin": "null"},
    {"origin": "http://127.0.0.1:9000"},
    {"origin": "http://localhost:8000"},
    {"origin": "file://"},
    {"origin": "http://127.0.0.1:8000.elsewhere.example"},
    {"origin": "http://[::1"},
    {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site", "origin": "http://127.0.0.1:9000"},
    {"sec-fetch-site": "cross-site", "origin": OWN},
    {"sec-fetch-site": "something new"},
]
FRIENDLY: list[dict[str, str]] = [
    {},
    {"origin": OWN},
    {"sec-fetch-site": "same-origin", "origin": OWN},
    {"sec-fetch-site": "none"},
    {"sec-fetch-site": "same-origin", "origin": "null"},
]


@pytest.mark.parametrize("headers", STRANGE)
def test_other_sites_pages_are_refused(client: Any, headers: dict[str, str]) -> None:  # noqa: F811
    for path, body in (("/piles", {"name": "x"}), ("/piles/import", {}), ("/advice", {}), ("/chat", {"text": "hello"})):
        assert client.post(path, json=body, headers=headers).status_code == 403, path
    assert (
        client.post(
            "/advice/batch", content=b"", headers={"content-type": "application/x-ndjson", **headers}
        ).status_code
        == 403
    )
    assert client.post("/form", data={}, headers=headers).status_code == 403
    assert client.post("/mcp", json={}, headers=headers).status_code == 403
    assert client.delete("/piles/3f9a0c1d2e4b5a67", headers=headers).status_code == 403
    assert client.get("/piles", headers=headers).status_code == 403
    assert client.get("/rules", headers=headers).status_code == 200
    assert client.get("/piles").json()["piles"] == []


@pytest.mark.parametrize("headers", FRIENDLY)
def test_our_own_pages_and_what_is_no_browser_pass(client: Any, headers: dict[str, str]) -> None:  # noqa: F811
    assert client.post("/piles", json={"name": "x"}, headers=headers).status_code == 201
    assert client.get("/piles", headers=headers).status_code == 200


def test_pages_that_are_named_pass(folder: Any, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: F811
    monkeypatch.setenv("WARMHEAP_ORIGINS", "https://hub.lan, http://10.0.0.5:8123/")

    async def ask(origin: str) -> int:
        transport = httpx.ASGITransport(app=create_app())
        async with httpx.AsyncClient(transport=transport, base_url=OWN) as asking:
            headers = {"origin": origin, "sec-fetch-site": "cross-site", **JSON}
            return (await asking.post("/advice?effects=none", content=SMALLEST, headers=headers)).status_code

    assert asyncio.run(ask("https://hub.lan")) == asyncio.run(ask("http://10.0.0.5:8123")) == 200
    assert asyncio.run(ask("http://hub.lan")) == 403


@pytest.mark.parametrize(
    "path", ["/piles", "/piles/import", "/chat", "/advice", "/advice/batch", "/form", "/mix", "/sizing"]
)
def test_a_body_without_a_type_is_refused(client: Any, path: str) -> None:  # noqa: F811
    """As a page sends it with a `Blob` that has none: no question is asked before."""
    assert client.post(path, content=b'{"name": "x"}').status_code == 415


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"])
@pytest.mark.parametrize("path", ["/piles", "/piles/import", "/piles/3f9a0c1d2e4b5a67/readings"])
def test_what_a_page_may_send_unasked_changes_nothing(client: Any, path: str, kind: str) -> None:  # noqa: F811
    assert client.post(path, content=b'{"name": "x"}', headers={"content-type": kind}).status_code == 415


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("[::1]:8000", 200),
        ("[::1]", 200),
        ("localhost", 200),
        ("[[::1]]:8000", 403),
        ("[[::1]", 403),
        ("::1", 403),
        ("[::1]x", 403),
        ("127.0.0.1:80:80", 403),
        ("heap.example", 403),
        ("", 403),
    ],
)
def test_the_host_header_is_read_strictly(client: Any, host: str, status: int) -> None:  # noqa: F811
    assert client.get("/piles", headers={"host": host}).status_code == status


@pytest.mark.parametrize("path", ["/mix", "/chat", "/mcp", "/advice", "/form", "/piles"])
@pytest.mark.parametrize("fields", [{"origin": "http://evil.example:8000"}, {"sec-fetch-site": "same-origin"}])
def test_a_name_that_suddenly_leads_here_is_another_site(client: Any, path: str, fields: dict[str, str]) -> None:  # noqa: F811
    """To the browser it is the same site as the service."""
    reply = client.post(path, json={"text": "hello"}, headers={"host": "evil.example:8000", **fields})
    assert reply.status_code == 403


def test_where_others_are_served_the_name_is_theirs_to_choose(folder: Any, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: F811
    from starlette.testclient import TestClient

    monkeypatch.setenv("WARMHEAP_ACCESS", "open")
    door = TestClient(create_app(), base_url="http://heap.example", client=("203.0.113.9", 4711))
    fields = {"origin": "http://heap.example", "sec-fetch-site": "same-origin", **JSON}
    assert door.post("/advice?effects=none", content=SMALLEST, headers=fields).status_code == 200


@pytest.mark.parametrize(
    ("fields", "status"),
    [
        ({"sec-fetch-site": "cross-site", "sec-fetch-dest": "image"}, 403),
        ({"sec-fetch-site": "cross-site", "sec-fetch-dest": "iframe"}, 403),
        ({"sec-fetch-site": "same-site", "sec-fetch-dest": "empty"}, 403),
        ({"sec-fetch-site": "cross-site", "sec-fetch-dest": "document"}, 0),
        ({"sec-fetch-site": "same-origin", "sec-fetch-dest": "empty"}, 0),
        ({"sec-fetch-site": "none", "sec-fetch-dest": "document"}, 0),
        ({}, 0),
    ],
)
def test_a_page_elsewhere_makes_no_work_by_reading(client: Any, fields: dict[str, str], status: int) -> None:  # noqa: F811
    """Somebody may still follow a link from it."""
    told = client.get("/form/told?t=x", headers=fields).status_code
    assert told == status if status else told != 403
