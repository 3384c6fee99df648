"""Rule pages: examples that do what they say, fields that exist, a history for every rule."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rules import RULES
from rules.engine.envelope import checked_facts
from rules.examples import failing, firing
from rules.language import facts, findings
from rules.language.conditions import holds
from rules.language.model import Rule
from rules.tables.history import CHANGES, FIRST, SINCE, history_of
from service.operation.version import VERSION
from service.why.knowledge import rule_page
from service.why.rule_pages import RulePage
from tests.each import each
from tests.shapes import shaped

EVERY_RULE = [pytest.param(rule, id=rule.id) for rule in RULES.values()]
NAMES = facts.DECLARED | findings.DECLARED
PLAIN_VERSION = re.compile(r"\d+\.\d+\.\d+")


@each(EVERY_RULE)
def test_the_examples_do_what_they_say(rule: Rule) -> None:
    fires = firing(rule.when)
    fails = failing(rule.when, fires)
    assert holds(rule.when, fires) is True
    assert holds(rule.when, fails) is False
    assert checked_facts(fires, NAMES, fires) == fires
    assert checked_facts(fails, NAMES, fails) == fails


@each(EVERY_RULE)
def test_the_page_is_whole(rule: Rule) -> None:
    page = shaped(RulePage, rule_page(rule.id))
    assert page["examples"]["fires"]["text"] and "{" not in page["examples"]["fires"]["text"]
    assert "is" in page["examples"]["does_not_fire"]["text"]
    assert page["history"]["since"] == "0.1.0"
    for need in page["needs"]:
        assert bool(need["fields"]) is not bool(need["found_by"]), need["name"]


def test_one_step_is_enough_for_most_rules() -> None:
    apart = []
    for rule in RULES.values():
        fires = firing(rule.when)
        fails = failing(rule.when, fires)
        apart.append(sum(fires.get(name) != fails.get(name) for name in fires.keys() | fails.keys()))
    assert sum(count == 1 for count in apart) / len(apart) > 0.9


def test_a_rule_that_can_never_fire_is_found_out() -> None:
    never = (facts.core_c < 10) & (facts.core_c > 20)
    with pytest.raises(ValueError, match="no facts make this hold"):
        firing(never)


def test_history_names_rules_that_exist_and_versions_that_are_out() -> None:
    assert PLAIN_VERSION.fullmatch(FIRST)
    for rule_id in (*SINCE, *CHANGES):
        assert rule_id in RULES
    for version in (*SINCE.values(), *(change.version for changes in CHANGES.values() for change in changes)):
        assert PLAIN_VERSION.fullmatch(version)
        assert _numbers(FIRST) <= _numbers(version) <= _numbers(VERSION)
    assert history_of("moisture.too-dry").since == FIRST


def _numbers(version: str) -> tuple[int, ...]:
    return tuple(map(int, version.split(".")))


def test_history_is_shipped() -> None:
    import rules.tables.history

    assert Path(rules.tables.history.__file__).with_name("history.toml").is_file()
