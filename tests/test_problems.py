"""Bodies that cannot be used: each gets a short problem, and never hides that a heap may be on fire."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.problems.fire import fire_warning
from service.problems.json_text import LARGEST_BODY
from service.problems.problem import KINDS, MOST_ERRORS, Problem, pointer, problem_for_status
from service.status.reading import read_status
from tests.each import each

GOOD = '{"pile": {"age": 20}, "temperatures": {"core": 45}'

# name, body, status
HOSTILE: list[tuple[str, bytes, int]] = [
    ("empty", b"", 400),
    ("spaces only", b" \n\t ", 400),
    ("NaN", b'{"pile": {"age": NaN}, "temperatures": {"core": 45}}', 400),
    ("Infinity", b'{"pile": {"age": Infinity}, "temperatures": {"core": 45}}', 400),
    ("-Infinity", b'{"pile": {"age": -Infinity}, "temperatures": {"core": 45}}', 400),
    ("1e400", b'{"pile": {"age": 1e400}, "temperatures": {"core": 45}}', 422),
    ("-1e400", b'{"pile": {"age": -1e400}, "temperatures": {"core": 45}}', 422),
    ("1e400 in a text", b'{"pile": {"age": "1e400 days"}, "temperatures": {"core": 45}}', 422),
    ("huge integer", b'{"pile": {"age": ' + b"9" * 400 + b'}, "temperatures": {"core": 45}}', 422),
    ("integer of 100,000 digits", b'{"pile": {"age": ' + b"9" * 100_000 + b"}}", 400),
    ("lone surrogate in a value", (GOOD + ', "smell": "\\ud800"}').encode(), 422),
    ("lone surrogate in a quantity", b'{"pile": {"age": "20 \\udfff"}, "temperatures": {"core": 45}}', 422),
    ("lone surrogate in a name", (GOOD + ', "\\udc00": 1}').encode(), 422),
    ("NUL in a value", (GOOD + ', "smell": "a\\u0000b"}').encode(), 422),
    ("NUL in a name", (GOOD + ', "a\\u0000b": 1}').encode(), 422),
    ("raw NUL", (GOOD + ', "smell": "a\0b"}').encode(), 400),
    ("control character", (GOOD + ', "smell": "a\\u001bb"}').encode(), 422),
    ("10 MB", b'{"side": "' + b"a" * 10_000_000 + b'"}', 413),
    ("one byte too many", b" " * (LARGEST_BODY + 1), 413),
    ("nested 100,000 deep", b"[" * 100_000 + b"]" * 100_000, 400),
    ("objects nested 40,000 deep", b'{"a":' * 40_000 + b"1" + b"}" * 40_000, 400),
    ("nested 100 deep", (GOOD + ', "draw": ' + "[" * 100 + "]" * 100 + "}").encode(), 422),
    ("never closed", b"[" * 200_000, 400),
    ("array", b"[]", 422),
    ("array of statuses", b"[{}, {}]", 422),
    ("number", b"5", 422),
    ("text", b'"smell"', 422),
    ("true", b"true", 422),
    ("null", b"null", 422),
    ("byte-order mark", b"\xef\xbb\xbf" + GOOD.encode() + b"}", 400),
    ("only a byte-order mark", b"\xef\xbb\xbf", 400),
    ("UTF-16", (GOOD + "}").encode("utf-16"), 400),
    ("UTF-32", (GOOD + "}").encode("utf-32"), 400),
    ("Latin-1", (GOOD + ', "smell": "caf\xe9"}').encode("latin-1"), 400),
    ("invalid UTF-8", GOOD.encode() + b', "smell": "\xff\xfe"}', 400),
    ("overlong UTF-8", GOOD.encode() + b', "smell": "\xc0\xaf"}', 400),
    ("surrogate as UTF-8", GOOD.encode() + b', "smell": "\xed\xa0\x80"}', 400),
    ("trailing comma", GOOD.encode() + b",}", 400),
    ("single quotes", b"{'pile': {'age': 20}}", 400),
    ("comment", b"/* a */ {}", 400),
    ("two bodies", b"{} {}", 400),
    ("form", b"age=20&core=45", 400),
    ("XML", b"<pile><age>20</age></pile>", 400),
    ("key twice", b'{"pile": {"age": 20, "age": 30}, "temperatures": {"core": 45}}', 400),
    ("100,000 zeros", b"[" + b"0," * 100_000 + b"0]", 422),
    ("100,000 empty objects", b'{"signs": [' + b"{}," * 80_000 + b"{}]}", 422),
    ("10,000 unknown fields", json.dumps({f"field{n}": n for n in range(10_000)}).encode(), 422),
    ("1,000 unknown fields", json.dumps({f"field{n}": n for n in range(1_000)}).encode(), 422),
    ("long unknown name", json.dumps({"x" * 100_000: 1}).encode(), 422),
    ("long text", (GOOD + ', "smell": "' + "a" * 200_000 + '"}').encode(), 422),
    ("long quantity", json.dumps({"pile": {"age": "1" * 190}, "temperatures": {"core": 45}}).encode(), 422),
    ("name of slashes", json.dumps({"/" * 190: 1, "~" * 190: 1}).encode(), 422),
    ("prototype", (GOOD + ', "__proto__": {"x": 1}, "constructor": 1, "__class__": 1}').encode(), 422),
    ("template", (GOOD + ', "smell": "{detail}{0.__class__}%s"}').encode(), 422),
    (
        "long list of wrong words",
        json.dumps({"signs": ["nope" * 40] * 40, "on_hand": ["nope" * 40] * 80}).encode(),
        422,
    ),
]


@each([row[1:] for row in HOSTILE])
def test_hostile_bodies_get_a_short_problem(body: bytes, status: int) -> None:
    with pytest.raises(Problem) as refused:
        read_status(body)
    problem = refused.value
    reply = problem.as_bytes()
    assert problem.status == status
    assert len(reply) < 4000 and len(problem.errors) <= MOST_ERRORS
    told = json.loads(reply)
    assert told["status"] == status and told["type"].startswith("urn:warmheap:problem:") and told["title"]
    reply.decode("utf-8")
    assert all(len(error.get("read", "")) <= 80 and len(error["pointer"]) <= 400 for error in problem.errors)


def test_the_reply_never_echoes_the_body_in_bulk() -> None:
    marker = "Zq7"
    body = {"pile": {"age": marker * 60}, "temperatures": {"core": marker * 60}, marker * 60: marker * 60}
    with pytest.raises(Problem) as refused:
        read_status(body)
    assert refused.value.as_bytes().decode().count(marker) < 150


def test_at_most_twenty_errors_and_their_number_is_told() -> None:
    with pytest.raises(Problem) as refused:
        read_status({"pile": {"age": 20}, "temperatures": {"core": 45}, **{f"field{n}": n for n in range(50)}})
    assert len(refused.value.errors) == MOST_ERRORS
    assert "50 places" in refused.value.detail


def test_data_that_is_not_json_is_refused_too() -> None:
    for data in ({"pile": {"age": 20}, "signs": {"steam"}}, {1: 2}, {"pile": object()}, {"signs": ("steam",)}):
        with pytest.raises(Problem):
            read_status(data)  # type: ignore[arg-type]


# ---------------------------------------------------------------------------------------------------- fire

WRONG = {"nonsense": 1}
ALARMING: list[tuple[str, bytes | dict[str, Any]]] = [
    ("refused for its bare number", {"pile": {"age": 20}, "temperatures": {"core": 131}}),
    ("refused for its bare number, us", {"units": "us", "pile": {"age": 20}, "temperatures": {"core": 250}}),
    ("beyond any heap", {"pile": {"age": 20}, "temperatures": {"core": "500 degC"}}),
    ("core, another field wrong", {**WRONG, "temperatures": {"core": 70}}),
    ("core with unit", {**WRONG, "temperatures": {"core": "158 degF"}}),
    ("core with unit, us", {**WRONG, "units": "us", "temperatures": {"core": "70 C"}}),
    ("bare core, us", {**WRONG, "units": "us", "temperatures": {"core": 158}}),
    ("bare core in quotes, us", {**WRONG, "units": "us", "temperatures": {"core": "158"}}),
    ("unknown system of units", {"units": "imperial", "temperatures": {"core": 80}}),
    ("unknown unit", {"pile": {"age": 20}, "temperatures": {"core": "85 degrees"}}),
    ("kelvin", {**WRONG, "temperatures": {"core": "353 K"}}),
    ("decimal comma", {**WRONG, "temperatures": {"core": "70,5 °C"}}),
    ("no space", {**WRONG, "temperatures": {"core": "85C"}}),
    ("a range", {"pile": {"age": 20}, "temperatures": {"core": "65-75 C"}}),
    ("words around it", {"pile": {"age": 20}, "temperatures": {"core": "about 85 I think"}}),
    ("marks between thousands", {"pile": {"age": 20}, "temperatures": {"core": "1,000"}}),
    ("in a list", {"pile": {"age": 20}, "temperatures": {"core": [85]}}),
    ("in an object", {"pile": {"age": 20}, "temperatures": {"core": {"value": 85, "unit": "degC"}}}),
    ("outer", {**WRONG, "temperatures": {"outer": 72}}),
    ("a point", {**WRONG, "temperatures": {"points": [{"value": 40}, {"value": 85, "depth": 1}]}}),
    ("history", {**WRONG, "history": [{"at": "2026-01-15T07:30:00Z", "core": "180 F"}]}),
    ("outlet", {**WRONG, "draw": {"water": {"outlet": "80 C"}}}),
    ("core misplaced", {"pile": {"age": 20}, "core": 85}),
    ("core misspelt with unit", {"pile": {"age": 20}, "cor": "85 C"}),
    ("temperatures misspelt", {"pile": {"age": 20}, "temprature": {"c": 85}}),
    ("infinite", {"pile": {"age": 20}, "temperatures": {"core": float("inf")}}),
    ("huge", {"pile": {"age": 20}, "temperatures": {"core": 10**400}}),
    ("smoke", {"signs": ["smoke"]}),
    ("smoke among unknown fields", {"smoke": True}),
    ("smoke told", {"note": "there is SMOKE coming out"}),
    ("smoke misspelt", {"signs": ["smoking"]}),
    ("burnt", {"smell": "burnt"}),
    ("burned", {"smell": "burned"}),
    ("on fire", {"note": "it is on fire"}),
    ("smoke in an array", b'[{"signs": ["smoke"]}]'),
    ("smoke alone", b'"smoke"'),
    ("not JSON", b'{"signs": ["smoke"]'),
    ("not JSON, burnt", b"{'smell': 'burnt'}"),
    ("not JSON, core", b'{"temperatures": {"core": 85,}}'),
    ("not JSON, core in a text", b'{"temperatures": {"core": "185 degF",}}'),
    ("not JSON, us", b'{"units": "us", "temperatures": {"core": 160,}}'),
    ("not JSON, no quotes", b"{temperatures: {core: 85}}"),
    ("not JSON, a point", b'{"temperatures": {"points": [{"value": 85}],}}'),
    ("not JSON, infinite", b'{"temperatures": {"core": Infinity}}'),
    ("not JSON, too many digits", b'{"temperatures": {"core": ' + b"9" * 10_000 + b"}}"),
    ("form", b"age=20&core=85"),
    ("YAML", b"temperatures:\n  core: 85\n"),
    ("escaped", b'{"signs": ["\\u0073moke"]'),
    ("escaped, parsed", b'{"signs": ["\\u0073moke", 5]}'),
    ("UTF-16", '{"signs": ["smoke"]}'.encode("utf-16")),
    ("UTF-16, core", '{"temperatures": {"core": 85}}'.encode("utf-16-le")),
    ("byte-order mark", b'\xef\xbb\xbf{"temperatures": {"core": 85}}'),
    ("invalid UTF-8", b'{"smell": "burnt", "x": "\xff"}'),
    ("key twice, hot first", b'{"pile": {"age": 20}, "temperatures": {"core": 85, "core": 40}}'),
    ("key twice, hot last", b'{"temperatures": {"core": 40}, "temperatures": {"core": 85}}'),
    ("too large", b'{"signs": ["smoke"], "x": "' + b"a" * 300_000 + b'"}'),
    ("too large, core", b'{"temperatures": {"core": 85}, "x": "' + b"a" * 300_000 + b'"}'),
    ("too many values", b'{"x": [' + b"0," * 60_000 + b'0], "smell": "burnt"}'),
    ("too deep", b'{"signs": ["smoke"], "x": ' + b"[" * 100_000),
    ("NaN beside it", b'{"pile": {"age": NaN}, "signs": ["smoke"]}'),
]


@each([row[1] for row in ALARMING])
def test_no_refusal_hides_a_fire(body: bytes | dict[str, Any]) -> None:
    with pytest.raises(Problem) as refused:
        read_status(body)
    detail = json.loads(refused.value.as_bytes())["detail"]
    assert "keep clear of the heap and call the fire service" in detail and "smoke" in detail


CALM: list[tuple[str, bytes | dict[str, Any]]] = [
    ("nothing hot", {**WRONG, "temperatures": {"core": 69.9}}),
    ("us", {**WRONG, "units": "us", "temperatures": {"core": 131, "points": [{"value": "157 F"}]}}),
    ("us in quotes", {**WRONG, "units": "us", "temperatures": {"core": "131", "outer": "95.5"}}),
    ("Fahrenheit", {**WRONG, "temperatures": {"core": "131 degF"}}),
    ("cold", {**WRONG, "temperatures": {"core": "-85 C"}}),
    ("age and size", {**WRONG, "pile": {"age": 90, "size": {"volume": "85 yd3", "mass": 4000}}}),
    ("goal", {**WRONG, "goal": {"keep_core_above": "104 degF", "until": "2026-03-31"}}),
    ("outdoor slip", {"pile": {"age": 20}, "temperatures": {"core": 45, "outdoor": 75}}),
    ("depth", {**WRONG, "temperatures": {"points": [{"value": 40, "depth": "80 cm"}]}}),
    ("times", {**WRONG, "history": [{"at": "2026-01-15T07:30:00Z", "core": 52}]}),
    ("flow", {**WRONG, "draw": {"air": {"flow": 300, "outlet": 30, "minutes_per_hour": 90}}}),
    ("not JSON", b'{"temperatures": {"core": 45,}, "pile": {"age": 90}}'),
    ("not JSON, us", b'{"units": "us", "temperatures": {"core": 131, "outer": "95"},}'),
    ("not JSON, times", b'{"history": [{"at": "2026-01-15T07:30:00Z", "core": 52}],}'),
    ("not JSON, outdoor", b'{"temperatures": {"outdoor": 75, "core": 45},}'),
    ("empty", b""),
    ("array", b"[85]"),
]


@each([row[1] for row in CALM])
def test_no_alarm_without_cause(body: bytes | dict[str, Any]) -> None:
    with pytest.raises(Problem) as refused:
        read_status(body)
    assert "fire service" not in refused.value.detail


@given(
    st.floats(70, 1e6), st.sampled_from(["{} degC", "{}C", "{} °C", "{} celsius"]), st.sampled_from(["metric", "us"])
)
def test_any_hot_core_in_a_refused_body_is_warned_of(core: float, form: str, units: str) -> None:
    body = {"units": units, "temperatures": {"core": form.format(core)}, **WRONG}
    for sent in (body, json.dumps(body).encode(), json.dumps(body).encode()[:-1]):
        with pytest.raises(Problem) as refused:
            read_status(sent)
        assert "fire service" in refused.value.detail


# ------------------------------------------------------------------------------------- problems themselves

JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)
NAMES = st.sampled_from(
    [
        "as_of",
        "units",
        "pile",
        "temperatures",
        "age",
        "core",
        "points",
        "history",
        "signs",
        "draw",
        "size",
        "cone",
        "shape",
    ]
)
STATUS_LIKE = st.recursive(
    JSON_VALUES, lambda inner: st.dictionaries(NAMES, inner, max_size=6) | st.lists(inner, max_size=3), max_leaves=15
)


@given(STATUS_LIKE)
def test_any_json_value_is_read_or_refused(value: Any) -> None:
    for body in (value, json.dumps(value).encode()):
        try:
            read_status(body)
        except Problem as problem:
            assert 400 <= problem.status < 500
            assert len(problem.as_bytes()) < 4000


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    with pytest.raises(Problem):
        read_status(body)
    fire_warning(body)


def test_a_problem_is_whole_and_a_warning_comes_first_and_once() -> None:
    problem = Problem("invalid-status", "No.", [{"pointer": "/x", "detail": "No."}])
    assert problem.as_dict() == {
        "type": "urn:warmheap:problem:invalid-status",
        "title": KINDS["invalid-status"].title,
        "status": 422,
        "detail": "No.",
        "errors": [{"pointer": "/x", "detail": "No."}],
    }
    warned = problem.warned("Beware.")
    assert warned.detail == "Beware. No." and warned.warned("Beware.").detail == warned.detail
    assert problem.warned(None) is problem


@each([(404, "not-found"), (405, "method-not-allowed"), (500, "internal-error")])
def test_a_bare_status_has_its_kind(status: int, slug: str) -> None:
    assert problem_for_status(status, "x").slug == slug


def test_pointers_are_escaped_and_cut() -> None:
    assert pointer(["a/b", 0, "c~d"]) == "/a~1b/0/c~0d"  # RFC 6901, section 3
    assert len(pointer(["x" * 1000])) <= 81


def test_a_problem_is_short_in_bytes_whatever_is_quoted() -> None:
    deep: object = 1e300
    for _ in range(15):
        deep = {"\N{GRINNING FACE}" * 80: deep}
    for body in (deep, {'"' * 190: {'"' * 190: 1e300}}, {"\N{GRINNING FACE}" * 80: 1}):
        with pytest.raises(Problem) as refused:
            read_status(json.dumps(body).encode())
        assert len(refused.value.warned("keep clear").as_bytes()) <= 4096
    assert len(Problem("invalid-status", '"' * 9000, [{"pointer": "", "detail": "x"}] * 99).as_bytes()) <= 4096
