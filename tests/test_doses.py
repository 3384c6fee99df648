"""Doses: by hand against the formulas, and laws that hold for any heap."""

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.actions.records import ACTIONS
from rules.tables.materials import MATERIALS
from rules.tables.uses import uses_of
from service.actions.doses import DOSED, DoseInputs, doses_for
from service.facts.mixing import MixedPortion, mixture_moisture
from service.units.estimate import AirDraw, Estimate, WaterDraw
from tests.each import each

WATER_LOOP = WaterDraw(0.05, 1.0, 1.0, 10.0, 30.0, "plastic", 50.0)
AIR_DUCT = AirDraw(0.02, 0.5, 1.0, "closed_duct", 10.0, 25.0)


def about(value, low=None, high=None):
    return Estimate(value, value if low is None else low, value if high is None else high, "assumed")


def heap(**changes):
    """Six tonnes of damp chips with too little nitrogen; every number exact unless changed."""
    pile = DoseInputs(
        mass_kg=about(6000.0),
        volume_m3=about(16.0),
        moisture=about(0.40),
        degradable_carbon_kg=about(700.0),
        nitrogen_kg=about(5.0),
        surface_m2=about(30.0),
        core_c=35.0,
    )
    return dataclasses.replace(pile, **changes)


def only(doses):
    (dose,) = doses
    return dose


def timers(doses):
    """The doses of running time, without the flow each is meant for."""
    return [dose for dose in doses if dose.dimension == "minutes_per_hour"]


def three(dose):
    return (dose.value, dose.low, dose.high)


def all_doses(doses):
    for dose in doses:
        yield dose
        yield from all_doses(dose.or_instead)


# --- water


def test_water_by_hand():
    # W = Q (G - M) / (1 - G), Cornell moisture formula with water as the second material (read).
    dose = only(doses_for("add_water", heap(moisture=about(0.40, 0.35, 0.45))))
    assert dose.of == "water"
    assert dose.dimension == "water"
    assert dose.value == pytest.approx(6000 * 0.15 / 0.45)
    assert dose.low == pytest.approx(6000 * 0.05 / 0.50)
    assert dose.high == pytest.approx(6000 * 0.25 / 0.40)
    assert dose.split == 2  # 125 kg per m3 would run out at the foot (common practice, no source)


def test_the_published_water_example():
    # 10 t at 40 % to 55 % takes 3,333 kg (derived from the published formula).
    assert only(doses_for("add_water", heap(mass_kg=about(10_000.0)))).value == pytest.approx(3333.3, rel=1e-4)


def test_no_dose_reaches_down_to_nothing():
    # Below a first pour of 5 kg/m3 nothing would change (our own): a heap that may be damp enough gets at least that.
    dose = only(doses_for("add_water", heap(moisture=about(0.50, 0.42, 0.58))))
    assert dose.low == 5.0 * 16.0
    assert dose.value == pytest.approx(6000 * 0.05 / 0.45)


def test_a_little_water_goes_in_at_once():
    assert only(doses_for("add_water", heap(moisture=about(0.54)))).split == 1


def test_a_heap_with_dry_places_in_a_wet_mix_gets_a_first_pour():
    # 10 kg/m3, and no more than soaks in at one go, 20 kg/m3 (common practice, no source).
    dose = only(doses_for("add_water", heap(moisture=about(0.66, 0.62, 0.70))))
    assert three(dose) == (160.0, 80.0, 320.0)
    assert dose.split == 1


@each(["add_water", "top_up", "insulate"])
def test_amounts_for_a_heap_of_unknown_size_are_for_each_volume_of_it(action):
    for told, guessed in zip(doses_for(action, heap()), doses_for(action, heap(size_guessed=True)), strict=True):
        assert told.heap_m3 is None
        assert guessed.heap_m3 == (None if guessed.dimension == "area" else 16.0)
        assert three(told) == three(guessed)


def test_a_new_heap_has_a_size_of_its_own():
    assert {dose.heap_m3 for dose in doses_for("build_new_pile", heap(size_guessed=True))} == {None}


