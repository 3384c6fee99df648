"""`POST /outlook` and `warmheap outlook`: forms by Accept, parameters, and what is refused."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import httpx
import pytest

from service.outlook.shape import OutlookAnswer
from service.problems.problem import MEDIA_TYPE
from service.problems.shape import ProblemDetails
from tests import terminal
from tests.app import APP
from tests.each import each, now_and_then
from tests.outlook.statuses import SMALLEST, STEADY
from tests.shapes import shaped
from tests.terminal import Done

JSON, CSV, SVG = "application/json", "text/csv", "image/svg+xml"
STATUS = Path(__file__).parents[2] / "openapi_examples" / "advice.hot_and_steady.request.json"


def ask(url: str = "/outlook?days=3", headers: Any = None, **options: Any) -> httpx.Response:
    async def exchange() -> httpx.Response:
        transport = httpx.ASGITransport(app=APP, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://heap") as client:
            client.headers.pop("accept")
            return await client.post(url, headers=headers, **({"json": SMALLEST} | options))

    return asyncio.run(exchange())


def problem_in(reply: httpx.Response, status: int) -> dict[str, Any]:
    assert reply.status_code == status, reply.text
    assert reply.headers["content-type"] == MEDIA_TYPE
    assert len(reply.content) < 4000
    told: dict[str, Any] = reply.json()
    shaped(ProblemDetails, told)
    return told


def test_json_has_the_described_shape_and_the_same_bytes_each_time() -> None:
    first, second = ask(json=STEADY), ask(json=STEADY)
    assert first.status_code == 200 and first.content == second.content
    answer = shaped(OutlookAnswer, first.content)
    assert answer["days"] == 3 and len(answer["core"]["median"]) == 4


# RFC 9110, 12.5.1 (from memory)
@each(
    [
        (None, JSON),
        ("", JSON),
        ("*/*", JSON),
        ("application/json", JSON),
        ("application/*", JSON),
        ("text/csv", CSV),
        ("TEXT/CSV", CSV),
        ("text/*", CSV),
        ("image/svg+xml", SVG),
        ("image/*;q=0.1", SVG),
        ("text/html, text/csv;q=0.4, application/json;q=0.5", JSON),
        ("text/csv;q=0.5, image/svg+xml;q=0.500, application/json;q=0.49", CSV),
        ("text/csv; q=0.3, image/svg+xml; Q=0.8, */*;q=0.1", SVG),
        ("application/json;q=0, */*", CSV),
        ("application/json;q=0, text/*;q=0.0, image/*;q=0.001", SVG),
        ("*/*, application/json;q=0.1, text/csv;q=0.2", SVG),
        ("text/csv;header=present;q=0.9, application/json;q=0.1", CSV),
        ("nonsense, ;;;, text/csv", CSV),
        ("text/csv;q=2, application/json;q=0.1", JSON),
        ("text/csv;q=-1, image/svg+xml", SVG),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8", JSON),
    ]
)
def test_the_form_is_the_one_wanted_most(accept: str | None, form: str) -> None:
    reply = ask(headers={} if accept is None else {"accept": accept})
    assert reply.status_code == 200
    assert reply.headers["content-type"].split(";")[0] == form
    assert reply.headers["vary"] == "accept"


def test_two_accept_headers_are_one_list() -> None:
    reply = ask(headers=[("accept", "text/csv;q=0.2"), ("accept", "image/svg+xml")])
    assert reply.headers["content-type"].split(";")[0] == SVG


@each(
    [
        "text/html",
        "image/png, image/svg",
        "*/*;q=0",
        "application/json;q=0",
        "*/csv",
        "garbage",
        "text/csv;q=abc",
        ", ".join(["text/plain"] * 500),
        "x" * 5000,
        "\xff\xfe",
    ]
)
def test_no_form_on_offer_is_406(accept: str) -> None:
    told = problem_in(ask(headers=[(b"accept", accept.encode("latin-1"))]), 406)
    assert told["type"] == "urn:warmheap:problem:not-acceptable"
    assert "text/csv" in told["detail"]


def test_a_table_and_a_chart_are_whole_files() -> None:
    table = ask(headers={"accept": CSV})
    assert table.headers["content-type"] == "text/csv; charset=utf-8"
    assert table.text.count("\r\n") == 5
    chart = ask(headers={"accept": SVG})
    assert ElementTree.fromstring(chart.content).tag.endswith("svg")
    assert "style-src" in chart.headers["content-security-policy"]
    assert "style-src" not in table.headers["content-security-policy"]
    for reply in (table, chart):
        assert reply.headers.get_list("content-security-policy")[0].startswith("default-src 'none'")
        assert len(reply.headers.get_list("content-security-policy")) == 1
        assert reply.headers["x-content-type-options"] == "nosniff"


@each(
    [
        *(
            "days=0",
            "days=91",
            "days=-1",
            "days=1.5",
            "days=",
            "days=1e1",
            "days=%203",
            "days=\u0663",
            "days=999999999",
        ),
        *("days=3&days=4", "day=3", "days=3&effects=full"),
        *("keep_core_above=", "keep_core_above=hot", "keep_core_above=200", "keep_core_above=-4 degC"),
        *("keep_core_above=104 m", "keep_core_above=nan", f"keep_core_above={'9' * 3000}"),
        "keep_core_above=%3Cscript%3E",
    ]
)
def test_a_parameter_that_cannot_be_is_named(query: str) -> None:
    told = problem_in(ask(f"/outlook?{query}"), 422)
    assert told["errors"][0]["parameter"] in query
    assert told["errors"][0]["pointer"] == ""


@each(
    [
        ("metric", "45", 45.0, "degC"),
        ("us", "113", 113.0, "degF"),
        ("metric", "113 degF", 45.0, "degC"),
        ("us", "45 °C", 113.0, "degF"),
    ]
)
def test_another_limit_can_be_asked_for(units: str, limit: str, value: float, unit: str) -> None:
    reply = ask(f"/outlook?days=3&keep_core_above={limit}", json={**SMALLEST, "units": units})
    assert reply.json()["keep_core_above"] == {"value": pytest.approx(value), "unit": unit}


@each(
    [
        (b"", 400),
        (b"{", 400),
        (b"[]", 422),
        (b"\xff\xfe", 400),
        (b'{"pile": {"age": -3}, "temperatures": {"core": 40}}', 422),
        (b'{"pile": {"age": 3}, "temperatures": {"core": NaN}}', 400),
        (b'{"pile": {"age": 3}, "temperatures": {"core": 40}, "days": 30}', 422),
        (b'{"a":' * 5000, 400),
        (b" " * 400_000, 413),
    ],
    [JSON, SVG],
)
def test_a_hostile_body_is_a_problem_whatever_the_form(body: bytes, status: int, accept: str) -> None:
    headers = {"accept": accept, "content-type": JSON}
    problem_in(ask(json=None, content=body, headers=headers), status)


def test_a_refused_body_that_speaks_of_fire_is_told_to_keep_clear() -> None:
    body = b'{"pile": {"age": 5}, "signs": ["smoke"], "nonsense": 1}'
    told = problem_in(ask(json=None, content=body, headers={"content-type": JSON}), 422)
    assert "fire service" in told["detail"]
    told = problem_in(ask(headers={"accept": "image/png"}, json={**SMALLEST, "temperatures": {"core": "90 degC"}}), 406)
    assert "fire service" in told["detail"]


def test_heat_is_never_refused_away() -> None:
    for core in ("95 degC", "750 degF"):
        assert "fire service" in ask(json={**SMALLEST, "temperatures": {"core": core}}).json()["warning"]


def test_other_methods_are_refused() -> None:
    async def get() -> httpx.Response:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app=APP), base_url="http://heap") as client:
            return await client.get("/outlook")

    assert asyncio.run(get()).status_code == 405


def test_it_describes_itself() -> None:
    described = APP.openapi()["paths"]["/outlook"]["post"]
    assert {each["name"] for each in described["parameters"]} == {"days", "keep_core_above"}
    assert set(described["responses"]["200"]["content"]) == {JSON, CSV, SVG}
    assert "406" in described["responses"]


# ----------------------------------------------------------------------------------------------- command line


def run(*arguments: str, stdin: bytes = b"") -> Done:
    return terminal.run("outlook", *arguments, stdin=stdin)


def test_the_command_prints_text_a_table_a_chart_or_json() -> None:
    text = run(str(STATUS), "--days", "10")
    assert text.returncode == 0, text.stderr
    assert b"Core of the heap over the next 10 days" in text.stdout
    assert text.stdout.splitlines()[-1].split()[0] == b"10"
    table = run(str(STATUS), "--days", "10", "--csv", "--units", "us").stdout
    assert table.startswith(b"date,day,core_low_degF") and table.count(b"\r\n") == 12
    assert ElementTree.fromstring(run("-", "--svg", stdin=STATUS.read_bytes()).stdout).tag.endswith("svg")
    told = json.loads(run(str(STATUS), "--json", "--keep-core-above", "113 degF").stdout)
    assert told["keep_core_above"] == {"value": 45.0, "unit": "degC"}


@pytest.mark.parametrize(
    ("arguments", "stdin"),
    now_and_then(
        [
            ((str(STATUS), "--days", "0"), b""),
            ((str(STATUS), "--days", "many"), b""),
            ((str(STATUS), "--keep-core-above", "lots"), b""),
            (("no/such/file.json",), b""),
            (("-",), b'{"pile": {"age": -3}, "temperatures": {"core": 131}}'),
            (("-", "--svg"), b"\xff" * 300_000),
        ],
        3,
    ),
)
def test_what_cannot_be_is_a_problem_with_exit_code_2(arguments: tuple[str, ...], stdin: bytes) -> None:
    done = run(*arguments, stdin=stdin)
    assert done.returncode == 2
    assert done.stdout == b"" and done.stderr
    assert b"Traceback" not in done.stderr
    assert len(done.stderr) < 4000
