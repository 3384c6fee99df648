"""Snow, frost, rain, wind and sun: what today's and the coming weather ask for."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import FROST_MAY_COME, NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_POROSITY, FROZEN_CHIP_PILE, SNOW_INSULATES
from rules.themes.cover import STRIPPING_WIND

SNAP_FROM = Threshold("SNAP_FROM", 6.0, "delta_degC", "a drop that a heap feels", COMMON_PRACTICE)
SNAP_BELOW = Threshold("SNAP_BELOW", 0.0, "degC", "a snap into frost", COMMON_PRACTICE)
HARD_NIGHT = Threshold("HARD_NIGHT", -8.0, "degC", "a hard night for a bare or thinly covered heap", COMMON_PRACTICE)
THAW_FROM = Threshold("THAW_FROM", 1.0, "degC", "snow melts", COMMON_PRACTICE)

_COVERED = f.cover.one_of("clear_film", "tarp", "breathable", "straw")
_FIT_TO_WRAP = WORTH_KEEPING & NOT_TOO_HOT

_SNOW: tuple[Rule, ...] = (
    Rule(
        id="weather.snow-on-the-heap",
        when=f.snow_covered.is_true() & f.core_c.known() & found.fire_danger.not_seen(),
        reason="Snow lies on a heap with a core of {core_c}. Clear the ridge and the vents so that it can breathe. "
        "Dry snow on the sides keeps frost out: leave it.",
        gives=Act("remove_snow", Urgency.TODAY),
        source=SNOW_INSULATES,
        confidence=0.7,
    ),
    Rule(
        id="weather.snow-melts-into-it",
        when=f.snow_covered.is_true() & (f.outdoor_c >= THAW_FROM) & found.too_dry.not_seen(),
        reason="Snow lies on the heap and the air is at {outdoor_c}. Take it off before it melts: heavy wet snow shuts "
        "out air and soaks in ice cold.",
        gives=Act("remove_snow", Urgency.TODAY),
        source=CORNELL_POROSITY,
        confidence=0.75,
    ),
    Rule(
        id="weather.snow-hides-the-sun",
        when=f.snow_covered.is_true() & f.cover.one_of("clear_film") & f.sun.one_of("clear", "mixed"),
        reason="Snow lies on the {cover} and the sky is {sun}. Brush it off so that the sun gets in.",
        gives=Act("remove_snow", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="weather.snow-coming-on-film",
        when=f.snow_forecast.is_true() & f.cover.one_of("clear_film", "tarp") & f.snow_covered.not_seen(),
        reason="Snow is on its way and the cover is {cover}. Wet snow can tear it or shut the vents: brush it off "
        "while it is fresh.",
        gives=Caution(("keep_going", "wait", "cover_with_clear_film", "open_vent_in_film")),
        source=COMMON_PRACTICE,
    ),
)

_FROST: tuple[Rule, ...] = (
    Rule(
        id="weather.frozen-crust",
        when=f.frozen_crust.is_true() & _FIT_TO_WRAP,
        reason="The crust is frozen. It lets no air or water through. Wrap it, so that the heat from inside can thaw "
        "it.",
        gives=Act("insulate", Urgency.TODAY),
        source=FROZEN_CHIP_PILE,
        confidence=0.7,
    ),
    Rule(
        id="weather.frozen-crust-do-not-break",
        when=f.frozen_crust.is_true() & found.waterlogged.not_seen(),
        reason="The crust is frozen. If you dig now, frozen lumps end up in the warm middle.",
        gives=Avoid("loosen_pile"),
        source=FROZEN_CHIP_PILE,
        confidence=0.7,
    ),
    Rule(
        id="weather.cold-snap-bare",
        when=(f.cold_snap_k >= SNAP_FROM)
        & (f.forecast_low_c < SNAP_BELOW)
        & f.cover.one_of("none")
        & _FIT_TO_WRAP
        & found.waterlogged.not_seen(),
        reason="A cold snap is coming: down to {forecast_low_c}, lower by {cold_snap_k}. Cover the bare heap while it "
        "is still warm.",
        gives=Act("cover_with_clear_film", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.75,
    ),
    Rule(
        id="weather.cold-snap-wrap",
        when=(f.cold_snap_k >= SNAP_FROM)
        & (f.forecast_low_c < SNAP_BELOW)
        & (_COVERED | f.cover.unknown())
        & _FIT_TO_WRAP,
        reason="A cold snap is coming: down to {forecast_low_c}, lower by {cold_snap_k}. Wrap the windy side before it "
        "comes.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="weather.hard-frost-tonight",
        when=(f.low_c <= HARD_NIGHT) & f.cover.one_of("breathable") & _FIT_TO_WRAP,
        reason="Tonight may fall to {low_c}, and the cover ({cover}) holds little heat. Lay straw around the heap "
        "before dark.",
        gives=Act("insulate", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="weather.wind-on-a-covered-heap",
        when=_COVERED
        & (f.wind.one_of("exposed") | (f.wind_speed_m_s >= STRIPPING_WIND))
        & f.freezing.is_true()
        & _FIT_TO_WRAP,
        reason="It freezes and wind gets at the heap, though the cover is {cover}. Stack bales on the windy side.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
)

_RAIN: tuple[Rule, ...] = (
    Rule(
        id="weather.heavy-rain-now",
        when=f.rain.one_of("heavy") & f.cover.one_of("none", "breathable") & found.too_dry.not_seen() & WORTH_KEEPING,
        reason="The rain is {rain} and gets in (cover: {cover}). Cold rain takes heat and fills the gaps for air.",
        gives=Act("keep_rain_off", Urgency.TODAY),
        source=CORNELL_POROSITY,
        confidence=0.65,
    ),
    Rule(
        id="weather.heavy-rain-coming",
        when=f.rain_forecast.is_true()
        & f.cover.one_of("none", "breathable")
        & found.too_dry.not_seen()
        & WORTH_KEEPING,
        reason="Heavy rain is on its way and can get in (cover: {cover}). Put a sheet up before it comes.",
        gives=Act("keep_rain_off", Urgency.TODAY),
        source=CORNELL_POROSITY,
        confidence=0.6,
    ),
    Rule(
        id="weather.no-water-at-dusk-in-frost",
        when=FROST_MAY_COME & f.core_c.known(),
        reason="In frost, even with a core of {core_c}, never water from above at dusk: it turns to ice before it "
        "sinks in. Pour it into holes at midday.",
        gives=Caution(("add_water", "add_nitrogen")),
        source=COMMON_PRACTICE,
    ),
)

_SUN: tuple[Rule, ...] = (
    Rule(
        id="weather.sun-under-a-tarp",
        when=f.sun.one_of("clear")
        & f.cover.one_of("tarp")
        & f.season.one_of("heating")
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & found.waterlogged.not_seen(),
        reason="The sky is {sun} and a {cover} keeps the sun off. Change it for clear film, open along the ridge.",
        gives=Act("cover_with_clear_film", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.4,
    ),
    Rule(
        id="weather.sun-warms-the-probe",
        when=f.sun.one_of("clear") & f.core_c.known(),
        reason="The sky is {sun}. Sun on the head of the probe or the skin can lift a reading. Shade it, and read at "
        "the same hour each day.",
        gives=Caution(("check_probe", "watch_heat"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _SNOW + _FROST + _RAIN + _SUN
