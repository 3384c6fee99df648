"""The ranking: one order, and nothing that contradicts itself."""

from __future__ import annotations

import random
from dataclasses import replace

from rules.actions.conflicts import CONFLICTS, EXCLUSIVE_WHEN_FIRE
from rules.language import facts as f
from rules.language.model import Act, Avoid, Finding, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE
from service.actions.order import NEXT_TO_NOTHING
from service.actions.rank import rank
from tests.each import each


def asks(action: str, urgency: Urgency, confidence: float = 0.7, *, last_resort: bool = False) -> Rule:
    """A rule that asks for an action."""
    return Rule(
        id=f"test.{action.replace('_', '-')}-{urgency.value}-{confidence}",
        when=f.core_c.known(),
        reason="",
        gives=Act(action, urgency, last_resort),
        source=COMMON_PRACTICE,
        confidence=confidence,
    )


def warns(action: str) -> Rule:
    """A rule that warns off an action."""
    return Rule(id=f"test.no-{action}", when=f.core_c.known(), reason="", gives=Avoid(action), source=COMMON_PRACTICE)


def order(*rules: Rule, **known: object) -> list[str]:
    """Action ids in the order of the ranking."""
    return [item.action.id for item in rank(rules, **known)]  # type: ignore[arg-type]


def urgencies(*rules: Rule, **known: object) -> dict[str, Urgency]:
    """When each action is due."""
    return {item.action.id: item.urgency for item in rank(rules, **known)}  # type: ignore[arg-type]


TODAY, WEEK, NOW = Urgency.TODAY, Urgency.THIS_WEEK, Urgency.NOW

ORDERED = [
    ("safety before urgency", [asks("add_water", NOW), asks("ventilate_greenhouse", TODAY)], "ventilate_greenhouse"),
    (
        "safety in a month does not push ahead",
        [asks("add_water", TODAY), asks("watch_heat", Urgency.THIS_MONTH)],
        "add_water",
    ),
    ("urgency before heat", [asks("add_water", WEEK), asks("check_probe", TODAY)], "check_probe"),
    ("heat before confidence", [asks("add_water", TODAY, 0.3), asks("check_probe", TODAY, 0.9)], "add_water"),
    ("confidence before effort", [asks("drain_duct", TODAY, 0.9), asks("check_fan", TODAY, 0.5)], "drain_duct"),
    ("effort last", [asks("drain_duct", TODAY), asks("check_fan", TODAY)], "check_fan"),
]


@each(ORDERED)
def test_what_comes_first(name: str, rules: list[Rule], first: str) -> None:
    assert order(*rules)[0] == first
    assert order(*reversed(rules)) == order(*rules)


def test_the_order_does_not_depend_on_the_order_of_the_rules() -> None:
    rules = [asks(action, TODAY) for action in ("check_fan", "check_loop", "check_probe", "remove_snow", "insulate")]
    expected = order(*rules)
    for seed in range(20):
        shuffled = rules[:]
        random.Random(seed).shuffle(shuffled)
        assert order(*shuffled) == expected


def test_the_most_urgent_rule_sets_the_urgency_and_both_stay_as_reasons() -> None:
    (item,) = rank([asks("add_water", WEEK), asks("add_water", TODAY)])
    assert item.urgency is TODAY
    assert len(item.rules) == 2


def test_a_warning_takes_the_action_out() -> None:
    assert order(asks("add_water", NOW), asks("check_probe", WEEK), warns("add_water")) == ["check_probe"]


def test_the_last_resort_gives_way_to_anything() -> None:
    last = asks("wait", WEEK, last_resort=True)
    assert order(last) == ["wait"]
    assert order(last, asks("check_fan", Urgency.THIS_MONTH)) == ["check_fan"]
    assert order(last, asks("add_water", NOW), warns("add_water")) == ["wait"]


def test_in_a_fire_only_what_is_safe_stays() -> None:
    ranked = order(*(asks(action, NOW) for action in ("keep_clear_and_call_fire_service", "add_water", "loosen_pile")))
    assert ranked == ["keep_clear_and_call_fire_service"]
    assert "add_water" not in EXCLUSIVE_WHEN_FIRE


