"""The bridge as a process of its own, with a real mosquitto between it and a client that plays the hub."""

from __future__ import annotations

import json
import queue
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import paho.mqtt.client as mqtt
import pytest
from starlette.testclient import TestClient

from service.machines.hub.discovery import BRIDGE, Topics
from tests.hub.broker import free_port, program, running_broker
from tests.hub.conftest import new_pile

pytestmark = pytest.mark.skipif(program() is None, reason="no mosquitto here (Debian: apt-get install mosquitto)")
PATIENCE_S = 60.0


class Hub:
    """Plays the hub: sees everything, in order."""

    def __init__(self, port: int) -> None:
        self._came: queue.Queue[tuple[str, bytes, bool]] = queue.Queue()
        self._client = mqtt.Client(mqtt.CallbackAPIVersion.VERSION2)
        self._client.on_message = lambda _c, _u, message: self._came.put(
            (message.topic, message.payload, message.retain)
        )
        self._client.connect("127.0.0.1", port)
        self._client.subscribe("#", qos=1)
        self._client.loop_start()

    def wait_for(self, topic: str, payload: bytes | None = None) -> tuple[bytes, bool]:
        """The next message of a topic (with this payload); others are passed over."""
        deadline = time.monotonic() + PATIENCE_S
        while True:
            came, told, retained = self._came.get(timeout=max(deadline - time.monotonic(), 0.01))
            if came == topic and (payload is None or told == payload):
                return told, retained

    def forget(self) -> None:
        while not self._came.empty():
            self._came.get()

    def send(self, topic: str, payload: str, retain: bool = False) -> None:
        self._client.publish(topic, payload, qos=1, retain=retain).wait_for_publish(PATIENCE_S)

    def close(self) -> None:
        self._client.disconnect()
        self._client.loop_stop()


@contextmanager
def bridge(port: int, *more: str) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", "service.cli", "hub", "--broker", f"mqtt://127.0.0.1:{port}", *more]
    process = subprocess.Popen(command, stderr=subprocess.PIPE)
    try:
        yield process
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=PATIENCE_S)


@pytest.fixture
def port(tmp_path: Path) -> Iterator[int]:
    chosen = free_port()
    with running_broker(tmp_path, chosen):
        yield chosen


@pytest.fixture
def hub(port: int) -> Iterator[Hub]:
    playing = Hub(port)
    yield playing
    playing.close()


def test_a_pile_on_the_hub(client: TestClient, port: int, hub: Hub) -> None:
    pile = new_pile(client)
    topics = Topics(pile)
    with bridge(port, "--every", "300") as process:
        config = json.loads(hub.wait_for(topics.device)[0])
        assert config["device"]["name"] == "North heap"
        hub.wait_for(BRIDGE, b"online")
        hub.wait_for(topics.availability, b"online")
        page = json.loads(hub.wait_for(topics.state)[0])
        assert page == client.get(f"/piles/{pile}/now").json()

        hub.send("homeassistant/status", "online")
        hub.wait_for(topics.device)
        hub.wait_for(topics.state)

        hub.send(f"warmheap/{pile}/readings/core", "118.5")
        assert json.loads(hub.wait_for(f"warmheap/{pile}/answer")[0])["ok"] is True
        assert json.loads(hub.wait_for(topics.state)[0])["core_c"] == pytest.approx((118.5 - 32) / 1.8, abs=0.01)
        hub.send(f"warmheap/{pile}/readings", json.dumps({"smell": "sour"}))
        assert json.loads(hub.wait_for(f"warmheap/{pile}/answer")[0])["ok"] is True
        status = client.get(f"/piles/{pile}/status").json()["status"]
        assert status["smell"] == "sour" and status["temperatures"]["core"] == "118.5 degF"

        late = Hub(port)
        late.wait_for(topics.device)
        late.wait_for(BRIDGE, b"online")
        assert_nothing_old(late, topics.state)
        late.close()

        hub.forget()
        process.kill()
        hub.wait_for(BRIDGE, b"offline")


def assert_nothing_old(hub: Hub, topic: str) -> None:
    """A state is not retained: whoever comes later sees none but those of now."""
    with pytest.raises(queue.Empty):
        deadline = time.monotonic() + 0.5
        while True:
            came = hub._came.get(timeout=max(deadline - time.monotonic(), 0.01))
            assert came[0] != topic or not came[2]


BAD = [
    ("/core", "unavailable", True),
    ("/core", "hot", False),
    ("/corre", "120", False),
    ("/core", "999", False),
    ("", "{", False),
    ("", "[]", False),
    ("", '{"temperatures": {"core": 1e400}}', False),
    ("/core", "\x00", False),
]


def test_bad_readings_are_answered_and_not_logged(client: TestClient, port: int, hub: Hub) -> None:
    pile = new_pile(client)
    with bridge(port):
        hub.wait_for(BRIDGE, b"online")
        for name, payload, ok in BAD:
            hub.send(f"warmheap/{pile}/readings{name}", payload)
            answer = json.loads(hub.wait_for(f"warmheap/{pile}/answer")[0])
            assert answer["ok"] is ok and answer["detail"], (name, payload)
    assert client.get(f"/piles/{pile}").json()["readings"] == 1


@pytest.mark.slow
def test_what_is_gone_is_taken_off(client: TestClient, port: int, hub: Hub) -> None:
    pile, other = new_pile(client), new_pile(client, None, "South heap")
    with bridge(port, "--every", "0.3"):
        hub.wait_for(Topics(pile).state)
        hub.wait_for(Topics(other).availability, b"offline")
        client.delete(f"/piles/{pile}")
        hub.wait_for(Topics(pile).device, b"")
    with bridge(port, "--remove"):
        hub.wait_for(Topics(other).device, b"")


@pytest.mark.slow
def test_a_broker_that_comes_back_is_told_again(client: TestClient, tmp_path: Path) -> None:
    pile, port = new_pile(client), free_port()
    with bridge(port, "--form", "entities"):
        for _ in range(2):
            with running_broker(tmp_path, port):
                hub = Hub(port)
                hub.wait_for(f"homeassistant/sensor/warmheap_{pile}/core_c/config")
                hub.wait_for(Topics(pile).state)
                hub.close()


def test_a_wrong_broker_or_a_missing_package_is_told() -> None:
    command = [sys.executable, "-m", "service.cli", "hub", "--broker", "http://hub.lan"]
    ran: Any = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode == 2 and "mqtt://" in ran.stderr
