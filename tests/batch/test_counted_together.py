"""Heaps counted side by side are what each is alone: columns do not touch each other, whatever lies beside them."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from itertools import cycle
from typing import get_args

import numpy as np
import pytest

from rules.engine.inference import cautions_beside, infer, infer_plainly
from service.heat.physics.members import DEFAULT_MEMBERS, members, members_of, weather_now, weather_of
from service.picture.account import BLOCK, AccountRequest, Accounts, accounts_for
from service.picture.picture import seen_in
from service.picture.record import Seen
from service.status.models import AirPath, Cover, Tube
from service.status.reading import read_status
from service.units.estimate import Estimate
from tests.batch.lines import random_bodies

TOLERANCE = 1e-12


@cache
def various_heaps() -> list[Seen]:
    """More than one block, the last not full; all covers, tubes and ways of the air among them."""
    covers, tubes, paths = cycle(get_args(Cover)), cycle((None, *get_args(Tube))), cycle((None, *get_args(AirPath)))
    heaps = []
    for body in random_bodies(BLOCK + 25, seed=5):
        body["pile"]["cover"] = next(covers)
        if len(heaps) % 4 == 0:  # what else is drawn at random depends on what else was loaded
            body["draw"] = {"water": {"flow": 3, "minutes_per_hour": 20}, "air": {"flow": 90, "minutes_per_hour": 15}}
            body.pop("equipment", None)
        for way, name, words in (("water", "tube", tubes), ("air", "path", paths)):
            if way in body.get("draw", {}):
                body["draw"][way][name] = next(words)
        heaps.append(seen_in(read_status(body)))
    return heaps


def requests() -> list[AccountRequest]:
    return [
        AccountRequest(heap.estimate, heap.goal.days, heap.goal.keep_core_above_c, heap.derived.facts)
        for heap in various_heaps()
    ]


def test_the_members_are_those_of_each_heap_alone() -> None:
    estimates = [heap.estimate for heap in various_heaps()]
    piles, state = members_of(estimates)
    weather = weather_of(estimates)
    for place, estimate in enumerate(estimates):
        own = slice(place * DEFAULT_MEMBERS, (place + 1) * DEFAULT_MEMBERS)
        alone, its_state, _ = members(estimate)
        its_weather = weather_now(estimate)
        for joined, single in ((piles, alone), (state, its_state)):
            for name in single.__dataclass_fields__:
                together, by_itself = getattr(joined, name)[..., own], getattr(single, name)
                np.testing.assert_allclose(together, by_itself, rtol=TOLERANCE, atol=0, err_msg=name)
        np.testing.assert_allclose(weather.air_c[:, own], its_weather.air_c, rtol=TOLERANCE)
        np.testing.assert_allclose(weather.wind_m_s[:, own], its_weather.wind_m_s, rtol=TOLERANCE)


def test_the_accounts_are_those_of_each_heap_alone() -> None:
    ranges = [field.name for field in fields(Accounts) if field.name not in ("chance_beyond", "core_ahead_c")]
    for heap, together in zip(requests(), accounts_for(requests()), strict=True):
        (alone,) = accounts_for([heap])
        for name in ranges:
            assert ends(getattr(together, name)) == pytest.approx(ends(getattr(alone, name)), rel=TOLERANCE), name
        assert together.chance_beyond == alone.chance_beyond
        np.testing.assert_allclose(together.core_ahead_c, alone.core_ahead_c, rtol=TOLERANCE)


def ends(estimate: Estimate | None) -> tuple[float, ...]:
    return () if estimate is None else (estimate.low, estimate.value, estimate.high)


def test_an_estimate_that_cannot_be_is_refused() -> None:
    nothing = replace(various_heaps()[0].estimate, mass_kg=Estimate(0.0, 0.0, 0.0, "measured"))
    with pytest.raises(ValueError, match="above 0"):
        members_of([various_heaps()[1].estimate, nothing])


def test_the_rules_of_a_batch_fire_as_the_engine_says() -> None:
    for heap in various_heaps():
        engine, plain = infer(heap.derived.facts), infer_plainly(heap.derived.facts)
        assert (plain.facts, plain.fired) == (engine.facts, engine.fired)
        advised = sorted({rule.gives.action for rule in engine.fired if hasattr(rule.gives, "action")})
        assert cautions_beside(plain, advised, plainly=True) == cautions_beside(engine, advised)


def test_every_cover_tube_and_way_is_among_the_heaps() -> None:
    covers = {heap.estimate.cover for heap in various_heaps()}
    assert covers == {"none", "clear_film", "tarp", "breathable", "straw"}
    water = [heap.estimate.water for heap in various_heaps() if heap.estimate.water is not None]
    assert {draw.tube for draw in water} == {None, *get_args(Tube)}
    assert {draw.path for heap in various_heaps() if (draw := heap.estimate.air)} == {"closed_duct", "through_heap"}
