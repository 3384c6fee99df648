"""Whole statuses whose first action, warnings and cautions are known beforehand; the table is vignettes.toml."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from rules.actions.records import ACTIONS
from service.answer.advice import advise
from service.answer.shapes.part import WhatIfs
from service.status.reading import read_status
from tests.each import now_and_then

CASES = tomllib.loads(Path(__file__).with_name("vignettes.toml").read_text(encoding="utf-8"))["case"]


Case = dict[str, Any]
Answer = dict[str, Any]


def answer_to(case: Case, effects: WhatIfs) -> Answer:
    body = {"as_of": "2026-01-20T08:00:00Z", **json.loads(case["status"])}
    return advise(read_status(json.dumps(body).encode()), effects)


def _is_ranked_as_it_must_be(case: Case, answer: Answer) -> None:
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


def _doses_have_a_range(case: Case, answer: Answer) -> None:
    for action in answer["actions"]:
        if action["action"] in case.get("dosed", ()):
            assert action["doses"]
            for dose in action["doses"]:
                assert 0 <= dose["low"] <= dose["value"] <= dose["high"]
                assert dose["high"] > 0 or dose["of"].endswith("minutes_per_hour")


def _cautions_say_what_can_hurt(case: Case, answer: Answer) -> None:
    told = " ".join(
        text["text"].casefold() for action in answer["actions"] for text in (*action["cautions"], *action["reasons"])
    )
    for word in case.get("caution_words", ()):
        assert word in told


def _what_is_lacking_is_replaced(case: Case, answer: Answer) -> None:
    for action in answer["actions"]:
        if action["action"] in case.get("names_alternative", ()):
            assert action["steps"][0] == ACTIONS[action["action"]].alternative


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_vignette(case: Case) -> None:
    _is_as_known(case, answer_to(case, "none"))


@pytest.mark.parametrize("case", now_and_then(CASES, 4), ids=[case["name"] for case in CASES])
def test_vignette_with_what_ifs(case: Case) -> None:
    _is_as_known(case, answer_to(case, "full"))


def _is_as_known(case: Case, answer: Answer) -> None:
    _is_ranked_as_it_must_be(case, answer)
    _doses_have_a_range(case, answer)
    _cautions_say_what_can_hurt(case, answer)
    _what_is_lacking_is_replaced(case, answer)


def test_every_kind_of_expectation_is_tried() -> None:
    assert {"dosed", "caution_words", "names_alternative", "first", "never"} <= {key for case in CASES for key in case}
