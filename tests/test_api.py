"""The interface over HTTP: answers, problems, limits and its own description."""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import Iterator
from typing import Any

import httpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from rules import RULES
from rules.tables.materials import MATERIALS
from service.answer.shapes.advice import Advice
from service.api import health
from service.api.home_shapes import Home, Ready
from service.api.shapes import OUTGOING
from service.http import body as body_module
from service.operation.settings import Patience
from service.problems.json_text import LARGEST_BODY
from service.problems.problem import MEDIA_TYPE
from service.problems.shape import ProblemDetails
from service.status.models import Status
from service.why.material_pages import MaterialPage, MaterialsIndex
from service.why.rule_pages import RulePage, RulesIndex
from tests.app import APP
from tests.each import each
from tests.shapes import fields_of, shaped, shapes_below
from tests.work import jobs

SMALLEST = {"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}
RICHER = {
    "as_of": "2026-01-18T07:30:00Z",
    "units": "us",
    "season": "heating",
    "goal": {"until": "2026-03-31", "keep_core_above": "104 degF"},
    "pile": {
        "age": "63 days",
        "size": {"volume": "22 yd3"},
        "ingredients": [
            {"material": "wood chips", "amount": "18 yd3"},
            {"material": "horse_manure", "amount": "4 yd3"},
        ],
        "cover": "clear_film",
        "wind": "exposed",
    },
    "temperatures": {"core": "121 degF", "outdoor": "28 degF"},
    "history": [{"at": "2026-01-15T07:30:00Z", "core": "126 degF"}],
    "moisture_feel": "dry",
    "equipment": ["water_loop"],
    "draw": {"water": {"flow": "0.4 gal/min", "outlet": "90 degF", "inlet": "60 degF", "minutes_per_hour": 20}},
    "greenhouse": {"volume": "2400 ft3", "glazing": "double_film"},
    "weather": {"low": "10 degF"},
    "on_hand": ["urea", "tarps"],
}
JSON = {"content-type": "application/json"}
FIRE = "keep clear of the heap and call the fire service"


def ask(method: str, url: str, **options: Any) -> httpx.Response:
    async def exchange() -> httpx.Response:
        transport = httpx.ASGITransport(app=APP, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://heap") as client:
            return await client.request(method, url, **options)

    return asyncio.run(exchange())


def problem_in(reply: httpx.Response, status: int) -> dict[str, Any]:
    assert reply.status_code == status, reply.text
    assert reply.headers["content-type"] == MEDIA_TYPE
    assert len(reply.content) < 4000
    told: dict[str, Any] = reply.json()
    shaped(ProblemDetails, told)
    assert told["status"] == status
    return told


# ------------------------------------------------------------------------------------------------ advice


@each([SMALLEST, RICHER], ["none", "full"])
def test_advice_has_the_described_shape_and_the_same_bytes_each_time(status: dict[str, Any], effects: str) -> None:
    first, second = (ask("POST", f"/advice?effects={effects}", json=status) for _ in range(2))
    assert first.status_code == 200 and first.headers["content-type"] == "application/json"
    assert first.content == second.content
    advice = shaped(Advice, first.content)
    assert [action["rank"] for action in advice["actions"]] == list(range(1, len(advice["actions"]) + 1))
    assert advice["units"] == status.get("units", "metric")


def test_effects_are_full_unless_refused() -> None:
    assert ask("POST", "/advice", json=SMALLEST).content == ask("POST", "/advice?effects=full", json=SMALLEST).content


def test_names_read_by_synonym_are_said_back() -> None:
    told = ask("POST", "/advice?effects=none", json=RICHER).json()["read_as"]
    assert {"field": "/on_hand/1", "given": "tarps", "read_as": "tarp"} in told
    assert {"field": "/pile/ingredients/0/material", "given": "wood chips", "read_as": "wood_chips"} in told


@each([("80 degC", False), ("300 degC", False), ("750 degF", False), ("45 degC", True)])
def test_heat_is_never_refused_away(core: str, smoke: bool) -> None:
    body = {"pile": {"age": 20}, "temperatures": {"core": core}, "signs": ["smoke"] if smoke else None}
    answer = ask("POST", "/advice?effects=none", json=body).json()
    assert answer["actions"][0]["action"] == "keep_clear_and_call_fire_service"


@each(["application/json", "application/json; charset=utf-8", "Application/JSON", "application/senml+json"])
def test_content_types_that_are_taken(kind: str) -> None:
    headers = {"content-type": kind}
    assert ask("POST", "/advice?effects=none", content=json.dumps(SMALLEST), headers=headers).status_code == 200


@each(
    [
        {},
        {"content-type": "text/plain"},
        {"content-type": "application/x-www-form-urlencoded"},
        {"content-type": "multipart/form-data; boundary=x"},
        {"content-type": "text/json"},
        {"content-type": "application/json; charset=latin-1"},
        {"content-type": "application/json", "content-encoding": "gzip"},
        {"content-type": "nonsense"},
    ]
)
def test_content_types_that_are_refused(headers: dict[str, str]) -> None:
    problem_in(ask("POST", "/advice", content=json.dumps(SMALLEST), headers=headers), 415)


@each(
    [
        ("effects=ful", ['"full"']),
        ("effects=", []),
        ("effects=none&effects=no", []),
        ("efects=none", ['"effects"']),
        ("effects=none&x=1", []),
        ("effects=" + "x" * 5000, []),
        ("x" * 5000, []),
        ("effects=%ff%00", []),
    ]
)
def test_unknown_parameters_and_values_are_refused(query: str, words: list[str]) -> None:
    told = problem_in(ask("POST", f"/advice?{query}", json=SMALLEST), 422)
    assert told["type"] == "urn:warmheap:problem:invalid-request" and told["errors"][0]["parameter"]
    assert all(word in told["detail"] for word in words)


def test_a_bad_field_is_named() -> None:
    told = problem_in(ask("POST", "/advice", json={**SMALLEST, "temperatures": {"core": 131}}), 422)
    assert told["errors"] == [
        {
            "pointer": "/temperatures/core",
            "detail": told["errors"][0]["detail"],
            "read": "131 degC",
            "allowed": "-40 to 95 degC",
        }
    ]
    assert FIRE in told["detail"]


# ---------------------------------------------------------------------------------- refusals and failures


@each(
    [
        (b"", 400),
        (b"{", 400),
        (b'{"pile": {"age": NaN}}', 400),
        (b'{"pile": {"age": 1e400}}', 422),
        (b'{"smell": "\\ud800"}', 422),
        (b'{"smell": "\\u0000"}', 422),
        (b"\xff\xfe", 400),
        (b"\xef\xbb\xbf{}", 400),
        (b"[]", 422),
        (b"null", 422),
        (b"[" * 100_000, 400),
        (b'{"pile": ' + b"9" * 5000 + b"}", 400),
        (b"a" * (LARGEST_BODY + 1), 413),
        (b'{"a": "' + b"a" * 10_000_000 + b'"}', 413),
    ]
)
def test_hostile_bodies(body: bytes, status: int) -> None:
    problem_in(ask("POST", "/advice", content=body, headers={"content-type": "application/json"}), status)


def test_deep_nesting_is_a_problem_wherever_it_is_noticed() -> None:
    # Some Pythons stop while parsing, others parse it and the check of the depth stops it.
    deep = b'{"a":' * 1000 + b"1" + b"}" * 1000
    reply = ask("POST", "/advice", content=deep, headers={"content-type": "application/json"})
    assert reply.status_code in (400, 422)
    assert "nested deeper" in reply.json()["detail"]
    assert len(reply.content) < 4000


BURNING = b'{"signs": ["smoke"], "pile": {"age": 20}, "temperatures": {"core": 45}'


@each(
    [
        ("/advice", {"content": BURNING}, 400),
        ("/advice", {"content": BURNING + b', "x": 1}'}, 422),
        ("/advice", {"content": BURNING + b"}", "headers": {"content-type": "text/plain"}}, 415),
        ("/advice?effects=all", {"content": BURNING + b"}"}, 422),
        ("/advice?units=us", {"content": BURNING + b"}"}, 422),
        ("/advice", {"content": BURNING + b" " * LARGEST_BODY}, 413),
        ("/advise", {"content": BURNING + b"}"}, 404),
        ("/rules", {"content": BURNING + b"}"}, 405),
    ]
)
def test_whatever_is_refused_a_fire_is_answered(url: str, options: dict[str, Any], status: int) -> None:
    assert FIRE in problem_in(ask("POST", url, **{"headers": JSON, **options}), status)["detail"]


def test_a_fault_of_ours_is_a_problem_too_and_hides_no_fire(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("secret of the house")

    async def break_off(*_: object, **__: object) -> None:
        fail()

    monkeypatch.setattr("service.api.advice.work", break_off)
    for effects in ("none", "full"):
        reply = ask("POST", f"/advice?effects={effects}", content=BURNING + b"}", headers=JSON)
        told = problem_in(reply, 500)
        assert FIRE in told["detail"] and "secret" not in reply.text
        assert reply.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("job", [jobs.fail, jobs.crash])
def test_not_ready_when_the_engine_does_not_answer_or_crashes(job: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health, "warm_up", job)
    assert "engine" in problem_in(ask("GET", "/health/ready"), 503)["detail"]


def by_hand(
    messages: Iterator[dict[str, Any]], *, pause_s: float = 0.0, headers: tuple[tuple[bytes, bytes], ...] = ()
) -> tuple[int, int]:
    """Post to /advice message by message; gives the status and how many messages were read."""
    read, statuses = 0, []

    async def receive() -> dict[str, Any]:
        nonlocal read
        read += 1
        await asyncio.sleep(pause_s)
        return next(messages)

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            statuses.append(message["status"])

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "POST",
        "scheme": "http",
        "path": "/advice",
        "raw_path": b"/advice",
        "query_string": b"",
        "root_path": "",
        "headers": [(b"content-type", b"application/json"), *headers],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 2),
    }
    asyncio.run(APP(scope, receive, send))
    return statuses[0], read


def endless() -> Iterator[dict[str, Any]]:
    while True:
        yield {"type": "http.request", "body": b" " * 65_536, "more_body": True}


def test_an_endless_body_is_not_read_to_its_end() -> None:
    status, read = by_hand(endless())
    assert status == 413 and read == LARGEST_BODY // 65_536 + 1


def test_a_body_that_says_it_is_too_long_is_refused_before_it_comes() -> None:
    never = ({"type": "http.request", "body": b"", "more_body": True} for _ in iter(int, 1))
    begun = time.monotonic()
    status, _ = by_hand(never, pause_s=60, headers=((b"content-length", str(LARGEST_BODY + 1).encode()),))
    assert status == 413 and time.monotonic() - begun < 5


def test_what_came_of_a_body_that_is_too_long_is_looked_at_for_fire() -> None:
    body = b'{"signs": ["smoke"]' + b" " * LARGEST_BODY + b"}"
    told = problem_in(ask("POST", "/advice", content=body, headers=JSON), 413)
    assert FIRE in told["detail"].lower()


def test_a_body_that_breaks_off_is_a_problem() -> None:
    chunks: list[dict[str, Any]] = [
        {"type": "http.request", "body": b"{", "more_body": True},
        {"type": "http.disconnect"},
    ]
    assert by_hand(iter(chunks))[0] == 400


def test_a_body_that_trickles_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(body_module, "the_patience", lambda: Patience(pause_s=0.05))
    slow = ({"type": "http.request", "body": b" ", "more_body": True} for _ in iter(int, 1))
    assert by_hand(slow, pause_s=0.02)[0] == 408


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(list(Status.model_fields)) | st.text(max_size=8), inner, max_size=5)
    ),
    max_leaves=12,
)


