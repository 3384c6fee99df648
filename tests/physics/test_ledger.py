"""The energy ledger and the judging of ratings. The ratings appear here only, as claims that physics refutes."""

from dataclasses import replace

import numpy as np
import pytest

from service.heat.physics.balance import quantiles
from service.heat.physics.kernel import simulate
from service.heat.physics.ledger import energy, judge_claim
from service.heat.physics.members import members, weather_now
from service.heat.physics.season_draw import season_draw
from service.units.estimate import AirDraw, Estimate, WaterDraw
from tests.each import each

from .samples import about, estimate, ordinary_estimate

SHORT_TON = 907.18474
BTU_H = 0.29307107
MONTH = 30.4


def judged(tons, btu_h, days):
    return judge_claim(tons * SHORT_TON, 0.5, btu_h * BTU_H, days)


# common practice, no source; refuted by physics: short tons, BTU/h, days, verdict
RATINGS = [
    (1, 6_600, 14, "burst only"),
    (1, 6_600, 28, "burst only"),
    (2, 13_000, MONTH, "burst only"),
    (2, 14_000, 3 * MONTH, "impossible"),
    (4, 33_000, 3 * MONTH, "impossible"),
    (4, 33_000, 6 * MONTH, "impossible"),
    (9, 57_000, 12 * MONTH, "impossible"),
    (9, 59_000, 24 * MONTH, "impossible"),
]


@each(RATINGS)
def test_ratings_of_the_trade(tons, btu_h, days, word):
    assert judged(tons, btu_h, days).word == word


def test_one_ton_would_burn_28_to_56_percent_of_its_chemical_energy():
    two, four = judged(1, 6_600, 14), judged(1, 6_600, 28)
    assert two.claimed_j / two.chemical_j == pytest.approx(0.28, abs=0.01)
    assert four.claimed_j / four.chemical_j == pytest.approx(0.56, abs=0.01)
    assert 1.4 < two.claimed_w / two.optimistic_draw_w < four.claimed_w / four.optimistic_draw_w < 2.6


def test_nine_tons_for_a_year_is_seven_times_what_is_in_them():
    verdict = judged(9, 57_000, 365)
    assert 75e9 <= verdict.chemical_j <= 80e9
    assert verdict.claimed_j == pytest.approx(527e9, rel=0.01)


def test_a_modest_claim_is_possible():
    # Sustained 75 W per short ton: the middle of what the mixes give over a month (derived)
    assert judged(9, 9 * 75 / BTU_H, 30).word == "possible"


@pytest.mark.parametrize("bad", [(0, 0.5, 100, 10), (1000, 1.0, 100, 10), (1000, 0.5, 0, 10), (1000, 0.5, 100, -1)])
def test_impossible_questions_are_refused(bad):
    with pytest.raises(ValueError, match="above 0"):
        judge_claim(*bad)


def ledger(report, days=60.0, limit=40.0):
    piles, state, _ = members(report)
    return energy([report], piles, state, weather_now(report), days=days, keep_core_above_c=limit)[0]


LOOP = WaterDraw(0.063, 1.0, 1.0, 8.0, None, "copper", 30.0)


def test_three_numbers_that_never_stand_for_each_other():
    own = ledger(estimate(age_days=10.0, water=LOOP))
    total, usable = quantiles(own.total_j)[1], quantiles(own.usable_left_j)[1]
    season, burst = quantiles(own.season_draw_w)[1], quantiles(own.burst_draw_w)[1]
    assert total == pytest.approx(8165 * 0.48 * 19e6, rel=0.05)
    assert 0.03 * total < usable < 0.4 * total
    assert 0.0 < season < burst
    assert season * 60 * 86_400 < usable


@each([12.0, 30.0, 58.0])
def test_usable_is_what_a_run_to_the_date_frees_and_no_less_than_a_warm_heap_gives(core_c):
    report = estimate(age_days=60.0, core_c=Estimate(core_c, core_c - 1.0, core_c + 1.0, "measured"))
    piles, state, _ = members(report)
    made = simulate(piles, state, weather_now(report), 60.0, 24.0).ledger["made"]
    own = ledger(report)
    # From 35 % to all of it can be led off (see `season_draw.RECOVERABLE`)
    assert 0.4 * np.median(made) < np.median(own.usable_left_j) < 1.1 * np.median(made)
    given = own.season_draw_w * 60 * 86_400
    assert core_c < 40.0 or (given <= own.usable_left_j * (1 + 1e-9)).all()


def test_a_loop_of_unknown_length_bounds_no_season_draw():
    untold, short = replace(LOOP, tube_length_m=None), replace(LOOP, tube_length_m=2.0)
    free, unknown, bounded = (ledger(estimate(water=loop)).season_draw_w for loop in (None, untold, short))
    assert np.array_equal(free, unknown)
    assert np.median(bounded) < np.median(free)


def test_no_burst_where_nothing_is_fitted():
    assert ledger(estimate()).burst_draw_w is None
    assert ledger(estimate(has_water_loop=False, has_air_duct=False)).burst_draw_w is None
    assert ledger(estimate(has_water_loop=True)).burst_draw_w is not None
    assert ledger(estimate(has_air_duct=True)).burst_draw_w is not None


