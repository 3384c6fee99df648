"""What lies over the heap: bare, film, tarp, straw or a sheet that breathes, and what the heap needs instead."""

from __future__ import annotations

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import HAS_AIR_AND_NOT_TOO_WET, NOT_TOO_HOT, WORTH_KEEPING
from rules.language.conditions import Threshold
from rules.language.model import Act, Avoid, Caution, Finding, Gravity, Rule, Urgency
from rules.language.sources import COMMON_PRACTICE, CORNELL_POROSITY, FILM_AND_AIR, MOIST_AIR, WIND_AT_SKIN
from rules.tables.thresholds import COLD_BELOW, FIRE_WATCH_DRY, HOT_FROM

STRIPPING_WIND = Threshold("STRIPPING_WIND", 5.0, "m/s", "wind that doubles the loss at a bare skin", WIND_AT_SKIN)
COOL_AIR_BELOW = Threshold("COOL_AIR_BELOW", 12.0, "degC", "air cool enough for a cover to pay", COMMON_PRACTICE)
FRESH_UNTIL = Threshold("FRESH_UNTIL", 42.0, "days", "a fresh heap still needs much air", COMMON_PRACTICE)

LONG_GOAL = Threshold("LONG_GOAL", 30.0, "days", "heat wanted for so long repays a wrap", COMMON_PRACTICE)
WRAP_LASTS = Threshold("WRAP_LASTS", 90.0, "days", "a wrap of bales lasts a winter", COMMON_PRACTICE)

_COOL_OUT = f.freezing.is_true() | (f.outdoor_c < COOL_AIR_BELOW) | f.season.one_of("heating")
_BARE = f.cover.one_of("none")
_FIT_FOR_FILM = WORTH_KEEPING & NOT_TOO_HOT & found.waterlogged.not_seen()

_FINDINGS: tuple[Rule, ...] = (
    Rule(
        id="cover.bare-and-exposed",
        when=_BARE & f.wind.one_of("exposed") & _COOL_OUT,
        reason="Nothing covers the heap and the place is {wind}: wind carries its heat off.",
        gives=Finding("losing_to_weather"),
        source=WIND_AT_SKIN,
        confidence=0.75,
    ),
    Rule(
        id="cover.bare-in-wind",
        when=_BARE & (f.wind_speed_m_s >= STRIPPING_WIND) & _COOL_OUT,
        reason="Nothing covers the heap and the wind blows at {wind_speed_m_s}.",
        gives=Finding("losing_to_weather"),
        source=WIND_AT_SKIN,
        confidence=0.75,
    ),
    Rule(
        id="cover.bare-in-frost",
        when=_BARE & f.freezing.is_true(),
        reason="It freezes and the heap lies bare (cover: {cover}).",
        gives=Finding("losing_to_weather"),
        source=WIND_AT_SKIN,
        confidence=0.65,
    ),
    Rule(
        id="cover.bare-and-falling",
        when=_BARE & f.core_falling.is_true() & (f.outdoor_c < COOL_AIR_BELOW),
        reason="The core falls, and nothing covers the heap (cover: {cover}) in air of {outdoor_c}.",
        gives=Finding("losing_to_weather"),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="cover.bare-and-steaming",
        when=_BARE & f.steam.is_true() & _COOL_OUT,
        reason="Steam rises from a bare heap (cover: {cover}). Steam carries off more heat than dry air does.",
        gives=Finding("losing_to_weather"),
        source=MOIST_AIR,
        confidence=0.6,
    ),
)

