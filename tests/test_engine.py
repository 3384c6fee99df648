"""The adapter to the rule engine: the same answer as plain logic, and every known trap refused or survived.

The traps are those of durable-rules 2.0.28, found by measurement and by reading its source.
"""

from __future__ import annotations

import json
import logging
import os
import random
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import chain, count
from pathlib import Path
from typing import Any

import durable.engine
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.engine.adapter import EngineError, RuleSet
from rules.engine.envelope import checked_facts, to_engine
from rules.engine.network import grouped
from rules.language import conditions as c
from tests import differential
from tests.each import each

core = c.Fact("core_c", "number", "degC", "core")
outer = c.Fact("outer_c", "number", "degC", "outer")
smoke = c.Fact("smoke", "flag", "", "smoke")
feel = c.Fact("feel", "text", "", "squeeze test", ("dry", "damp", "wet", 'so "so"', "\U0001f525\u00e9"))
FACTS = {fact.name: fact for fact in (core, outer, smoke, feel)}
RULES = [
    ("cold", core < 40),
    ("hot", core >= 75),
    ("dry-or-smoking", feel.one_of("dry") | smoke.is_true()),
    ("odd-words", feel.one_of('so "so"', "\U0001f525\u00e9")),
    ("outer-unknown", (core > 0) & outer.unknown()),
    ("no-smoke-seen", (core > 50) & smoke.not_seen()),
]


@pytest.fixture
def rule_set() -> RuleSet:
    return RuleSet(RULES, FACTS)


def wide(number: int) -> dict[str, c.Fact]:
    return {name: c.Fact(name, "number", "1", "a number") for name in (f"x{i}" for i in range(number))}


def engine_answer(rule_set: RuleSet, facts: c.Facts) -> frozenset[str]:
    """What the engine itself says: `fired` gives the plain answer when the two differ."""
    return rule_set._evaluate(checked_facts(facts, rule_set._declared, rule_set._read))


# --- the same answer three ways


@pytest.mark.parametrize(
    ("facts", "fired"),
    [
        ({}, set()),
        ({"core_c": 39.99}, {"cold", "outer-unknown"}),
        ({"core_c": 40}, {"outer-unknown"}),
        ({"core_c": 40.0, "outer_c": 20.0}, set()),
        ({"core_c": 80.0, "outer_c": 20.0}, {"hot", "no-smoke-seen"}),
        ({"core_c": 80.0, "outer_c": 20.0, "smoke": False}, {"hot", "no-smoke-seen"}),
        ({"core_c": 80.0, "outer_c": 20.0, "smoke": True}, {"hot", "dry-or-smoking"}),
        ({"feel": "dry", "smoke": True}, {"dry-or-smoking"}),
        ({"feel": 'so "so"'}, {"odd-words"}),
        ({"feel": "\U0001f525\u00e9"}, {"odd-words"}),
    ],
)
def test_fired(rule_set: RuleSet, facts: c.Facts, fired: set[str]) -> None:
    assert rule_set.fired(facts) == fired
    assert engine_answer(rule_set, facts) == fired
    assert rule_set.fired_plainly(facts) == fired


def test_differential_small() -> None:
    wrong, fired = differential.differences(seed=11, rule_sets=20, facts_each=30)
    assert wrong == 0
    assert fired > 2000


def test_differential_has_power() -> None:
    """An oracle that takes `<=` for `<` must be caught."""
    wrong, _ = differential.differences(seed=11, rule_sets=3, facts_each=30, compare=differential.WRONG)
    assert wrong > 5


