"""Places whose processes start quickly."""

from __future__ import annotations

import pytest

from service.operation.process import command
from service.work import process
from tests.store.conftest import client, folder

__all__ = ["client", "folder"]


@pytest.fixture(autouse=True)
def cold(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is tried here needs none of what most work needs."""
    monkeypatch.setattr(process, "command", lambda module: command("tests.work.cold"))
