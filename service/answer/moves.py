"""Actions and warnings as they stand in the answer: doses, steps, reasons and cautions in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, cast

from rules import READS, THRESHOLDS
from rules.actions.cures import EXPLAINED
from rules.actions.records import A_STEP_SHOWS_DAYS, SITUATIONS, StepSituation
from rules.catalogue import said
from rules.engine.inference import Inference
from rules.language.conditions import Facts
from rules.language.model import EVERY_ANSWER, Act, Avoid, Caution, Finding, Gravity, Rule, Source
from service.actions.advised_move import Advised
from service.actions.doses import Dose
from service.actions.rank import FIRE_ACTION
from service.answer.quantities import measured, round_off
from service.answer.shapes.action import ActionShown, AvoidShown, CautionShown, DoseShown, Reason, VolumeUnit
from service.answer.shapes.heat import Effect
from service.answer.shapes.part import SourceShown
from service.render.wording import fill
from service.units.estimate import Estimate
from service.units.figures import figure
from service.units.quantities import System, to_units

MOST_REASONS: Final = figure(3, "reasons", "What fits on a phone; an explanation lists the rest", "no source")
MOST_REASONS_AGAINST: Final = figure(2, "reasons", "What fits on a phone beside a move that is warned off", "no source")
MOST_CAUTIONS: Final = figure(
    4, "cautions", "What fits on a phone; those for life or limb are never cut short", "no source"
)
FOR_LIFE_OR_LIMB = frozenset({Gravity.LIFE, Gravity.INJURY})
GRAVITY_ORDER = {gravity: place for place, gravity in enumerate(Gravity)}


def source_shown(source: Source) -> SourceShown:
    """Kind and citation of a source."""
    return {"kind": source.kind.value, "cite": source.cite}


def reason(rule: Rule, facts: Facts, system: System) -> Reason:
    """Why a rule fired: its words with the values that triggered it, those values, and its source."""
    read = {name: facts[name] for name in sorted(READS[rule.id]) if name in facts}
    return {
        "rule": rule.id,
        "text": fill(said(f"rule.{rule.id}"), facts, THRESHOLDS, system),
        "facts": {name: value if isinstance(value, (bool, str)) else round_off(value) for name, value in read.items()},
        "source": source_shown(rule.source),
    }


def reasons(rules: Iterable[Rule], found: Inference, system: System, most: int) -> list[Reason]:
    """The foremost reasons. The first one explains the move by itself.

    It is the surest rule behind a finding that the first rule rests on, if that finding alone says why, else that
    rule. Then come the first rule, what else it rests on, and the other rules.
    """
    foremost, *others = rules
    behind = _rests_on(foremost, found)[: most - 1]
    before = [rule for rule in behind if _explains(rule, foremost)]
    told = {rule.id: rule for rule in (*before, foremost, *behind, *others)}
    return [reason(rule, found.facts, system) for rule in _not_twice(told.values(), most)]


def _not_twice(rules: Iterable[Rule], most: int) -> list[Rule]:
    """The first few, without those whose words, or whose clause with its figure, stand in one before."""
    kept: list[Rule] = []
    for rule in rules:
        if not any(_news(rule) in earlier.reason for earlier in kept):
            kept.append(rule)
        if len(kept) == most:
            break
    return kept


def _news(rule: Rule) -> str:
    """What a reason tells: its last clause where that alone foretells something in figures, else all its words."""
    words = rule.reason.rstrip(".")
    *_, last = words.split(", ")
    return last if "likely" in last and "{" in last else words


def _explains(behind: Rule, asking: Rule) -> bool:
    """Whether what a rule found says by itself why the other asks for its move, or warns it off."""
    assert isinstance(behind.gives, Finding)
    if not isinstance(asking.gives, Act):
        return True
    return asking.gives.action in EXPLAINED.get(behind.gives.name, ())


def _rests_on(rule: Rule, found: Inference) -> list[Rule]:
    """For each finding the rule reads that was drawn, the surest of the rules that drew it."""
    read = READS[rule.id]
    behind = [
        (-earlier.confidence, earlier.id, earlier.gives.name, earlier)
        for earlier in found.fired
        if isinstance(earlier.gives, Finding) and earlier.gives.name in read
    ]
    surest: dict[str, Rule] = {}
    for _, _, name, earlier in sorted(behind, key=lambda found: found[:2]):
        surest.setdefault(name, earlier)
    return list(surest.values())


def cautions_told(actions: Sequence[str], cautions: Iterable[Rule], found: Inference) -> list[list[Rule]]:
    """The cautions to tell with each of the ranked actions, gravest first.

    A caution stands with each action it goes with; that of every answer with the first. Of those that share a topic
    an answer tells the gravest alone. What concerns life or limb is never cut short, and at a heap that overheats or
    may burn nothing else is told.
    """
    danger = bool(found.facts.get("overheating") or found.facts.get("fire_danger"))
    spoken: dict[str, Rule] = {}
    for rule in sorted(cautions, key=_gravity):
        if danger and _caution(rule).gravity not in FOR_LIFE_OR_LIMB:
            continue
        spoken.setdefault(_caution(rule).topic or rule.id, rule)
    told = []
    for place, action in enumerate(actions):
        beside = [rule for rule in spoken.values() if _goes_with(rule, action, first=place == 0)]
        grave = [rule for rule in beside if _caution(rule).gravity in FOR_LIFE_OR_LIMB]
        told.append(beside[: max(MOST_CAUTIONS, len(grave))])
    return told


def _caution(rule: Rule) -> Caution:
    assert isinstance(rule.gives, Caution)
    return rule.gives


def _gravity(rule: Rule) -> tuple[int, bool, float, bool, str]:
    gives = _caution(rule)
    surest = -rule.confidence if gives.soon else 0.0
    return GRAVITY_ORDER[gives.gravity], not gives.soon, surest, EVERY_ANSWER not in gives.actions, rule.id


def _goes_with(rule: Rule, action: str, *, first: bool) -> bool:
    actions = _caution(rule).actions
    return action in actions or (first and EVERY_ANSWER in actions)


def caution_shown(rule: Rule, facts: Facts, system: System) -> CautionShown:
    """One caution in words, with the same in brief where it concerns life."""
    gives = _caution(rule)
    return {
        "rule": rule.id,
        "text": fill(said(f"rule.{rule.id}"), facts, THRESHOLDS, system),
        "gravity": gives.gravity.value,
        "soon": gives.soon,
        "brief": said(f"brief.{rule.id}") if gives.brief else None,
        "source": source_shown(rule.source),
    }


def steps_of(item: Advised, found: Inference, on_hand: frozenset[str] | None, system: System) -> list[str]:
    """Steps for today's heat and weather; what is known to be lacking is named first, with what to do instead."""
    action = item.action
    kind, steps = _steps(item, found.facts)
    ids = [f"{kind}.{number}" for number in range(1, len(steps) + 1)]
    lacking = on_hand is not None and bool(action.needs) and not on_hand.intersection(action.needs)
    if lacking and action.alternative and kind in ("step", "frost"):
        ids.insert(0, "alternative")
    return [fill(said(f"action.{action.id}.{part}"), {}, THRESHOLDS, system) for part in ids]