@pytest.mark.slow
def test_differential_large() -> None:
    script = Path(differential.__file__)
    done = subprocess.run(
        [sys.executable, str(script), "20", "300", "50"],
        capture_output=True,
        text=True,
        timeout=300,
        cwd=script.parents[1],
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("0 differences, ")


@st.composite
def specs(draw: st.DrawFn, depth: int = 3) -> differential.Spec:
    if depth and draw(st.booleans()):
        parts = draw(st.lists(specs(depth=depth - 1), min_size=1, max_size=3))
        return draw(st.sampled_from(["all", "any"])), parts
    fact = draw(st.sampled_from(list(differential.FACTS.values())))
    if draw(st.integers(0, 7)) == 0:
        return draw(st.sampled_from(["known", "unknown"])), fact.name
    if fact.kind == "number":
        return draw(st.sampled_from(list(differential.RIGHT))), fact.name, draw(st.sampled_from(differential.LIMITS))
    values = st.booleans() if fact.kind == "flag" else st.sampled_from(fact.values)
    return draw(st.sampled_from(["$eq", "$neq"])), fact.name, draw(values)


VALUES: dict[str, st.SearchStrategy[Any]] = {
    "number": st.sampled_from(differential.LIMITS) | st.floats(-1e9, 1e9) | st.integers(-(10**9), 10**9),
    "flag": st.booleans(),
    "text": st.sampled_from(differential.WORDS),
}


@settings(max_examples=60, deadline=None)
@given(
    st.lists(specs(), min_size=1, max_size=8),
    st.fixed_dictionaries({}, optional={name: VALUES[fact.kind] for name, fact in differential.FACTS.items()}),
)
def test_engine_is_plain_logic(drawn: list[differential.Spec], facts: dict[str, Any]) -> None:
    named = {f"r{number}": spec for number, spec in enumerate(drawn)}
    rule_set = RuleSet([(rule_id, differential.built(spec)) for rule_id, spec in named.items()], differential.FACTS)
    expected = {rule_id for rule_id, spec in named.items() if differential.oracle(spec, facts)}
    assert engine_answer(rule_set, facts) == expected
    assert rule_set.fired(facts) == expected


def test_forgetting_a_fact_never_fires_a_rule() -> None:
    # Holds for conditions that do not themselves ask whether a fact is known.
    rng = random.Random(4)
    rules = []
    while len(rules) < 60:
        spec = differential.random_spec(rng, 2)
        if "known" not in str(spec):  # "unknown" included
            rules.append((f"r{len(rules)}", differential.built(spec)))
    rule_set = RuleSet(rules, differential.FACTS)
    for _ in range(20):
        facts = differential.random_facts(rng)
        fired = rule_set.fired(facts)
        for name in facts:
            fewer = {other: value for other, value in facts.items() if other != name}
            assert rule_set.fired(fewer) <= fired


# --- what the engine would misread is refused, by name


@pytest.mark.parametrize(
    ("facts", "named"),
    [
        ({"core_c": float("nan")}, "core_c"),  # read as null
        ({"core_c": float("inf")}, "core_c"),
        ({"core_c": -float("inf")}, "core_c"),
        ({"core_c": 1e16}, "core_c"),  # an exponent cannot be parsed
        ({"core_c": 1.1e9}, "core_c"),
        ({"core_c": 2**63}, "core_c"),  # saturates
        ({"core_c": 10**400}, "core_c"),
        ({"core_c": None}, "core_c"),
        ({"core_c": "40"}, "core_c"),  # equals 40 there
        ({"core_c": True}, "core_c"),
        ({"core_c": [40.0]}, "core_c"),
        ({"core_c": {"value": 40.0}}, "core_c"),
        ({"smoke": 1}, "smoke"),
        ({"smoke": "true"}, "smoke"),  # equals true there
        ({"feel": 3.0}, "feel"),
        ({"feel": "crumbly"}, "feel"),
        ({"feel": "dry" + "z" * 65_533}, "feel"),  # lengths are kept in 16 bits
        ({"feel": "\ud800"}, "feel"),
        ({"core": 40.0}, "core"),
        ({"sid": "0"}, "sid"),
        ({"id": "0"}, "id"),
        ({"kind": "pile"}, "kind"),
        ({"g0": 1}, "g0"),
        ({"$s": 1}, "s"),
    ],
)
def test_facts_out_of_bounds_are_refused(rule_set: RuleSet, facts: dict[str, Any], named: str) -> None:
    for ask in (rule_set.fired, rule_set.fired_plainly):
        with pytest.raises(ValueError, match=named) as refusal:
            ask(facts)
        assert len(str(refusal.value)) < 150  # the value is not echoed in bulk


@each(
    [
        (1e-5, 0.0),  # the engine fails on 1e-05
        (0.00005001, 0.0001),
        (-1e-7, 0.0),
        (39.99996, 40.0),
        (1e9, 1e9),
        (-0.0, 0.0),
        (7, 7.0),
    ]
)
def test_numbers_are_kept_to_four_decimals(value: float, kept: float) -> None:
    rule_set = RuleSet([("at", c.Test("core_c", "$eq", kept)), ("below", core < kept)], FACTS)
    assert engine_answer(rule_set, {"core_c": value}) == {"at"}
    assert rule_set.fired({"core_c": value}) == {"at"}


@each(
    [
        (c.Test("core", "$lt", 1.0), "no fact is called core"),
        (c.Known("core", True), "no fact is called core"),
        (c.Test("feel", "$lt", "dry"), "does not fit feel"),  # texts have no order there
        (c.Test("smoke", "$gte", True), "does not fit smoke"),
        (c.Test("core_c", "$mt", 1.0), "does not fit core_c"),
        (c.Test("core_c", "$eq", "40"), "core_c is a number"),
        (c.Test("core_c", "$eq", True), "core_c is a number"),
        (c.Test("smoke", "$eq", 1.0), "smoke is a flag"),
        (c.Test("feel", "$eq", "crumbly"), "feel is a text"),
        (c.Test("core_c", "$lt", float("nan")), "core_c"),
        (core < float("inf"), "core_c"),
        (core < 2e9, "core_c"),
        (core < 0.00005, "4 decimals"),
    ]
)
def test_conditions_out_of_bounds_are_refused(condition: c.Condition, says: str) -> None:
    with pytest.raises(ValueError, match=f"rule odd: .*{says}"):
        RuleSet([("odd", condition)], FACTS)


@each(["id", "sid", "kind", "g0", "g12", "half", "$s", "$forward", "a.b", "Core", "caf\u00e9", ""])
def test_names_the_engine_keeps_for_itself_are_refused(name: str) -> None:
    fact = c.Fact(name, "number", "1", "a number")
    with pytest.raises(ValueError, match="cannot name a fact"):
        RuleSet([("odd", fact.known())], {name: fact})


def test_names_with_one_hash_are_refused() -> None:
    # A known colliding pair of 32-bit FNV-1a (from memory; the test itself proves it).
    pair = {name: c.Fact(name, "number", "1", "a number") for name in ("costarring", "liquid")}
    RuleSet([("a", pair["costarring"] > 0)], pair)
    with pytest.raises(ValueError, match="cannot tell"):
        RuleSet([("a", pair["costarring"] > 0), ("b", pair["liquid"] > 0)], pair)


@each(["z" * 201, "\ud800"])
def test_texts_the_engine_cannot_carry_are_refused(value: str) -> None:
    fact = c.Fact("note", "text", "", "a text", ("fine", value))
    with pytest.raises(ValueError, match="note"):
        RuleSet([("odd", fact.one_of("fine"))], {"note": fact})


def test_a_rule_id_is_used_once() -> None:
    with pytest.raises(ValueError, match="twice"):
        RuleSet([("a", core < 40), ("a", core > 40)], FACTS)


# --- the translation


def test_translation_is_in_the_engines_terms() -> None:
    condition = (core < 40) & (smoke.not_seen() | feel.one_of("dry")) & outer.known()
    assert to_engine(condition) == {
        "$and": [
            {"$lt": {"core_c": 40.0}},
            {"$or": [{"smoke": False}, {"$nex": {"smoke": 1}}, {"feel": "dry"}]},
            {"$ex": {"outer_c": 1}},
        ]
    }


def dicts_in(tree: Any) -> Iterator[dict[str, Any]]:
    if isinstance(tree, dict):
        yield tree
    for below in tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ():
        yield from dicts_in(below)


@given(specs(depth=4))
def test_translation_has_one_key_a_dict_and_no_empty_list(spec: differential.Spec) -> None:
    # A second key is ignored without a word, and an empty list hangs.
    for part in dicts_in(to_engine(differential.built(spec))):
        assert len(part) == 1
        assert [] not in part.values()


def test_every_rule_begins_with_the_mark_of_a_message(rule_set: RuleSet) -> None:
    # Otherwise it matches the engine's own record of its state and is fired without end.
    for condition in rule_set._definition:
        assert condition["$and"][0] == {"kind": "pile"}
        assert list(condition["$and"][1]) == ["g0"]


def test_only_facts_that_some_rule_reads_reach_the_engine(rule_set: RuleSet) -> None:
    unread = c.Fact("unread", "number", "1", "nobody reads it")
    rule_set = RuleSet(RULES, FACTS | {"unread": unread})
    assert rule_set._read == ["core_c", "feel", "outer_c", "smoke"]
    assert "unread" not in checked_facts({"unread": 3.0, "core_c": 1.0}, rule_set._declared, rule_set._read)
    assert rule_set.fired({"unread": 3.0, "core_c": 1.0}) == {"cold", "outer-unknown"}


# --- the engine's tables


@each([64, 65, 100, 200])
def test_more_rules_than_the_engines_stack_may_all_be_true(number: int) -> None:
    facts = wide(number)
    rule_set = RuleSet([(name, fact > 0) for name, fact in facts.items()], facts)
    assert engine_answer(rule_set, dict.fromkeys(facts, 1.0)) == facts.keys()
    assert engine_answer(rule_set, {"x3": 1.0}) == {"x3"}


def test_alternatives_that_are_all_true_fill_the_stack_no_further_than_allowed() -> None:
    rng = random.Random(8)
    facts = wide(40)
    for _ in range(15):
        rules: list[tuple[str, c.Condition]] = []
        for number in range(60):
            one, two, three, four, five = rng.sample(list(facts.values()), 5)
            rules.append((str(number), ((one > 0) | (two > 0)) & (three > 0) & (four.known() | (five > 0))))
        rule_set = RuleSet(rules, facts)
        assert engine_answer(rule_set, dict.fromkeys(facts, 1.0)) == {rule_id for rule_id, _ in rules}


def test_too_many_alternatives_at_one_place_are_refused() -> None:
    facts = wide(80)
    small = c.AnyOf(tuple(fact > 0 for fact in list(facts.values())[:50]))
    assert engine_answer(RuleSet([("any", small)], facts), {"x49": 2.0}) == {"any"}
    with pytest.raises(ValueError, match="alternatives"):
        RuleSet([("any", c.AnyOf(tuple(fact > 0 for fact in list(facts.values())[:61])))], facts)


def test_many_rules_that_ask_for_absence() -> None:
    facts = wide(190)
    rule_set = RuleSet([(name, fact.unknown()) for name, fact in facts.items()], facts)
    assert engine_answer(rule_set, {}) == facts.keys()
    assert engine_answer(rule_set, dict.fromkeys(facts, 0.0)) == set()


def test_many_rules_with_the_same_condition() -> None:
    # More than 255 rules ending at one place crash the engine; groups keep them apart.
    rules = [(str(number), core > 0) for number in range(300)]
    assert len(engine_answer(RuleSet(rules, FACTS), {"core_c": 1.0})) == 300


def test_groups_shrink_before_a_set_is_refused() -> None:
    facts = list(wide(60).values())
    narrow = [fact > 0 for fact in facts]
    broad = [c.AnyOf(tuple(fact > number for fact in facts[:6])) for number in range(27)]
    assert max(map(len, grouped(narrow))) == 16
    assert max(map(len, grouped(broad))) == 8  # 8 rules of 6 alternatives, and 3 more groups: 51 places of 60
    assert [condition for group in grouped(broad) for condition in group] == broad
    with pytest.raises(ValueError, match="split"):
        grouped([c.AnyOf(tuple(fact > 0 for fact in facts[:57])), *broad])


def test_more_facts_than_a_message_holds_are_refused() -> None:
    facts = wide(201)
    rules = [(name, fact > 0) for name, fact in facts.items()]
    RuleSet(rules[:200], facts)
    with pytest.raises(ValueError, match="201 facts"):
        RuleSet(rules, facts)


def nested(levels: int) -> c.Condition:
    condition: c.Condition = core > 0
    for level in range(levels):
        condition = (c.All if level % 2 else c.AnyOf)((condition,))
    return condition


def test_nesting_beyond_the_engines_sequence_is_refused() -> None:
    deepest = RuleSet([("deep", nested(14))], FACTS)
    assert engine_answer(deepest, {"core_c": 1.0}) == {"deep"}
    assert engine_answer(deepest, {"core_c": 0.0}) == set()
    with pytest.raises(ValueError, match="lists"):
        RuleSet([("deep", nested(15))], FACTS)


def test_a_rule_true_in_many_ways_is_given_once_and_the_ways_are_bounded() -> None:
    facts = wide(24)
    choices = [
        c.AnyOf(tuple(fact > 0 for fact in list(facts.values())[start : start + 4])) for start in range(0, 24, 4)
    ]
    rule_set = RuleSet([("many", c.All(tuple(choices[:3])))], facts)
    assert engine_answer(rule_set, dict.fromkeys(facts, 1.0)) == {"many"}
    assert len(rule_set._assert(dict.fromkeys(facts, 1.0))) == 64 + 1
    with pytest.raises(ValueError, match="ways"):
        RuleSet([("many", c.All(tuple(choices[:4])))], facts)
    # Values of one text exclude each other: one way only.
    texts = {name: c.Fact(name, "text", "", "a text", ("a", "b", "c", "d")) for name in ("t0", "t1", "t2", "t3")}
    exclusive = c.All(tuple(fact.one_of("a", "b", "c") for fact in texts.values()))
    assert engine_answer(RuleSet([("one", exclusive)], texts), dict.fromkeys(texts, "c")) == {"one"}


def test_no_rules_at_all() -> None:
    assert RuleSet([], FACTS).fired({"core_c": 1.0}) == set()


# --- living with the engine


def test_the_same_facts_again_and_again(rule_set: RuleSet) -> None:
    facts = {"core_c": 80.0, "smoke": True}
    for _ in range(3):
        assert engine_answer(rule_set, facts) == {"hot", "dry-or-smoking", "outer-unknown"}


def test_nothing_fired_leaves_the_engine_sound(rule_set: RuleSet) -> None:
    # A message no rule handles, then its state deleted, crashed the bare engine. Also more states than the 1,024 it
    # can hold at once.
    for _ in range(1500):
        assert engine_answer(rule_set, {}) == set()
    assert engine_answer(rule_set, {"core_c": 80.0, "outer_c": 1.0}) == {"hot", "no-smoke-seen"}


def test_four_threads() -> None:
    rng = random.Random(9)
    rules = differential.random_rules(rng, 40)
    rule_set = RuleSet([(rule_id, differential.built(spec)) for rule_id, spec in rules.items()], differential.FACTS)
    cases = [differential.random_facts(rng) for _ in range(100)]
    expected = [{rule_id for rule_id, spec in rules.items() if differential.oracle(spec, facts)} for facts in cases]

    def ask(number: int) -> bool:
        facts = checked_facts(cases[number % 100], rule_set._declared, rule_set._read)
        with rule_set._lock:
            found = rule_set._evaluate(facts)
        return found == expected[number % 100] == rule_set.fired(cases[number % 100])

    with ThreadPoolExecutor(4) as pool:
        assert all(pool.map(ask, range(1000)))  # two evaluations each


def test_no_thread_of_the_engine_runs_beside_ours() -> None:
    before = set(threading.enumerate())
    rule_set = RuleSet(RULES, FACTS)
    rule_set.fired({"core_c": 1.0})
    time.sleep(0.15)  # the library's own would start after 0.1 s
    assert set(threading.enumerate()) == before


def test_two_sets_live_side_by_side(rule_set: RuleSet) -> None:
    other = RuleSet([("warm", core > 30)], FACTS)
    assert other._ruleset._name != rule_set._ruleset._name
    for _ in range(3):
        assert engine_answer(other, {"core_c": 35.0}) == {"warm"}
        assert engine_answer(rule_set, {"core_c": 35.0}) == {"cold", "outer-unknown"}


def test_memory_of_a_discarded_set_is_freed() -> None:
    rule_set = RuleSet(RULES, FACTS)
    ruleset = rule_set._ruleset
    del rule_set
    with pytest.raises(Exception, match="111"):  # the engine's word for a handle it no longer knows
        ruleset.delete_state("0")


def test_the_engine_is_rebuilt_after_a_native_failure(rule_set: RuleSet, caplog: pytest.LogCaptureFixture) -> None:
    # Half a surrogate pair cannot cross into C: a real failure of the real call.
    before = rule_set._ruleset._name
    rule_set._sids = chain(["\ud800"], rule_set._sids)
    assert rule_set.fired({"core_c": 80.0, "outer_c": 1.0}) == {"hot", "no-smoke-seen"}
    assert rule_set._ruleset._name != before
    assert "built anew" in caplog.text
    caplog.clear()
    assert rule_set.fired({"core_c": 30.0}) == {"cold", "outer-unknown"}
    assert not caplog.records


def test_the_engine_is_rebuilt_when_its_memory_is_gone(rule_set: RuleSet) -> None:
    durable.engine.durable_rules_engine.delete_ruleset(rule_set._ruleset._handle)
    assert rule_set.fired({"core_c": 30.0}) == {"cold", "outer-unknown"}


def test_two_failures_in_a_row_are_an_error_and_then_it_recovers(rule_set: RuleSet) -> None:
    # After the first failure the rebuilt engine primes itself with the second broken state id.
    rule_set._sids = chain(["\ud800", "\ud800"], rule_set._sids)
    with pytest.raises(EngineError):
        rule_set.fired({"core_c": 30.0})
    assert rule_set.fired({"core_c": 30.0}) == {"cold", "outer-unknown"}


def test_a_step_of_the_clock_does_not_lose_rules(
    rule_set: RuleSet, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    # The library's own loop drops the rest of the rules when its wall clock moves on by 10 s within an action.
    real, ticks = durable.engine._unix_now, count()
    monkeypatch.setattr(durable.engine, "_unix_now", lambda: real() + 11 * next(ticks))
    assert engine_answer(rule_set, {"core_c": 80.0, "smoke": True}) == {"hot", "dry-or-smoking", "outer-unknown"}
    assert not caplog.records


def test_a_difference_is_logged_and_plain_python_wins(rule_set: RuleSet, caplog: pytest.LogCaptureFixture) -> None:
    rule_set._certain = lambda facts: frozenset({"hot"})
    assert rule_set.fired({"core_c": 30.0, "feel": "wet"}) == {"hot"}
    [record] = caplog.records
    assert record.levelno == logging.ERROR
    assert "['cold', 'hot', 'outer-unknown']" in record.getMessage()
    assert "30" not in record.getMessage()
    assert "wet" not in record.getMessage()


def run_apart(program: str, **environment: str) -> str:
    """Run a program in a process of its own and give what it printed."""
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=Path(__file__).parents[1],
        env=os.environ | environment,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    return done.stdout


SETTING_UP = """
import json, os
from rules.language import conditions as c
from rules.engine.adapter import EngineError, RuleSet
core = c.Fact("core_c", "number", "degC", "core")
def build(): return RuleSet([("cold", core < 40.5), ("hot", core > 75)], {"core_c": core})
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("held", [False, True])
def test_a_fork_may_happen_at_any_time(held: bool) -> None:
    program = f"""{SETTING_UP}
rules = build()
rules.fired({{"core_c": 1.0}})
if {held}: rules._lock.acquire()  # as if another thread were inside the engine
children = []
for _ in range(3):
    child = os.fork()
    if child == 0:
        right = all(rules.fired({{"core_c": t}}) == ({{"cold"}} if t < 40.5 else set()) for t in range(70))
        os._exit(0 if right else 1)
    children.append(child)
print(json.dumps([os.waitpid(child, 0)[1] for child in children]))
"""
    assert json.loads(run_apart(program)) == [0, 0, 0]


@pytest.mark.skipif(shutil.which("localedef") is None, reason="no locale can be made here")
def test_a_locale_with_a_decimal_comma_is_refused(tmp_path: Path) -> None:
    # The engine reads decimals by atof, which obeys LC_NUMERIC.
    made = ["localedef", "-i", "de_DE", "-f", "UTF-8", str(tmp_path / "de_DE.UTF-8")]
    if subprocess.run(made, capture_output=True, check=False).returncode:
        pytest.skip("the sources of the locale are not installed")
    program = f"""{SETTING_UP}
import locale
build()
locale.setlocale(locale.LC_NUMERIC, "de_DE.UTF-8")
try:
    build()
except EngineError as error:
    print("LC_NUMERIC" in str(error))
"""
    assert run_apart(program, LOCPATH=str(tmp_path)) == "True\n"