@each([(None, ()), (frozenset({"water"}), ()), (frozenset({"warm_water"}), ()), (frozenset(), ("snow",))])
def test_snow_stands_in_for_water(on_hand, instead):
    dose = only(doses_for("add_water", heap(on_hand=on_hand)))
    assert tuple(other.of for other in dose.or_instead) == instead
    for other in dose.or_instead:
        assert other.value * MATERIALS["snow"].density.value == pytest.approx(dose.value)


# --- nitrogen


def test_urea_by_hand():
    # 40:1 of degradable carbon: 700 / 40 - 5 = 12.5 kg of nitrogen; never past 30:1 (WSU Whatcom, read).
    dose = only(doses_for("add_nitrogen", heap()))
    assert (dose.of, dose.dimension, dose.split) == ("urea", "mass", 2)
    per_kg = 0.466 * 0.997
    assert dose.value == pytest.approx(12.5 / per_kg)
    assert dose.low == pytest.approx((700 / 45 - 5) / per_kg)
    assert dose.high == pytest.approx((700 / 30 - 5) / per_kg)
    assert [other.of for other in dose.or_instead] == ["urine", "poultry_manure", "horse_manure"]


def test_urine_by_hand():
    # 7 g of nitrogen in a litre (read second hand): 12.5 kg are some 1,800 L.
    dose = only(doses_for("add_nitrogen", heap(on_hand=frozenset({"urine", "tarp"}))))
    assert (dose.of, dose.dimension, dose.or_instead) == ("urine", "water", ())
    assert dose.value == pytest.approx(12.5 / 0.007, rel=0.05)


def test_the_least_feed_takes_the_least_carbon_and_the_most_nitrogen():
    dose = only(doses_for("add_nitrogen", heap(degradable_carbon_kg=about(700, 500, 900), nitrogen_kg=about(5, 3, 8))))
    # 500 / 45 - 8 is 3.1 kg of nitrogen; a quarter of the likely 12.5 kg, 3.125, is a little more (our own).
    assert dose.low == pytest.approx(max(500 / 45 - 8, 12.5 / 4) / (0.466 * 0.997))
    assert dose.high == pytest.approx((700 / 30 - 5) / (0.466 * 0.997))


def test_nothing_is_fed_where_there_is_enough():
    assert doses_for("add_nitrogen", heap(nitrogen_kg=about(18.0))) == []


@each(
    [
        ({"horse_manure", "urea"}, "urea"),
        ({"grass_clippings", "coffee_grounds"}, "grass_clippings"),
        ({"food_scraps", "cattle_manure"}, "cattle_manure"),
        ({"tarp", "wood_chips"}, "urea"),
        (set(), "urea"),
    ]
)
def test_the_best_feed_on_hand_comes_first(on_hand, first):
    assert only(doses_for("add_nitrogen", heap(on_hand=frozenset(on_hand)))).of == first


@each([m.id for m in MATERIALS.values() if "nitrogen" in uses_of(m)])
def test_feeding_closes(name):
    # After the dose the degradable carbon stands at 40:1, the feed's own carbon counted; after the most at 30:1.
    feed = MATERIALS[name]
    dose = only(doses_for("add_nitrogen", heap(on_hand=frozenset({name}))))
    assert dose.of == name
    for mass, ratio in ((dose.value, 40), (dose.high, 30)):
        dry = mass * feed.dry_fraction
        carbon = 700 + dry * feed.degradable_carbon
        assert carbon / (5 + dry * feed.nitrogen.value) == pytest.approx(ratio, rel=1e-6)


def test_wood_alone_is_never_pushed_to_30_of_all_its_carbon():
    # A tonne of chips of 40 % moisture: 20.5 kg of urea would bring ALL the carbon to 30:1 (derived). We stay below.
    chips = MATERIALS["wood_chips"]
    carbon = 600 * chips.degradable_carbon
    dose = only(doses_for("add_nitrogen", heap(degradable_carbon_kg=about(carbon), nitrogen_kg=about(600 * 0.0009))))
    assert dose.high < 0.5 * 20.5


# --- dry matter into a wet or smelling heap


