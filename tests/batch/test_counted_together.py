"""Heat and rules of many heaps at once against one at a time."""

from __future__ import annotations

import random
from functools import cache
from itertools import cycle
from typing import Any, get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.actions.records import ACTIONS
from rules.engine.envelope import checked_facts
from rules.engine.inference import cautions_beside, infer, infer_plainly
from rules.language import facts as f
from rules.language.conditions import Fact
from service.batch.columns import FactColumns, rounded
from service.batch.ensembles import MEMBERS, ensembles
from service.batch.heat import BLOCK, NAMES, accounts_for
from service.batch.inference import Inferences
from service.heat.physics.members import members, weather_now
from service.picture.account import account_for
from service.picture.picture import seen_in
from service.picture.record import Seen
from service.status.models import AirPath, Cover, Tube
from service.status.reading import read_status
from service.units.estimate import Estimate
from tests import differential
from tests.batch.lines import random_bodies

TOLERANCE = 1e-12


@cache
def various_heaps() -> list[Seen]:
    """More than one block, the last not full; all covers, tubes and ways of the air among them."""
    covers, tubes, paths = (cycle(get_args(kind)) for kind in (Cover, Tube, AirPath))
    heaps = []
    for body in random_bodies(BLOCK + 85, seed=5):
        body["pile"]["cover"] = next(covers)
        for way, name, words in (("water", "tube", tubes), ("air", "path", paths)):
            if name in body.get("draw", {}).get(way, {}):
                body["draw"][way][name] = next(words)
        heaps.append(seen_in(read_status(body)))
    return heaps


def test_the_members_are_those_of_each_heap_alone() -> None:
    piles, state, weather = ensembles([heap.estimate for heap in various_heaps()])
    for place, heap in enumerate(various_heaps()):
        own = slice(place * MEMBERS, (place + 1) * MEMBERS)
        alone, its_state, _ = members(heap.estimate)
        its_weather = weather_now(heap.estimate)
        for joined, single in ((piles, alone), (state, its_state)):
            for name in single.__dataclass_fields__:
                together, by_itself = getattr(joined, name)[..., own], getattr(single, name)
                np.testing.assert_allclose(together, by_itself, rtol=TOLERANCE, atol=0, err_msg=name)
        np.testing.assert_allclose(weather.air_c[:, own], its_weather.air_c, rtol=TOLERANCE)
        np.testing.assert_allclose(weather.wind_m_s[:, own], its_weather.wind_m_s, rtol=TOLERANCE)


def test_the_accounts_are_those_of_each_heap_alone() -> None:
    for heap, together in zip(various_heaps(), accounts_for(various_heaps()), strict=True):
        alone = account_for(heap.estimate, heap.goal.days, heap.goal.keep_core_above_c, heap.derived)
        for name in NAMES:
            assert ends(getattr(together, name)) == pytest.approx(ends(getattr(alone, name)), rel=TOLERANCE), name


def ends(estimate: Estimate | None) -> tuple[float, ...]:
    return () if estimate is None else (estimate.low, estimate.value, estimate.high)


def test_an_estimate_that_cannot_be_is_refused() -> None:
    from dataclasses import replace

    nothing = replace(various_heaps()[0].estimate, mass_kg=Estimate(0.0, 0.0, 0.0, "measured"))
    with pytest.raises(ValueError, match="above 0"):
        ensembles([various_heaps()[1].estimate, nothing])


def test_random_conditions_hold_where_the_oracle_says() -> None:
    rng = random.Random(9)
    for _ in range(60):
        specs = differential.random_rules(rng, 12)
        known = [differential.random_facts(rng) for _ in range(25)]
        checked = [checked_facts(facts, differential.FACTS, differential.FACTS) for facts in known]
        columns = FactColumns(known, differential.FACTS, differential.FACTS)
        for spec in specs.values():
            expected = [differential.oracle(spec, facts) for facts in checked]
            assert columns.certainly(differential.built(spec)).tolist() == expected, spec


NEAR_TIES = st.builds(
    lambda whole, nudge: float(np.nextafter((whole + 0.5) / 10_000, nudge)),
    st.integers(-(10**9), 10**9),
    st.sampled_from([-np.inf, 0.0, np.inf]),
)


@given(st.lists(st.one_of(st.floats(-1e9, 1e9), NEAR_TIES, st.floats(-1, 1)), min_size=1, max_size=50))
def test_columns_are_rounded_as_single_facts_are(numbers: list[float]) -> None:
    assert rounded(np.array(numbers)).tolist() == [round(number, 4) for number in numbers]


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"strange": 1.0}, "no fact is called strange"),
        ({"core_c": "hot"}, "core_c is a number"),
        ({"core_c": True}, "core_c is a number"),
        ({"core_c": float("nan")}, "no number"),
        ({"core_c": 2e9}, "core_c is beyond"),
        ({"has_air_duct": 1.0}, "has_air_duct is a flag"),
        ({"smell": "roses"}, "smell cannot be 'roses'"),
    ],
)
def test_facts_that_cannot_be_are_refused(facts: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        FactColumns([{"core_c": 20.0}, facts], f.DECLARED, f.DECLARED)


def test_what_nobody_knows_is_certain_of_nobody() -> None:
    columns = FactColumns([{}, {"core_c": 50.0}], f.DECLARED, ["core_c", "outdoor_c"])
    assert columns.certainly(f.outdoor_c > 5.0).tolist() == [False, False]
    assert columns.certainly(f.outdoor_c.unknown()).tolist() == [True, True]
    assert columns.certainly(f.core_c.known()).tolist() == [False, True]


def values_of(fact: Fact) -> st.SearchStrategy[Any]:
    if fact.kind == "number":
        return st.one_of(
            st.floats(-40, 120), st.floats(0, 2), st.sampled_from([0.0, 30.0, 40.0, 50.0, 70.0, 75.0, 80.0])
        )
    return st.booleans() if fact.kind == "flag" else st.sampled_from(fact.values)


FACTS = st.fixed_dictionaries(
    {"core_c": st.floats(-5, 100), "age_days": st.floats(0, 400)},
    optional={name: values_of(fact) for name, fact in f.DECLARED.items() if name not in ("core_c", "age_days")},
)
ADVISED = st.lists(st.sampled_from(sorted(ACTIONS)), unique=True, max_size=4)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(FACTS, ADVISED), min_size=1, max_size=6))
def test_the_rules_fire_as_they_do_for_one_heap(heaps: list[tuple[dict[str, Any], list[str]]]) -> None:
    together = Inferences([facts for facts, _ in heaps])
    beside = together.cautions_beside([actions for _, actions in heaps])
    for (facts, actions), found, cautions in zip(heaps, together.of_each, beside, strict=True):
        alone = infer_plainly(facts)
        assert (found.facts, found.fired) == (alone.facts, alone.fired)
        assert cautions == cautions_beside(alone, actions)


def test_the_rules_fire_as_the_engine_says() -> None:
    known = [heap.derived.facts for heap in various_heaps()]
    for facts, found in zip(known, Inferences(known).of_each, strict=True):
        assert found.fired == infer(facts).fired


def test_every_cover_tube_and_way_is_among_the_heaps() -> None:
    covers = {heap.estimate.cover for heap in various_heaps()}
    assert covers == {"none", "clear_film", "tarp", "breathable", "straw"}
    water = [heap.estimate.water for heap in various_heaps() if heap.estimate.water is not None]
    assert {draw.tube for draw in water} >= {"copper", "plastic"}
    assert {draw.path for heap in various_heaps() if (draw := heap.estimate.air)} == {"closed_duct", "through_heap"}