@settings(deadline=None)
@given(JSON_VALUES)
def test_no_json_value_makes_the_service_fail(value: Any) -> None:
    reply = ask("POST", "/advice?effects=none", content=json.dumps(value))
    assert reply.status_code == 200 or 400 <= reply.status_code < 500
    if reply.status_code != 200:
        problem_in(reply, reply.status_code)


PLAUSIBLE = st.fixed_dictionaries(
    {
        "pile": st.fixed_dictionaries(
            {"age": st.floats(0, 4000)},
            optional={
                "size": st.fixed_dictionaries({"volume": st.floats(0.001, 20000)}),
                "cover": st.sampled_from(["none", "clear_film", "tarp", "breathable", "straw"]),
                "moisture": st.floats(1, 100),
                "ingredients": st.lists(
                    st.fixed_dictionaries(
                        {"material": st.sampled_from(sorted(MATERIALS)), "amount": st.floats(0.001, 1e5)}
                    ),
                    max_size=3,
                ),
            },
        ),
        "temperatures": st.fixed_dictionaries(
            {"core": st.floats(-40, 95)}, optional={"outdoor": st.floats(-70, 60), "outer": st.floats(-40, 95)}
        ),
    },
    optional={
        "moisture_feel": st.sampled_from(["dusty", "dry", "damp", "wet", "soggy"]),
        "smell": st.sampled_from(["earthy", "none", "ammonia", "rotten_egg", "sour", "musty", "burnt"]),
        "signs": st.lists(st.sampled_from(["steam", "smoke", "snow_covered", "no_flow_in_loop", "cracks"]), max_size=3),
        "equipment": st.lists(st.sampled_from(["air_duct", "water_loop"]), max_size=2),
        "draw": st.fixed_dictionaries(
            {"water": st.fixed_dictionaries({"flow": st.floats(0, 900), "minutes_per_hour": st.floats(0, 60)})}
        ),
        "on_hand": st.lists(st.sampled_from(["urea", "water", "tarp"]), max_size=2),
    },
)


