"""The model in time: closure, accuracy, robustness, and laws it must obey."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.heat.physics import kernel, one_step
from service.heat.physics.daily_weather import DailyWeather
from service.heat.physics.flows import FIXED_DRAW_FLOOR_C, FIXED_DRAW_RAMP_K, edge_flows, heat_out, moving, water_out
from service.heat.physics.geometry import VOLUME_SHARES
from service.heat.physics.kernel import simulate, step
from service.heat.physics.piles import Piles, PileState, dry_matter, node_temperatures, tile, volume
from service.heat.physics.step import FAST_PER_S, SLOW_PER_S, hold, outdoors_by_day, prepare
from tests.each import each

from . import benchmark, samples
from .samples import ordinary, wild, winter


def closure(before: PileState, after: PileState, entries) -> tuple[float, float]:
    """Largest error of energy and of water over what went through."""
    heat = after.enthalpy_j.sum(axis=0) - before.enthalpy_j.sum(axis=0) - entries.stored
    water = after.water_kg.sum(axis=0) - before.water_kg.sum(axis=0) - entries.water_gained
    through_heat = np.abs(entries.heat).sum(axis=0)
    through_water = np.abs(entries.water).sum(axis=0)
    # A sum of stocks cannot be known better than the last digit of the stocks themselves
    heat_digit = 1e-15 * np.abs(before.enthalpy_j).sum(axis=0)
    water_digit = 1e-15 * before.water_kg.sum(axis=0)
    return (
        float(np.max((np.abs(heat) - 4 * heat_digit) / through_heat)),
        float(np.max((np.abs(water) - 4 * water_digit) / through_water)),
    )


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.1, 1.0, 6.0, 12.0, 24.0]))
def test_energy_and_water_close_in_every_step(seed, hours):
    piles, state, weather = wild(16, seed, days=1)
    after, entries = step(piles, state, weather, hours)
    heat, water = closure(state, after, entries)
    assert heat <= 1e-9
    assert water <= 1e-9
    burnt = (state.fast_kg + state.slow_kg - after.fast_kg - after.slow_kg).sum(axis=0)
    assert entries["made"] == pytest.approx(17.6e6 * burnt, rel=1e-9, abs=1e-3)
    assert entries["decay"] == pytest.approx(0.55 * burnt, rel=1e-9, abs=1e-9)


def test_closure_holds_across_halved_steps(monkeypatch):
    lengths = []
    tried = one_step._tried

    def watched(fixed, state, air, seconds, *, booked):
        lengths.append(np.min(seconds))
        return tried(fixed, state, air, seconds, booked=booked)

    monkeypatch.setattr(one_step, "_tried", watched)
    piles, state, weather = wild(200, seed=3, days=1)
    after, entries = step(piles, state, weather, 24.0)
    assert min(lengths) <= 24 * 3600 / 2**3
    heat, water = closure(state, after, entries)
    assert heat <= 1e-9
    assert water <= 1e-9


def test_parts_tried_side_by_side_are_those_tried_one_after_another(monkeypatch):
    piles, state, weather = wild(40, seed=3, days=1)
    together, entries = step(piles, state, weather, 24.0)
    runs = [simulate(piles, state, weather, 1.0, 24.0, booked=booked) for booked in (True, False)]
    monkeypatch.setattr(one_step, "TOGETHER", 1)
    in_turn, its_entries = step(piles, state, weather, 24.0)
    for name in ("enthalpy_j", "fast_kg", "slow_kg", "water_kg"):
        assert getattr(together, name).tobytes() == getattr(in_turn, name).tobytes()
        assert getattr(runs[0].state, name).tobytes() == getattr(runs[1].state, name).tobytes()
    assert entries.heat.tobytes() == its_entries.heat.tobytes()
    assert runs[0].ledger.heat.any()
    assert not runs[1].ledger.heat.any()


def assert_possible(run, piles):
    celsius = node_temperatures(piles, run.state)
    assert np.isfinite(run.core_c).all()
    assert np.isfinite(run.ledger.heat).all()
    assert np.isfinite(run.ledger.water).all()
    assert celsius.min() > -60.0
    assert run.core_c.min() > -60.0
    assert celsius.max() < 95.0
    for stock in (run.state.fast_kg, run.state.slow_kg, run.state.water_kg):
        assert stock.min() >= 0.0


@pytest.mark.slow
def test_two_hundred_wild_piles_stay_possible():
    piles, state, weather = wild(200, seed=11)
    run = simulate(piles, state, weather, 60.0, 24.0)
    assert_possible(run, piles)
    assert max(closure(state, run.state, run.ledger)) <= 1e-9


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_thousand_wild_piles_stay_possible(seed):
    # Four seeds: 4,000 piles, any draw, 60 days
    piles, state, weather = wild(1000, seed)
    for step_h in (12.0, 24.0):
        run = simulate(piles, state, weather, 60.0, step_h)
        assert_possible(run, piles)
        assert max(closure(state, run.state, run.ledger)) <= 1e-9


def errors(piles, state, weather, days, *, step_h, fine_h):
    fine = simulate(piles, state, weather, days, fine_h)
    coarse = simulate(piles, state, weather, days, step_h)
    every = round(step_h / fine_h)
    return np.abs(coarse.core_c - fine.core_c[::every]).max(axis=0), coarse, fine


def test_usual_step_against_a_fine_one():
    piles, state = ordinary(30, seed=5)
    error, coarse, fine = errors(piles, state, winter(30, seed=5), 30.0, step_h=12.0, fine_h=0.5)
    assert np.percentile(error, 95) < 0.5
    assert error.max() < 2.0
    made = coarse.ledger["made"] / fine.ledger["made"]
    assert np.abs(made - 1.0).max() < 0.02


@pytest.mark.slow
def test_accuracy_over_many_ordinary_cases(capsys):
    worst = []
    for seed in (21, 22, 23):
        piles, state = ordinary(80, seed)
        for step_h in (6.0, 12.0, 24.0):
            error, coarse, fine = errors(piles, state, winter(30, seed), 30.0, step_h=step_h, fine_h=0.25)
            drawn = fine.drawn_j[-1] > 1e6
            heat = np.abs(coarse.drawn_j[-1][drawn] / fine.drawn_j[-1][drawn] - 1.0)
            worst.append((seed, step_h, *np.percentile(error, [50, 95, 100]), heat.max()))
            if step_h <= 12.0:
                assert np.percentile(error, 95) < 0.5
    with capsys.disabled():
        print("\nseed  step h  core error K: median  95 %  worst   worst error of heat drawn")
        for row in worst:
            print("{:4d}  {:6.0f}  {:20.3f}  {:4.2f}  {:5.2f}   {:.2%}".format(*row))


def right_side(fixed, air):
    """The model as ordinary differential equations of one pile's 16 states, for an independent integrator."""

    def rhs(_, packed):
        heat, fast, slow, water = packed.reshape(4, 4, 1)
        held = hold(fixed, PileState(heat, fast, slow, water), air)
        now = moving(fixed, held, held.celsius)
        pace = held.environment * now.speed
        fast_lost, slow_lost = FAST_PER_S * pace * fast, SLOW_PER_S * pace * slow
        burnt = fast_lost + slow_lost
        heat_rate = 17.6e6 * burnt - heat_out(now, edge_flows(fixed, held, held.celsius, now))
        water_rate = 0.55 * burnt - water_out(fixed, held, now)
        return np.concatenate([heat_rate, -fast_lost, -slow_lost, water_rate]).ravel()

    return rhs


