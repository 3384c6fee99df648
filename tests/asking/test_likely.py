"""How likely answers are, what actions gain with weights, and what a question is worth."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from rules.engine.inference import infer_plainly
from rules.tables.questions import QUESTIONS, Question
from service.actions.decision import decide_in_full
from service.actions.gains import Effects
from service.actions.whatif import Ahead
from service.picture.account import accounts_from
from service.picture.picture import learned_picture
from service.picture.record import Picture
from service.status.reading import read_status
from service.worth.checks import MOST_ASKED, Weighed, ask_next, weigh
from service.worth.heaps import heaps_of
from service.worth.likelihood import likelihoods
from tests.each import each
from tests.strategies import Body, bodies

BY_FIELD = {question.field: question for question in QUESTIONS}
PILE: Body = {
    "age": 40,
    "size": {"volume": "10 m3"},
    "ingredients": [{"material": "wood_chips", "amount": 3000}, {"material": "horse_manure", "amount": 900}],
    "cover": "none",
}
KNOWN: Body = {
    "as_of": "2026-01-18T07:30:00Z",
    "pile": PILE,
    "temperatures": {"core": 42, "outdoor": -1},
    "equipment": [],
    "signs": [],
    "smell": "earthy",
    "history": [{"at": "2026-01-15T07:30:00Z", "core": 45}],
    "probe": {"length": "1.2 m"},
}


def ahead_of(body: Body) -> tuple[Picture, str, Ahead]:
    """The picture of a status, its first action, and what was looked ahead for."""
    picture = learned_picture(read_status(body))
    decision = decide_in_full(picture, infer_plainly(picture.derived.facts))
    assert decision.ahead is not None
    return picture, decision.ranked[0].action.id, decision.ahead


def chances(question: Question, **changed: Any) -> dict[Any, float]:
    """Chance of each answer, by what it sets first."""
    picture, _, ahead = ahead_of({**KNOWN, **changed})
    heaps = heaps_of(picture, ahead)
    rows = likelihoods(question, picture, heaps) @ heaps.weights
    return {
        str(next(iter(answer.sets.values()))): float(row) for answer, row in zip(question.answers, rows, strict=True)
    }


def weighed(**changed: Any) -> dict[str, Weighed]:
    return {one.question.field: one for one in weigh(*ahead_of({**KNOWN, **changed}))}


@settings(max_examples=6, deadline=None)
@given(bodies())
def test_laws_of_any_status(body: Body) -> None:
    picture, first, ahead = ahead_of(body)
    heaps = heaps_of(picture, ahead)
    for one in weigh(picture, first, ahead):
        rows = likelihoods(one.question, picture, heaps)
        assert rows.shape == (len(one.question.answers), heaps.weights.size)
        assert rows.min() >= 0 and rows.sum(axis=0) == pytest.approx(1)
        assert -1e-9 <= one.chance <= 1 + 1e-9
        assert one.loss >= 0
        assert sum(world.chance for world in one.worlds) == pytest.approx(1, abs=0.05)
        if one.chance == 0:
            assert one.loss == 0
    assert sorted(Effects.of(ahead).gains(heaps.weights)) == sorted(ahead.gains())


def test_gains_over_equal_weights_are_those_of_the_ranking() -> None:
    _, _, ahead = ahead_of({**KNOWN, "moisture_feel": "dry"})
    found = Effects.of(ahead).gains(np.full(64, 1 / 64))
    assert len(found) > 1
    assert found == pytest.approx(ahead.gains(), abs=1e-9)


def test_a_heavy_member_decides() -> None:
    effects = Effects(("a",), 3.6e7 * np.array([[-5.0, 3.0, 8.0]]), np.zeros((1, 3)), 3.6e8, 30.0)
    assert effects.gains(np.array([0.0, 0.0, 1.0])) == {"a": pytest.approx(0.8)}
    assert effects.gains(np.array([1.0, 1.0, 1.0])) == {"a": 0.0}  # cannot be told from nothing
    assert effects.expected(np.array([0.5, 0.5, 0.0])) == {"a": pytest.approx(0.0)}
    assert Effects.of(None).gains(np.ones(3)) == Effects.of(None).expected(np.ones(3)) == {}


def test_the_account_over_weights_follows_the_heavy_members() -> None:
    # Without a log: with one, the account is counted on members weighed by its slope, and these are learned from it.
    picture, _, ahead = ahead_of({name: value for name, value in KNOWN.items() if name != "history"})
    heaps = heaps_of(picture, ahead)
    made = heaps.counted.flows["made_w"]
    one = np.where(np.arange(64) == 17, 1.0, 0.0)
    facts = picture.derived.facts
    assert accounts_from(heaps.counted, facts, one).made.value == made[17]
    equal = accounts_from(heaps.counted, facts, np.full(64, 1 / 64)).made
    assert equal.low == pytest.approx(picture.accounts.made.low, rel=0.1)


def test_the_squeeze_test_is_foreseen_from_the_ingredients() -> None:
    wet_mix = [{"material": "wood_chips", "amount": 1000}, {"material": "grass_clippings", "amount": 4000}]
    dry_mix = [{"material": "wood_chips_dry", "amount": 3000}, {"material": "straw", "amount": 600}]
    feel = BY_FIELD["/moisture_feel"]
    wet, dry = (chances(feel, pile={**PILE, "ingredients": mix}) for mix in (wet_mix, dry_mix))
    assert wet["soggy"] + wet["wet"] > 0.6
    assert dry["dusty"] + dry["dry"] > 0.6


def test_the_trend_is_foreseen_from_what_the_heap_makes_and_loses() -> None:
    trend = BY_FIELD["/history"]
    losing = {"age": 200, "size": {"volume": "2 m3"}, "cover": "none"}
    fresh = {**PILE, "age": 3, "moisture": 55}
    falling = chances(trend, pile=losing, temperatures={"core": 60, "outdoor": -15}, history=None)
    rising = chances(trend, pile=fresh, temperatures={"core": 25, "outdoor": 8}, history=None)
    assert falling["falling"] > 0.6 > falling["rising"]
    assert rising["rising"] > 0.5 > rising["falling"]


@each(
    [
        ("/smell", {"pile": {**PILE, "moisture": 72}}, "sour", "musty"),
        ("/signs", {"pile": {**PILE, "moisture": 30}}, "['dry_pockets']", "['leachate']"),
        ("/signs", {"pile": {**PILE, "moisture": 72}}, "['leachate']", "['dry_pockets']"),
        ("/temperatures/outdoor", {"temperatures": {"core": 42, "outdoor": -9}}, "-8.0", "8.0"),
        ("/weather/low", {"temperatures": {"core": 42, "outdoor": 9}}, "5.0", "-12.0"),
        ("/temperatures/outer", {"temperatures": {"core": 22, "outdoor": -9}}, "12.0", "40.0"),
        ("/pile/size", {"pile": {"age": 40, "size": {"volume": "24 m3"}}}, "25.0", "3.0"),
        (
            "/draw/water/outlet",
            {"draw": {"water": {"flow": 8, "inlet": 6, "tube": "plastic", "tube_length": 20}}},
            "14.0",
            "40.0",
        ),
    ]
)
def test_answers_that_fit_the_heap_are_likelier(field: str, changed: Body, likelier: str, than: str) -> None:
    found = chances(BY_FIELD[field], **changed)
    assert found[likelier] > 2 * found[than]


def test_the_squeeze_test_is_worth_most_where_water_decides() -> None:
    found = weighed()
    assert next(iter(found)) == "/moisture_feel"
    best = found["/moisture_feel"]
    assert best.chance > 0.1
    dry = {world.answer.sets["/moisture_feel"]: world.first_action for world in best.worlds}
    assert dry["dusty"] == "add_water"


def test_in_a_fire_no_answer_changes_anything() -> None:
    assert all(one.chance == 0 == one.loss for one in weighed(temperatures={"core": "86 degC"}).values())


def test_what_is_known_is_not_asked_for() -> None:
    told = weighed(moisture_feel="damp")
    for field in ("/moisture_feel", "/history", "/smell", "/pile/size", "/pile/cover", "/draw", "/probe/length"):
        assert field not in told


def test_without_weighing_the_order_of_the_table_stands() -> None:
    picture, first, _ = ahead_of({"pile": {"age": 20}, "temperatures": {"core": 45}})
    shown = ask_next(picture, first, weighed=False)
    assert [one["field"] for one in shown] == [question.field for question in QUESTIONS[:MOST_ASKED]]
    assert all(one["changes_first_action"] is None and one["heat_at_stake"] is None for one in shown)


def test_each_answer_is_tried_once_at_most() -> None:
    found = weighed(signs=None, smell=None, history=None, probe=None, pile={"age": 40}, equipment=["water_loop"])
    assert len(found) >= 8
    for one in found.values():
        assert 0 < len(one.worlds) <= len(one.question.answers)
