"""The tools through the official client: over HTTP and over standard input and output, in both eras of the protocol."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable, Iterator
from typing import Any

import httpx
import mcp_types as types
import pytest
from mcp import StdioServerParameters
from mcp.client import Client
from mcp.client.stdio import stdio_client

from service.talk.tools.table import BY_NAME
from tests.each import now_and_then
from tests.mcp.served import STATUS
from tests.page.conftest import Served

MODES = ("auto", "legacy")
SHORT_WORDS = 120
"""Most words of the short text."""


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    server = Served()
    server.start()
    yield server.address
    server.stop()


def over_http(address: str) -> str:
    return f"{address}/mcp"


def over_stdio(_: str) -> Any:
    return stdio_client(StdioServerParameters(command=sys.executable, args=["-m", "service.cli", "mcp"]))


WAYS = [over_http, over_stdio]


def text_of(told: types.CallToolResult) -> str:
    """The text a tool answered with, or the first of its texts, which is short and stands by itself."""
    return texts_of(told)[0]


def texts_of(told: types.CallToolResult) -> list[str]:
    """All the texts a tool answered with."""
    texts = [block.text for block in told.content if isinstance(block, types.TextContent)]
    assert len(texts) == len(told.content) > 0
    return texts


def asked(answers: list[Any]) -> Any:
    """What a client does when a person is to be asked: gives these answers in turn."""

    async def callback(context: Any, params: Any) -> types.ElicitResult:
        answer = answers.pop(0)
        if isinstance(answer, str):
            return types.ElicitResult(action="accept", content={"answer": answer})
        if isinstance(answer, Exception):
            raise answer
        return types.ElicitResult(action=answer["action"])

    return callback


@pytest.mark.parametrize("mode", now_and_then(MODES, 2))
@pytest.mark.parametrize("way", WAYS)
def test_the_tools_are_listed_and_called(address: str, way: Callable[[str], Any], mode: str) -> None:
    async def visit() -> None:
        async with Client(way(address), mode=mode) as client:
            listed = await client.list_tools()
            assert [tool.name for tool in listed.tools] == list(BY_NAME)
            told = await client.call_tool("advise", {"status": STATUS})
            assert not told.is_error
            short, whole = texts_of(told)
            assert short.startswith("1. Add water") and "Look again" in short and len(short.split()) <= SHORT_WORDS
            assert "1. Add water" in whole and "Because:" in whole and len(whole) > len(short)
            assert told.structured_content["actions"][0]["action"] == "add_water"
            again = await client.call_tool("advise", {"status": STATUS})
            assert texts_of(again) == [short, whole]
            refused = await client.call_tool("advise", {"status": {"pile": {"age": -1}}})
            assert refused.is_error and len(refused.content) == 1 and "/pile/age" in text_of(refused)
            # Without a form the question comes as text
            told = await client.call_tool("next_question", {"status": {}})
            assert "Ask the person: How old is the heap" in text_of(told)
            assert told.structured_content["field"] == "/pile/age"
            told = await client.call_tool("next_question", {"status": {}, "said": "ten weeks"})
            assert told.structured_content["status"] == {"pile": {"age": "10 weeks"}}

    asyncio.run(visit())


@pytest.mark.parametrize(
    ("way", "mode"), now_and_then([(over_http, "auto"), (over_stdio, "auto"), (over_stdio, "legacy")], 3)
)
def test_the_person_is_asked_through_the_client(address: str, way: Callable[[str], Any], mode: str) -> None:
    answers: list[Any] = ["ten weeks", "121 F", "don't know", {"action": "decline"}, {"action": "cancel"}]

    async def visit() -> None:
        async with Client(way(address), mode=mode, elicitation_callback=asked(answers)) as client:
            status: dict[str, Any] = {}
            skipped: list[str] = []
            for left in (4, 3, 2, 1, 0):
                told = await client.call_tool("next_question", {"status": status, "skipped": skipped})
                assert not told.is_error, text_of(told)
                assert len(answers) == left
                status, skipped = told.structured_content["status"], told.structured_content["skipped"]
                assert "Ask the person:" in text_of(told)
            assert status == {"pile": {"age": "10 weeks"}, "units": "us", "temperatures": {"core": "121 degF"}}
            assert len(skipped) == 1

    asyncio.run(visit())


@pytest.mark.slow
def test_a_client_that_claims_a_form_and_fails_gets_text(address: str) -> None:
    async def visit() -> None:
        failing = asked([RuntimeError("no window")])
        async with Client(over_stdio(address), mode="legacy", elicitation_callback=failing) as client:
            told = await client.call_tool("next_question", {"status": {}})
            assert "Ask the person: How old is the heap" in text_of(told)

    asyncio.run(visit())


def test_over_http_an_older_client_with_a_form_gets_text(address: str) -> None:
    """Each request stands by itself: an older client cannot be asked back, and the text must do."""

    async def visit() -> None:
        async with Client(over_http(address), mode="legacy", elicitation_callback=asked([])) as client:
            told = await client.call_tool("next_question", {"status": {}})
            assert "Ask the person: How old is the heap" in text_of(told)

    asyncio.run(visit())


# ------------------------------------------------------------------------------------------------- the door


def test_only_post_is_served(address: str) -> None:
    for method in ("GET", "DELETE"):
        reply = httpx.request(method, f"{address}/mcp")
        assert reply.status_code == 405 and reply.headers["allow"] == "POST"
        assert reply.headers["content-type"] == "application/problem+json"


def test_a_page_of_another_site_is_refused(address: str) -> None:
    body = {"jsonrpc": "2.0", "id": 1, "method": "tools/list"}
    headers = {"accept": "application/json, text/event-stream", "mcp-protocol-version": "2025-06-18"}
    foreign = httpx.post(f"{address}/mcp", json=body, headers=headers | {"origin": "http://elsewhere.example"})
    assert foreign.status_code == 403
    own = httpx.post(f"{address}/mcp", json=body, headers=headers | {"origin": address})
    assert own.status_code == 200 and len(own.json()["result"]["tools"]) == len(BY_NAME)


def test_a_huge_body_is_refused(address: str) -> None:
    reply = httpx.post(f"{address}/mcp/", content=b" " * 300_000, headers={"content-type": "application/json"})
    assert reply.status_code == 413


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"jsonrpc": "2.0"}', b"\xff"])
def test_odd_bodies_are_refused_not_fatal(address: str, content: bytes) -> None:
    headers = {"content-type": "application/json", "accept": "application/json, text/event-stream"}
    assert 400 <= httpx.post(f"{address}/mcp", content=content, headers=headers).status_code < 500


@pytest.mark.slow
def test_without_the_kit_the_address_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    from service.api import mcp as door
    from tests.test_api import ask

    monkeypatch.setattr(door, "find_spec", lambda name: None)
    reply = ask("POST", "/mcp", json={})
    assert reply.status_code == 404 and "pip install '.[mcp]'" in reply.json()["detail"]
