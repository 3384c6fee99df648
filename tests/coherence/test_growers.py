"""Statuses with what a careful grower would do first, in both modes."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.status.reading import read_status
from tests.each import each, now_and_then

CASES = tomllib.loads((Path(__file__).parent / "growers.toml").read_text())["case"]
NOW = "2026-01-18T08:00:00Z"


@each(CASES)
def test_what_a_careful_grower_would_do_first(case: dict[str, Any]) -> None:
    _first(case, "none")


@pytest.mark.parametrize("case", now_and_then(CASES, 4), ids=[case["name"] for case in CASES])
def test_what_a_careful_grower_would_do_first_with_what_ifs(case: dict[str, Any]) -> None:
    _first(case, "full")


def _first(case: dict[str, Any], effects: WhatIfs) -> None:
    answer = advise(read_status({"as_of": NOW, **json.loads(case["status"])}), effects, weighed=False)
    named = [action["action"] for action in answer["actions"]]
    assert named[0] in case["first_of"], named
    assert not set(case.get("never", ())) & set(named), named