@each(CONFLICTS)
def test_no_two_that_contradict_stand_together(conflict: object) -> None:
    keeps, drops = conflict.keeps, conflict.drops  # type: ignore[attr-defined]
    assert drops not in order(asks(keeps, TODAY), asks(drops, TODAY))
    assert keeps in order(asks(keeps, TODAY), asks(drops, TODAY))


def test_what_is_on_hand_moves_nothing_but_water_in_frost() -> None:
    water, fan = asks("add_water", TODAY), asks("check_fan", TODAY)
    assert order(water, fan) == ["add_water", "check_fan"]
    assert order(water, fan, on_hand=frozenset(), freezing=False) == ["add_water", "check_fan"]
    assert order(water, fan, on_hand=None, freezing=True) == ["add_water", "check_fan"]
    assert order(water, fan, on_hand=frozenset({"water"}), freezing=True) == ["add_water", "check_fan"]
    assert order(water, fan, on_hand=frozenset(), freezing=True) == ["check_fan", "add_water"]


def test_a_simulated_gain_replaces_the_expected_one() -> None:
    water, feed = asks("add_water", TODAY), asks("add_nitrogen", TODAY)
    assert order(water, feed)[0] == "add_water"
    assert order(water, feed, gains={"add_water": 0.01, "add_nitrogen": 0.2})[0] == "add_nitrogen"


def test_keep_going_yields_to_what_is_pressing_on_the_heap_only() -> None:
    keep = asks("keep_going", TODAY)
    assert order(keep, asks("add_water", TODAY)) == ["add_water"]
    assert order(keep, asks("light_backup_heat", TODAY)) == ["keep_going", "light_backup_heat"]
    assert "keep_going" in order(keep, asks("check_probe", Urgency.THIS_MONTH))
    assert order(keep, asks("raise_draw", Urgency.THIS_MONTH)) == ["raise_draw"]


def test_what_gains_nothing_goes_behind_what_clearly_gains() -> None:
    film, wrap, probe = asks("cover_with_clear_film", TODAY), asks("insulate", WEEK), asks("check_probe", WEEK)
    for gain in (0.0, NEXT_TO_NOTHING, -0.1):
        ranked = rank([film, wrap, probe], gains={"cover_with_clear_film": gain, "insulate": 0.1})
        assert [item.action.id for item in ranked] == ["insulate", "check_probe", "cover_with_clear_film"]
        assert ranked[-1].urgency is WEEK
    assert order(film, wrap, gains={"cover_with_clear_film": 0.0, "insulate": 0.0})[0] == "cover_with_clear_film"


def test_what_likely_loses_is_not_first_but_stands_where_nothing_else_does() -> None:
    dig, probe = asks("loosen_pile", TODAY), asks("check_probe", WEEK)
    assert order(dig, probe, gains={"loosen_pile": -0.1}) == ["check_probe", "loosen_pile"]
    assert order(dig, gains={"loosen_pile": -0.1}) == ["loosen_pile"]


def test_nothing_is_fed_for_nothing() -> None:
    feed, probe = asks("add_nitrogen", TODAY), asks("check_probe", WEEK)
    assert order(feed, probe, gains={"add_nitrogen": 0.0}) == ["check_probe"]
    assert order(feed, probe, gains={"add_nitrogen": NEXT_TO_NOTHING}) == ["add_nitrogen", "check_probe"]


def test_near_a_fire_nothing_is_put_off_for_the_heat_it_costs() -> None:
    hot = Rule(
        id="test.hot",
        when=f.core_c.known(),
        reason="",
        gives=Finding("very_hot"),
        source=COMMON_PRACTICE,
    )
    vent, wrap = asks("open_vent_in_film", TODAY), asks("check_probe", WEEK)
    assert order(vent, wrap, hot, gains={"open_vent_in_film": -0.2})[0] == "open_vent_in_film"


def test_a_switch_comes_before_digging_that_is_as_urgent() -> None:
    dig, tap = asks("add_dry_bulking", TODAY, 0.9), asks("stop_adding_water", TODAY, 0.5)
    assert order(dig, tap) == ["stop_adding_water", "add_dry_bulking"]
    assert order(dig, asks("stop_adding_water", WEEK)) == ["add_dry_bulking", "stop_adding_water"]