def test_bulking_by_hand():
    # Q2 = Q1 (G - M1) / (M2 - G), Cornell (read): 6 t at 68 % with chips of 20 % to 60 % is 1,200 kg, at 230 kg/m3.
    dose = only(doses_for("add_dry_bulking", heap(moisture=about(0.68))))
    assert (dose.of, dose.dimension) == ("wood_chips_dry", "volume")
    assert dose.value == pytest.approx(6000 * 0.08 / 0.40 / 230)
    assert [other.of for other in dose.or_instead] == ["straw", "cardboard"]


def test_a_heap_not_too_wet_is_opened_all_the_same():
    # A tenth of the volume (common practice, no source).
    assert three(only(doses_for("add_dry_bulking", heap(moisture=about(0.55))))) == pytest.approx((1.6, 0.8, 3.2))


def test_bales_on_hand_are_straw():
    assert only(doses_for("add_dry_bulking", heap(on_hand=frozenset({"straw_bales"})))).of == "straw"


@each(["wood_chips_dry", "straw", "shavings", "wood_chips"])
def test_bulking_closes(name):
    material = MATERIALS[name]
    dose = only(doses_for("add_dry_bulking", heap(moisture=about(0.72), on_hand=frozenset({name}))))
    added = MixedPortion(dose.value * material.density.value, material.moisture.value)
    assert mixture_moisture((MixedPortion(6000, 0.72), added)) == pytest.approx(0.60)


def test_carbon_by_hand():
    # 700 kg of degradable carbon with 27 kg of nitrogen stand at 26:1; straw's carbon brings them to 30:1.
    pile = heap(nitrogen_kg=about(27.0), on_hand=frozenset({"straw"}))
    dose = only(doses_for("add_carbon", pile))
    dry = dose.value * 100 * 0.88
    assert dose.of == "straw"
    assert (700 + dry * 0.47 * 0.62) / (27 + dry * 0.47 / 80 * 0.62) == pytest.approx(30.0)


def test_brown_matter_is_never_more_than_half_the_heap():
    # Common practice, no source: more would be another heap.
    pile = heap(nitrogen_kg=about(60.0), on_hand=frozenset({"straw"}))
    dose = only(doses_for("add_carbon", pile))
    assert dose.value == dose.high == pytest.approx(pile.volume_m3.value / 2)


def test_a_local_smell_gets_a_cap():
    # Five centimetres over the skin (common practice, no source).
    dose = only(doses_for("add_carbon", heap()))
    assert (dose.of, *three(dose)) == ("sawdust", *(pytest.approx(each) for each in (1.5, 0.6, 3.0)))


@each([m.id for m in MATERIALS.values() if "carbon" in uses_of(m)])
def test_any_carbon_on_hand_gives_a_dose(name):
    dose = only(doses_for("add_carbon", heap(nitrogen_kg=about(30.0), on_hand=frozenset({name}))))
    assert 0 < dose.low <= dose.value <= dose.high < math.inf


# --- draw


def test_the_draw_is_cut_to_what_the_season_bears():
    pile = heap(
        water=WATER_LOOP,
        water_drawn_w=about(1500.0),
        season_draw_w=about(300.0, 100.0, 600.0),
    )
    dose = only(timers(doses_for("reduce_draw", pile)))
    assert dose.of == "water_minutes_per_hour"
    assert three(dose) == pytest.approx((12.0, 4.0, 24.0))


def test_air_and_water_are_cut_alike():
    pile = heap(
        water=WATER_LOOP,
        air=AIR_DUCT,
        water_drawn_w=about(1000.0),
        air_drawn_w=about(1000.0),
        season_draw_w=about(500.0),
    )
    water, air = timers(doses_for("reduce_draw", pile))
    assert (water.of, water.value) == ("water_minutes_per_hour", pytest.approx(15.0))
    assert (air.of, air.value) == ("air_minutes_per_hour", pytest.approx(7.5))


def test_a_heap_with_nothing_to_spare_gives_only_the_shortest_pulse():
    # Common practice, no source.
    pile = heap(water=WATER_LOOP, water_drawn_w=about(900.0), season_draw_w=about(0.0, 0.0, 45.0))
    assert three(only(timers(doses_for("reduce_draw", pile)))) == pytest.approx((2.0, 1.0, 3.0))


