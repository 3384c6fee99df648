"""Every table of cases in `tests/rules`, and what must hold of every rule.

A table is `tests/rules/<theme>.toml`. Each `[[case]]` has a `name` (a sentence), the facts and findings `given`, the
rules it `fires`, and those it must not (`not_fires`). Every rule needs a case of each kind; those of words that only
need a sentence are made of the words.
"""

from __future__ import annotations

import re
import string
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rules import CAUTIONS, FIRST_PASS, RULES, SECOND_PASS, THRESHOLDS
from rules.actions.conflicts import ALLOWED_WHEN_OVERHEATING, CONFLICTS, EXCLUSIVE_WHEN_FIRE
from rules.actions.frost_steps import FROST_STEPS
from rules.actions.records import ACTIONS, SITUATIONS
from rules.actions.texts import ALTERNATIVES, STEPS, WATCH_FOR
from rules.engine.envelope import check_condition
from rules.language import facts, findings, sources, vocabulary
from rules.language.conditions import All, AnyOf, Condition, Known, facts_read, holds, leaves
from rules.language.conditions import Test as Comparison
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, HowKnown, Rule, Source, SourceKind
from rules.tables.materials import MATERIALS, SUPPLIES
from rules.tables.thresholds import FIRE_KEEP_CLEAR
from tests.each import each

Case = dict[str, Any]

TABLES = sorted((Path(__file__).parent / "rules").glob("*.toml"))


def _of_words() -> Iterator[Case]:
    """The cases of the notes that are made of words: each fires on its word and not without it."""
    for word in (*vocabulary.SMELLS.values(), *vocabulary.SIGNS.values()):
        rule = f"words.{word.id.replace('_', '-')}"
        if word.tells:
            seen, unseen = (word.id, "none") if word.kind == "smell" else (True, False)
            yield {"name": f"{word.id} is told", "given": {word.fact: seen}, "fires": [rule]}
            yield {"name": f"{word.id} is not told", "given": {word.fact: unseen}, "not_fires": [rule]}


CASES = [
    *(
        pytest.param(case, id=f"{table.stem}: {case['name']}")
        for table in TABLES
        for case in tomllib.loads(table.read_text(encoding="utf-8"))["case"]
    ),
    *(pytest.param(case, id=case["name"]) for case in _of_words()),
]
EVERY_CASE: list[Case] = [parameter.values[0] for parameter in CASES]  # type: ignore[misc]
EVERY_RULE = [pytest.param(rule, id=rule.id) for rule in RULES.values()]
NAMES = {**facts.DECLARED, **findings.DECLARED}

MOST_CHARACTERS = 240
LONGEST_BRIEF = 80
DEEPEST_TESTED = 4  # levels of $and and $or that the engine was proved on
READ_BY_SOME_RULE = (
    facts.moisture_feel,
    facts.moisture_feel_at,
    facts.smell,
    facts.phase,
    facts.cover,
    facts.wind,
    facts.sun,
    facts.rain,
    facts.air_path,
    facts.water_tube,
    facts.water_loop_kind,
    facts.season,
    facts.prefer,
)
SIGNS = tuple(facts.DECLARED[sign] for sign in vocabulary.SIGNS)
UNIT_WORDS = re.compile(
    r"[°%\d]|\b(degrees?|celsius|fahrenheit|kelvin|lit(er|re)s?|gallons?|kilo\w*|kg|pounds?|lbs?|met(er|re)s?|feet|"
    r"inch(es)?|yards?|cm|mm|k?watts?|kW|BTU|percent|mph|cfm|gpm)\b",
    re.IGNORECASE,
)
JARGON = re.compile(
    r"\b(an?aerobic\w*|mesophil\w*|thermophil\w*|poros\w*|feedstocks?|substrates?|leachates?|exotherm\w*|latent|sensible|"
    r"enthalp\w*|actinomycet\w*|bulk density|bulking agents?|moisture content|C:N|hydrogen sul\w*|hygroscop\w*|"
    r"volatili\w*|nitrif\w*|median|parameters?|thresholds?|optimal|utili[sz]e)\b",
    re.IGNORECASE,
)


# --- the tables
@each(CASES)
def test_the_table_says_what_fires(case: Case) -> None:
    given = case["given"]
    for rule_id in case.get("fires", ()):
        assert holds(RULES[rule_id].when, given) is True, f"{rule_id} does not fire"
    for rule_id in case.get("not_fires", ()):
        assert holds(RULES[rule_id].when, given) is not True, f"{rule_id} fires"


@each(CASES)
def test_a_case_gives_values_its_facts_can_take(case: Case) -> None:
    assert set(case) <= {"name", "given", "fires", "not_fires"}
    for name, value in case["given"].items():
        fact = NAMES[name]
        if fact.kind == "text":
            assert value in fact.values, name
        else:
            assert isinstance(value, bool) is (fact.kind == "flag"), name
            assert not isinstance(value, str), name


