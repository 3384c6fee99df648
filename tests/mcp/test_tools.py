"""The tools by themselves: the list, its size, and answers that keep to their schemas."""

from __future__ import annotations

import asyncio
import json
from functools import cache
from typing import Any

import jsonschema
import mcp_types as types
import pytest
from mcp.shared.exceptions import MCPError

from rules import RULES
from rules.tables.materials import MATERIALS
from service.talk.tools.asking import DONT_KNOW, Ask
from service.talk.tools.server import _list_tools, tool_list
from service.talk.tools.table import BY_NAME, TOOLS, run_tool
from tests.each import each
from tests.examples import requests
from tests.mcp.served import STATUS

LARGEST_LIST = 12 * 1024
LONGEST_DESCRIPTION = 600


def run(name: str, **arguments: Any) -> Any:
    answer = run_tool(BY_NAME[name], arguments)
    assert not answer.failed, answer.text
    _by_schema(name).validate(answer.data)
    return answer


@cache
def _by_schema(name: str) -> jsonschema.Draft202012Validator:
    """The schema of what a tool gives, read once."""
    return jsonschema.Draft202012Validator(BY_NAME[name].gives)


def failed(name: str, **arguments: Any) -> str:
    answer = run_tool(BY_NAME[name], arguments)
    assert answer.failed and answer.data is None
    return answer.text


# ---------------------------------------------------------------------------------------------------- the list


def test_a_cursor_that_was_never_given_out_is_refused() -> None:
    asked = types.PaginatedRequestParams(cursor="x" * 100_000)
    with pytest.raises(MCPError) as refused:
        asyncio.run(_list_tools(None, asked))  # type: ignore[arg-type]  # the list asks nothing of its context
    assert refused.value.error.code == types.INVALID_PARAMS and len(refused.value.error.message) < 100


def test_the_list_is_small() -> None:
    listed = types.ListToolsResult(tools=tool_list()).model_dump_json(by_alias=True, exclude_none=True)
    assert len(TOOLS) <= 6
    assert len(listed.encode()) <= LARGEST_LIST


@each(tool_list())
def test_each_tool_says_what_it_does_and_that_it_changes_nothing(tool: types.Tool) -> None:
    assert tool.description is not None and 40 < len(tool.description) <= LONGEST_DESCRIPTION
    hints = tool.annotations
    assert hints is not None and hints.title
    told = (hints.read_only_hint, hints.destructive_hint, hints.idempotent_hint, hints.open_world_hint)
    assert told == (True, False, True, False)
    jsonschema.Draft202012Validator.check_schema(tool.input_schema)
    jsonschema.Draft202012Validator.check_schema(tool.output_schema)
    assert tool.input_schema["type"] == "object" and tool.output_schema["type"] == "object"


@each(TOOLS)
def test_the_example_of_each_tool_works(tool: Any) -> None:
    run(tool.name, **json.loads(tool.example))


# --------------------------------------------------------------------------------------------------- answers


@each(requests(), every=4)
def test_advice_on_every_example(request_file: Any) -> None:
    answer = run("advise", status=json.loads(request_file.read_bytes()))
    first = answer.data["actions"][0]
    assert f"1. {first['title']}" in answer.text
    assert all(reason["text"] for reason in first["reasons"])


def test_the_text_holds_all_that_the_data_tells() -> None:
    answer = run("advise", status=STATUS)
    assert len(answer.text.split()) <= 120  # what to say first; all the rest is a text behind it
    text = " ".join(answer.more.split())
    for action in answer.data["actions"]:
        assert action["title"] in text
        assert all(" ".join(step.split()) in text for step in action["steps"])
        assert all(reason["text"] in text for reason in action["reasons"])
        assert all(caution in text for caution in action["cautions"])


def test_an_action_is_explained_by_rank_and_by_id() -> None:
    by_rank, by_id = (run("explain_action", status=STATUS, action=which) for which in (1, "add_water"))
    assert by_rank == by_id
    assert by_rank.text.startswith("1. Add water") and "Because:" in by_rank.text


def test_an_action_that_is_not_advised_is_named_so() -> None:
    assert "raise_draw is not advised for this status. Advised are: 1 add_water" in failed(
        "explain_action", status=STATUS, action="raise_draw"
    )
    assert "There is no such action" in failed("explain_action", status=STATUS, action="dance")


def test_a_mix_is_judged_and_mended() -> None:
    answer = run(
        "mix",
        recipe=[{"material": "wood_chips", "share": 4}, {"material": "horse_manure", "share": 1}],
        on_hand=[{"material": "urea", "most": "50 lb"}],
        want={"volume": "14 yd3"},
        units="us",
    )
    assert "take" in answer.text and answer.data["add"][0]["material"] == "urea"
    assert {number["name"] for number in answer.data["numbers"]} >= {"c_to_n", "moisture"}


