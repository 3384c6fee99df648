"""What whoever runs the service sees: logs without secrets, ids, metrics behind a door of their own, true headers."""

from __future__ import annotations

import http.client
import json
import re
import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from prometheus_client import Counter, Gauge, Histogram
from prometheus_client.parser import text_string_to_metric_families

from service.operation import tally
from tests.serving.served import JSON, SMALLEST, Running
from tests.store.conftest import client, folder  # noqa: F401 (fixtures)

ALERTS = Path(__file__).parents[2] / "service" / "serving" / "alerts.yml"
SECRET = "s3cr3tvalue"


@pytest.fixture(name="service")
def served(two_workers: Running) -> Running:
    return two_workers


def metrics(service: Running) -> dict[str, float]:
    """Samples by name and labels, from the port of their own."""
    connection = http.client.HTTPConnection("127.0.0.1", int(service.settings["WARMHEAP_METRICS_PORT"]), timeout=30)
    connection.request("GET", "/metrics")
    text = connection.getresponse().read().decode()
    connection.close()
    families = text_string_to_metric_families(text)
    return {
        f"{sample.name}{json.dumps(sample.labels, sort_keys=True)}": sample.value
        for family in families
        for sample in family.samples
    }


def summed(found: dict[str, float], name: str, **labels: str) -> float:
    wanted = [json.dumps({key: value})[1:-1] for key, value in labels.items()]
    return sum(
        value for key, value in found.items() if key.startswith(name + "{") and all(each in key for each in wanted)
    )


def test_ids_are_taken_or_made_and_given_back(service: Running) -> None:
    trace = "00-" + "a" * 32 + "-" + "b" * 16 + "-01"
    reply, _ = service.ask("GET", "/health/live", headers={"X-Request-ID": "abc-1", "traceparent": trace})
    assert reply.getheader("x-request-id") == "abc-1"
    assert re.fullmatch(r"00-a{32}-(?!b{16})[0-9a-f]{16}-01", reply.getheader("traceparent") or "")
    for bad in ("x" * 65, "a b", "é", '"'):
        reply, _ = service.ask("GET", "/health/live", headers={"X-Request-ID": bad, "traceparent": "00-0-0-0"})
        assert re.fullmatch(r"[0-9a-f]{16}", reply.getheader("x-request-id") or "")
        assert re.fullmatch(r"00-[0-9a-f]{32}-[0-9a-f]{16}-00", reply.getheader("traceparent") or "")
    time.sleep(0.1)
    assert [line for line in service.lines() if line.get("request_id") == "abc-1" and line["trace_id"] == "a" * 32]


def test_logs_hold_no_values_and_no_secrets(service: Running) -> None:
    for path, body, kind in (
        (f"/chat?conversation={SECRET}", SECRET, "text/plain"),
        ("/advice", json.dumps({"pile": {"age": SECRET}}), "application/json"),
        ("/piles", json.dumps({"name": SECRET}), "application/json"),
        (f"/{SECRET}", SECRET, "application/json"),
    ):
        headers = {"Content-Type": kind, "Authorization": f"Bearer {SECRET}", "Cookie": SECRET, "User-Agent": SECRET}
        service.ask("POST", path, body, headers)
        service.ask("POST", path, body, {"Content-Type": kind})
    time.sleep(0.2)
    text = service.log.read_text()
    assert SECRET not in text
    assert len(service.lines()) == len(text.splitlines()) - 1, "the first line says where it answers, the rest is JSON"
    requests = [line for line in service.lines() if line["event"] == "request"]
    for line in requests:
        assert {"time", "level", "request_id", "method", "route", "status", "seconds", "bytes", "peer"} <= set(line)


def test_metrics_tell_what_happened_over_all_processes(service: Running) -> None:
    before = metrics(service)
    for _ in range(20):
        assert service.ask("POST", "/advice?effects=none", SMALLEST, JSON)[0].status == 200
    service.ask("POST", "/advice", SMALLEST, JSON)
    service.ask("GET", "/nowhere")
    service.ask("POST", "/piles", b"{}", {**JSON, "Origin": "http://elsewhere"})
    time.sleep(1.2)
    after = metrics(service)

    def grown(name: str, **labels: str) -> float:
        return summed(after, name, **labels) - summed(before, name, **labels)

    assert grown("warmheap_requests_total", route="/advice", status="200") == 21
    assert grown("warmheap_request_seconds_count", route="/advice") == 21
    assert grown("warmheap_requests_total", route="(none)", status="404") == 1
    assert grown("warmheap_foreign_pages_refused_total") == 1
    assert grown("warmheap_rules_fired_total") >= 21
    assert summed(after, "warmheap_engine_disagreements_total") == 0
    assert summed(after, "warmheap_places") >= 2 and summed(after, "warmheap_queue") == 0


