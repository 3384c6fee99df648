"""Doubts about what was measured: short or unchecked probes, moved spots, readings that cannot be."""

from __future__ import annotations

from typing import NamedTuple

from rules.language import facts as f
from rules.language import findings as found
from rules.language.common import NOT_TOO_HOT
from rules.language.conditions import Condition, Threshold
from rules.language.model import Act, Caution, Finding, Gravity, Rule, Source, Urgency
from rules.language.sources import COMMON_PRACTICE, HEAT_BALANCE, PROBE_DEPTH
from rules.tables.thresholds import HOT_FROM

OUTLET_TOO_WARM = Threshold("OUTLET_TOO_WARM", 2.0, "delta_degC", "nothing leaves hotter than the core", HEAT_BALANCE)
UNEVEN_SPOTS = Threshold("UNEVEN_SPOTS", 15.0, "delta_degC", "like depths should agree better", COMMON_PRACTICE)
SUDDEN_JUMP = Threshold("SUDDEN_JUMP", 10.0, "delta_degC", "a core is too heavy to change so fast", HEAT_BALANCE)
OUTER_TOO_WARM = Threshold("OUTER_TOO_WARM", -5.0, "delta_degC", "a skin is the colder part", HEAT_BALANCE)
READ_LONG_AGO = Threshold("READ_LONG_AGO", 4.0, "days", "a core may be another one by then", COMMON_PRACTICE)
READ_TOO_LONG_AGO = Threshold("READ_TOO_LONG_AGO", 10.0, "days", "a core may be anything by then", COMMON_PRACTICE)
BEYOND_BELIEF = Threshold("BEYOND_BELIEF", 0.02, "days", "no draw empties a hot heap in half an hour", HEAT_BALANCE)
HIDDEN_HEAT = Threshold("HIDDEN_HEAT", 60.0, "degC", "a short probe here may hide a fire limit", PROBE_DEPTH)


READ_IN_THE_CORE = (
    f.probe_too_short.not_seen()
    & f.core_below_outdoor.not_seen()
    & (f.core_above_outer_k.unknown() | (f.core_above_outer_k > OUTER_TOO_WARM))
)
"""Nothing shows that a cold reading was taken elsewhere than in the core, or by a probe that is broken."""


class _Doubt(NamedTuple):
    """One reason to distrust the core; it makes the core doubtful and asks for a check of the probe."""

    key: str
    when: Condition
    reason: str
    urgency: Urgency
    source: Source
    confidence: float


_DOUBTS: tuple[_Doubt, ...] = (
    _Doubt(
        "probe-too-short",
        f.probe_too_short.is_true() & f.core_c.known(),
        "The probe does not reach the core, so the real core is at least {core_c} and may well be hotter. Read it "
        "again with a longer probe, from the top or through a hole.",
        Urgency.TODAY,
        PROBE_DEPTH,
        0.85,
    ),
    _Doubt(
        "outlet-above-core",
        f.outlet_above_core_k >= OUTLET_TOO_WARM,
        "What leaves the heap is {outlet_above_core_k} warmer than your core reading. Nothing can leave hotter than "
        "the core, so the probe is not in it.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.85,
    ),
    _Doubt(
        "outer-above-core",
        (f.core_above_outer_k <= OUTER_TOO_WARM) & f.outer_c.known() & f.core_c.known(),
        "The outer layer reads {outer_c} and the core {core_c}. A heap is seldom hotter outside: the two were swapped, "
        "or it is hottest elsewhere. Read several spots, and go by the hottest.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.75,
    ),
    _Doubt(
        "core-below-outdoor",
        f.core_below_outdoor.is_true() & f.core_c.known(),
        "The core reads {core_c}, colder than the air outside. That is rare: check the probe first.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.75,
    ),
    _Doubt(
        "probe-broken",
        f.probe_fault.one_of("broken") & f.core_c.known(),
        "The log holds numbers no heap can have, such as a broken or unplugged sensor sends. They are left out, and "
        "{core_c} is the last that can be. Try the probe in ice water, and look at its plug and cable.",
        Urgency.TODAY,
        COMMON_PRACTICE,
        0.95,
    ),
    _Doubt(
        "probe-pulled-out",
        f.probe_fault.one_of("pulled_out") & f.core_c.known(),
        "The core fell faster than tonnes of wet matter can. Most often the probe was pulled out or "
        "moved: that reading is left out, and {core_c} is the last before it.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.85,
    ),
    _Doubt(
        "probe-jumping",
        f.probe_fault.one_of("jumping") & f.core_c.known(),
        "Readings jump off and come back: a loose plug or a wet cable does that. Those that stand alone are left out, "
        "and {core_c} stands.",
        Urgency.THIS_WEEK,
        COMMON_PRACTICE,
        0.8,
    ),
    _Doubt(
        "probe-stuck",
        f.probe_fault.one_of("stuck") & f.core_c.known(),
        "The probe has told {core_c} again and again, to the last digit. A core moves a little every day, so it may be "
        "stuck. What it told since is left out: try it in ice water.",
        Urgency.TODAY,
        COMMON_PRACTICE,
        0.7,
    ),
    _Doubt(
        "probe-drifting",
        f.probe_fault.one_of("drifting") & f.core_c.known(),
        "The readings run down in a straight line to below the air outside. No heap does that, a failing probe does. "
        "They are left out, and {core_c} is from before: try the probe in ice water.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.75,
    ),
    _Doubt(
        "probe-silent",
        f.probe_fault.one_of("silent") & f.core_c.known() & f.probe_silent_days.known(),
        "The probe was read regularly, and nothing has come for {probe_silent_days}. If nobody stopped reading it, it "
        "is dead. {core_c} is the last it told.",
        Urgency.THIS_WEEK,
        COMMON_PRACTICE,
        0.75,
    ),
    _Doubt(
        "core-jumped",
        f.core_jump_k >= SUDDEN_JUMP,
        "The core changed by {core_jump_k} from one reading to the next. So fast a change most often means that the "
        "probe sat in another spot.",
        Urgency.TODAY,
        HEAT_BALANCE,
        0.7,
    ),
    _Doubt(
        "spots-disagree",
        f.points_spread_k >= UNEVEN_SPOTS,
        "Spots at the same depth differ by {points_spread_k}. Either the heap is uneven or the tip sits in a gap: "
        "read three spots and take the hottest.",
        Urgency.THIS_WEEK,
        COMMON_PRACTICE,
        0.6,
    ),
)