_LAY_IT_ON: tuple[Rule, ...] = (
    Rule(
        id="cover.windy-frost-cover-it",
        when=_BARE
        & f.freezing.is_true()
        & (f.wind.one_of("exposed") | (f.wind_speed_m_s >= STRIPPING_WIND))
        & _FIT_FOR_FILM,
        reason="It freezes, and wind gets at the bare heap (cover: {cover}). Clear film, open along the ridge, stops "
        "the wind and lets the sun in.",
        gives=Act("cover_with_clear_film", Urgency.TODAY),
        source=WIND_AT_SKIN,
        confidence=0.85,
    ),
    Rule(
        id="cover.still-frost-cover-it",
        when=_BARE & f.freezing.is_true() & f.wind.one_of("sheltered", "normal") & _FIT_FOR_FILM,
        reason="It freezes and the heap lies bare (cover: {cover}). Film keeps its skin warmer, even in a place with "
        "little wind.",
        gives=Act("cover_with_clear_film", Urgency.THIS_WEEK),
        source=WIND_AT_SKIN,
        confidence=0.65,
    ),
    Rule(
        id="cover.losing-cover-it",
        when=found.losing_to_weather.is_true() & _BARE & _FIT_FOR_FILM,
        reason="The weather takes heat from the heap, and nothing holds it back (cover: {cover}).",
        gives=Act("cover_with_clear_film", Urgency.THIS_WEEK),
        source=WIND_AT_SKIN,
        confidence=0.65,
    ),
    Rule(
        id="cover.sun-on-a-bare-heap",
        when=_BARE & f.sun.one_of("clear", "mixed") & f.season.one_of("heating") & _FIT_FOR_FILM,
        reason="The sky is {sun} and the heap lies bare. Clear film would catch the sun by day.",
        gives=Act("cover_with_clear_film", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
    Rule(
        id="cover.breathable-in-frost",
        when=f.cover.one_of("breathable") & f.freezing.is_true() & WORTH_KEEPING & NOT_TOO_HOT,
        reason="It freezes, and a {cover} cover lets the heap breathe but holds little heat. Put straw under or "
        "over it.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.5,
    ),
)

_WINTER_AHEAD = f.season.one_of("heating") & (f.goal_days >= LONG_GOAL)

_BEFORE_THE_COLD: tuple[Rule, ...] = (
    Rule(
        id="cover.film-before-the-cold",
        when=_BARE & _WINTER_AHEAD & (f.outdoor_c < COOL_AIR_BELOW) & _FIT_FOR_FILM & found.short_of_air.not_seen(),
        reason="The air is at {outdoor_c} and {goal_days} of heating lie ahead of a bare heap (cover: {cover}). Film, "
        "open along the ridge, saves heat from the first day on.",
        gives=Act("cover_with_clear_film", Urgency.TODAY),
        source=MOIST_AIR,
        confidence=0.7,
    ),
    Rule(
        id="cover.film-over-what-lies-there",
        when=f.cover.one_of("tarp", "breathable", "straw")
        & _WINTER_AHEAD
        & (f.outdoor_c < COOL_AIR_BELOW)
        & f.days_since_film.unknown()
        & _FIT_FOR_FILM
        & found.too_wet.not_seen()
        & found.short_of_air.not_seen(),
        reason="{goal_days} of heating lie ahead in air of {outdoor_c}, and under a {cover} cover alone steam and sun "
        "are lost. Lay clear film over it, open along the ridge; under a tarp, in its place.",
        gives=Act("cover_with_clear_film", Urgency.TODAY),
        source=MOIST_AIR,
        confidence=0.6,
    ),
    Rule(
        id="cover.wrap-before-the-cold",
        when=f.cover.one_of("clear_film", "tarp", "breathable")
        & _WINTER_AHEAD
        & (f.outdoor_c < COOL_AIR_BELOW)
        & f.days_since_insulate.unknown()
        & WORTH_KEEPING
        & NOT_TOO_HOT
        & found.waterlogged.not_seen()
        & found.steady_hot.not_seen()
        & f.core_falling.not_seen(),
        reason="The air is at {outdoor_c} and {goal_days} of heating lie ahead. A thick wrap about the sides, the "
        "{cover} left on, saves more the earlier it is there.",
        gives=Act("insulate", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.65,
    ),
    Rule(
        id="cover.wrap-this-week",
        when=f.cover.one_of("clear_film", "tarp", "breathable")
        & _WINTER_AHEAD
        & (f.outdoor_c < COOL_AIR_BELOW)
        & f.days_since_insulate.unknown()
        & (found.steady_hot.is_true() | f.core_falling.is_true())
        & found.overdrawn.not_seen()
        & found.waterlogged.not_seen()
        & WORTH_KEEPING
        & NOT_TOO_HOT,
        reason="With {goal_days} of heating ahead in air of {outdoor_c}, a wrap about the sides, the {cover} left on, "
        "makes the heat last.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.55,
    ),
    Rule(
        id="cover.straw-where-film-would-choke",
        when=_BARE
        & _WINTER_AHEAD
        & (f.outdoor_c < COOL_AIR_BELOW)
        & f.days_since_insulate.unknown()
        & found.short_of_air.is_true()
        & found.waterlogged.not_seen()
        & WORTH_KEEPING
        & NOT_TOO_HOT,
        reason="The air is at {outdoor_c} and {goal_days} of heating lie ahead of a bare heap (cover: {cover}) that is "
        "short of air. Straw keeps heat in and lets air through; film can follow once it smells of earth.",
        gives=Act("insulate", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="cover.wrapped-already",
        when=(f.days_since_insulate <= WRAP_LASTS) & f.cover.known(),
        reason="The heap was wrapped {days_since_insulate} ago. Mend what has slipped; a second wrap adds little.",
        gives=Avoid("insulate"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
)

_LET_IT_BREATHE: tuple[Rule, ...] = (
    Rule(
        id="cover.film-over-wet-heap",
        when=f.cover.one_of("clear_film")
        & (found.waterlogged.is_true() | found.too_wet.is_true())
        & found.hand_doubtful.not_seen(),
        reason="The heap is too wet, and the {cover} keeps the water in. Let it out at the ridge.",
        gives=Act("open_vent_in_film", Urgency.TODAY),
        source=CORNELL_POROSITY,
        confidence=0.75,
    ),
    Rule(
        id="cover.film-on-hot-fresh-heap",
        when=f.cover.one_of("clear_film")
        & (f.core_c >= HOT_FROM)
        & (f.core_c < FIRE_WATCH_DRY)
        & (f.age_days <= FRESH_UNTIL)
        & found.fire_danger.not_seen()
        & (f.smell.unknown() | f.smell.one_of("sour", "rotten_egg", "musty"))
        & f.days_since_cover_change.unknown(),
        reason="The core reads {core_c} at {age_days} old: a hot, fresh heap uses much air. Make sure that the film "
        "is open along the ridge.",
        gives=Act("open_vent_in_film", Urgency.THIS_MONTH),
        source=FILM_AND_AIR,
        confidence=0.5,
    ),
    Rule(
        id="cover.tarp-on-a-hot-heap",
        when=f.cover.one_of("tarp") & (f.core_c >= HOT_FROM) & (f.age_days <= FRESH_UNTIL) & f.freezing.not_seen(),
        reason="The core reads {core_c} at {age_days} old, and a {cover} shuts out the air that a hot, fresh heap "
        "needs. Prop up its edges.",
        gives=Act("lift_cover", Urgency.THIS_WEEK),
        source=CORNELL_POROSITY,
        confidence=0.5,
    ),
    Rule(
        id="cover.dry-day-under-a-tarp",
        when=f.cover.one_of("tarp") & found.too_wet.is_true() & f.rain.one_of("none") & found.fire_danger.not_seen(),
        reason="The heap is too wet under a {cover}, and the rain now is: {rain}. Fold it back at midday to let the "
        "wet out.",
        gives=Act("lift_cover", Urgency.THIS_WEEK),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="cover.straw-soaked-by-rain",
        when=f.cover.one_of("straw")
        & (f.rain.one_of("heavy") | f.rain_forecast.is_true())
        & found.too_dry.not_seen()
        & WORTH_KEEPING,
        reason="Heavy rain, and the cover is {cover}. Soaked straw mats down and keeps hardly any heat in.",
        gives=Act("keep_rain_off", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
)

_WRONG_MOVES: tuple[Rule, ...] = (
    Rule(
        id="cover.keep-it-on-in-frost",
        when=f.cover.one_of("clear_film", "straw", "breathable")
        & f.freezing.is_true()
        & (f.core_c >= COLD_BELOW)
        & f.phase.one_of("falling", "holding", "unclear")
        & NOT_TOO_HOT
        & HAS_AIR_AND_NOT_TOO_WET,
        reason="It freezes and the core still reads {core_c}. Do not take the {cover} cover off to have a look.",
        gives=Avoid("lift_cover"),
        source=COMMON_PRACTICE,
        confidence=0.7,
    ),
    Rule(
        id="cover.film-may-choke",
        when=f.core_c.known() & (_BARE | f.cover.unknown()),
        reason="Film keeps heat in but can also choke a heap with a core of {core_c}. Always leave the ridge open, "
        "and take it off if the core falls faster.",
        gives=Caution(("cover_with_clear_film",)),
        source=FILM_AND_AIR,
    ),
    Rule(
        id="cover.weigh-it-down",
        when=f.wind_speed_m_s >= STRIPPING_WIND,
        reason="The wind blows at {wind_speed_m_s}. Lay sheets with a helper, and weigh all edges down: a loose one "
        "can pull you over.",
        gives=Caution(("cover_with_clear_film", "keep_rain_off", "lift_cover", "insulate"), Gravity.INJURY),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _LAY_IT_ON + _BEFORE_THE_COLD + _LET_IT_BREATHE + _WRONG_MOVES