@each([("rule", RULES), ("material", MATERIALS)])
def test_every_rule_and_material_can_be_looked_up(kind: str, ids: Any) -> None:
    assert run("look_up", kind=kind).data["ids"] == sorted(ids)
    for id_ in ids:
        answer = run("look_up", kind=kind, id=id_)
        assert id_ in answer.text and answer.data["page"]["id"] == id_


def test_a_material_is_found_by_a_common_name() -> None:
    assert run("look_up", kind="material", id="cow manure").data["id"] == "cattle_manure"
    assert 'Did you mean "wood_chips"' in failed("look_up", kind="material", id="wood_chipz")


# ----------------------------------------------------------------------------------------------- the question


def test_a_walk_by_words_ends_with_enough() -> None:
    status: dict[str, Any] = {}
    skipped: list[str] = []
    for said in ("", "ten weeks old", "121 F", *[DONT_KNOW] * 14):
        answer = run("next_question", status=status, skipped=skipped, said=said)
        status, skipped = answer.data["status"], answer.data["skipped"]
        if answer.data["enough"]:
            break
        assert answer.data["question"] in answer.text and answer.data["why"] in answer.text
        assert "Don't know" in answer.text
    assert answer.data["enough"] and answer.data["question"] is None
    assert status == {"pile": {"age": "10 weeks"}, "units": "us", "temperatures": {"core": "121 degF"}}


def test_a_likely_answer_is_taken_as_it_stands() -> None:
    for answer in run("next_question", status=STATUS).data["answers"]:
        if answer["sets"] is None:
            continue
        after = run("next_question", status=STATUS, said=answer["answer"])
        assert after.data["understood"], answer


def test_words_are_chosen_and_numbers_are_free() -> None:
    ask = Ask.of({"status": {**STATUS, "moisture_feel": None}, "skipped": ["/history", "/temperatures/outer"]})
    asked = ask.question()
    assert asked["field"] == "/moisture_feel"
    _, form = ask.form(asked)
    assert [choice["const"] for choice in form["properties"]["answer"]["oneOf"]] == [
        "dusty",
        "dry",
        "damp",
        "wet",
        "soggy",
        DONT_KNOW,
    ]
    _, form = Ask.of({"status": {}}).form(Ask.of({"status": {}}).question())
    assert form["properties"]["answer"]["type"] == "string" and "oneOf" not in form["properties"]["answer"]


def test_fire_comes_first() -> None:
    answer = run("next_question", status=STATUS, said="is that smoke?")
    assert answer.text.startswith("If the heap truly reads 80 °C")
    answer = run("next_question", status=STATUS, said="it smokes")
    assert answer.text.startswith("Keep clear of the heap") and answer.data["enough"]
    assert run("advise", status={**STATUS, "signs": ["smoke"]}).text.startswith("Keep clear of the heap")


# ------------------------------------------------------------------------------------------------------ errors


@each(
    [
        ("advise", {}, ["status", "needed", "An example that works"]),
        ("advise", {"status": "dry"}, ["status"]),
        ("advise", {"state": {}}, ["There is no such argument", 'Did you mean "status"']),
        ("advise", {"status": {"pile": {"age": -1}}}, ["/pile/age", "read -1 days", "allowed 0 to"]),
        ("advise", {"status": {"pile": {"age": 9}, "temperatures": {"core": 131}}}, ["Did you mean degF", "131 degF"]),
        ("advise", {"status": {**STATUS, "smel": "sour"}}, ['Did you mean "smell"']),
        ("advise", {"status": {**STATUS, "smell": "asphalt"}}, ["rotten_egg"]),
        ("next_question", {"status": 3}, ["An example that works"]),
        ("next_question", {"status": {}, "skipped": "x"}, ["skipped"]),
        ("explain_action", {"action": 1}, ["status"]),
        ("mix", {"recipe": [{"material": "17", "share": 1}]}, ["/recipe/0/material"]),
        ("look_up", {"kind": "song"}, ["kind"]),
        ("look_up", {"kind": "rule", "id": "moisture.to-dry"}, ['Did you mean "moisture.too-dry"']),
    ]
)
def test_an_error_says_what_to_change(name: str, arguments: dict[str, Any], words: list[str]) -> None:
    text = failed(name, **arguments)
    assert all(word in text for word in words), text


def test_an_error_that_speaks_of_fire_says_to_keep_clear() -> None:
    assert "keep clear" in failed("advise", status={"signs": ["smoke"], "pile": {"age": -1}})


@each([None, [], {"a": {"b": [1, None]}}, 1e300, "\u202e", True])
def test_no_argument_breaks_a_tool(odd: Any) -> None:
    for tool in TOOLS:
        for name in tool.takes["properties"]:
            run_tool(tool, {**json.loads(tool.example), name: odd})