def test_metrics_are_behind_a_door_of_their_own(service: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", int(service.settings["WARMHEAP_METRICS_PORT"]), timeout=30)
    connection.request("GET", "/rules")
    assert connection.getresponse().status == 404
    connection.close()


def test_on_the_public_door_metrics_need_a_token_of_their_own(folder: Any, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: F811
    from starlette.testclient import TestClient

    from service.app import create_app

    monkeypatch.setenv("WARMHEAP_ACCESS", "tokens")
    door = TestClient(create_app(), base_url="http://heap.example", client=("203.0.113.9", 4711))
    assert door.get("/metrics").status_code == 404
    monkeypatch.setenv("WARMHEAP_METRICS_TOKEN", "watcher")
    assert door.get("/metrics", headers={"authorization": "Bearer wrong"}).status_code == 404
    told = door.get("/metrics", headers={"authorization": "Bearer watcher"})
    assert told.status_code == 200 and "warmheap_requests_total" in told.text
    assert told.headers["cache-control"] == "no-store"


def test_alerts_name_metrics_that_there_are() -> None:
    groups = yaml.safe_load(ALERTS.read_text())["groups"]
    rules = [rule for group in groups for rule in group["rules"]]
    assert len(rules) >= 8
    counted = [each for each in vars(tally).values() if isinstance(each, Counter | Gauge | Histogram)]
    known = {family.name: family.type for each in counted for family in each.collect()}
    written = {"counter": ["_total"], "gauge": [""], "histogram": ["_bucket", "_count", "_sum"]}
    told = {name + ending for name, kind in known.items() for ending in written[kind]}
    for rule in rules:
        assert rule["alert"] and rule["annotations"]["summary"] and rule["labels"]["severity"] in ("page", "ticket")
        named = re.findall(r"warmheap_\w+", rule["expr"])
        assert named
        for name in named:
            assert name in told, name


def test_there_is_no_banner_and_what_is_private_is_not_stored(client: Any) -> None:  # noqa: F811
    for path in ("/piles", "/feedback", "/piles/none", "/nowhere", "/metrics"):
        assert client.get(path).headers["cache-control"] == "no-store", path
    reply = client.post("/advice?effects=none", content=SMALLEST, headers=JSON)
    assert reply.headers["cache-control"] == "no-store" and "server" not in reply.headers
    assert "no-store" not in client.get("/rules").headers.get("cache-control", "")


def test_a_refusal_is_never_kept_whatever_the_address(client: Any) -> None:  # noqa: F811
    for method, path in (
        ("GET", "/rules/none"),
        ("POST", "/rules"),
        ("POST", "/health/live"),
        ("GET", "/page/none"),
        ("PUT", "/openapi.json"),
        ("POST", "/"),
    ):
        reply = client.request(method, path, headers=JSON)
        assert reply.status_code in (404, 405) and reply.headers["cache-control"] == "no-store", path


def test_a_served_answer_has_no_banner_either(service: Running) -> None:
    assert service.ask("GET", "/rules")[0].getheader("server") is None


@pytest.mark.parametrize(
    ("method", "path", "allow"),
    [
        ("PUT", "/piles", "GET, HEAD, POST"),
        ("PUT", "/piles/3f9a0c1d2e4b5a67", "DELETE, GET, HEAD, PATCH"),
        ("DELETE", "/form", "GET, HEAD, POST"),
        ("PATCH", "/piles/3f9a0c1d2e4b5a67/webhooks", "GET, HEAD, POST"),
        ("GET", "/advice", "POST"),
        ("OPTIONS", "/piles/import", "POST"),
        *[(method, "/piles/import", "POST") for method in ("GET", "HEAD", "PATCH", "DELETE", "PUT", "TRACE")],
        *[(method, "/openapi.json", "GET, HEAD") for method in ("POST", "DELETE", "TRACE")],
        *[(method, "/mcp", "POST") for method in ("GET", "HEAD", "DELETE", "PUT", "OPTIONS", "TRACE")],
    ],
)
def test_allow_names_every_method(client: Any, method: str, path: str, allow: str) -> None:  # noqa: F811
    reply = client.request(method, path, headers=JSON)
    assert reply.status_code == 405 and reply.headers["allow"] == allow