@settings(deadline=None, max_examples=30)
@given(PLAUSIBLE)
def test_every_plausible_status_gets_advice_of_the_described_shape(status: dict[str, Any]) -> None:
    reply = ask("POST", "/advice?effects=none", json={**status, "as_of": "2026-01-18T07:30:00Z"})
    assert reply.status_code == 200, reply.text
    advice = shaped(Advice, reply.content)
    assert advice["actions"]


# ------------------------------------------------------------------------------------- knowledge and health


def test_home_says_where_to_go_and_every_link_leads_somewhere() -> None:
    home = shaped(Home, ask("GET", "/").json())
    for link in home["links"].values():
        assert ask("POST" if link == home["start"]["post"] else "GET", link, headers=JSON).status_code in (200, 400)
    assert ask("POST", f"{home['start']['post']}?effects=none", json=home["start"]["smallest_body"]).status_code == 200
    paths = ask("GET", "/openapi.json").json()["paths"]
    assert set(home["ask"]) == {path for path, ways in paths.items() if "post" in ways and "{" not in path}


def test_every_rule_has_its_page() -> None:
    index = shaped(RulesIndex, ask("GET", "/rules").json())
    assert index["count"] == len(RULES) == len(index["rules"]) >= 45
    for line in index["rules"]:
        page = shaped(RulePage, ask("GET", line["page"]).json())
        assert page["id"] == line["id"] and page["needs"] and page["source"]["cite"]
        assert all(
            limit["id"] in page["when"] or f"{{{limit['id']}}}" in page["reason"] for limit in page["thresholds"]
        )


