"""What a mix is worth: its numbers beside the published ranges, its risk of ammonia, and what else to know."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from rules.catalogue import said
from rules.language.model import Source
from rules.tables.mix_ranges import RANGES, Span
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY, STALLED_DRY_BELOW
from service.actions.dosing.build import LEAST_HEAP_M3
from service.answer.quantities import measured, round_off
from service.mix.carrying import Carrying, portion
from service.mix.matter import MixPart, Totals, total
from service.mix.measures import Measures, measure
from service.mix.shapes.answer import (
    AmmoniaRisk,
    Compared,
    JudgedMix,
    Level,
    MixCaution,
    MixNumbers,
    RangeShown,
    RangeVerdict,
)
from service.mix.sources import mix_source_shown, notes_shown
from service.mix.words import AMMONIA_CAUSES, ESTIMATE, NOTE_SOURCES, name_in_sentence
from service.render.wording import DIMENSION_OF, in_words, listed
from service.units.estimate import Estimate
from service.units.figures import figure
from service.units.quantities import Dimension, System, to_units

UNITS: Final = {name: known.unit for name, known in RANGES.items()} | {"rots_in_weeks": "%", "rots_in_years": "%"}
ROUNDING: Final = figure(1e-6, "1", "A number this close to a limit, relatively, is on it", "no source")
WOODY_SHARE: Final = figure(
    0.3, "1", "Share of the carbon in wood from which the mix is told to go by what can rot", "no source"
)
HOT_MIX_C: Final = figure(
    65.0,
    "degC",
    "High end of the expected peak from which the fire limits are named: the upper end of what works (Manitoba)",
    "read",
)
LEVELS: Final[tuple[Level, ...]] = ("low", "some", "high")
_UNRANGED: Final = ("rots_in_weeks", "rots_in_years")


def judge(parts: Sequence[MixPart], carrying: Carrying, *, sized: bool) -> JudgedMix:
    """The judgement of a mix; `sized` says that its amounts are those of the heap to be built."""
    found, sums, system = measure(parts, sized=sized), total(parts), carrying.system
    return JudgedMix(
        parts=[portion(part, carrying) for part in parts],
        mass=measured(Estimate.exact(sums.mass), "mass", system),
        volume=measured(_volume(parts, sums), "volume", system),
        numbers=MixNumbers(**{name: _compared(name, found[name], system) for name in (*RANGES, *_UNRANGED)}),
        ammonia_risk=_ammonia_risk(parts, sums, found),
        notes=notes_shown(_notes(parts, sums, found, system, sized=sized)),
        cautions=_cautions(parts),
    )


def verdict_of(name: str, value: float) -> RangeVerdict:
    """Where a value stands: preferred, reasonable, too_low or too_high."""
    known = RANGES[name]
    if known.preferred is not None and _within(value, known.preferred):
        return "preferred"
    if _within(value, known.reasonable):
        return "reasonable"
    low = known.reasonable.low
    return "too_low" if low is not None and value < low else "too_high"


def _volume(parts: Sequence[MixPart], sums: Totals) -> Estimate:
    """Volume as laid, and what it is with every density at its high or low end."""
    low, high = (
        sum(mass / getattr(stuff.figures["density"], end) for stuff, mass in parts if not stuff.is_liquid)
        for end in ("high", "low")
    )
    return Estimate(sums.volume, low, high, "derived")


def _within(value: float, span: Span) -> bool:
    slack = ROUNDING * abs(value)
    above = span.low is None or value >= span.low - slack
    return above and (span.high is None or value <= span.high + slack)


def _compared(name: str, estimate: Estimate | None, system: System) -> Compared:
    dimension = DIMENSION_OF[UNITS[name]][0]
    value = None if estimate is None else measured(estimate, dimension, system)
    known = RANGES.get(name)
    if known is None:
        text = said("mix.unknown" if estimate is None else f"mix.meaning.{name}")
        return Compared(value=value, verdict="not_compared", text=text, preferred=None, reasonable=None)
    preferred = known.preferred and _span(known.preferred, known.preferred_source, dimension, system)
    reasonable = _span(known.reasonable, known.reasonable_source, dimension, system)
    verdict: RangeVerdict = "unknown" if estimate is None else verdict_of(name, estimate.value)
    text = said("mix.unknown" if estimate is None else f"mix.verdict.{name}.{verdict}")
    if name == "expected_peak" and estimate is not None:
        text = f"{text} {said('mix.peak-doubt')}"
    return Compared(value=value, verdict=verdict, text=text, preferred=preferred, reasonable=reasonable)


def _span(span: Span, source: Source | None, dimension: Dimension, system: System) -> RangeShown:
    low, high = (
        None if end is None else round_off(to_units(end, dimension, system)[0]) for end in (span.low, span.high)
    )
    unit = to_units(0.0, dimension, system)[1]
    return RangeShown(low=low, high=high, unit=unit, source=mix_source_shown(source or ESTIMATE))


def _ammonia_risk(parts: Sequence[MixPart], sums: Totals, found: Measures) -> AmmoniaRisk:
    reasons = [
        (level, said(f"mix.ammonia.{cause}", **words), source)
        for cause, words in _ammonia_causes(parts, sums, found)
        for level, source in (AMMONIA_CAUSES[cause],)
    ]
    return AmmoniaRisk(
        level=max((level for level, _, _ in reasons), key=LEVELS.index),
        reasons=notes_shown((text, source) for _, text, source in reasons),
    )


def _ammonia_causes(parts: Sequence[MixPart], sums: Totals, found: Measures) -> list[tuple[str, dict[str, str]]]:
    causes: list[tuple[str, dict[str, str]]] = []
    ratio, limits = found["c_to_n"], RANGES["c_to_n"]
    if ratio is not None and ratio.value > 0:
        verdict = verdict_of("c_to_n", ratio.value)
        below_best = limits.preferred is not None and ratio.value < (limits.preferred.low or 0.0)
        if verdict == "too_low" or (verdict == "reasonable" and below_best):
            name = "rich_high" if verdict == "too_low" else "rich_some"
            causes.append((name, {"ratio": in_words(ratio.value, "1", "metric")}))
    feeds = _names(parts, lambda stuff: stuff.is_mineral_feed)
    if sums.mineral_feed > sums.feed_wanted * (1 + ROUNDING):
        share = in_words(100 * sums.feed_wanted / sums.mineral_feed, "%", "metric")
        causes.append(("overfed", {"names": listed(feeds), "share": share}))
    rich = _names(parts, lambda stuff: bool(stuff.material.traits & {"manure", "rich_nitrogen"}))
    if _names(parts, lambda stuff: "ash" in stuff.material.traits):
        causes.append(("ash_high", {"names": listed(rich)}) if rich else ("ash_some", {}))
    quick = _names(parts, lambda stuff: stuff.is_mineral_feed or "poultry" in stuff.material.traits)
    if quick:
        causes.append(("quick_some", {"names": listed(quick)}))
    return causes or [("no_nitrogen" if ratio is None else "calm", {})]


def _names(parts: Sequence[MixPart], holds: Any) -> list[str]:
    """Names of the things in the mix for which something holds, none twice."""
    return list(dict.fromkeys(name_in_sentence(stuff.material) for stuff, mass in parts if mass > 0 and holds(stuff)))


def _notes(
    parts: Sequence[MixPart], sums: Totals, found: Measures, system: System, *, sized: bool
) -> Iterator[tuple[str, Source]]:
    def note(name: str, **words: str) -> tuple[str, Source]:
        return said(f"mix.note.{name}", **words), NOTE_SOURCES[name]

    all_carbon, ratio, peak = found["c_to_n_total"], found["c_to_n"], found["expected_peak"]
    wood = [(stuff, mass) for stuff, mass in parts if "wood" in stuff.material.traits]
    in_wood = total(wood).carbon / sums.carbon if sums.carbon > 0 else 0.0
    if all_carbon and ratio and in_wood >= WOODY_SHARE and verdict_of("c_to_n_total", all_carbon.value) == "too_high":
        words = {"total": in_words(all_carbon.value, "1", system), "ratio": in_words(ratio.value, "1", system)}
        yield note("wood", share=in_words(100 * in_wood, "%", system), **words)
    if any(stuff.figures["moisture"].value <= STALLED_DRY_BELOW.value / 100 for stuff, _ in wood):
        yield note("dry_wood")
    if sums.filled > sums.volume:
        yield note("runs_off")
    if sized and sums.volume < LEAST_HEAP_M3 * (1 - ROUNDING):
        yield note("small", volume=in_words(sums.volume, "m3", system), least=in_words(LEAST_HEAP_M3, "m3", system))
    if peak is not None and peak.high >= HOT_MIX_C:
        limits = {"daily": FIRE_LOOK_DAILY, "clear": FIRE_KEEP_CLEAR}
        yield note("fire", **{name: in_words(limit.value, limit.unit, system) for name, limit in limits.items()})


def _cautions(parts: Sequence[MixPart]) -> list[MixCaution]:
    """Cautions of the materials, each once, with the materials it is for."""
    told: dict[str, MixCaution] = {}
    for stuff, mass in parts:
        for number, caution in enumerate(stuff.material.cautions if mass > 0 else (), start=1):
            text = said(f"material.{stuff.material.id}.caution.{number}")
            entry = MixCaution(materials=[], text=text, source=mix_source_shown(caution.source))
            materials = told.setdefault(caution.key, entry).materials
            if stuff.material.id not in materials:
                materials.append(stuff.material.id)
    return list(told.values())