def test_a_heap_with_nothing_to_spare_gives_a_part_of_what_it_makes():
    pile = heap(water=WATER_LOOP, water_drawn_w=about(900.0), season_draw_w=about(0.0, 0.0, 0.0), made_w=about(300.0))
    (dose,) = timers(doses_for("reduce_draw", pile))
    now = 60 * WATER_LOOP.hour_share
    assert dose.value == pytest.approx(now * 150 / 900)
    assert 0 < dose.low < dose.value <= dose.high


def test_of_a_heap_that_loses_what_it_makes_no_part_of_that_is_taken():
    spares = heap(
        water=WATER_LOOP,
        **{"water_drawn_w": about(300.0), "season_draw_w": about(20.0), "made_w": about(500.0), "lost_w": about(425.0)},
    )
    now = 60 * WATER_LOOP.hour_share
    assert only(timers(doses_for("reduce_draw", spares))).value == pytest.approx(now * 75 / 300)
    cools = dataclasses.replace(spares, lost_w=about(520.0))
    assert only(timers(doses_for("reduce_draw", cools))).value == pytest.approx(now * 20 / 300)


def test_an_unknown_draw_is_halved():
    # Common practice, no source.
    assert three(only(timers(doses_for("reduce_draw", heap(water=WATER_LOOP))))) == (30.0, 15.0, 45.0)


def test_reducing_always_reduces():
    pile = heap(water=WATER_LOOP, water_drawn_w=about(200.0), season_draw_w=about(500.0, 300.0, 900.0))
    assert three(only(timers(doses_for("reduce_draw", pile)))) == (45.0, 45.0, 45.0)


def test_the_draw_is_raised_to_the_season_draw_and_no_further():
    slow = dataclasses.replace(WATER_LOOP, hour_share=0.25)
    pile = heap(water=slow, water_drawn_w=about(200.0), season_draw_w=about(400.0, 100.0, 900.0))
    assert three(only(timers(doses_for("raise_draw", pile)))) == pytest.approx((30.0, 16.5, 60.0))


def test_a_draw_that_is_off_begins_with_a_few_minutes():
    off = dataclasses.replace(WATER_LOOP, hour_share=0.0)
    assert three(only(timers(doses_for("raise_draw", heap(water=off))))) == (10.0, 5.0, 15.0)


@each([(74.9, {"water", "air"}), (75.0, {"water"})])
def test_an_overheating_heap_is_drawn_by_water_only(core_c, ways):
    # 75 degC: Surrey Fire and Rescue (read), 70 to 80 degC: conditions for self-ignition may exist.
    doses = doses_for("raise_draw", heap(water=WATER_LOOP, air=AIR_DUCT, core_c=core_c))
    assert {dose.of.split("_")[0] for dose in doses} == ways


def test_what_runs_all_hour_gets_a_stronger_flow():
    # A tenth to a half more (common practice, no source).
    dose = only(doses_for("raise_draw", heap(water=WATER_LOOP)))
    assert (dose.of, dose.dimension) == ("water_flow", "water_flow")
    assert three(dose) == pytest.approx((0.0625, 0.055, 0.075))


@given(st.floats(1.0, 60.0), st.floats(0.0, 3000.0))
def test_no_dose_of_a_draw_holds_the_present_setting(minutes, season_w):
    running = dataclasses.replace(WATER_LOOP, hour_share=minutes / 60)
    pile = heap(water=running, water_drawn_w=about(800.0), season_draw_w=about(season_w, season_w / 2, 2 * season_w))
    less, more = only(doses_for("reduce_draw", pile)), only(doses_for("raise_draw", pile))
    assert 0 < less.low <= less.value <= less.high < minutes
    now = minutes if more.dimension == "minutes_per_hour" else running.flow_kg_s
    assert more.high >= more.value >= more.low > now


def test_what_is_fitted_and_not_drawn_begins_with_a_few_minutes():
    assert only(doses_for("raise_draw", heap(fits_water=True, fits_air=True))).of == "water_minutes_per_hour"
    assert only(doses_for("raise_draw", heap(fits_air=True))).of == "air_minutes_per_hour"
    # From 75 degC never by air (Surrey Fire and Rescue, read).
    assert doses_for("raise_draw", heap(fits_air=True, core_c=75.0)) == []


@each(["reduce_draw", "raise_draw"])
def test_no_draw_no_draw_dose(action):
    assert doses_for(action, heap()) == []


