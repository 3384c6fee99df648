"""Memory stays flat over a hundred thousand answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from pydantic_core import to_json

from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.status.reading import read_status
from tests.examples import requests

MOST_GROWTH_KB = 6 * 1024


def resident_kb() -> int:
    """Memory of this process [kB], from the kernel."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1])
    raise RuntimeError("the kernel does not say")


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs /proc to read its own memory")
@pytest.mark.parametrize(("effects", "answers"), [("none", 99_000), ("full", 1_000)])
def test_memory_is_flat(effects: WhatIfs, answers: int) -> None:
    bodies = [json.loads(path.read_bytes()) for path in requests()]

    def answer(number: int) -> None:
        body = dict(bodies[number % len(bodies)])
        body["temperatures"] = {"core": f"{20 + number % 397 / 10} degC"}
        body["draw"] = None
        to_json(advise(read_status(body), effects))

    for number in range(answers // 20):
        answer(number)
    before = resident_kb()
    for number in range(answers):
        answer(number)
    assert resident_kb() - before < MOST_GROWTH_KB