def test_what_is_due_today_is_not_put_off_for_what_helps_weeks_later() -> None:
    overdrawn = replace(asks("wait", TODAY), id="test.overdrawn", gives=Finding("overdrawn"))
    less, later, gains = asks("reduce_draw", TODAY), asks("enlarge_pile", WEEK), {"reduce_draw": -0.1}
    assert order(less, later, overdrawn, gains=gains, cool_soon=True)[0] == "reduce_draw"
    assert order(less, later, overdrawn, gains=gains)[0] == "enlarge_pile"
    assert order(less, later, overdrawn, gains=gains | {"enlarge_pile": 0.2}, cool_soon=True)[0] == "enlarge_pile"
    assert order(less, asks("insulate", WEEK), overdrawn, gains=gains, cool_soon=True)[0] == "insulate"


def test_looking_for_the_cause_is_due_today_where_it_is_soon_cold_and_no_work_helps() -> None:
    look, later = asks("find_the_cause", WEEK), asks("start_next_pile", Urgency.THIS_MONTH)
    assert urgencies(look, later, cool_soon=True)["find_the_cause"] is TODAY
    assert urgencies(look, later)["find_the_cause"] is WEEK
    assert urgencies(look, asks("insulate", WEEK), cool_soon=True)["find_the_cause"] is WEEK


def test_what_is_in_doubt_is_looked_at_today_where_it_is_soon_cold_and_nothing_else_helps() -> None:
    look, later = asks("check_probe", Urgency.THIS_MONTH), asks("start_next_pile", WEEK)
    assert urgencies(look, later, cool_soon=True)["check_probe"] is TODAY
    assert urgencies(look, later)["check_probe"] is Urgency.THIS_MONTH
    assert urgencies(look, asks("insulate", WEEK), cool_soon=True)["check_probe"] is Urgency.THIS_MONTH


def test_a_switch_that_gains_too_little_to_matter_stays_below_what_clearly_gains() -> None:
    overdrawn = replace(asks("wait", TODAY), id="test.overdrawn", gives=Finding("overdrawn"))
    less, wrap = asks("reduce_draw", TODAY), asks("insulate", TODAY)
    for gain, first in ((NEXT_TO_NOTHING, "insulate"), (0.05, "reduce_draw")):
        gains = {"reduce_draw": gain, "insulate": 0.5}
        assert order(less, wrap, overdrawn, gains=gains, cool_soon=True)[0] == first


def test_the_stove_stands_above_work_that_likely_loses_and_below_all_other() -> None:
    stove, loosen = asks("light_backup_heat", Urgency.THIS_MONTH), asks("loosen_pile", Urgency.THIS_MONTH)
    assert order(stove, loosen, gains={"loosen_pile": -0.01}) == ["light_backup_heat", "loosen_pile"]
    assert order(stove, loosen, gains={"loosen_pile": 0.01}) == ["loosen_pile", "light_backup_heat"]
    assert order(stove, loosen) == ["loosen_pile", "light_backup_heat"]


def test_looking_stands_beside_work_of_later_where_it_is_soon_cold_and_nothing_is_due() -> None:
    later = asks("start_next_pile", Urgency.THIS_MONTH)
    look = asks("find_the_cause", TODAY, last_resort=True)
    assert order(later, look, cool_soon=True) == ["find_the_cause", "start_next_pile"]
    assert order(later, look) == ["start_next_pile"]
    assert order(asks("insulate", WEEK), look, cool_soon=True) == ["insulate"]


def test_what_answers_a_trouble_comes_before_keeping_on_unless_it_likely_loses() -> None:
    dry = Rule(
        id="test.dry",
        when=f.core_c.known(),
        reason="",
        gives=Finding("too_dry"),
        source=COMMON_PRACTICE,
        confidence=0.8,
    )
    rules = (dry, asks("add_water", WEEK), asks("keep_going", WEEK, 0.9))
    assert order(*rules)[0] == "add_water"
    assert order(*rules, gains={"add_water": 0.1})[0] == "add_water"
    assert order(*rules, gains={"add_water": -0.1}) == ["keep_going", "add_water"]
