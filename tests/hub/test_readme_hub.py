"""The README's blocks in real hubs, of the pinned and of a newer release: they load without a warning and fail safe.

Opt-in like `test_real_hub.py`. The newer hub needs Python 3.12 (`WARMHEAP_PYTHON312`, else `python3.12` on the path)
and gets an environment of its own from `hub-requirements-2024-12.txt`, in the folder of
WARMHEAP_HUB312_VENV or a new one.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.hub.broker import free_port, program, running_broker
from tests.hub.conftest import new_pile
from tests.hub.test_bridge import bridge
from tests.hub.test_readme_yaml import BLOCKS, by_mqtt
from tests.hub.test_real_hub import PINNED, SETTINGS, RealHub, until

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.environ.get("WARMHEAP_HUB_TEST") != "1", reason="set WARMHEAP_HUB_TEST=1 for the real hub"),
    pytest.mark.skipif(program() is None, reason="no mosquitto here (Debian: apt-get install mosquitto)"),
]
NEWER = Path(__file__).parent / "hub-requirements-2024-12.txt"


def python_of(version: str) -> str | None:
    """The first Python of this version that really runs: one on the path may be a stub that does not.

    Looked for only where it is wanted, for each is started.
    """
    if os.environ.get("WARMHEAP_HUB_TEST") != "1":
        return None
    root = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv") / "versions"
    kept = sorted(str(each) for each in root.glob(f"{version}*/bin/python{version}"))
    found = [each for each in (shutil.which(f"python{version}"), *kept) if each]
    return next((each for each in found if _runs(each)), None)


def _runs(python: str) -> bool:
    return subprocess.run([python, "-c", "import venv, ensurepip"], capture_output=True, check=False).returncode == 0


PYTHON312 = os.environ.get("WARMHEAP_PYTHON312") or python_of("3.12")
PYTHON311 = python_of("3.11")
HUBS = {
    "2024.3": (PINNED, PYTHON311, os.environ.get("WARMHEAP_HUB_VENV")),
    "2024.12": (NEWER, PYTHON312, os.environ.get("WARMHEAP_HUB312_VENV")),
}
"""What to install, by which Python, and where it may be already."""
SWITCHES = """
input_boolean:
  fan:
  pump:
switch:
  - platform: template
    switches:
      heap_fan:
        value_template: "{{ is_state('input_boolean.fan', 'on') }}"
        turn_on: {service: input_boolean.turn_on, target: {entity_id: input_boolean.fan}}
        turn_off: {service: input_boolean.turn_off, target: {entity_id: input_boolean.fan}}
      heap_pump:
        value_template: "{{ is_state('input_boolean.pump', 'on') }}"
        turn_on: {service: input_boolean.turn_on, target: {entity_id: input_boolean.pump}}
        turn_off: {service: input_boolean.turn_off, target: {entity_id: input_boolean.pump}}
