"""Requests that once took the service down, each at its full size over HTTP."""

from __future__ import annotations

import json
import time

import pytest
from starlette.testclient import TestClient

from service.logbook.store.file_rows import LARGEST_FILE, read_file
from service.problems.json_text import MOST_FIELDS, parse_json
from service.problems.problem import Problem
from service.talk.chat.draft import Draft
from service.talk.chat.hearing import MOST_QUOTED
from service.talk.chat.talk import turn
from tests.each import each
from tests.hostile.worst import GROWS, NOW

LONGEST_REPLY = 4096


@pytest.fixture
def pile(client: TestClient) -> str:
    made: str = client.post("/piles", json={"name": "x"}).json()["id"]
    return f"/piles/{made}"


def test_one_key_given_twice_among_many_is_refused(client: TestClient) -> None:
    body = json.dumps({f"k{n}": 0 for n in range(MOST_FIELDS - 1)})[:-1] + ',"k7":1}'
    answer = client.post("/advice", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 400
    assert 'The field "k7" is given twice' in answer.json()["detail"]


def test_more_fields_than_any_model_has_are_refused_before_they_are_looked_at() -> None:
    """Every body of JSON is read by the same parser, and no model is asked."""
    for count, refused in ((MOST_FIELDS, False), (MOST_FIELDS + 1, True)):
        body = json.dumps({f"k{n}": 0 for n in range(count)}).encode()
        if not refused:
            assert len(parse_json(body)) == count
            continue
        with pytest.raises(Problem, match="1001 fields; at most 1000 are read"):
            parse_json(body)


@pytest.mark.slow
@pytest.mark.parametrize("is_table", [False, True])
def test_the_largest_file_of_unknown_names_is_refused_in_little_time(is_table: bool) -> None:
    """Before, 16 MB of them took 10 s and 1.7 GB: each was an error of its own."""
    if is_table:
        body = b"section,entry,field,value\n" + b"".join(b"pile,,/%x,0\n" % n for n in range(1_200_000))
    else:
        body = b"{" + b",".join(b'"%x":0' % n for n in range(1_626_871)) + b"}"
    assert 0.95 * LARGEST_FILE < len(body) <= LARGEST_FILE * 1.1
    start = time.thread_time()
    with pytest.raises(Problem, match=r"at most 1000 are read|pile has no field /0"):
        read_file(body, NOW, is_table=is_table)
    assert time.thread_time() - start < 2.0


@pytest.mark.parametrize("count", [500, 2000])
def test_chat_is_capped_once_joined_characters_are_written_out(client: TestClient, count: int) -> None:
    answer = client.post("/chat", content=(GROWS * count).encode(), headers={"content-type": "text/plain"})
    assert answer.status_code == 422
    assert len(answer.content) < LONGEST_REPLY


def test_a_message_of_2000_characters_is_still_read(client: TestClient) -> None:
    said = "ten weeks old, core 121 F. " + "hm, " * 490
    answer = client.post("/chat", content=said.encode(), headers={"content-type": "text/plain"})
    assert answer.status_code == 200
    assert "core 121" in answer.text


@each(["qwx " * 490, "q" * 1990, "1-" * 999 + "2", "nope, 40. " * 190, "½ " * 400, "🔥" * 1990])
def test_rubbish_is_said_back_in_short(said: str) -> None:
    reply = turn(Draft(), said, NOW)
    assert sum(len((item["text"] + item["why"]).encode()) for item in reply.unread) <= 2 * MOST_QUOTED
    assert len(reply.text.encode()) < LONGEST_REPLY


def test_places_left_out_are_counted() -> None:
    reply = turn(Draft(), ", ".join(f"zz{n} 40" for n in range(60)), NOW)
    *named, rest = reply.unread
    assert rest["why"] == f"{60 - len(named)} more places were not read either"


@pytest.mark.parametrize(
    ("table", "wanted"),
    [
        (b"at" + b",core [degC]" * 20_000, "the column core is there twice"),
        (b"at," + b",".join(b"c%d" % n for n in range(39_000)), "39001 columns"),
        (b"at,core" + b" " * 200_000 + b"!", "is not a name"),
        (b"at [Europe/Berlin],core [degC]\n0001-01-01 00:00,40", "the year cannot be"),
        (b"at [America/New_York],core [degC]\n9999-12-31T23:59,40", "the year cannot be"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_at_once(
    client: TestClient, pile: str, table: bytes, wanted: str
) -> None:
    answer = client.post(f"{pile}/readings", content=table, headers={"content-type": "text/csv"})
    assert answer.status_code == 422
    assert wanted in answer.json()["detail"]
    assert len(answer.content) < LONGEST_REPLY


def test_a_form_field_of_endless_length_is_refused(client: TestClient) -> None:
    answer = client.post("/form", data={"pile.age": "<" * 20_000})
    assert answer.status_code == 422
    assert len(answer.content) < LONGEST_REPLY
