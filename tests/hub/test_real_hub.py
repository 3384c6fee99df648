"""A real hub, not written here, beside a real broker: the pile appears, goes when the bridge dies, and comes back.

Opt-in, for it takes a minute and 700 MB: `WARMHEAP_HUB_TEST=1 pytest -m slow tests/hub/test_real_hub.py`. The hub gets
an environment of its own from `hub-requirements.txt` (its newest version for Python 3.11), in the folder named by
WARMHEAP_HUB_VENV, or a new one. This version knows no devices in one message, so the form is `entities`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from starlette.testclient import TestClient

from tests.hub.broker import free_port, program, running_broker
from tests.hub.conftest import new_pile
from tests.hub.test_bridge import bridge

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.environ.get("WARMHEAP_HUB_TEST") != "1", reason="set WARMHEAP_HUB_TEST=1 for the real hub"),
    pytest.mark.skipif(program() is None, reason="no mosquitto here (Debian: apt-get install mosquitto)"),
    pytest.mark.skipif(sys.version_info[:2] != (3, 11), reason="the pinned hub is for Python 3.11"),
]
PINNED = Path(__file__).parent / "hub-requirements.txt"
SETTINGS = """
http:
  server_host: 127.0.0.1
  server_port: {port}
api:
config:
onboarding:
logger:
  default: warning
"""
PATIENCE_S = 90.0


@pytest.fixture(scope="module")
def hass(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The hub's program, in an environment of its own."""
    given = os.environ.get("WARMHEAP_HUB_VENV")
    place = Path(given) if given else tmp_path_factory.mktemp("hub-venv")
    if not (place / "bin" / "hass").exists():
        subprocess.run([sys.executable, "-m", "venv", place], check=True)
        subprocess.run([place / "bin" / "pip", "install", "-q", "--no-deps", "-r", PINNED], check=True)
    return place / "bin" / "hass"


class RealHub:
    """The hub over its own HTTP interface, as its owner."""

    def __init__(self, port: int) -> None:
        self._http = httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=30)

    def enter(self) -> None:
        """Wait until it is up, make the owner, and take a token."""
        until(self._is_up, "the hub is up")
        client_id = str(self._http.base_url) + "/"
        owner = {"client_id": client_id, "name": "Test", "username": "test", "password": "test-heap", "language": "en"}
        code = self._http.post("/api/onboarding/users", json=owner).raise_for_status().json()["auth_code"]
        asked = {"client_id": client_id, "grant_type": "authorization_code", "code": code}
        token = self._http.post("/auth/token", data=asked).raise_for_status().json()["access_token"]
        self._http.headers["Authorization"] = f"Bearer {token}"

    def use_broker(self, port: int) -> None:
        flows = "/api/config/config_entries/flow"
        flow = self._http.post(flows, json={"handler": "mqtt"}).raise_for_status().json()
        told = self._http.post(f"{flows}/{flow['flow_id']}", json={"broker": "127.0.0.1", "port": port})
        assert told.raise_for_status().json()["type"] == "create_entry", told.text

    def state(self, entity: str) -> str | None:
        reply = self._http.get(f"/api/states/{entity}")
        return None if reply.status_code == 404 else reply.json()["state"]

    def turn_on(self, entity: str) -> None:
        domain = entity.partition(".")[0]
        self._http.post(f"/api/services/{domain}/turn_on", json={"entity_id": entity}).raise_for_status()

    def close(self) -> None:
        self._http.close()

    def _is_up(self) -> bool:
        try:
            return self._http.get("/api/onboarding").status_code == 200
        except httpx.HTTPError:
            return False


def until(true: Callable[[], Any], what: str) -> None:
    deadline = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < deadline, f"waited in vain: {what}"
        time.sleep(0.2)


@pytest.fixture
def real_hub(hass: Path, tmp_path: Path) -> Iterator[tuple[RealHub, Path]]:
    port, settings = free_port(), tmp_path / "hub"
    settings.mkdir()
    (settings / "configuration.yaml").write_text(SETTINGS.format(port=port))
    process = subprocess.Popen(
        [hass, "-c", settings, "--skip-pip"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    hub = RealHub(port)
    try:
        hub.enter()
        yield hub, settings / "home-assistant.log"
    finally:
        hub.close()
        process.terminate()
        process.wait(timeout=60)


def test_a_pile_on_a_real_hub(client: TestClient, real_hub: tuple[RealHub, Path], tmp_path: Path) -> None:
    hub, log = real_hub
    pile, port = new_pile(client), free_port()
    page = client.get(f"/piles/{pile}/now").json()

    def sees(entity: str, state: str) -> None:
        until(lambda: hub.state(entity) == state, f"{entity} is {state}")

    with running_broker(tmp_path, port):
        hub.use_broker(port)
        with bridge(port, "--form", "entities", "--every", "2") as process:
            sees("sensor.north_heap_core", str(page["core_c"]))
            sees("sensor.north_heap_advice", page["action"])
            sees("sensor.north_heap_pump_minutes_an_hour", "unknown")
            sees("binary_sensor.north_heap_fire_risk", "off")
            process.kill()
            sees("sensor.north_heap_core", "unavailable")
            sees("binary_sensor.north_heap_fire_risk", "unavailable")
        with bridge(port, "--form", "entities", "--every", "2"):
            sees("sensor.north_heap_advice", page["action"])
            client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
            sees("binary_sensor.north_heap_fire_risk", "on")
            sees("sensor.north_heap_advice", "keep_clear_and_call_fire_service")
    # The broker of the test ends before the hub does; of that alone the hub may warn.
    about_us = [line for line in log.read_text().splitlines() if "mqtt" in line or "heap" in line]
    assert [line for line in about_us if "Disconnected" not in line] == []
