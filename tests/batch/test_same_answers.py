"""A line of a batch is answered as the same body sent by itself."""

from __future__ import annotations

import asyncio
import json
from typing import Any

import httpx
import pytest

from service.app import create_app
from service.batch.answers import answer_block
from service.batch.blocks import Block, Cutter
from tests.batch.lines import BAD, SMALLEST, random_lines


def answers_by_themselves(lines: list[bytes]) -> list[dict[str, Any]]:
    """What `POST /advice?effects=none` says to each, as a line of a batch would carry it."""

    async def exchange() -> list[dict[str, Any]]:
        transport = httpx.ASGITransport(app=create_app(), raise_app_exceptions=False)
        found, kind = [], {"content-type": "application/json"}
        async with httpx.AsyncClient(transport=transport, base_url="http://heap", headers=kind) as client:
            for number, line in enumerate(lines, start=1):
                reply = await client.post("/advice?effects=none", content=line)
                found.append({"line": number, "advice" if reply.status_code == 200 else "problem": reply.json()})
        return found

    return asyncio.run(exchange())


def answers_in_batch(lines: list[bytes]) -> list[dict[str, Any]]:
    """The same lines cut into blocks and answered block by block."""
    cutter = Cutter()
    blocks = cutter.feed(b"\n".join(lines))
    return [json.loads(line) for block in blocks + cutter.end() for line in answer_block(block).data.splitlines()]


def test_random_piles_get_the_answers_they_get_by_themselves() -> None:
    lines = random_lines(16, seed=8)
    assert answers_in_batch(lines) == answers_by_themselves(lines)


def test_every_kind_of_bad_line_gets_the_problem_it_gets_by_itself_and_spoils_no_other() -> None:
    lines = [line for spoil in BAD for line in (spoil(SMALLEST), SMALLEST)]
    answers = answers_in_batch(lines)
    assert answers == answers_by_themselves(lines)
    assert ["problem" in answer for answer in answers] == [True, False] * len(BAD)
    assert [answer["line"] for answer in answers] == list(range(1, len(lines) + 1))


@pytest.mark.slow
def test_ten_thousand_random_piles_get_the_answers_they_get_by_themselves() -> None:
    lines = random_lines(10_000, seed=80)
    together = answers_in_batch(lines)
    assert together == answers_by_themselves(lines)
    assert 800 < sum("problem" in answer for answer in together) < 1200


def test_blank_lines_and_line_ends_of_windows() -> None:
    answered = answer_block(Block(7, b"\n" + SMALLEST + b"\r\n \t\r\n" + SMALLEST + b"\n"))
    assert [json.loads(line)["line"] for line in answered.data.splitlines()] == [8, 10]
    assert (answered.lines, answered.problems) == (2, 0)


def test_a_fault_over_one_line_leaves_the_others_their_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    from service.batch import answers

    def fails(status: Any) -> Any:
        if status.age_days == 21:
            raise RuntimeError("a fault of ours")
        return seen(status)

    seen = answers.seen_in
    monkeypatch.setattr(answers, "seen_in", fails)
    monkeypatch.setattr("service.picture.picture.seen_in", fails)
    lines = SMALLEST + b"\n" + SMALLEST.replace(b"20}", b"21}") + b"\n" + SMALLEST + b"\n"
    found = [json.loads(line) for line in answer_block(Block(1, lines)).data.splitlines()]
    assert found[0]["advice"] == found[2]["advice"]
    assert found[1]["problem"]["status"] == 500
