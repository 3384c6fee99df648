"""From status to facts: what is known, what follows, and what stays unknown."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rules.engine.inference import infer
from rules.language.conditions import Facts, Value
from service.facts.phase import heat_phase
from service.facts.trend import core_trend
from service.picture.picture import picture_of, seen_in
from service.picture.record import Picture
from service.status.reading import read_status
from tests.each import each

AS_OF = "2026-01-20T08:00:00Z"


def picture(**fields: Any) -> Picture:
    """The picture of a status of 40 days at 50 degC, with other fields as given."""
    base = {"as_of": AS_OF, "pile": {"age": 40}, "temperatures": {"core": 50}}
    return picture_of(read_status(base | fields))


def facts(**fields: Any) -> Facts:
    """The facts of such a status."""
    return picture(**fields).derived.facts


# --- trend
TRENDS = [
    ("three kelvin in three days", [(3.0, 53.0), (0.0, 50.0)], -1.0, 1.0 / math.sqrt(4.5)),
    ("flat", [(4.0, 50.0), (2.0, 50.0), (0.0, 50.0)], 0.0, 1.0 / math.sqrt(8.0)),
    ("rising", [(2.0, 40.0), (0.0, 44.0)], 2.0, 1.0 / math.sqrt(2.0)),
]


@each(TRENDS)
def test_slope_and_its_error_by_least_squares(
    name: str, readings: list[tuple[float, float]], slope: float, error: float
) -> None:
    trend = core_trend(readings)
    assert trend is not None
    assert trend.slope == pytest.approx(slope)
    assert trend.error == pytest.approx(error)


def test_readings_hours_apart_have_no_slope() -> None:
    assert core_trend([(0.2, 51.0), (0.0, 50.0)]) is None
    assert core_trend([(0.0, 50.0)]) is None


def history(*readings: tuple[int, float]) -> list[dict[str, Any]]:
    """Readings so many days before the status."""
    return [{"at": f"2026-01-{20 - day:02d}T08:00:00Z", "core": core} for day, core in readings]


FALLING = [
    ("a kelvin a day over three days", [(3, 53.0)], True),
    ("a kelvin in one day is within reading error", [(1, 51.0)], False),
    ("0.7 a day over ten days", [(10, 57.0), (5, 53.5)], True),
    ("0.6 a day over ten days is steady", [(10, 56.0), (5, 53.0)], False),
]


@each(FALLING)
def test_falling_is_beyond_reading_error(name: str, earlier: list[tuple[int, float]], falls: bool) -> None:
    assert facts(history=history(*earlier))["core_falling"] is falls


def test_a_log_alone_has_no_reading_of_now() -> None:
    """The newest reading stands for the core, and is not taken for one of today that holds steady."""
    body = {"as_of": "2026-01-20T08:00:00Z", "pile": {"age": 60}, "temperatures": {}}
    seen = seen_in(read_status({**body, "history": history((7, 53.0), (10, 62.0))})).derived
    assert seen.facts["core_c"] == 53.0
    assert seen.facts["core_read_days_ago"] == 7.0
    assert seen.facts["core_falling"] is True
    assert "/temperatures/core" in [each.pointer for each in seen.assumed]


def test_without_a_history_the_trend_is_unknown() -> None:
    known = facts()
    assert not {"core_falling", "core_rising", "core_steady", "core_trend_k_per_day", "peak_core_c"} & set(known)


# --- phase, first match (limits of the phase table)
PHASES = [
    ({"core_c": 75.0}, "overheating"),
    ({"core_c": 74.9}, "hot"),
    ({"core_c": 40.0, "smoke": True}, "overheating"),
    ({"core_c": 40.0, "smell": "burnt"}, "overheating"),
    ({"core_c": 55.0, "core_rising": True}, "warming"),
    ({"core_c": 44.9, "age_days": 14.0}, "warming"),
    ({"core_c": 45.0, "age_days": 14.0}, "holding"),
    ({"core_c": 44.9, "age_days": 14.1}, "holding"),
    ({"core_c": 44.9, "age_days": 10.0, "core_falling": True}, "warming"),
    ({"core_c": 60.0, "core_falling": True}, "falling"),
    ({"core_c": 50.0}, "hot"),
    ({"core_c": 49.9}, "holding"),
    ({"core_c": 40.0}, "holding"),
    ({"core_c": 39.9}, "unclear"),
    ({"core_c": 30.0}, "unclear"),
    ({"core_c": 29.9}, "cold"),
    ({"core_c": 29.9, "degradable_left_percent": 10.0}, "spent"),
    ({"core_c": 29.9, "degradable_left_percent": 60.0}, "cold"),
]


@each(PHASES)
def test_phase_is_the_first_match(known: dict[str, Any], phase: str) -> None:
    assert heat_phase({"age_days": 60.0, "hottest_c": known["core_c"]} | known) == phase


def test_a_hot_point_counts_for_overheating() -> None:
    assert heat_phase({"core_c": 50.0, "hottest_c": 76.0, "age_days": 60.0}) == "overheating"


# --- core
def test_the_core_is_the_hottest_deep_reading() -> None:
    known = facts(
        pile={"age": 40, "size": {"cylinder": {"diameter": 4, "height": 2}}},
        temperatures={
            "core": 50,
            "points": [{"depth": 1.0, "value": 53}, {"depth": 0.9, "value": 58}],
        },
    )
    assert known["core_c"] == 53.0
    assert known["hottest_c"] == 58.0
    assert "probe_too_short" not in known


@each([(0.99, True), (1.0, False)])
def test_a_probe_is_too_short_above_half_the_radius(length: float, short: bool) -> None:
    known = facts(pile={"age": 40, "size": {"cylinder": {"diameter": 4, "height": 2}}}, probe={"length": length})
    assert known["probe_too_short"] is short


def test_without_a_size_the_depth_cannot_be_judged() -> None:
    assert "probe_too_short" not in facts(probe={"length": 0.3})


def test_points_alone_give_a_lower_bound() -> None:
    known = facts(
        pile={"age": 40, "size": {"cylinder": {"diameter": 4, "height": 2}}},
        temperatures={"points": [{"depth": 0.3, "value": 41}]},
    )
    assert known["core_c"] == 41.0
    assert known["probe_too_short"] is True


# --- signs: absent is unknown, [] is seen none
def test_signs_not_looked_for_are_unknown() -> None:
    assert "smoke" not in facts()
    assert facts(signs=[])["smoke"] is False
    assert facts(signs=["steam"])["steam"] is True


def test_what_is_fitted_is_unknown_unless_told() -> None:
    assert "has_water_loop" not in facts()
    assert facts(equipment=[])["has_water_loop"] is False
    assert facts(equipment=[])["drawing"] is False
    assert facts(draw={"water": {"flow": 2}})["has_water_loop"] is True


def test_minutes_not_given_are_taken_as_all_the_hour_and_listed() -> None:
    seen = picture(draw={"water": {"flow": 2}})
    assert seen.derived.facts["water_minutes_per_hour"] == 60.0
    assert "/draw/water/minutes_per_hour" in [assumption.pointer for assumption in seen.derived.assumed]


@each([{"flow": 0}, {"flow": 2, "minutes_per_hour": 0}, {"flow": 2, "hours_per_day": 0}])
def test_zero_is_off(off: dict[str, float]) -> None:
    assert facts(equipment=["water_loop"], draw={"water": off})["drawing"] is False


# --- size: solid geometry
SHAPES = [
    ({"cone": {"diameter": 4.0, "height": 2.0}}, math.pi * 4 * 2 / 3),
    ({"cylinder": {"diameter": 4.0, "height": 2.0}}, math.pi * 4 * 2),
    ({"box": {"length": 3.0, "width": 2.0, "height": 1.5}}, 9.0),
    ({"windrow": {"length": 6.0, "width": 3.0, "height": 1.5}}, 6 * 3 * 1.5 * math.pi / 4),
    ({"volume": 7.0}, 7.0),
]


@each(SHAPES)
def test_volume_of_a_shape(size: dict[str, Any], volume: float) -> None:
    seen = picture(pile={"age": 40, "size": size})
    assert seen.size.volume.value == pytest.approx(volume)
    assert seen.derived.facts["volume_m3"] == pytest.approx(volume)


def test_an_unknown_size_is_assumed_and_is_no_fact() -> None:
    seen = picture()
    assert "volume_m3" not in seen.derived.facts
    assert "/pile/size/volume" in [assumption.pointer for assumption in seen.derived.assumed]


@each([(1990, True), (2010, False), (6490, False), (6510, True)])
def test_a_bulk_density_outside_200_to_650_is_doubted(mass: float, disagrees: bool) -> None:
    known = facts(pile={"age": 40, "size": {"mass": mass, "volume": 10}})
    assert known["size_disagrees"] is disagrees


def test_a_doubtful_size_widens_the_range() -> None:
    sure = picture(pile={"age": 40, "size": {"mass": 4000, "volume": 10}}).size.mass
    doubtful = picture(pile={"age": 40, "size": {"mass": 7000, "volume": 10}}).size.mass
    assert doubtful.high / doubtful.value > sure.high / sure.value


# --- moisture
@each([("damp", 0.45, 0.65), ("dusty", 0.2, 0.4), ("soggy", 0.6, 0.8)])
def test_the_squeeze_test_gives_a_range(feel: str, low: float, high: float) -> None:
    moisture = picture(moisture_feel=feel, moisture_feel_at="arm_deep").estimate.moisture
    assert low <= moisture.low < moisture.value < moisture.high <= high


def test_a_damp_handful_spans_what_the_handbook_calls_right() -> None:
    moisture = picture(moisture_feel="damp", moisture_feel_at="arm_deep").estimate.moisture
    assert moisture.low < 0.50
    assert moisture.high > 0.60


def test_a_handful_from_the_skin_tells_less() -> None:
    skin = picture(moisture_feel="dry", moisture_feel_at="surface").estimate.moisture
    arm = picture(moisture_feel="dry", moisture_feel_at="arm_deep").estimate.moisture
    assert skin.high - skin.low > 1.8 * (arm.high - arm.low)


def test_moisture_nobody_felt_is_assumed_and_listed() -> None:
    seen = picture()
    assert "moisture_percent" not in seen.derived.facts
    assert "/pile/moisture" in [assumption.pointer for assumption in seen.derived.assumed]


# --- house: Q = U A dT + 0.018 n V dT (ANSI/ASAE EP406, from memory); the half-cylinder is worked out from it
@each([("single_film", 116113, 0.01), ("double_film", 67167, 0.04)])
def test_the_house_example(glazing: str, btu_h: float, tolerance: float) -> None:
    need = picture(
        greenhouse={
            "volume": "7540 ft3",
            "glazing": glazing,
            "glazing_area": "1822 ft2",
            "night_target": "60 degF",
        },
        weather={"low": "10 degF"},
    ).house_needs
    assert need is not None
    assert need.value / 0.29307107 == pytest.approx(btu_h, rel=tolerance)
    assert need.low < need.value < need.high


def test_a_house_warmer_outside_than_its_target_needs_nothing() -> None:
    need = picture(greenhouse={"volume": 70, "night_target": 5}, weather={"low": 9}).house_needs
    assert need is not None
    assert need.value == 0.0


def test_the_need_is_unknown_without_any_outdoor_temperature() -> None:
    assert picture(greenhouse={"volume": 70}).house_needs is None


def test_mild_air_now_does_not_rule_out_frost_tonight() -> None:
    assert "freezing" not in facts(temperatures={"core": 50, "outdoor": 5}, weather={"wind_speed": 1})
    assert facts(temperatures={"core": 50, "outdoor": 5}, weather={"low": 2})["freezing"] is False
    assert facts(temperatures={"core": 50, "outdoor": -1})["freezing"] is True


def test_tomorrows_low_is_that_of_tonight_where_tonight_was_not_told() -> None:
    def known(**weather: Any) -> dict[str, Any]:
        return facts(temperatures={"core": 50, "outdoor": 5}, weather=weather)

    frost = known(forecast=[{"date": "2026-01-21", "low": -4}, {"date": "2026-01-23", "low": -12}])
    assert frost["freezing"] is True and frost["near_low_c"] == -4 and frost["forecast_low_c"] == -12
    assert known(forecast=[{"date": "2026-01-21", "low": 4}])["freezing"] is False
    assert "freezing" not in known(forecast=[{"date": "2026-01-22", "low": 4}])
    assert known(low=2, forecast=[{"date": "2026-01-22", "low": -4}])["near_low_c"] == -4
    assert known(low=2, forecast=[{"date": "2026-01-22", "low": -4}])["freezing"] is False


def test_work_done_is_aged_and_work_not_told_is_unknown() -> None:
    known = facts(done=[{"at": "2026-01-18T08:00:00Z", "action": "add_water"}])
    assert known["days_since_add_water"] == pytest.approx(2.0)
    assert "days_since_add_nitrogen" not in known


@each(["air", "water"])
def test_an_inlet_that_was_not_read_is_assumed_and_said(way: str) -> None:
    flow = "60 m3/h" if way == "air" else "2 L/min"

    def assumed(**draw: Any) -> list[str]:
        return [item.pointer for item in picture(draw={way: draw}).derived.assumed]

    assert f"/draw/{way}/inlet" in assumed(flow=flow)
    assert f"/draw/{way}/inlet" not in assumed(flow=flow, inlet=8)
    assert f"/draw/{way}/inlet" not in assumed(flow=0)
    assert f"/draw/{way}/inlet" not in assumed()


def test_air_inside_follows_from_a_told_mass_volume_and_moisture() -> None:
    """Agnew and Leonard (2003): 700 kg/m3 at 60 % water leave 1 - 700 (0.6/1000 + 0.4 (0.95/1600 + 0.05/2500))."""

    def air(moisture: float | None = None, **size: str) -> Value | None:
        return facts(pile={"age": 40, "size": size, "moisture": moisture}).get("free_air_space_percent")

    assert air(60, mass="7000 kg", volume="10 m3") == pytest.approx(40.8, abs=0.05)
    assert air(70, mass="7000 kg", volume="4 m3") == 0.0
    assert air(mass="7000 kg", volume="10 m3") is None
    assert air(60, volume="10 m3") is None


def test_too_little_air_inside_is_found_in_an_answer() -> None:
    packed = facts(pile={"age": 40, "size": {"mass": "10 t", "volume": "10 m3"}, "moisture": 70})
    assert "air.little-free-space" in {rule.id for rule in infer(packed).fired}