def test_every_material_has_its_page() -> None:
    index = shaped(MaterialsIndex, ask("GET", "/materials").json())
    assert index["count"] == len(MATERIALS) == len(index["materials"]) >= 20
    for line in index["materials"]:
        page = shaped(MaterialPage, ask("GET", line["page"]).json())
        assert page["id"] == line["id"]
        assert page["moisture"]["low"] <= page["moisture"]["value"] <= page["moisture"]["high"] <= 100


def test_an_unknown_page_names_the_nearest() -> None:
    assert '"moisture.too-dry"' in problem_in(ask("GET", "/rules/moisture.to-dry"), 404)["detail"]
    assert '"wood_chips"' in problem_in(ask("GET", "/materials/wood-chip"), 404)["detail"]
    for path in ("/rules/" + "x" * 3000, "/rules/%00", "/rules/%ff", "/nothing", "/advice/", "/rules/a/b"):
        problem_in(ask("GET", path), 404)


def test_health() -> None:
    assert ask("GET", "/health/live").json() == {"status": "live"}
    assert shaped(Ready, ask("GET", "/health/ready").json())["rules"] == len(RULES)


# -------------------------------------------------------------------------------------- the HTTP around it

GETS = ["/", "/rules", "/rules/moisture.too-dry", "/materials", "/materials/urea", "/health/live", "/health/ready"]