@pytest.mark.slow
def test_accuracy_against_an_independent_integrator(capsys):
    from scipy.integrate import solve_ivp

    piles, state = ordinary(20, seed=31, each=2)
    weather = DailyWeather.of(-2.0, 3.0, rain_mm_day=0.5)
    run = simulate(piles, state, weather, 30.0, 12.0)
    worst = []
    for column in range(piles.rate.size):
        one = np.array([column])
        pile, start = piles.take(one), state.take(one)
        fixed, air = prepare(pile), outdoors_by_day(weather)[0]
        packed = np.concatenate([start.enthalpy_j, start.fast_kg, start.slow_kg, start.water_kg]).ravel()
        scale = np.repeat([1e3, 1e-6, 1e-6, 1e-5], 4)
        got = solve_ivp(
            right_side(fixed, air), (0.0, 30 * 86_400.0), packed, "LSODA", run.days * 86_400.0, rtol=1e-7, atol=scale
        )
        assert got.success
        heat, fast, slow, water = got.y.reshape(4, 4, -1)
        inert = pile.inert_kg * VOLUME_SHARES[0]
        core = heat[0] / (1500.0 * (inert + fast[0] + slow[0]) + 4186.0 * water[0])
        worst.append(np.abs(core - run.core_c[:, column]).max())
    with capsys.disabled():
        print(
            "\ncore against LSODA over 30 days, K: median {:.2f}, 95 % {:.2f}, worst {:.2f}".format(
                *np.percentile(worst, [50, 95, 100])
            )
        )
    assert np.percentile(worst, 95) < 0.5