def _steps(item: Advised, facts: Facts) -> tuple[str, tuple[str, ...]]:
    """The steps that fit, and what they are called in the catalogue."""
    there: dict[StepSituation, bool] = {
        "overheating": facts.get("overheating") is True,
        "very_hot": facts.get("very_hot") is True,
        "until_cleared": item.until_cleared,
        "standing": facts.get("loop_stands") is True,
        "closing": item.closing,
        "ending": float(facts.get("goal_days", A_STEP_SHOWS_DAYS)) < A_STEP_SHOWS_DAYS,
        "unfitted": facts.get("has_air_duct") is False and facts.get("has_water_loop") is False,
        "rain": facts.get("rain") in ("light", "heavy"),
        "frost": facts.get("freezing") is True,
    }
    steps_in = item.action.steps_in
    return next(
        ((name, steps_in[name]) for name in SITUATIONS if there[name] and name in steps_in), ("step", item.action.steps)
    )


def dose_shown(dose: Dose, system: System) -> DoseShown:
    """One dose in the reader's units, for each volume of heap where the heap's size was only guessed."""
    per, heap = (None, 1.0) if dose.heap_m3 is None else _volume(dose.heap_m3, system)
    amount = Estimate(dose.value / heap, dose.low / heap, dose.high / heap, "derived")
    shown = measured(amount, dose.dimension, system)
    if shown["low"] <= 0.0 < amount.low:  # an amount is never rounded down to none
        shown["low"] = round_off(min(to_units(amount.low, dose.dimension, system)[0], shown["value"]))
    return {
        "of": dose.of,
        **shown,
        "per": per,
        "split": dose.split,
        "or_instead": [dose_shown(other, system) for other in dose.or_instead],
    }


def _volume(volume_m3: float, system: System) -> tuple[VolumeUnit, float]:
    """Unit and number of a volume in the reader's system."""
    number, unit = to_units(volume_m3, "volume", system)
    return cast(VolumeUnit, unit), number


def warnings(found: Inference, actions: Iterable[ActionShown], system: System) -> list[AvoidShown]:
    """Tempting wrong moves with the foremost reasons against them.

    What the actions have told is not told again, but where nothing else is left: no move is warned off without a word.
    """
    told = {because["rule"] for action in actions for because in action["reasons"]}
    against: dict[str, list[Rule]] = {}
    for rule in found.fired:
        if isinstance(rule.gives, Avoid):
            against.setdefault(rule.gives.action, []).append(rule)
    shown: list[AvoidShown] = []
    for action, rules in sorted(against.items()):
        foremost = reasons(_surest_first(rules), found, system, MOST_REASONS_AGAINST)
        news = [because for because in foremost if because["rule"] not in told] or foremost[:1]
        told |= {because["rule"] for because in news}
        shown.append({"action": action, "title": said(f"action.{action}.title"), "reasons": news})
    return shown


def _surest_first(rules: Iterable[Rule]) -> list[Rule]:
    return sorted(rules, key=lambda rule: (-rule.confidence, rule.id))


def action_shown(
    place: int,
    item: Advised,
    *,
    doses: Sequence[Dose],
    effect: Effect,
    cautions: Sequence[Rule],
    above: frozenset[str],
    found: Inference,
    on_hand: frozenset[str] | None,
    system: System,
    read_in: System,
) -> ActionShown:
    """One ranked action whole; its cautions that were told `above`, by rule, are only pointed to.

    In a fire the readings are told in the units they were `read_in`, for nobody should have to convert them then.
    """
    return {
        "rank": place,
        "action": item.action.id,
        "title": said(f"action.{item.action.id}.title"),
        "urgency": item.urgency.value,
        "effort": item.action.effort,
        "doses": [dose_shown(dose, system) for dose in doses],
        "steps": steps_of(item, found, on_hand, system),
        "effect": effect,
        "reasons": reasons(item.rules, found, read_in if item.action.id == FIRE_ACTION else system, MOST_REASONS),
        "cautions": [caution_shown(rule, found.facts, system) for rule in cautions if rule.id not in above],
        "cautions_above": sorted(above & {rule.id for rule in cautions}),
    }