_FINDINGS = tuple(
    Rule(
        id=f"measurement.{doubt.key}",
        when=doubt.when,
        reason=doubt.reason,
        gives=Finding("core_doubtful"),
        source=doubt.source,
        confidence=doubt.confidence,
    )
    for doubt in _DOUBTS
)

_CHECKS = tuple(
    Rule(
        id=f"measurement.{doubt.key}-check-it",
        when=doubt.when,
        reason=doubt.reason,
        gives=Act("check_probe", doubt.urgency),
        source=doubt.source,
        confidence=doubt.confidence,
    )
    for doubt in _DOUBTS
)

_MORE: tuple[Rule, ...] = (
    Rule(
        id="measurement.probe-never-checked",
        when=f.probe_checked.is_false() & f.core_c.known(),
        reason="The probe has not been checked. All this rests on its reading of {core_c}: try it in ice water.",
        gives=Act("check_probe", Urgency.THIS_MONTH),
        source=COMMON_PRACTICE,
        confidence=0.6,
    ),
    Rule(
        id="measurement.outlet-colder-than-inlet",
        when=f.outlet_below_inlet.is_true() & f.core_c.known(),
        reason="What you draw comes out colder than it went in, with a core of {core_c}. See whether the two "
        "thermometers are swapped.",
        gives=Act("check_probe", Urgency.TODAY),
        source=HEAT_BALANCE,
        confidence=0.6,
    ),
    Rule(
        id="measurement.draw-beyond-belief",
        when=f.drawing.is_true() & (f.stored_heat_days <= BEYOND_BELIEF) & (f.core_c >= HOT_FROM) & f.draw_w.known(),
        reason="By flow and thermometers you draw {draw_w}, which would empty a heap of {core_c} in minutes. One of "
        "them is wrong: time how fast a bucket fills, and read inlet and outlet again.",
        gives=Caution(("*",)),
        source=HEAT_BALANCE,
    ),
    Rule(
        id="measurement.short-probe-hides-heat",
        when=(f.probe_too_short.is_true() | f.probe_too_short.unknown())
        & (f.hottest_c >= HIDDEN_HEAT)
        & found.fire_danger.not_seen(),
        reason="The probe reads {hottest_c}. If it stops short of the middle, it may be far hotter there. Watch for "
        "smoke or a burnt smell; if you see or smell any, keep clear and call the fire service.",
        gives=Caution(("*",), Gravity.LIFE, brief="May be hotter inside: at any smoke keep clear."),
        source=PROBE_DEPTH,
    ),
    Rule(
        id="measurement.read-it-again",
        when=(f.core_read_days_ago >= READ_TOO_LONG_AGO) & f.core_c.known() & NOT_TOO_HOT,
        reason="The newest reading of the core, {core_c}, is {core_read_days_ago} old: nobody knows how warm it is "
        "now. Read it before anything else.",
        gives=Act("find_the_cause", Urgency.TODAY),
        source=COMMON_PRACTICE,
        confidence=0.8,
    ),
    Rule(
        id="measurement.reading-is-old",
        when=(f.core_read_days_ago >= READ_LONG_AGO) & f.core_c.known(),
        reason="The newest reading of the core, {core_c}, is {core_read_days_ago} old, and all of this goes by it. "
        "Read it again before you act on it.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="measurement.size-disagrees",
        when=f.size_disagrees.is_true(),
        reason="The size you gave and what went into the heap do not fit together. All amounts here are rough: pace "
        "the heap out again.",
        gives=Caution(("*",), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
    Rule(
        id="measurement.one-reading-is-no-trend",
        when=f.has_history.is_false() & f.core_c.known(),
        reason="One reading of {core_c} does not tell whether the heap warms or cools. Read it again in the same spot, "
        "at the same depth, tomorrow.",
        gives=Caution(("wait", "keep_going", "check_probe"), Gravity.NOTE),
        source=COMMON_PRACTICE,
    ),
)

RULES: tuple[Rule, ...] = _FINDINGS + _CHECKS + _MORE
