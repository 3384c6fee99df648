"""Each rule in the light of one status: did it fire, did it not hold, or can it not be told, and by which test."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from rules import FIRST_PASS, RULES, THRESHOLDS
from rules.catalogue import said
from rules.engine.verdict import RuleState, Settled, TestedLeaf, readings, settled, state_of
from rules.language import facts, findings
from rules.language.conditions import Leaf, Test, Value, facts_read, leaves
from rules.language.model import Act, Avoid, Caution, Rule, concluded
from service.actions.advised_move import Advised
from service.answer.moves import source_shown
from service.facts.fields import to_give
from service.facts.openness import open_facts
from service.picture.record import Picture
from service.render.wording import DIMENSION_OF, fill, in_words, shown, unit_of
from service.units.quantities import System, to_units
from service.why.shape import ConditionShown, FactExplained, LimitExplained, RuleExplained, Tested

TESTS: Final[dict[str, Tested]] = {
    "$lt": "under",
    "$lte": "at most",
    "$gt": "over",
    "$gte": "at least",
    "$eq": "is",
    "$neq": "is not",
    "$ex": "known",
    "$nex": "not known",
}
_UNIT_IN_NAME: Final = re.compile(
    r"_(c|k|k_per_day|kg|kg_day|kg_m3|m3|m3_h|m_s|l_min|w|percent|days|minutes_per_hour|per_hour)$"
)
_DIGITS: Final = ".4g"


@dataclass(frozen=True, slots=True)
class Case:
    """What the rules are explained against: the picture, the settled facts, and what is advised."""

    picture: Picture
    settled: Settled
    ranked: Sequence[Advised]
    system: System

    @classmethod
    def of(cls, picture: Picture, ranked: Sequence[Advised], system: System) -> Case:
        """The case of one heap."""
        doubts = open_facts(picture.status, picture.derived)
        return cls(picture, settled(picture.derived.facts, doubts), ranked, system)


def rule_shown(rule: Rule, case: Case) -> RuleExplained:
    """One rule: its state, why in a sentence, every test it makes, and what to give where it cannot be told."""
    state = state_of(rule, case.settled)
    seen = readings(rule.when, case.settled)
    needs = needed_by(rule, case) if state is RuleState.CANNOT_TELL else []
    return {
        "rule": rule.id,
        "state": state.value,
        "gives": gives(rule),
        "text": _why(rule, state, seen, needs, case),
        "outcome": _outcome(rule, case) if state is RuleState.FIRED else None,
        "conditions": [_condition(reading, case) for reading in seen],
        "needs": needs,
    }


def gives(rule: Rule) -> str:
    """What the rule is for, in a few words: the finding, or the actions it asks for, warns off or cautions."""
    match rule.gives:
        case Act(action):
            return said("explained.gives.action", action=action)
        case Avoid(action):
            return said("explained.gives.avoid", action=action)
        case Caution(actions):
            named = (said("explained.every-answer") if action == "*" else action for action in actions)
            return said("explained.gives.caution", actions=", ".join(named))
    return said("explained.gives.finding", finding=concluded(rule))


def needed_by(rule: Rule, case: Case) -> list[str]:
    """The status fields that would settle an open rule, findings followed back to their own rules."""
    fields: dict[str, None] = {}
    _gather(rule, case, fields, set())
    return _outermost(fields)


def _outermost(fields: Iterable[str]) -> list[str]:
    """Each field once, and none inside another that is named."""
    named = dict.fromkeys(fields)
    return [field for field in named if not any(field.startswith(other + "/") for other in named)]


def _gather(rule: Rule, case: Case, fields: dict[str, None], visited: set[str]) -> None:
    for reading in readings(rule.when, case.settled):
        if reading.decides and reading.leaf.truth is None:
            fields.update(dict.fromkeys(_needs(reading.leaf, case, visited)))


def _needs(leaf: Leaf, case: Case, visited: set[str]) -> list[str]:
    """What would settle one open test."""
    if leaf.fact in facts.DECLARED:
        return list(_fields_for(leaf.fact, case))
    fields: dict[str, None] = {}
    for fact in case.settled.hangs_on.get(leaf.fact, ()):
        fields.update(dict.fromkeys(_fields_for(fact, case)))
    if leaf.fact not in visited:
        visited.add(leaf.fact)
        for rule in FIRST_PASS:
            if concluded(rule) == leaf.fact and state_of(rule, case.settled) is RuleState.CANNOT_TELL:
                _gather(rule, case, fields, visited)
    return list(fields)


def _fields_for(fact: str, case: Case) -> tuple[str, ...]:
    """The status fields to give for a fact that is missing, or open."""
    doubt = case.settled.open.get(fact)
    return doubt.fields if doubt is not None else to_give(case.picture.status, fact)


def _outcome(rule: Rule, case: Case) -> str | None:
    """What became of a rule that fired."""
    match rule.gives:
        case Act(action, _, last_resort):
            for place, item in enumerate(case.ranked, start=1):
                if item.action.id == action:
                    asked = rule.id in {asking.id for asking in item.rules}
                    return said(
                        "explained.outcome.advised" if asked else "explained.outcome.others-ask", place=str(place)
                    )
            if last_resort:
                return said("explained.outcome.not-advised", why=said("explained.outcome.last-resort"))
            against = [
                other.id
                for other in RULES.values()
                if other.gives == Avoid(action) and state_of(other, case.settled) is RuleState.FIRED
            ]
            text_id = "explained.outcome.warned-off" if against else "explained.outcome.excluded"
            return said("explained.outcome.not-advised", why=said(text_id, rules=", ".join(against)))
        case Caution(actions):
            beside = [item.action.id for item in case.ranked if item.action.id in actions or "*" in actions]
            text_id = "explained.outcome.told-beside" if beside else "explained.outcome.not-told"
            return said(text_id, actions=", ".join(beside))
    return None


def _why(rule: Rule, state: RuleState, seen: Sequence[TestedLeaf], needs: Sequence[str], case: Case) -> str:
    if state is RuleState.FIRED:
        return fill(rule.reason, case.settled.facts, THRESHOLDS, case.system)
    deciding = [reading.leaf for reading in seen if reading.decides]
    tests = "; ".join(_sentence(name, deciding, case) for name in dict.fromkeys(leaf.fact for leaf in deciding))
    if state is RuleState.DID_NOT_HOLD:
        return said("explained.does-not-hold", tests=tests)
    text_id = "explained.cannot-be-told-give" if needs else "explained.cannot-be-told"
    return said(text_id, tests=tests, fields=", ".join(needs))


def _sentence(fact: str, deciding: Sequence[Leaf], case: Case) -> str:
    """What was met and what is wanted of one fact."""
    tests = [leaf for leaf in deciding if leaf.fact == fact]
    met = tests[0].value
    wanted = f" {said('explained.or')} ".join(dict.fromkeys(_wanted(leaf, case) for leaf in tests))
    if met is None:
        return said("explained.met-unknown", fact=label(fact), wanted=wanted)
    value = in_words(met, unit_of(fact), case.system)
    text = said("explained.met", fact=label(fact), value=value, wanted=wanted)
    gaps = [leaf for leaf in tests if leaf.gap is not None and leaf.truth is not True]
    if not gaps:
        return text
    return said("explained.off-by", met=text, gap=_gap_in_words(gaps[0], unit_of(fact), case.system))


def _wanted(leaf: Leaf, case: Case) -> str:
    limit = "" if leaf.limit is None else in_words(leaf.limit, unit_of(leaf.fact), case.system)
    return said(f"explained.test.{leaf.op.removeprefix('$')}", limit=limit)


def _gap_in_words(leaf: Leaf, unit: str, system: System) -> str:
    assert leaf.gap is not None
    if unit == "degC":
        unit = "delta_degC"
    if unit in ("delta_degC", "%"):
        dimension, factor = DIMENSION_OF[unit]
        number, name = to_units(leaf.gap * factor, dimension, system)
        return f"{shown(number)} {'%' if unit == '%' else '°F' if name.endswith('F') else '°C'}"
    return in_words(leaf.gap, unit, system)


def label(fact: str) -> str:
    """A fact's or finding's name as words, e.g. `core_above_outdoor_k` is `core above outdoor`."""
    return _UNIT_IN_NAME.sub("", fact).replace("_", " ")


def _condition(reading: TestedLeaf, case: Case) -> ConditionShown:
    leaf = reading.leaf
    declared = facts.DECLARED.get(leaf.fact) or findings.DECLARED[leaf.fact]
    value, number_limit = (
        _in_units(leaf.value, declared.unit, case.system),
        _in_units(leaf.limit, declared.unit, case.system),
    )
    gap = None
    if leaf.gap is not None and isinstance(value, float) and isinstance(number_limit, float):
        gap = float(format(abs(value - number_limit), _DIGITS))
    return {
        "fact": leaf.fact,
        "test": TESTS[leaf.op],
        "value": value,
        "limit": number_limit,
        "gap": gap,
        "unit": _unit_shown(declared.unit, case.system),
        "threshold": leaf.threshold,
        "truth": leaf.truth,
        "decides": reading.decides,
        "needs": _outermost(_needs(leaf, case, set())) if leaf.truth is None else [],
    }


def facts_shown(rules: Iterable[Rule]) -> dict[str, FactExplained]:
    """The facts and findings these rules read: what they mean and the status fields they come from."""
    names = sorted({name for rule in rules for name in facts_read(rule.when)})
    declared = {name: facts.DECLARED.get(name) or findings.DECLARED[name] for name in names}
    return {name: {"meaning": fact.meaning, "fields": _outermost(fact.fields)} for name, fact in declared.items()}


def limits_shown(rules: Iterable[Rule], system: System) -> dict[str, LimitExplained]:
    """The limits these rules test against, in the reader's units, with their sources."""
    ids = sorted(
        {leaf.threshold for rule in rules for leaf in leaves(rule.when) if isinstance(leaf, Test) and leaf.threshold}
    )
    return {
        name: {
            "value": _number_in_units(THRESHOLDS[name].value, THRESHOLDS[name].unit, system),
            "unit": _unit_shown(THRESHOLDS[name].unit, system),
            "meaning": THRESHOLDS[name].meaning,
            "source": source_shown(THRESHOLDS[name].source),
        }
        for name in ids
    }


def _in_units(value: Value | None, unit: str, system: System) -> Value | None:
    if value is None or isinstance(value, bool | str):
        return value
    return _number_in_units(value, unit, system)


def _number_in_units(value: float, unit: str, system: System) -> float:
    dimension, factor = DIMENSION_OF[unit]
    return float(format(to_units(value * factor, dimension, system)[0], _DIGITS))


def _unit_shown(unit: str, system: System) -> str:
    """The reader's unit; empty for words and flags."""
    if not unit:
        return ""
    dimension, _ = DIMENSION_OF[unit]
    return to_units(0.0, dimension, system)[1]