@each(EVERY_RULE)
def test_a_rule_has_a_case_where_it_fires_and_one_where_it_does_not(rule: Rule) -> None:
    assert any(rule.id in case.get("fires", ()) for case in EVERY_CASE), f"{rule.id}: no case where it fires"
    assert any(rule.id in case.get("not_fires", ()) for case in EVERY_CASE), f"{rule.id}: none where it does not"


@each(EVERY_RULE)
def test_a_rule_is_silent_when_nothing_is_known(rule: Rule) -> None:
    assert holds(rule.when, {}) is not True


# --- what a rule is made of
@each(EVERY_RULE)
def test_an_id_says_theme_and_what_is_seen(rule: Rule) -> None:
    assert re.fullmatch(r"[a-z]+\.[a-z]+(-[a-z]+)*", rule.id)


def test_rules_come_sorted_and_each_pass_reads_only_what_is_there() -> None:
    assert list(RULES) == sorted(RULES)
    assert len(FIRST_PASS) + len(SECOND_PASS) + len(CAUTIONS) == len(RULES)
    for rule in FIRST_PASS:
        assert facts_read(rule.when) <= set(facts.DECLARED), rule.id
    for rule in (*SECOND_PASS, *CAUTIONS):
        assert facts_read(rule.when) <= set(NAMES), rule.id


@each(EVERY_RULE)
def test_a_condition_names_facts_of_the_right_kind_and_known_limits(rule: Rule) -> None:
    for leaf in leaves(rule.when):
        fact = NAMES[leaf.fact]
        if isinstance(leaf, Known):
            continue
        assert isinstance(leaf.limit, {"number": float, "flag": bool, "text": str}[fact.kind])
        if fact.kind == "number":
            assert leaf.threshold, f"{rule.id}: {leaf.limit} has no name and source"
            assert THRESHOLDS[leaf.threshold].value == leaf.limit
            assert THRESHOLDS[leaf.threshold].unit == fact.unit


@each(EVERY_RULE)
def test_a_condition_keeps_to_what_the_engine_was_proved_on(rule: Rule) -> None:
    check_condition(rule.id, rule.when, NAMES)
    assert _depth(rule.when) <= DEEPEST_TESTED


@each(EVERY_RULE)
def test_no_rule_waits_for_a_finding_to_be_false(rule: Rule) -> None:
    # A finding is put among the facts only when it was drawn; "false" alone would never come true.
    negated = {leaf.fact for leaf in leaves(rule.when) if isinstance(leaf, Comparison) and leaf.limit is False}
    for name in negated & set(findings.DECLARED):
        assert Known(name, present=False) in leaves(rule.when), name


@each(EVERY_RULE)
def test_a_rule_gives_something_that_exists(rule: Rule) -> None:
    match rule.gives:
        case Finding(name):
            assert name in findings.DECLARED
        case Act(action) | Avoid(action):
            assert action in ACTIONS
        case Caution(actions):
            assert actions == ("*",) or (actions and set(actions) <= set(ACTIONS) and len(set(actions)) == len(actions))
            assert bool(rule.gives.brief) is (rule.gives.gravity is Gravity.LIFE), "what concerns life has a brief form"
            assert len(rule.gives.brief) <= LONGEST_BRIEF
    assert 0 < rule.confidence <= 1


@each(EVERY_RULE)
def test_a_rule_names_its_source(rule: Rule) -> None:
    assert rule.source in _sources()


def test_limits_have_a_source_and_a_meaning() -> None:
    for limit in THRESHOLDS.values():
        assert re.fullmatch(r"[A-Z]+(_[A-Z]+)*", limit.id)
        assert limit.source in _sources(), limit.id
        assert limit.meaning, limit.id
        assert limit.id not in NAMES


def test_what_has_no_source_says_so() -> None:
    for source in _sources():
        assert isinstance(source.kind, SourceKind)
        assert isinstance(source.how_known, HowKnown)
        assert source.cite
        assert (source.kind is SourceKind.COMMON_PRACTICE) is (source.how_known is HowKnown.NO_SOURCE)


# --- texts
@each(EVERY_RULE)
def test_a_reason_quotes_only_what_is_there_when_the_rule_fires(rule: Rule) -> None:
    certain = _certain(rule.when)
    fields = _fields(rule.reason)
    assert fields <= certain | set(THRESHOLDS)
    assert not any(NAMES[name].kind == "flag" for name in fields & certain), "a flag has no value to quote"
    quotable = {name for name in certain if NAMES[name].kind != "flag"}
    assert not quotable or fields & quotable, f"{rule.id} quotes none of {sorted(quotable)}"


@each(EVERY_RULE)
def test_a_reason_is_short_and_plain(rule: Rule) -> None:
    _assert_plain(rule.reason)
    assert rule.reason[0] in string.ascii_uppercase + "{"
    assert rule.reason.endswith(".")


