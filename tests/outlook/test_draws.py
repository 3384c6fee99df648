"""What can be drawn steadily, held against runs of the model with just that draw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from service.actions.effects import fresh_heap
from service.course.draws import Steady, steady_draws
from service.course.heap import LearnedHeap, at_rest, heap_of, time_range
from service.course.run import Course, courses, days_until_cool, days_until_warm, run_blocks
from service.course.ways import ways_of
from service.heat.physics.arrays import Array
from service.heat.physics.piles import Piles
from service.picture.picture import picture_of
from service.picture.record import Picture
from tests.each import now_and_then
from tests.outlook.statuses import SMALLEST, STEADY, Body, status_of

LIMIT_C = 40.0


def ready(body: Body, days: int) -> tuple[Picture, LearnedHeap, Course]:
    picture = picture_of(status_of(body))
    heap = heap_of(picture, days)
    _, rest, _ = courses(heap, fresh_heap(picture.estimate))
    return picture, heap, rest


YOUNG = {**STEADY, "pile": {**STEADY["pile"], "age": 2}, "temperatures": {"core": 22, "outdoor": 4}}


def power(heap: LearnedHeap, rest: Course, limit_c: float) -> Steady:
    return steady_draws(heap, rest, limit_c, [])[0]


def kept(heap: LearnedHeap, drawn: Piles, begin: Array) -> NDArray[np.bool_]:
    (run,) = run_blocks(heap, [(drawn, heap.state)])
    later = run.days[:, None] >= begin
    result: NDArray[np.bool_] = np.where(later, run.core_c, np.inf).min(axis=0) >= LIMIT_C
    return result


@pytest.mark.parametrize(
    ("body", "days"),
    now_and_then([(STEADY, 60), (YOUNG, 20), (STEADY, 20), (SMALLEST, 20), (SMALLEST, 60), (YOUNG, 60)], 3),
    ids=["warm-60", "young-20", "warm-20", "little known-20", "little known-60", "young-60"],
)
def test_a_little_less_keeps_the_core_and_a_little_more_does_not(body: Body, days: int) -> None:
    _, heap, rest = ready(body, days)
    steady = power(heap, rest, LIMIT_C)
    some = steady.power_w > 0
    begin = np.where(np.isfinite(steady.from_day), steady.from_day, float(days))
    resting = replace(at_rest(heap.piles), draw_from_day=begin)
    # our own goal: within a tenth for nineteen members in twenty, and for all but one of a few
    most = max(1, int(0.05 * some.sum()))
    less, more = (replace(resting, fixed_draw_w=factor * steady.power_w) for factor in (0.9, 1.1))
    assert (~kept(heap, less, begin))[some].sum() <= most
    assert kept(heap, more, begin)[some].sum() <= most


def test_nothing_is_drawn_from_a_heap_that_is_never_warm() -> None:
    _, heap, rest = ready({**STEADY, "temperatures": {"core": 8, "outdoor": -8}, "pile": {"age": 900}}, 30)
    steady = power(heap, rest, LIMIT_C)
    assert np.median(steady.power_w) == 0
    assert (steady.power_w[~np.isfinite(steady.from_day)] == 0).all()


def test_a_higher_limit_or_a_longer_time_leaves_less() -> None:
    _, heap, rest = ready(STEADY, 30)
    lower, higher = power(heap, rest, 35.0), power(heap, rest, 45.0)
    assert (lower.power_w >= higher.power_w - 2.0).all()
    _, longer, rest_longer = ready(STEADY, 75)
    assert np.median(power(longer, rest_longer, LIMIT_C).power_w) < np.median(power(heap, rest, LIMIT_C).power_w)


def test_more_manure_gives_more_and_chips_alone_least() -> None:
    # Monte Carlo of this project's heat model for 30 days above 40 degC: 9 t of chips alone 348 W, 75:25 848 W,
    # 50:30:20 1122 W in bare heaps at -3 degC; only the order and the rough size are held against it.
    found = []
    for shares in ({"wood_chips": 1}, {"wood_chips": 75, "horse_manure": 25}, {"wood_chips": 5, "grass_clippings": 3}):
        mix = [{"material": name, "amount": 100 * share} for name, share in shares.items()]
        pile = {"age": 15, "size": {"mass": "9 t"}, "ingredients": mix, "moisture": 52, "cover": "none"}
        body = {**STEADY, "pile": pile, "temperatures": {"core": 55, "outdoor": -3}, "weather": None, "history": None}
        _, heap, rest = ready(body, 30)
        found.append(float(np.median(power(heap, rest, LIMIT_C).power_w)))
    assert found[0] < found[1] < found[2]
    assert 150 < found[1] < 1700


def test_the_timer_keeps_the_core_and_draws_what_it_says() -> None:
    picture, heap, rest = ready(STEADY, 30)
    (way,) = ways_of(picture)
    _, steady = steady_draws(heap, rest, LIMIT_C, [way.drawing])
    some, begin = (steady.setting > 0) & (steady.setting < 60), np.zeros(heap.count)
    most = max(1, int(0.05 * some.sum()))
    less, exact, more = (way.drawing(at_rest(heap.piles), factor * steady.setting) for factor in (0.85, 1.0, 1.15))
    assert (~kept(heap, less, begin))[some].sum() <= most
    assert kept(heap, more, begin)[some].sum() <= most
    (run,) = run_blocks(heap, [(exact, heap.state)])
    assert run.drawn_j[-1][some] / (30 * 86400) == pytest.approx(steady.power_w[some], rel=0.15)
    assert steady.setting.max() <= 60


def test_ways_that_are_fitted_get_a_timer_and_unknown_flows_are_said() -> None:
    both = picture_of(status_of(SMALLEST, equipment=["water_loop", "air_duct"]))
    assert [way.of for way in ways_of(both)] == ["water_minutes_per_hour", "air_minutes_per_hour"]
    assert [each.pointer for way in ways_of(both) for each in way.assumed] == ["/draw/water/flow", "/draw/air/flow"]
    assert ways_of(picture_of(status_of(SMALLEST))) == []
    assert ways_of(picture_of(status_of(SMALLEST, equipment=[]))) == []
    off = {"water": {"flow": 2, "minutes_per_hour": 0}}
    (way,) = ways_of(picture_of(status_of(SMALLEST, draw=off)))
    assert way.assumed == ()
    assert way.hours_per_day == 24


def test_times_are_counted_from_the_crossing() -> None:
    course = Course(np.arange(4.0), np.array([[30, 50, 50], [45, 39, 50], [41, 38, 50], [39, 45, 50.0]]), *[None] * 2)  # type: ignore[arg-type]
    assert days_until_warm(course, LIMIT_C).tolist() == [1, 0, 0]
    assert days_until_cool(course, LIMIT_C).tolist() == [3, 1, np.inf]


def test_times_that_half_the_members_do_not_reach_are_not_told() -> None:
    weights = np.full(4, 0.25)
    assert time_range(np.array([3, np.inf, np.inf, np.inf]), weights, 30) is None
    told = time_range(np.array([5, 3, np.inf, 4]), weights, 30)
    assert told is not None and (told.low, told.value, told.high) == (3, 4, 30)
    heavy = time_range(np.array([5, 3, np.inf, 4]), np.array([0.85, 0.05, 0.05, 0.05]), 30)
    assert heavy is not None and (heavy.low, heavy.value, heavy.high) == (4, 5, 5)