@each([*GETS, "/openapi.json"])
def test_head_is_get_without_the_body(path: str) -> None:
    get, head = ask("GET", path), ask("HEAD", path)
    assert head.status_code == 200 and head.content == b""
    assert head.headers["content-length"] == str(len(get.content))


@each(
    [("GET", "/advice", "POST"), ("HEAD", "/advice", "POST"), ("PUT", "/advice", "POST")]
    + [(method, path, "GET, HEAD") for method in ("POST", "DELETE", "PATCH", "OPTIONS", "TRACE") for path in GETS]
)
def test_a_wrong_method_names_the_right_ones(method: str, path: str, allow: str) -> None:
    reply = ask(method, path)
    assert reply.status_code == 405 and reply.headers["allow"] == allow
    assert reply.headers["content-type"] == MEDIA_TYPE


@each([*GETS, "/nothing"])
def test_headers_keep_browsers_careful_and_other_sites_out(path: str) -> None:
    headers = ask("GET", path, headers={"origin": "http://elsewhere"}).headers
    assert headers["x-content-type-options"] == "nosniff"
    assert not [name for name in headers if name.startswith("access-control")]


# ---------------------------------------------------------------------------------------------- OpenAPI

DESCRIBED: dict[str, Any] = ask("GET", "/openapi.json").json()
OPERATIONS = [
    (f"{method} {path}", operation)
    for path, methods in DESCRIBED["paths"].items()
    for method, operation in methods.items()
]
PROPERTIES = [
    (f"{model}.{name}", described)
    for model, schema in DESCRIBED["components"]["schemas"].items()
    for name, described in schema.get("properties", {}).items()
]


def test_operations_have_unique_ids_and_words() -> None:
    ids = [operation["operationId"] for _, operation in OPERATIONS]
    assert DESCRIBED["openapi"].startswith("3.1") and len(ids) == len(set(ids))
    for name, operation in OPERATIONS:
        assert operation["summary"] and operation["description"] and operation["tags"], name


def test_every_response_is_described_with_its_shape() -> None:
    for name, operation in OPERATIONS:
        assert "default" in operation["responses"] and {"200", "201"} & set(operation["responses"]), name
        for status, response in operation["responses"].items():
            assert response["description"], (name, status)
            kinds = list(response["content"])
            others = {".ics": "text/calendar", "/batch": "application/x-ndjson"}
            good = next((kind for ending, kind in others.items() if name.endswith(ending)), "application/json")
            assert kinds[0] == (good if status in ("200", "201") else MEDIA_TYPE), (name, status)
            described = {kind: content["schema"] for kind, content in response["content"].items()}
            assert all("$ref" in schema for kind, schema in described.items() if kind.endswith("json")), (name, status)
            assert all(schema for schema in described.values()), (name, status)


@each(PROPERTIES)
def test_every_field_has_a_description_and_an_example(name: str, described: dict[str, Any]) -> None:
    assert described.get("description"), name
    assert described.get("examples"), name


def test_every_reference_leads_somewhere_and_every_schema_has_words() -> None:
    schemas = DESCRIBED["components"]["schemas"]
    text = json.dumps(DESCRIBED)
    referred = {part.split('"')[0] for part in text.split("#/components/schemas/")[1:]}
    assert referred <= set(schemas)
    assert all(schema.get("description") for schema in schemas.values())


FIELD_EXAMPLES = [
    (f"{model.__name__}.{name}", field, example)
    for model in sorted(
        set().union(*(shapes_below(root, set()) for root in (Status, *OUTGOING))),
        key=lambda model: (model.__name__, model.__module__),
    )
    for name, field in fields_of(model).items()
    for example in field.examples or []
]


@each(FIELD_EXAMPLES)
def test_every_example_is_valid(name: str, field: Any, example: Any) -> None:
    TypeAdapter(field.rebuild_annotation()).validate_json(json.dumps(example))