def test_a_pause_is_as_long_as_the_missing_heat_takes():
    # Core 35, wanted 45: 10 K of 6 t, half water, is 6000 (.5 x 1500 + .5 x 4186) x 10 = 171 MJ; at 400 W, 4.9 days.
    pile = heap(moisture=about(0.5), made_w=about(1000.0), lost_w=about(600.0))
    assert only(doses_for("pause_draw", pile)).value == pytest.approx(170.58e6 / 400 / 86400)


@each(
    [
        ({}, (5.0, 3.0, 7.0)),  # three to seven days (common practice, no source)
        ({"made_w": about(1000.0), "lost_w": about(500.0), "core_c": 60.0}, (3.0, 3.0, 3.0)),
        ({"made_w": about(500.0, 300.0, 900.0), "lost_w": about(700.0, 600.0, 800.0)}, (7.0, 6.0, 14.0)),
    ]
)
def test_pauses(changes, days):
    assert three(only(doses_for("pause_draw", heap(**changes)))) == pytest.approx(days, rel=0.05)


# --- building and covering


def test_a_small_heap_is_rebuilt_at_a_size_that_works():
    # 8 m3 at least (common practice, no source).
    chips, feed, water = doses_for("build_new_pile", heap(volume_m3=about(3.0, 2.0, 10.0)))
    assert (chips.of, *three(chips)) == ("wood_chips_green", 8.0, 8.0, 10.0)
    assert (feed.of, feed.dimension) == ("horse_manure", "mass")
    assert (water.of, water.dimension) == ("water", "water")


def test_a_new_heap_closes():
    chips, feed, water = doses_for("start_next_pile", heap())
    wood, manure = MATERIALS["wood_chips_green"], MATERIALS["horse_manure"]
    dry_wood = chips.value * wood.density.value * wood.dry_fraction
    dry_manure = feed.value * manure.dry_fraction
    carbon = dry_wood * wood.degradable_carbon + dry_manure * manure.degradable_carbon
    assert carbon / (dry_wood * wood.nitrogen.value + dry_manure * manure.nitrogen.value) == pytest.approx(40.0)
    portions = (
        MixedPortion(chips.value * wood.density.value, wood.moisture.value),
        MixedPortion(feed.value, manure.moisture.value),
        MixedPortion(water.value, 1.0),
    )
    # Fresh chips that bring their own water are damped all the same, by 10 kg/m3 (common practice, no source).
    wanted = max(0.55, mixture_moisture(portions[:2]))
    assert wanted <= mixture_moisture(portions) < wanted + 0.02


@each(
    [
        ("top_up", about(16.0), (4.0, 2.4, 5.6)),
        ("enlarge_pile", about(20.0), (6.0, 4.0, 10.0)),
        ("enlarge_pile", about(4.0), (4.0, 4.0, 4.0)),
    ]
)
def test_fresh_matter_on_a_standing_heap(action, volume, wanted):
    assert three(doses_for(action, heap(volume_m3=volume))[0]) == pytest.approx(wanted)


def test_cracks_alone_take_a_few_chips_and_no_feed():
    # Three parts in a hundred of the heap (our own).
    chips = only(doses_for("top_up", heap(only_cracks=True)))
    assert (chips.of, chips.value) == ("wood_chips_green", pytest.approx(0.48))


def test_no_amount_of_dry_matter_is_told_as_sure_to_the_cubic_metre():
    # More carbon is wanted than half the heap, which is the most: its range still has a width.
    dose = only(doses_for("add_carbon", heap(degradable_carbon_kg=about(50.0), nitrogen_kg=about(60.0))))
    assert dose.low < 0.9 * dose.high


@each(["cover_with_clear_film", "keep_rain_off", "insulate"])
def test_covers_lap_over(action):
    # A fifth to spare (common practice, no source).
    dose = doses_for(action, heap(surface_m2=about(30.0, 25.0, 40.0)))[0]
    assert (dose.of, dose.dimension) == ("cover_area", "area")
    assert three(dose) == pytest.approx((36.0, 30.0, 48.0))


