"""Random statuses held to every law; the printed table says which laws are not held yet."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import pytest

from tests.coherence.case import Body
from tests.coherence.habits import HABITS, habits
from tests.coherence.known import FULL, QUICK, ceiling
from tests.coherence.run import Breaches, example_of, held_to, table
from tests.coherence.statuses import statuses
from tests.each import each

LONG_QUICK = (20261128, 20_000)
LONG_FULL = (20261129, 3_000)


@each([(QUICK, False), (FULL, True)])
def test_no_answer_breaks_a_law(run: tuple[int, int], full: bool) -> None:
    _hold(*run, full=full)


@pytest.mark.slow
@pytest.mark.parametrize(("run", "full"), [(LONG_QUICK, False), (LONG_FULL, True)], ids=["none", "full"])
def test_no_answer_breaks_a_law_in_a_long_run(run: tuple[int, int], full: bool) -> None:
    _hold(*run, full=full)


def test_no_answer_to_people_of_some_habit_breaks_a_law() -> None:
    _hold(4, 3 * len(HABITS), full=False, drawn=habits)


@pytest.mark.slow
@pytest.mark.parametrize("full", [False, True], ids=["none", "full"])
def test_no_answer_to_people_of_some_habit_breaks_a_law_in_a_long_run(full: bool) -> None:
    _hold(20261130, (10 if full else 100) * len(HABITS), full=full, drawn=habits)


def _hold(seed: int, count: int, *, full: bool, drawn: Callable[[int, int], Iterable[Body]] = statuses) -> None:
    found = held_to(drawn(seed, count), full=full)
    over = [each for each in found.values() if each.count > _ceiling(each, count, full=full)]
    print(table(found, count))
    said = [f"{each.law.name} {each.count} (at most {_ceiling(each, count, full=full)})" for each in over]
    examples = [f"{each.law.name}: {example_of(each, full=full)}" for each in over[:5]]
    assert not over, "\n".join([", ".join(said), *examples])


def _ceiling(breaches: Breaches, count: int, *, full: bool) -> int:
    return ceiling(breaches.law.name, full=full, count=count, rate=breaches.law.rate)


def test_the_same_seed_gives_the_same_statuses_and_another_seed_others() -> None:
    assert list(statuses(3, 5)) == list(statuses(3, 5))
    assert list(statuses(3, 5)) != list(statuses(4, 5))


def test_every_field_is_told_in_some_statuses_and_left_out_in_others() -> None:
    drawn = list(statuses(5, 400))
    for field in (
        "history",
        "draw",
        "greenhouse",
        "weather",
        "on_hand",
        "signs",
        "smell",
        "goal",
        "probe",
        "equipment",
    ):
        told = sum(field in body for body in drawn)
        assert 40 < told < 360, (field, told)


def test_the_shrinker_keeps_what_breaks_and_drops_the_rest() -> None:
    from tests.coherence.shrink import smallest

    body = next(iter(statuses(1, 1)))
    small = smallest(body | {"smell": "sour"}, lambda less: less.get("smell") == "sour")
    assert set(small) == {"as_of", "smell"}