@each([pytest.param(action, id=action.id) for action in ACTIONS.values()])
def test_an_action_is_whole_and_plain(action: Any) -> None:
    assert 2 <= len(action.steps) <= 5
    assert all(2 <= len(steps) <= 5 for steps in action.steps_in.values())
    assert action.alternative or not action.needs
    assert action.look_again_days > 0
    assert 0 <= action.gains.expected <= 3
    assert (action.gains.kind == "none") is (action.gains.expected == 0)
    steps = (*action.steps, *(step for others in action.steps_in.values() for step in others))
    for text in (*steps, action.title + ".", action.watch_for, action.alternative or "."):
        _assert_plain(text)
        assert text.endswith(".")
        assert _fields(text) <= set(THRESHOLDS)


def test_what_an_action_needs_is_a_material_or_a_supply() -> None:
    for action in ACTIONS.values():
        assert set(action.needs) <= {*MATERIALS, *SUPPLIES}, action.id


def test_every_word_of_the_catalogue_belongs_to_an_action() -> None:
    assert set(STEPS) == set(WATCH_FOR) == set(ACTIONS)
    assert set(ALTERNATIVES).union(*SITUATIONS.values()) <= set(ACTIONS)


def test_whoever_opens_the_heap_reads_the_core_first() -> None:
    # Surrey Fire and Rescue: call the fire service before opening a heap over 80 degC.
    assert FIRE_KEEP_CLEAR.value == 80.0
    for name in ("loosen_pile", "add_dry_bulking", "add_carbon"):
        for steps in (STEPS[name], FROST_STEPS.get(name, STEPS[name])):
            assert "{FIRE_KEEP_CLEAR}" in steps[0]


# --- what excludes what
def test_conflicts_name_actions_and_have_one_winner_each() -> None:
    pairs = [(conflict.keeps, conflict.drops) for conflict in CONFLICTS]
    assert len(set(pairs)) == len(pairs)
    for keeps, drops in pairs:
        assert {keeps, drops} <= set(ACTIONS)
        assert keeps != drops
        assert (drops, keeps) not in pairs
    assert all(conflict.why.endswith(".") for conflict in CONFLICTS)


def test_a_fire_leaves_only_what_is_done_away_from_the_heap() -> None:
    assert {"keep_clear_and_call_fire_service"} == EXCLUSIVE_WHEN_FIRE
    assert EXCLUSIVE_WHEN_FIRE < ALLOWED_WHEN_OVERHEATING < set(ACTIONS)
    assert not any(ACTIONS[name].opens_heap for name in ALLOWED_WHEN_OVERHEATING)
    dropped = {conflict.drops for conflict in CONFLICTS if conflict.keeps == "keep_clear_and_call_fire_service"}
    assert dropped | EXCLUSIVE_WHEN_FIRE == set(ACTIONS)


# --- coverage
@each(sorted(findings.DECLARED))
def test_a_finding_is_drawn_by_some_rule_and_read_by_another(name: str) -> None:
    assert any(rule.gives == Finding(name) for rule in FIRST_PASS), f"nothing gives {name}"
    assert any(name in facts_read(rule.when) for rule in SECOND_PASS), f"nothing reads {name}"


@each(sorted(ACTIONS))
def test_an_action_is_asked_for_by_some_rule(name: str) -> None:
    assert any(isinstance(rule.gives, Act) and rule.gives.action == name for rule in SECOND_PASS)


@each([pytest.param(fact.name, value) for fact in READ_BY_SOME_RULE for value in fact.values])
def test_a_value_a_person_can_give_is_read_by_some_rule(fact: str, value: str) -> None:
    assert any(Comparison(fact, "$eq", value) in leaves(rule.when) for rule in RULES.values())


@each([sign.name for sign in SIGNS])
def test_a_sign_is_read_by_some_rule(name: str) -> None:
    assert any(Comparison(name, "$eq", True) in leaves(rule.when) for rule in RULES.values())


def test_there_are_enough_rules() -> None:
    assert len(RULES) >= 90


# --- helpers
def _depth(condition: Condition) -> int:
    return 1 + max(map(_depth, condition.parts)) if isinstance(condition, All | AnyOf) else 0


def _certain(condition: Condition) -> frozenset[str]:
    """Facts that are present whenever the condition holds."""
    match condition:
        case Comparison(fact) | Known(fact, True):
            return frozenset({fact})
        case All(parts):
            return frozenset().union(*map(_certain, parts))
        case AnyOf(parts):
            return frozenset.intersection(*map(_certain, parts))
    return frozenset()


def _fields(template: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(template) if name}


def _sources() -> list[Source]:
    return [value for value in vars(sources).values() if isinstance(value, Source)]


def _assert_plain(template: str) -> None:
    assert len(template) <= MOST_CHARACTERS
    bare = re.sub(r"\{\w+\}", "", template)
    assert "{" not in bare
    assert "}" not in bare
    assert not UNIT_WORDS.search(bare), UNIT_WORDS.search(bare)
    assert not JARGON.search(bare), JARGON.search(bare)
