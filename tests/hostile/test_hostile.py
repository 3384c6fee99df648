"""The hostile list: no server error, no long reply and no long work. A sample each day, all of it at length."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.hostile.asking import ask
from tests.hostile.cases import all_cases
from tests.hostile.values import HEAVY, Case, spoilt_files
from tests.store.test_exchange import full_pile

STRIDE = 480
"""Every so many-th case is tried each day."""
LEAST = 1500
AFTER = ("", "/status", "/now", "/log", "/export", "/export?format=csv", "/advice?effects=none", "/calendar.ics")
OF_ADVICE = ("", "/replay", "/replay?knowledge=current")


class _Target:
    """A pile to be asked about, made anew where a case deleted it."""

    def __init__(self, client: TestClient) -> None:
        self._client = client
        self.pile = self.advice = ""

    def ready(self) -> None:
        if not self.pile or self._client.get(f"/piles/{self.pile}").status_code == 404:
            self.pile = full_pile(self._client)
            page = self._client.get(f"/piles/{self.pile}/log?kind=advice").json()
            self.advice = page["entries"][0]["id"]


def _faults(client: TestClient, cases: Iterable[Case]) -> list[str]:
    target, found = _Target(client), []
    for case in cases:
        target.ready()
        judged = ask(client, case, target.pile, target.advice)
        if judged.fault:
            found.append(f"{case.name}: {judged.fault}")
    return found


def test_a_sample_of_the_list_holds(client: TestClient) -> None:
    light = [case for case in all_cases() if case.path not in HEAVY]
    assert _faults(client, light[::STRIDE]) == []


@pytest.mark.slow
def test_the_whole_list_holds(client: TestClient) -> None:
    cases = all_cases()
    assert len(cases) >= LEAST
    assert _faults(client, cases) == []


def _faults_of_imports(client: TestClient, stride: int) -> list[str]:
    """What did not hold of the import itself, and of everything that can be asked of a pile that came in."""
    pile = full_pile(client)
    file: dict[str, Any] = client.get(f"/piles/{pile}/export").json()
    found = []
    for case in list(spoilt_files(file))[::stride]:
        judged = ask(client, case, pile, "")
        found += [f"{case.name}: {judged.fault}"] if judged.fault else []
        for other in client.get("/piles").json()["piles"]:
            if other["id"] != pile:
                found += [f"{case.name}: then {fault}" for fault in _faults_after(client, other["id"])]
                client.delete(f"/piles/{other['id']}")
    return found


def _faults_after(client: TestClient, pile: str) -> list[str]:
    entries = client.get(f"/piles/{pile}/log?kind=advice").json()["entries"]
    paths = [f"/piles/{pile}{after}" for after in AFTER]
    paths += [f"/piles/{pile}/advice/{entry['id']}{after}" for entry in entries for after in OF_ADVICE]
    replies = [(path, client.get(path).status_code) for path in paths]
    return [f"{status} at {path}" for path, status in replies if status >= 500]


def test_a_sample_of_spoilt_files_does_no_harm(client: TestClient) -> None:
    assert _faults_of_imports(client, 1600) == []


@pytest.mark.slow
def test_no_spoilt_file_does_harm(client: TestClient) -> None:
    assert _faults_of_imports(client, 6) == []
