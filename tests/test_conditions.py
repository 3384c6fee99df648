"""Conditions: how they are written, three-valued truth, negation, and saying why not."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.engine.plain import compile_all
from rules.language import conditions as c
from tests.each import each

core = c.Fact("core_c", "number", "degC", "core")
trend = c.Fact("trend", "number", "K/day", "trend")
smoke = c.Fact("smoke", "flag", "", "smoke")
steam = c.Fact("steam", "flag", "", "steam")
feel = c.Fact("feel", "text", "", "squeeze test", ("dry", "damp", "wet"))
COLD = c.Threshold("COLD", 40.0, "degC", "cold below here", None)


def leaf_conditions() -> st.SearchStrategy[c.Condition]:
    numbers = st.builds(
        c.Test,
        st.sampled_from(["core_c", "trend"]),
        st.sampled_from(["$lt", "$lte", "$gt", "$gte", "$eq", "$neq"]),
        st.sampled_from([-1.0, 0.0, 40.0]),
    )
    flags = st.builds(c.Test, st.sampled_from(["smoke", "steam"]), st.sampled_from(["$eq", "$neq"]), st.booleans())
    texts = st.builds(c.Test, st.just("feel"), st.sampled_from(["$eq", "$neq"]), st.sampled_from(feel.values))
    return st.one_of(numbers, flags, texts)


def trees(leaves: st.SearchStrategy[c.Condition]) -> st.SearchStrategy[c.Condition]:
    return st.recursive(
        leaves,
        lambda below: st.one_of(
            st.lists(below, min_size=1, max_size=4).map(lambda parts: c.All(tuple(parts))),
            st.lists(below, min_size=1, max_size=4).map(lambda parts: c.AnyOf(tuple(parts))),
        ),
        max_leaves=12,
    )


presence = st.builds(c.Known, st.sampled_from(["core_c", "smoke", "feel"]), st.booleans())
conditions = trees(st.one_of(leaf_conditions(), presence))
conditions_without_presence = trees(leaf_conditions())
facts_known = st.fixed_dictionaries(
    {},
    optional={
        "core_c": st.sampled_from([-1.0, 0.0, 39.9, 40.0, 40.1]),
        "trend": st.sampled_from([-1.0, 0.0, 1.0]),
        "smoke": st.booleans(),
        "steam": st.booleans(),
        "feel": st.sampled_from(feel.values),
    },
)


@each(
    [
        (core < COLD, {"core_c": 39.9}, True),
        (core < COLD, {"core_c": 40.0}, False),
        (core <= COLD, {"core_c": 40.0}, True),
        (core > 40, {"core_c": 40.0}, False),
        (core >= 40, {"core_c": 40.0}, True),
        (core < COLD, {}, None),
        (smoke.is_true(), {"smoke": True}, True),
        (smoke.is_true(), {"smoke": False}, False),
        (smoke.is_false(), {}, None),
        (smoke.not_seen(), {}, True),
        (smoke.not_seen(), {"smoke": False}, True),
        (smoke.not_seen(), {"smoke": True}, False),
        (core.known(), {}, False),
        (core.unknown(), {}, True),
        (core.known(), {"core_c": 0.0}, True),
        (feel.one_of("dry"), {"feel": "dry"}, True),
        (feel.one_of("dry", "wet"), {"feel": "damp"}, False),
        (feel.one_of("dry", "wet"), {}, None),
    ]
)
def test_truth_of_single_tests(condition: c.Condition, facts: c.Facts, truth: bool | None) -> None:
    assert c.holds(condition, facts) is truth


# Kleene, Introduction to Metamathematics (1952), section 64, the strong tables; from memory.
@each(
    [
        (True, True, True, True),
        (True, False, False, True),
        (True, None, None, True),
        (False, False, False, False),
        (False, None, False, None),
        (None, None, None, None),
    ]
)
def test_joining_follows_the_strong_three_valued_tables(
    left: bool | None, right: bool | None, both: bool | None, either: bool | None
) -> None:
    for one, other in ((left, right), (right, left)):
        facts = {name: truth for name, truth in (("smoke", one), ("steam", other)) if truth is not None}
        assert c.holds(smoke.is_true() & steam.is_true(), facts) is both
        assert c.holds(smoke.is_true() | steam.is_true(), facts) is either


@given(conditions, facts_known)
def test_negation_swaps_true_and_false_and_keeps_unknown(condition: c.Condition, facts: c.Facts) -> None:
    truth = c.holds(condition, facts)
    assert c.holds(c.negated(condition), facts) is (None if truth is None else not truth)
    assert c.negated(c.negated(condition)) == condition


@given(conditions, facts_known)
def test_compiled_means_certainly_true(condition: c.Condition, facts: c.Facts) -> None:
    assert compile_all({"it": condition})(facts) == ({"it"} if c.holds(condition, facts) is True else set())


@given(conditions_without_presence, facts_known, st.data())
def test_knowing_less_never_decides_otherwise(condition: c.Condition, facts: c.Facts, data: st.DataObject) -> None:
    # Monotony in information: holds for every condition that does not ask whether a fact is known.
    kept = data.draw(st.sets(st.sampled_from(sorted(facts)))) if facts else set()
    fewer = {name: facts[name] for name in kept}
    assert c.holds(condition, fewer) in (None, c.holds(condition, facts))


def test_unknown_is_settled_alike_by_every_completion() -> None:
    # What is true for certain stays true however the missing facts turn out.
    condition = (core < COLD) & (smoke.is_false() | feel.one_of("dry", "damp"))
    for known in ({"core_c": 30.0, "smoke": False}, {"core_c": 30.0, "feel": "dry"}):
        assert c.holds(condition, known) is True
        for smoke_seen, feels in product((True, False), feel.values):
            assert c.holds(condition, {"smoke": smoke_seen, "feel": feels} | known) is True


@each(
    [
        (lambda: smoke < 3, TypeError),
        (lambda: feel > 3, TypeError),
        (core.is_true, TypeError),
        (feel.is_false, TypeError),
        (lambda: core.one_of("dry"), TypeError),
        (lambda: feel.one_of("soggy"), ValueError),
        (feel.one_of, ValueError),
        (lambda: trend < COLD, ValueError),  # K/day is no degC
        (lambda: c.All(()), ValueError),
        (lambda: c.AnyOf(()), ValueError),
        (lambda: core < 40 and smoke.is_true(), TypeError),
        (lambda: 30 < core < 40, TypeError),
        (lambda: not smoke.is_true(), TypeError),
    ]
)
def test_slips_in_writing_a_condition_are_refused(write: object, error: type[Exception]) -> None:
    with pytest.raises(error):
        write()  # type: ignore[operator]


def test_joins_are_flat_and_leaves_come_in_order() -> None:
    condition = (core < COLD) & smoke.is_false() & (feel.one_of("dry", "damp") | steam.known())
    assert isinstance(condition, c.All)
    assert len(condition.parts) == 3
    assert [leaf.fact for leaf in c.leaves(condition)] == ["core_c", "smoke", "feel", "feel", "steam"]
    assert c.facts_read(condition) == {"core_c", "smoke", "feel", "steam"}


def test_explain_gives_each_test_its_value_truth_and_distance() -> None:
    condition = (core < COLD) & (trend <= -0.7) & smoke.is_false() & feel.one_of("dry") & steam.unknown() & core.known()
    assert c.tested_leaves(condition, {"core_c": 47.5, "smoke": True, "feel": "dry"}) == [
        c.Leaf("core_c", "$lt", 40.0, 47.5, False, 7.5, "COLD"),
        c.Leaf("trend", "$lte", -0.7, None, None, None, None),
        c.Leaf("smoke", "$eq", False, True, False, None, None),
        c.Leaf("feel", "$eq", "dry", "dry", True, None, None),
        c.Leaf("steam", "$nex", None, None, True, None, None),
        c.Leaf("core_c", "$ex", None, 47.5, True, None, None),
    ]


@given(conditions, facts_known)
def test_explained_leaves_agree_with_the_whole(condition: c.Condition, facts: c.Facts) -> None:
    explained = c.tested_leaves(condition, facts)
    assert [leaf.fact for leaf in explained] == [leaf.fact for leaf in c.leaves(condition)]
    truths = [leaf.truth for leaf in explained]
    # Nothing in these trees negates, so leaves that all agree settle the whole.
    if len(set(truths)) == 1:
        assert c.holds(condition, facts) is truths[0]
    assert all(leaf.gap is None or leaf.gap >= 0 for leaf in explained)