def test_wrap():
    straw = doses_for("insulate", heap())[1]
    assert (straw.of, straw.value) == ("straw", pytest.approx(10.5))
    assert doses_for("insulate", heap(on_hand=frozenset({"leaves"})))[1].of == "leaves"


# --- laws


def test_only_actions_have_doses():
    assert set(DOSED) <= set(ACTIONS)
    assert doses_for("wait", heap()) == []


def estimates(low, high):
    return st.tuples(*[st.floats(low, high)] * 3).map(sorted).map(lambda each: about(each[1], each[0], each[2]))


HEAPS = st.builds(
    DoseInputs,
    mass_kg=estimates(50, 60_000),
    volume_m3=estimates(0.2, 200),
    moisture=estimates(0.0, 0.95),
    degradable_carbon_kg=estimates(0, 20_000),
    nitrogen_kg=estimates(0, 1_000),
    surface_m2=estimates(1, 400),
    core_c=st.floats(-10, 80),
    on_hand=st.none() | st.frozensets(st.sampled_from([*MATERIALS, "straw_bales", "tarp", "warm_water"])),
    air=st.none() | st.floats(0, 1).map(lambda share: dataclasses.replace(AIR_DUCT, hour_share=share)),
    water=st.none() | st.floats(0, 1).map(lambda share: dataclasses.replace(WATER_LOOP, hour_share=share)),
    air_drawn_w=st.none() | estimates(-500, 5_000),
    water_drawn_w=st.none() | estimates(-500, 5_000),
    season_draw_w=st.none() | estimates(0, 5_000),
    made_w=st.none() | estimates(0, 5_000),
    lost_w=st.none() | estimates(0, 5_000),
)


@given(HEAPS, st.sampled_from(sorted(DOSED)))
def test_every_dose_is_ordered_finite_and_not_negative(pile, action):
    for dose in all_doses(doses_for(action, pile)):
        assert 0 < dose.low <= dose.value <= dose.high < math.inf
        assert dose.split >= 1
        if dose.dimension == "minutes_per_hour":
            assert dose.high <= 60


@given(HEAPS)
def test_drier_takes_more_water(pile):
    drier = dataclasses.replace(
        pile, moisture=about(*(0.9 * getattr(pile.moisture, n) for n in ("value", "low", "high")))
    )
    before, after = (sum(dose.value for dose in doses_for("add_water", each)) for each in (pile, drier))
    assert after >= before * (1 - 1e-9)


@given(HEAPS)
def test_watering_closes(pile):
    for dose in doses_for("add_water", pile):
        if dose.value > 10.0 * pile.volume_m3.value:  # less is a first pour, whatever the mix holds
            mass, moisture = pile.mass_kg.value, pile.moisture.value
            assert mixture_moisture((MixedPortion(mass, moisture), MixedPortion(dose.value, 1.0))) == pytest.approx(
                0.55
            )


@given(HEAPS, st.floats(0, 100))
def test_more_nitrogen_present_takes_less(pile, more):
    now = pile.nitrogen_kg
    richer = dataclasses.replace(pile, nitrogen_kg=about(now.value + more, now.low + more, now.high + more))
    before, after = (sum(dose.value for dose in doses_for("add_nitrogen", each)) for each in (pile, richer))
    assert after <= before * (1 + 1e-9)


@given(HEAPS)
def test_nobody_is_fed_past_30(pile):
    for dose in doses_for("add_nitrogen", pile):
        feed = MATERIALS[dose.of]
        dry = dose.high * feed.dry_fraction
        carbon = pile.degradable_carbon_kg.value + dry * feed.degradable_carbon
        assert carbon >= 30 * (pile.nitrogen_kg.value + dry * feed.nitrogen.value) * (1 - 1e-9)


@given(HEAPS, st.floats(0, 1_000))
def test_a_smaller_season_draw_gives_fewer_minutes(pile, less):
    if pile.season_draw_w is None:
        return
    season = pile.season_draw_w
    ends = (max(0.0, getattr(season, name) - less) for name in ("value", "low", "high"))
    poorer = dataclasses.replace(pile, season_draw_w=about(*ends))
    for action in ("reduce_draw", "raise_draw"):
        for before, after in zip(doses_for(action, pile), doses_for(action, poorer), strict=True):
            assert after.value <= before.value + 1e-9
