"""Whole statuses whose first action, warnings and cautions are known beforehand; the table is vignettes.toml."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from service.answer.advice import advise
from service.status.reading import read_status

CASES = tomllib.loads(Path(__file__).with_name("vignettes.toml").read_text(encoding="utf-8"))["case"]


def answer_to(case: dict[str, Any]) -> dict[str, Any]:
    return advise(read_status(json.dumps({"as_of": "2026-01-20T08:00:00Z", **json.loads(case["status"])}).encode()))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_vignette(case: dict[str, Any]) -> None:
    answer = answer_to(case)
    ranked = [action["action"] for action in answer["actions"]]
    assert ranked, "an answer is never empty"
    if "first" in case:
        assert ranked[0] == case["first"], ranked
    if "first_of" in case:
        assert ranked[0] in case["first_of"], ranked
    if "among_any" in case:
        assert set(case["among_any"]) & set(ranked), ranked
    assert set(case.get("among", [])) <= set(ranked), ranked
    assert not set(case.get("never", [])) & set(ranked), ranked
    for earlier, later in case.get("before", []):
        assert ranked.index(earlier) < ranked.index(later)
    urgencies = {action["action"]: action["urgency"] for action in answer["actions"]}
    assert case.get("due", {}).items() <= urgencies.items(), urgencies
    assert set(case.get("avoid", [])) <= {item["action"] for item in answer["avoid"]}
    if "phase" in case:
        assert answer["phase"] == case["phase"]


@pytest.mark.parametrize("case", [case for case in CASES if "dosed" in case], ids=lambda case: case["name"])
def test_doses_are_computed_with_a_range(case: dict[str, Any]) -> None:
    for action in answer_to(case)["actions"]:
        if action["action"] in case["dosed"]:
            assert action["doses"]
            for dose in action["doses"]:
                assert 0 <= dose["low"] <= dose["value"] <= dose["high"]
                assert dose["high"] > 0 or dose["of"].endswith("minutes_per_hour")


@pytest.mark.parametrize("case", [case for case in CASES if "caution_words" in case], ids=lambda case: case["name"])
def test_cautions_say_what_can_hurt(case: dict[str, Any]) -> None:
    told = " ".join(
        text["text"].casefold()
        for action in answer_to(case)["actions"]
        for text in (*action["cautions"], *action["reasons"])
    )
    for word in case["caution_words"]:
        assert word in told


@pytest.mark.parametrize("case", [case for case in CASES if "names_alternative" in case], ids=lambda case: case["name"])
def test_what_is_lacking_is_replaced(case: dict[str, Any]) -> None:
    from rules.actions.records import ACTIONS

    for action in answer_to(case)["actions"]:
        if action["action"] in case["names_alternative"]:
            assert action["steps"][0] == ACTIONS[action["action"]].alternative
