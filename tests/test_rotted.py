"""A slow fall is a fall, and a ratio is that of what is left."""

from __future__ import annotations

import pytest

from service.facts.decay import NITROGEN_LOST, rotted
from service.facts.mixture import read_mixture
from service.facts.record import Derived
from service.facts.trend import declines_steadily
from service.picture.picture import picture_of
from service.status.reading import read_status
from tests.each import each


@each(
    [
        ([(21, 60), (14, 58), (7, 56.5), (0, 55)], True),
        ([(16, 58), (8, 56.5), (0, 55.5)], True),
        ([(40, 50), (21, 60), (14, 58), (7, 56.5), (0, 55)], True),  # it warmed up before
        ([(15, 60.8), (10, 60.1), (5, 56.2), (0, 55.9)], True),  # no reading at half the time
        ([(12, 60), (6, 58), (0, 55)], False),  # not two weeks
        ([(21, 56.2), (14, 55.8), (7, 55.5), (0, 55)], False),  # within two readings' error
        ([(21, 60), (14, 55), (7, 58), (0, 55)], False),  # up and down
        ([(30, 60), (15, 55), (0, 55)], False),  # a drop that is over
        ([(21, 60), (0, 55)], False),
    ]
)
def test_a_core_that_fell_steadily_for_two_weeks_falls(readings: list[tuple[float, float]], declines: bool) -> None:
    assert declines_steadily(readings) is declines


def test_a_slow_decline_is_no_steady_heap() -> None:
    body = {
        "as_of": "2026-01-20T08:00:00Z",
        "pile": {"age": 90},
        "temperatures": {"core": 53},
        "history": [
            {"at": f"2026-01-{day:02d}T08:00:00Z", "core": core} for day, core in ((2, 57), (7, 56), (12, 55), (16, 54))
        ],
    }
    facts = picture_of(read_status(body)).derived.facts
    assert facts["core_falling"] is True and facts["core_steady"] is False
    assert facts["phase"] == "falling"


CHIPS = {"ingredients": [{"material": "wood_chips", "amount": "15 m3"}, {"material": "horse_manure", "amount": "5 m3"}]}


def test_carbon_goes_and_most_nitrogen_stays() -> None:
    mixture = read_mixture(read_status({"pile": {"age": 1, **CHIPS}, "temperatures": {"core": 20}}), Derived())
    fresh, half = rotted(mixture, 1.0), rotted(mixture, 0.5)
    assert fresh.cn_ratio_degradable == pytest.approx(mixture.cn_degradable.value)
    assert fresh.nitrogen_share == pytest.approx(mixture.nitrogen_share)
    # half of the carbon that can rot is gone, and a tenth of the nitrogen
    expected = mixture.cn_degradable.value * 0.5 / (1 - NITROGEN_LOST / 2)
    assert half.cn_ratio_degradable == pytest.approx(expected)
    assert half.cn_ratio is not None and fresh.cn_ratio is not None and half.cn_ratio < fresh.cn_ratio
    assert half.nitrogen_share > fresh.nitrogen_share  # of less dry matter


def test_the_ratio_told_is_that_of_now() -> None:
    def ratio(age: int) -> float:
        status = read_status({"pile": {"age": age, **CHIPS}, "temperatures": {"core": 35}})
        return float(picture_of(status).derived.facts["cn_ratio_degradable"])

    assert ratio(180) < 0.85 * ratio(5)
