"""From a change in a pile to a message taken: with a real receiver, and a clock that is turned by hand."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from standardwebhooks.webhooks import Webhook
from starlette.testclient import TestClient

from service.logbook.store.engine import the_store
from service.machines.webhooks.delivery import Delivery
from service.machines.webhooks.guard import ALLOW_VARIABLE
from service.machines.webhooks.loop import Deliveries
from service.machines.webhooks.schedule import RETRY_AFTER, wait_after
from service.machines.webhooks.shape import NewWebhookPage, RetriedPage, WebhooksPage
from tests.hub.conftest import new_pile
from tests.shapes import shaped
from tests.webhooks.conftest import Receiver


class Clock:
    """A moment that only moves when it is told to."""

    def __init__(self) -> None:
        self.now = datetime.now(UTC)

    def __call__(self) -> datetime:
        return self.now


def hooked(client: TestClient, receiver: Receiver, **more: Any) -> tuple[str, NewWebhookPage]:
    pile = new_pile(client)
    reply = client.post(f"/piles/{pile}/webhooks", json={"url": receiver.url, **more})
    assert reply.status_code == 201, reply.text
    return pile, shaped(NewWebhookPage, reply.json())


def shown(client: TestClient, pile: str) -> Any:
    return shaped(WebhooksPage, client.get(f"/piles/{pile}/webhooks").json())["webhooks"][0]


def test_a_change_is_told_once_and_signed(client: TestClient, receiver: Receiver) -> None:
    pile, hook = hooked(client, receiver)
    delivery = Delivery(the_store())
    delivery.notice()
    delivery.notice()
    assert delivery.deliver() == 1 and delivery.deliver() == 0
    headers, body = receiver.came[0]
    told: Any = Webhook(hook["secret"]).verify(body, headers)
    assert told["type"] == "advice.changed" and told["data"]["pile"] == pile and told["data"]["action"]
    assert len(body) <= 20 * 1024

    client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
    delivery.notice()
    assert delivery.deliver() == 2
    types = sorted(json.loads(body)["type"] for _, body in receiver.came[1:])
    assert types == ["advice.changed", "fire.risk"]
    page = shown(client, pile)
    assert (page["waiting"], page["taken"], page["failed"], page["failures"]) == (0, 3, 0, [])


def test_only_the_events_asked_for(client: TestClient, receiver: Receiver) -> None:
    pile, _ = hooked(client, receiver, events=["fire.risk"])
    delivery = Delivery(the_store())
    delivery.notice()
    assert delivery.deliver() == 0
    client.post(f"/piles/{pile}/readings", json={"smell": "burnt"})
    delivery.notice()
    assert delivery.deliver() == 1 and json.loads(receiver.came[0][1])["type"] == "fire.risk"


def test_a_receiver_that_is_down_for_a_day_loses_nothing(client: TestClient, receiver: Receiver) -> None:
    """Standard Webhooks: the same id on every attempt, waits that grow, a schedule of more than a day."""
    assert sum(RETRY_AFTER, timedelta()) > timedelta(days=1)
    assert sorted(RETRY_AFTER) == list(RETRY_AFTER)
    receiver.statuses = [503] * len(RETRY_AFTER) + [200]
    pile, _ = hooked(client, receiver)
    clock = Clock()
    began = clock.now
    delivery = Delivery(the_store(), clock, jitter=lambda: 0.0)
    delivery.notice()
    for wait in RETRY_AFTER:
        assert delivery.deliver() == 1
        assert shown(client, pile)["failures"][0]["status"] == 503
        clock.now += wait - timedelta(seconds=1)
        assert delivery.deliver() == 0
        clock.now += timedelta(seconds=1)
    assert clock.now - began > timedelta(hours=24)
    assert delivery.deliver() == 1 and delivery.deliver() == 0
    assert len({headers["webhook-id"] for headers, _ in receiver.came}) == 1
    assert len({headers["webhook-timestamp"] for headers, _ in receiver.came}) == len(RETRY_AFTER) + 1
    assert shown(client, pile)["taken"] == 1


def test_what_is_given_up_is_listed_and_can_be_sent_again(client: TestClient, receiver: Receiver) -> None:
    receiver.statuses = [500]
    pile, hook = hooked(client, receiver)
    clock = Clock()
    delivery = Delivery(the_store(), clock, jitter=lambda: 0.0)
    delivery.notice()
    for wait in (*RETRY_AFTER, timedelta(days=3)):
        assert delivery.deliver() == 1
        clock.now += wait
    assert delivery.deliver() == 0
    page = shown(client, pile)
    assert (
        page["failed"] == 1
        and page["failures"][0]["attempts"] == len(RETRY_AFTER) + 1
        and page["failures"][0]["given_up_at"]
    )
    receiver.statuses = [200]
    again = client.post(f"/piles/{pile}/webhooks/{hook['id']}/retry")
    assert shaped(RetriedPage, again.json())["again"] == 1
    assert delivery.deliver() == 1 and shown(client, pile)["taken"] == 1


def test_gone_disables(client: TestClient, receiver: Receiver) -> None:
    receiver.statuses = [410]
    pile, _ = hooked(client, receiver)
    delivery = Delivery(the_store())
    delivery.notice()
    assert delivery.deliver() == 1
    page = shown(client, pile)
    assert page["disabled_at"] and "410" in (page["disabled_why"] or "") and page["failed"] == 1
    client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
    delivery.notice()
    assert delivery.deliver() == 0 and len(receiver.came) == 1


def test_each_message_is_claimed_by_one_worker(client: TestClient, receiver: Receiver) -> None:
    """Another worker, asking while the first is sending, gets nothing; should that one die, it does later."""
    from service.logbook.store.webhooks import claim

    hooked(client, receiver)
    Delivery(the_store()).notice()
    now, lease = datetime.now(UTC), timedelta(minutes=10)
    found = []
    for moment in (now, now, now + lease):
        with the_store().writing() as session:
            found.append(len(claim(session, moment, 10, lease)))
    assert found == [1, 0, 1]


def test_jitter_only_lengthens_and_ends() -> None:
    for attempts, wait in enumerate(RETRY_AFTER, start=1):
        assert wait_after(attempts, lambda: 0.0) == wait
        assert wait_after(attempts, lambda: 1.0) == wait * 1.1
    assert wait_after(len(RETRY_AFTER) + 1, lambda: 0.5) is None


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"url": "http://10.0.0.1/"}, "/url"),
        ({"url": "https://169.254.169.254/latest/meta-data"}, "/url"),
        ({"url": "https://[::1]:8000/"}, "/url"),
        ({"url": "nonsense"}, "/url"),
        ({"url": 5}, "/url"),
        ({"url": "https://8.8.8.8/", "events": []}, "/events"),
        ({"url": "https://8.8.8.8/", "events": ["other"]}, "/events/0"),
        ({}, "/url"),
    ],
)
def test_a_bad_webhook_is_refused(client: TestClient, body: dict[str, Any], pointer: str) -> None:
    reply = client.post(f"/piles/{new_pile(client)}/webhooks", json=body)
    assert reply.status_code == 422 and reply.json()["errors"][0]["pointer"] == pointer, reply.text


def test_secrets_are_shown_once_and_go_with_the_pile(client: TestClient, receiver: Receiver, folder: Path) -> None:
    pile, hook = hooked(client, receiver)
    for path in (f"/piles/{pile}/webhooks", f"/piles/{pile}/webhooks/{hook['id']}", f"/piles/{pile}/export"):
        assert hook["secret"] not in client.get(path).text
    assert client.delete(f"/piles/{pile}/webhooks/{hook['id']}").json()["deleted"] == hook["id"]
    assert client.get(f"/piles/{pile}/webhooks").json()["webhooks"] == []
    _, other = hooked(client, receiver)
    client.delete(f"/piles/{other['pile']}")
    for file in folder.iterdir():
        assert other["secret"].encode() not in file.read_bytes(), file.name


def test_a_pile_keeps_ten_webhooks(client: TestClient, receiver: Receiver) -> None:
    pile, _ = hooked(client, receiver)
    replies = [client.post(f"/piles/{pile}/webhooks", json={"url": receiver.url}).status_code for _ in range(10)]
    assert replies == [201] * 9 + [409]


def test_the_loop_delivers_by_itself_and_ends(client: TestClient, receiver: Receiver) -> None:
    import time

    hooked(client, receiver)
    loop = Deliveries(every_s=0.05)
    loop.start()
    deadline = time.monotonic() + 30
    while not receiver.came and time.monotonic() < deadline:
        time.sleep(0.02)
    loop.end()
    assert len(receiver.came) == 1


def test_the_loop_makes_no_log_book(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    monkeypatch.setenv(ALLOW_VARIABLE, "")
    loop = Deliveries(every_s=0.01)
    loop.start()
    time.sleep(0.1)
    loop.end()
    assert not folder.exists()