"""
OF_ITSELF = ("deprecated", "Skipping pip", "zlib_ng and isal")
"""What the hub warns of about itself: its Python, how it was started here, what would be faster."""


class Service:
    """What the hub polls: the real page of a pile, or what may come in its place."""

    def __init__(self) -> None:
        self.reply: tuple[int, bytes] = (200, b"{}")
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                status, body = service.reply
                self.send_response(status)
                self.send_header("Content-Type", "application/json")
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *_: Any) -> None:
                pass

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def tell(self, page: Any, status: int = 200) -> None:
        self.reply = (status, page if isinstance(page, bytes) else json.dumps(page).encode())

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()


def program_of(release: str, folder: Path) -> Path:
    wanted, python, given = HUBS[release]
    if python is None:
        pytest.skip(f"no Python for the hub {release} here")
    place = Path(given or folder / f"hub-{release}")
    if not (place / "bin" / "hass").exists():
        subprocess.run([python, "-m", "venv", place], check=True)
        subprocess.run([place / "bin" / "pip", "install", "-q", "--no-deps", "-r", wanted], check=True)
    return place / "bin" / "hass"


def joined(some: list[str]) -> str:
    """Blocks of the README as one configuration whose notices stay in the hub."""
    merged: dict[str, str] = {}
    for block in some:
        head, _, rest = block.partition("\n")
        merged[head] = merged.get(head, "") + rest
    text = "".join(f"{head}\n{rest}" for head, rest in merged.items())
    return text.replace("notify.notify", "persistent_notification.create")


def blocks(port: int) -> str:
    """Every block of the README, polled each two seconds from a service at `port`."""
    text = joined(BLOCKS).replace("scan_interval: 60", "scan_interval: 2")
    return re.sub(r"http://127\.0\.0\.1:8000/piles/\w+/now", f"http://127.0.0.1:{port}/now", text)


@contextmanager
def running_hub(hass: Path, folder: Path, more: str) -> Iterator[tuple[RealHub, Path]]:
    port, settings = free_port(), folder / "hub"
    settings.mkdir()
    (settings / "configuration.yaml").write_text(SETTINGS.format(port=port) + more)
    (settings / "secrets.yaml").write_text('warmheap_token: "Bearer nothing"\n')
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


def seer(hub: RealHub) -> Callable[[str, str], None]:
    def sees(entity: str, state: str) -> None:
        until(lambda: hub.state(entity) == state, f"{entity} is {state}, not {hub.state(entity)}")

    return sees


def warnings_in(log: Path) -> list[str]:
    lines = log.read_text().splitlines() if log.exists() else []
    return [
        line for line in lines if re.search(r" (WARNING|ERROR) ", line) and not any(own in line for own in OF_ITSELF)
    ]


FALSE_REPLIES = {
    "an error": (401, {"type": "about:blank", "title": "A token is needed", "status": 401, "detail": "revoked"}),
    "a missing key": (200, {"name": "North heap", "available": True}),
    "no data": (200, {}),
    "a text in its place": (200, {"fire_risk": "no", "pause_draw": "no", "available": "yes", "core_c": None}),
    "nulls": (
        200,
        dict.fromkeys(("core_c", "start_at_c", "stop_at_c", "action", "fire_risk", "pause_draw")) | {"available": True},
    ),
    "a list": (200, [False]),
    "no JSON": (502, b"<html>Bad gateway</html>"),
}


@pytest.mark.parametrize("release", HUBS)
def test_the_blocks_load_without_a_warning_and_fail_safe(client: TestClient, tmp_path: Path, release: str) -> None:
    hass = program_of(release, tmp_path)
    page = client.get(f"/piles/{new_pile(client)}/now").json()
    assert page["fire_risk"] is False and page["available"] is True
    service = Service()
    service.tell(page)
    try:
        with running_hub(hass, tmp_path, SWITCHES + blocks(service.port)) as (hub, log):
            sees = seer(hub)
            sees("binary_sensor.heap_fire_risk", "off")
            sees("sensor.heap_core", str(page["core_c"]))
            sees("sensor.heap_advice", page["action"])
            assert warnings_in(log) == []
            for status, told in FALSE_REPLIES.values():
                service.tell(told, status)
                for entity in ("binary_sensor.heap_fire_risk", "binary_sensor.heap_pause_draw", "sensor.heap_advice"):
                    sees(entity, "unavailable")
                sees("sensor.heap_core", "unavailable")
                service.tell(page)
                sees("binary_sensor.heap_fire_risk", "off")
            for switch in ("fan", "pump"):
                hub.turn_on(f"input_boolean.{switch}")
                sees(f"switch.heap_{switch}", "on")
            service.tell({**page, "fire_risk": True})
            sees("binary_sensor.heap_fire_risk", "on")
            sees("switch.heap_fan", "off")
            sees("switch.heap_pump", "off")
    finally:
        service.close()


def test_a_device_is_discovered_by_a_newer_hub(client: TestClient, tmp_path: Path) -> None:
    hass = program_of("2024.12", tmp_path)
    pile, port = new_pile(client), free_port()
    page = client.get(f"/piles/{pile}/now").json()
    automations = joined([by_mqtt(block) for block in BLOCKS if block.startswith("automation:")])
    with running_hub(hass, tmp_path, SWITCHES + automations) as (hub, log):
        sees = seer(hub)
        with running_broker(tmp_path, port):
            hub.use_broker(port)
            with bridge(port, "--form", "device", "--every", "2") as process:
                sees("sensor.north_heap_core", str(page["core_c"]))
                sees("sensor.north_heap_advice", page["action"])
                sees("binary_sensor.north_heap_fire_risk", "off")
                sees("binary_sensor.north_heap_pause_the_draw", "on" if page["pause_draw"] else "off")
                process.kill()
                sees("sensor.north_heap_core", "unavailable")
                sees("binary_sensor.north_heap_fire_risk", "unavailable")
            with bridge(port, "--form", "device", "--every", "2"):
                sees("binary_sensor.north_heap_fire_risk", "off")
                for switch in ("fan", "pump"):
                    hub.turn_on(f"input_boolean.{switch}")
                    sees(f"switch.heap_{switch}", "on")
                client.post(f"/piles/{pile}/readings", json={"signs": ["smoke"]})
                sees("binary_sensor.north_heap_fire_risk", "on")
                sees("sensor.north_heap_advice", "keep_clear_and_call_fire_service")
                sees("switch.heap_fan", "off")
                sees("switch.heap_pump", "off")
        about_us = [line for line in warnings_in(log) if "mqtt" in line or "heap" in line]
        assert [line for line in about_us if "isconnected" not in line] == []