def test_halving_the_step_brings_the_answer_closer():
    piles, state = ordinary(20, seed=9)
    weather = winter(8, seed=9)
    medians = [np.median(errors(piles, state, weather, 8.0, step_h=h, fine_h=0.5)[0]) for h in (24.0, 12.0, 6.0)]
    assert medians == sorted(medians, reverse=True)


def test_columns_do_not_touch_each_other():
    # One path: a pile alone is the same as in a crowd
    piles, state = ordinary(6, seed=2)
    weather = winter(20, seed=2)
    together = simulate(piles, state, weather, 20.0)
    for column in range(0, piles.rate.size, 5):  # of each estimate one member
        one = np.array([column])
        alone = simulate(piles.take(one), state.take(one), weather, 20.0)
        assert alone.core_c[:, 0] == pytest.approx(together.core_c[:, column], rel=1e-12, abs=1e-12)
        assert alone.ledger.heat[:, 0] == pytest.approx(together.ledger.heat[:, column], rel=1e-10, abs=1e-3)


def test_the_same_run_twice_gives_the_same_bytes():
    piles, state = ordinary(6, seed=2)
    runs = [simulate(piles, state, winter(20, seed=2), 20.0) for _ in range(2)]
    assert runs[0].core_c.tobytes() == runs[1].core_c.tobytes()
    assert runs[0].ledger.heat.tobytes() == runs[1].ledger.heat.tobytes()


def test_tiled_blocks_repeat_the_base():
    piles, state = ordinary(4, seed=3)
    run = simulate(*tile(piles, state, 3), winter(10, seed=3), 10.0)
    n = piles.rate.size
    assert run.core_c[:, :n] == pytest.approx(run.core_c[:, 2 * n :], rel=1e-12)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 500), st.floats(50, 400), st.floats(1.2, 3))
@example(242, 354.0, 3.0)
def test_more_draw_means_a_cooler_core(seed, watt, factor):
    piles, state = ordinary(3, seed)
    draw = np.full(piles.rate.size, watt)
    less, more = (
        simulate(replace(piles, fixed_draw_w=w), state, DailyWeather.of(-2.0), 10.0) for w in (draw, draw * factor)
    )
    # Above the best temperature a draw raises the rate, so the core may gain a little from it; and where both draws
    # have faded, the heap that was drained sooner has more left to rot
    hot, drained = less.core_c[-1] > 56.0, less.core_c[-1] < FIXED_DRAW_FLOOR_C + FIXED_DRAW_RAMP_K
    assert (more.core_c[-1] <= less.core_c[-1] + np.where(hot, 3.0, np.where(drained, 1.0, 0.5))).all()


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 500), st.floats(1, 8))
def test_a_windier_month_leaves_less_heat_in_a_heap_that_does_not_work(seed, more):
    piles, state = ordinary(3, seed)
    dead = replace(piles, rate=0.0 * piles.rate)
    months = [DailyWeather.of(-12.0, wind, sun_w_m2=0.0, sky_loss_w_m2=0.0) for wind in (1.0, 1.0 + more)]
    stock = [simulate(dead, state, month, 15.0).state.enthalpy_j.sum(axis=0) for month in months]
    assert (stock[1] <= stock[0] + 1e-3 * np.abs(state.enthalpy_j).sum(axis=0)).all()


def heap(mass, fast, slow, ratio, celsius, *, moisture=0.55, bulk=400.0, **values):
    dry = mass * (1 - moisture)
    nitrogen = min(1.0, max(0.25, 30.0 / ratio))
    piles = Piles.of(
        1, volume_m3=mass / bulk, dry_kg=dry, inert_kg=dry * (1 - fast - slow), nitrogen=nitrogen, **values
    )
    return piles, PileState.of(piles, celsius, dry * fast, dry * slow, mass * moisture)


def test_a_fresh_rich_heap_warms_in_three_to_five_days():
    # Large piles take 3-5 days to 60-70 degC (Cornell, read)
    run = simulate(*heap(8000.0, 0.0925, 0.38, 37.0, 15.0), DailyWeather.of(2.0), 10.0, 6.0)
    assert 2.0 <= run.days[np.argmax(run.core_c[:, 0] > 60.0)] <= 5.5
    assert 60.0 < run.core_c.max() < 73.0


def test_chips_alone_warm_more_slowly_and_lose_a_published_share_of_dry_matter():
    # Spruce up to 11 % in 5 months, pine 2.4-3.8 % in 5.9, poplar about a quarter in 7 (read)
    piles, state = heap(20_000.0, 0.05, 0.38, 80.0, 15.0)
    run = simulate(piles, state, DailyWeather.of(5.0), 150.0)
    lost = 1.0 - dry_matter(piles, run.state).sum() / dry_matter(piles, state).sum()
    assert 0.024 < lost < 0.25
    assert run.core_c[8, 0] < 60.0 < run.core_c.max()


