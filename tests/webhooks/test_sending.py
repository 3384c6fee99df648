"""One attempt: signed as an official library checks it, never redirected, and to the address that was judged."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from standardwebhooks.webhooks import Webhook, WebhookVerificationError

from service.machines.webhooks import guard, sending
from service.machines.webhooks.guard import ALLOW_VARIABLE
from service.machines.webhooks.sending import send
from service.machines.webhooks.signing import headers_for, new_secret, signature
from tests.webhooks.conftest import Receiver

BODY = json.dumps({"type": "fire.risk", "data": {"name": "Müllers Haufen 🔥"}}).encode()


@pytest.fixture(autouse=True)
def allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ALLOW_VARIABLE, "127.0.0.1")


def test_the_official_library_takes_what_arrives(receiver: Receiver) -> None:
    secret = new_secret()
    assert send(receiver.url, headers_for(secret, "msg_1", datetime.now(UTC), BODY), BODY).is_delivered
    headers, body = receiver.came[0]
    assert Webhook(secret).verify(body, headers) == json.loads(BODY)
    assert headers["host"] == receiver.url.split("/")[2] and headers["content-type"] == "application/json"


def test_any_message_is_signed_as_the_official_library_signs() -> None:
    for number in range(500):
        secret, body = new_secret(), json.dumps({"n": number, "text": "é" * (number % 7)}).encode()
        at = datetime(2026, 1, 18, tzinfo=UTC) + timedelta(seconds=number)
        ours = signature(secret, f"msg_{number}", int(at.timestamp()), body)
        assert ours == Webhook(secret).sign(f"msg_{number}", at, body.decode())


def test_the_official_library_refuses_what_was_changed() -> None:
    secret = new_secret()
    headers = headers_for(secret, "msg_1", datetime.now(UTC), BODY)
    for changed in ({"webhook-id": "msg_2"}, {"webhook-timestamp": str(int(headers["webhook-timestamp"]) + 1)}):
        with pytest.raises(WebhookVerificationError):
            Webhook(secret).verify(BODY, {**headers, **changed})
    with pytest.raises(WebhookVerificationError):
        Webhook(new_secret()).verify(BODY, headers)


@pytest.mark.parametrize("status", [301, 302, 303, 307, 308])
def test_redirects_are_not_followed(receiver: Receiver, status: int) -> None:
    receiver.statuses, receiver.location = [status], receiver.url
    outcome = send(receiver.url, {}, BODY)
    assert outcome.status == status and not outcome.is_delivered and len(receiver.came) == 1


def test_a_name_that_changes_its_answer_gains_nothing(receiver: Receiver, monkeypatch: pytest.MonkeyPatch) -> None:
    """The name is resolved once; the connection goes where that answer led, whatever a second one would say."""
    port, asked = int(receiver.url.split(":")[2].split("/")[0]), []

    def rebinding(host: str, port: int, *_: Any, **__: Any) -> list[Any]:
        asked.append(host)
        return [(2, 1, 6, "", ("127.0.0.1" if len(asked) == 1 else "10.0.0.1", port))]

    real = sending.socket.create_connection
    monkeypatch.setattr(guard.socket, "getaddrinfo", rebinding)
    reached = []

    def connect(address: tuple[str, int], timeout: float) -> Any:
        reached.append(address)
        monkeypatch.undo()
        return real(address, timeout)

    monkeypatch.setattr(sending.socket, "create_connection", connect)
    assert send(f"http://rebinding.example:{port}/", {}, BODY).is_delivered
    assert asked == ["rebinding.example"] and reached == [("127.0.0.1", port)]
    assert receiver.came[0][0]["host"] == f"rebinding.example:{port}"


def test_local_receivers_are_refused_unless_allowed(receiver: Receiver, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ALLOW_VARIABLE)
    outcome = send(receiver.url, {}, BODY)
    assert outcome.status is None and outcome.error and outcome.error.startswith("refused") and receiver.came == []


def test_nobody_there() -> None:
    outcome = send("http://127.0.0.1:9/", {}, BODY)
    assert outcome.status is None and outcome.error and "no connection" in outcome.error


def test_a_receiver_that_never_ends_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """It sends a header line again and again; the limit is for the whole attempt, not for each piece."""
    import socket
    import threading

    monkeypatch.setattr(sending, "TIMEOUT_S", 0.5)
    server = socket.create_server(("127.0.0.1", 0))
    ended = threading.Event()

    def drip() -> None:
        peer, _ = server.accept()
        with peer:
            peer.sendall(b"HTTP/1.1 200 OK\r\n")
            try:
                while not ended.wait(0.1):
                    peer.sendall(b"x: y\r\n")
            except OSError:
                pass

    thread = threading.Thread(target=drip)
    thread.start()
    outcome = send(f"http://127.0.0.1:{server.getsockname()[1]}/", {}, BODY)
    ended.set()
    thread.join()
    server.close()
    assert outcome == sending.Receipt(None, sending.TOO_SLOW)