def test_burst_of_a_copper_loop_is_kilowatts_and_bounded_by_the_store():
    hot = quantiles(ledger(estimate(water=LOOP)).burst_draw_w)[1]
    assert 2_000.0 < hot < 9_000.0
    barely = estimate(core_c=Estimate(40.5, 40.0, 41.0, "measured"), water=LOOP)
    assert quantiles(ledger(barely).burst_draw_w)[1] < 0.2 * hot


def test_through_heap_burst_counts_the_vapour():
    closed = estimate(air=AirDraw(0.03, 1.0, 1.0, "closed_duct", 10.0, None))
    through = estimate(air=AirDraw(0.03, 1.0, 1.0, "through_heap", 10.0, None))
    assert quantiles(ledger(through).burst_draw_w)[1] > 3 * quantiles(ledger(closed).burst_draw_w)[1]


def test_a_path_that_nobody_told_widens_what_can_be_drawn():
    closed = AirDraw(0.008, 1.0, 1.0, "closed_duct", 10.0, None)
    heaps = {
        "closed": closed,
        "through": replace(closed, path="through_heap"),
        "untold": replace(closed, path_told=False),
    }
    season = {name: quantiles(ledger(estimate(air=air)).season_draw_w) for name, air in heaps.items()}
    assert season["untold"][2] > 1.3 * season["closed"][2]  # its upper end is that of the other path
    assert season["untold"][0] <= season["closed"][0] <= season["untold"][1] <= season["through"][1]
    burst = {name: quantiles(ledger(estimate(air=air)).burst_draw_w) for name, air in heaps.items()}
    assert burst["untold"][1] < 1.3 * burst["closed"][1] < burst["through"][1] < 1.3 * burst["untold"][2]


def season(**changes):
    days, limit = changes.pop("days", 30.0), changes.pop("limit", 40.0)
    return float(ledger(estimate(age_days=changes.pop("age_days", 14.0), **changes), days, limit).season_draw_w.mean())


def test_season_draw_answers_as_it_should():
    usual = season()
    assert season(days=90.0) < usual
    assert season(limit=50.0) < usual
    assert season(outdoor_c=Estimate.exact(-15.0)) < usual
    assert season(cover="straw") > usual
    assert season(age_days=200.0) < usual
    assert season(mass_kg=about(2000.0, 1.2), volume_m3=about(5.6, 1.15)) < 0.4 * usual


def test_a_horizon_is_above_zero():
    piles, state, _ = members(estimate())
    with pytest.raises(ValueError, match="horizon"):
        season_draw(piles, state, weather_now(estimate()), 0.0, 40.0)


def simulated_season_draw(piles, state, weather, days, limit):
    """Largest steady draw with the core at or above the limit all the time, by bisection. [W]"""
    n = piles.rate.size
    low, high = np.zeros(n), np.full(n, 8_000.0)
    holds_alone = simulate(piles, state, weather, days).core_c.min(axis=0) >= limit
    for _ in range(11):
        middle = np.where(low + high < 100, 0.5 * (low + high), np.sqrt(np.maximum(low, 20.0) * high))
        holds = simulate(replace(piles, fixed_draw_w=middle), state, weather, days).core_c.min(axis=0) >= limit
        low, high = np.where(holds, middle, low), np.where(holds, high, middle)
    return np.where(holds_alone, low, 0.0)


@pytest.mark.slow
def test_closed_form_season_draw_against_simulated_draws(capsys):
    # The model's own heaps stand less than those of the truths on which the shares were learned: see `tests.drawn`
    rng = np.random.default_rng(99)
    rows, closed_all, simulated_all = [], [], []
    while len(rows) < 24:
        report = replace(ordinary_estimate(rng), air=None, water=None)
        limit, days = rng.choice([30.0, 40.0, 45.0]), float(rng.choice([14.0, 30.0, 60.0, 90.0]))
        if report.core_c.value < limit + 3:
            continue
        piles, state, _ = members(report, 32)
        weather = weather_now(report, 32)
        closed = season_draw(piles, state, weather, days, limit)
        simulated = simulated_season_draw(piles, state, weather, days, limit)
        rows.append((report, days, limit, quantiles(closed), quantiles(simulated)))
        closed_all.append(np.median(closed))
        simulated_all.append(np.median(simulated))
    with capsys.disabled():
        print("\nmass t  age d  core C  air C  days  limit  closed W 10/50/90       simulated W 10/50/90")
        for report, days, limit, closed, simulated in rows:
            print(
                f"{report.mass_kg.value / 1e3:6.1f}  {report.age_days:5.0f}  {report.core_c.value:6.0f}  "
                f"{report.outdoor_c.value:5.0f}  {days:4.0f}  {limit:5.0f}  "
                "{:6.0f} {:6.0f} {:6.0f}   {:6.0f} {:6.0f} {:6.0f}".format(*closed, *simulated)
            )
    distance = np.log(np.array(closed_all) + 60.0) - np.log(np.array(simulated_all) + 60.0)
    rms = np.sqrt((distance**2).mean())
    with capsys.disabled():
        print(f"log distance of medians (60 W added): mean {distance.mean():+.2f}, rms {rms:.2f}")
    assert 0.0 < distance.mean() < 0.9
    assert rms < 1.1