def test_a_spent_heap_falls_to_the_weather():
    piles, state = heap(5000.0, 0.0, 0.02, 80.0, 40.0)
    run = simulate(piles, state, DailyWeather.of(3.0), 90.0)
    assert abs(run.core_c[-1, 0] - 3.0) < 5.0


def test_settling_follows_the_dry_matter():
    piles, state = heap(8000.0, 0.18, 0.36, 25.0, 50.0)
    run = simulate(piles, state, DailyWeather.of(5.0), 60.0)
    share = dry_matter(piles, run.state).sum() / dry_matter(piles, state).sum()
    assert volume(piles, run.state)[0] == pytest.approx(share * piles.volume_m3[0])
    assert 0.7 < share < 0.95


def test_copper_chills_a_small_heap_and_a_timed_plastic_hose_does_not():
    # common practice, no source: 1/2 gal/min for 15 minutes an hour keeps a 1-2 ton pile from being overdrawn. True for
    # a plastic hose in a rich mix, false for 100 ft of copper; a loop running all the time drains it either way.
    def core_after(days, tube, hour_share):
        from service.heat.physics.water_loop import default_conductances

        inner, outer = default_conductances(tube, 30.48)
        loop = {
            "water_flow_kg_s": 0.0315,
            "water_hour_share": hour_share,
            "water_day_share": 1.0,
            "water_inlet_c": 5.6,
            "loop_inner_w_k": inner,
            "loop_outer_w_k": outer,
        }
        start = -2.0 + 57.0 * np.array([[1.0], [0.9], [0.7], [0.4]])
        run = simulate(*heap(1814.0, 0.181, 0.364, 25.0, start, **loop), DailyWeather.of(-2.0), days)
        return run.core_c[-1, 0]

    assert core_after(14.0, "plastic", 0.25) > 40.0
    assert core_after(14.0, "copper", 1.0) < 25.0
    assert core_after(14.0, "plastic", 1.0) < core_after(14.0, "plastic", 0.25) - 5.0


def test_a_paused_draw_starts_on_its_day():
    piles, state = heap(5000.0, 0.09, 0.38, 44.0, 50.0, fixed_draw_w=300.0, draw_from_day=4.0)
    run = simulate(piles, state, DailyWeather.of(0.0), 10.0)
    drawn = np.interp([4.0, 5.0], run.days, run.drawn_j[:, 0])
    assert drawn[0] == 0.0
    assert drawn[1] == pytest.approx(300.0 * 86_400.0, rel=1e-6)


def test_hot_days_counts_the_time_above_the_limit():
    run = kernel.Run(
        np.array([0.0, 1.0, 2.0]),
        np.array([[50.0], [40.0], [30.0]]),
        np.zeros((3, 1)),
        None,
        None,  # type: ignore[arg-type]
    )
    assert run.hot_days(40.0) == pytest.approx([1.0])
    assert run.hot_days(45.0) == pytest.approx([0.5])


@each([(0.0, 12.0), (10.0, 0.0), (10.0, 7.0), (-3.0, 12.0)])
def test_odd_times_are_refused(days, step_h):
    piles, state = ordinary(1, seed=1)
    with pytest.raises(ValueError, match="days"):
        simulate(piles, state, DailyWeather.of(0.0), days, step_h)


def test_last_day_of_weather_goes_on():
    piles, state = ordinary(2, seed=4)
    short = simulate(piles, state, DailyWeather.of([1.0, -4.0]), 6.0)
    long = simulate(piles, state, DailyWeather.of([1.0, -4.0, -4.0, -4.0, -4.0, -4.0]), 6.0)
    assert short.core_c.tobytes() == long.core_c.tobytes()


def test_weather_has_at_most_two_axes():
    with pytest.raises(ValueError, match="axes"):
        DailyWeather.of(np.zeros((2, 2, 2)))


def test_importing_the_model_is_light():
    # numpy alone: no scipy, no CoolProp
    import subprocess
    import sys

    heavy = ("scipy", "CoolProp", "psychrolib")
    code = f"import sys, service.heat.physics.ledger; print([name for name in {heavy} if name in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_samples_are_repeatable():
    assert samples.wild(5, 1)[0].rate.tobytes() == samples.wild(5, 1)[0].rate.tobytes()


@pytest.mark.slow
def test_many_heaps_at_once_are_worth_it(capsys):
    speed = benchmark.measure()
    with capsys.disabled():
        print("\n" + benchmark.table(speed))
    assert speed.ratio > 30.0
    assert speed.apart_k < 1e-9
