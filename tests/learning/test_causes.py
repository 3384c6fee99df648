"""Causes that rules found beside those the ensemble holds likely."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rules.engine.inference import infer_plainly
from rules.language.findings import CAUSES
from service.answer.causes import CAUSES_BY_WANT, DOING_WELL, likely_causes
from service.heat.learning.limits import WANTS
from tests.each import each

DRY = {"moisture_feel": "dusty", "moisture_feel_at": "arm_deep", "core_c": 38.0, "phase": "holding", "age_days": 40.0}


def told(facts, **limited):
    shares = {f"limited_by_{want}_percent": 100 * limited.get(want, 0.0) for want in WANTS} if limited else {}
    return likely_causes(infer_plainly({**facts, **shares}), (), "metric")


def test_every_want_has_causes_that_exist():
    assert set(CAUSES_BY_WANT) == set(WANTS)
    assert {cause for causes in CAUSES_BY_WANT.values() for cause in causes} <= set(CAUSES)


def test_without_an_ensemble_only_rules_speak():
    causes = told(DRY)
    assert [cause["cause"] for cause in causes] == ["too_dry"]
    assert causes[0]["share"] == 1.0
    assert causes[0]["rules"]


def test_both_witnesses_count_and_the_ensemble_alone_names_no_rule():
    causes = {cause["cause"]: cause for cause in told(DRY, water=0.6, substrate=0.4)}
    assert set(causes) == {"too_dry", "spent"}
    assert causes["too_dry"]["share"] > causes["spent"]["share"] > 0.2
    assert causes["spent"]["rules"] == []
    assert sum(cause["share"] for cause in causes.values()) == pytest.approx(1.0, abs=0.011)


def test_a_weak_want_alone_is_told_as_weak():
    found = infer_plainly({"core_c": 38.0, "phase": "holding", "age_days": 40.0, "limited_by_water_percent": 20.0})
    assert [cause["share"] for cause in likely_causes(found, (), "metric")] == [0.2]


def test_what_rules_exclude_is_not_told():
    found = infer_plainly({"core_c": 38.0, "phase": "holding", "age_days": 40.0, "limited_by_water_percent": 90.0})
    assert [cause["cause"] for cause in likely_causes(found, (), "metric")] == ["too_dry"]
    excluded = replace(found, facts={**found.facts, "too_dry": False, "dry_core_under_wet_skin": False})
    assert likely_causes(excluded, (), "metric") == []


def test_small_shares_are_not_told():
    assert [cause["cause"] for cause in told(DRY, water=0.95, nitrogen=0.05)] == ["too_dry"]


@each(sorted(DOING_WELL))
def test_a_heap_that_does_well_needs_no_explaining(phase):
    fine = {"core_c": 60.0, "phase": phase, "age_days": 12.0}
    assert told(fine, nitrogen=0.7, air=0.3) == []
