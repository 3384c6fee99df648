"""The rules and materials as pages: what they say, what they need, and who says so."""

from __future__ import annotations

from functools import cache
from typing import Final

from rules import FIRST_PASS, RULES, THRESHOLDS
from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.engine.envelope import to_engine
from rules.examples import failing, firing
from rules.language import facts, findings
from rules.language.conditions import All, AnyOf, Condition, Known, Test, Threshold, Value, facts_read, leaves
from rules.language.model import Act, Avoid, Caution, Finding, Rule, Source
from rules.language.vocabulary import SIGNS, SMELLS, SYMPTOMS, Word
from rules.tables.history import history_of
from rules.tables.material import Figure, Material
from rules.tables.materials import MATERIALS, SUPPLIES, Supply
from rules.tables.uses import uses_of
from rules.version import knowledge_version
from service.render.wording import fields_of, fill
from service.render.wording import in_words as value_in_words
from service.why.material_pages import FigureShown, MaterialPage, MaterialsIndex, WordLine, WordsIndex
from service.why.rule_pages import (
    FactNeeded,
    Gives,
    RuleExamples,
    RuleHistory,
    RulePage,
    RulesIndex,
    SourceFull,
    ThresholdShown,
)

WORD_FIELDS: Final = {"smell": "/smell", "sign": "/signs/-", "symptom": "/people/-"}
"""Where a word of each kind goes in a status."""
_SIGNS: Final = {"$lt": "<", "$lte": "≤", "$gt": ">", "$gte": "≥", "$eq": "is", "$neq": "is not"}
_FIRST: Final = frozenset(rule.id for rule in FIRST_PASS)
_DECLARED: Final = facts.DECLARED | findings.DECLARED


@cache
def rules_index() -> RulesIndex:
    """Every rule in one line."""
    return {
        "knowledge_version": knowledge_version(),
        "count": len(RULES),
        "rules": [
            {
                "id": rule.id,
                "gives": _gives(rule),
                "reason": rule.reason,
                "source": {"kind": rule.source.kind.value, "cite": rule.source.cite},
                "page": f"/rules/{rule.id}",
            }
            for rule in RULES.values()
        ],
    }


@cache
def rule_page(rule_id: str) -> RulePage:
    """Everything about one rule. Raises KeyError where there is none of that id."""
    rule = RULES[rule_id]
    return {
        "id": rule.id,
        "theme": rule.id.partition(".")[0],
        "pass": 1 if rule.id in _FIRST else 2,
        "gives": _gives(rule),
        "when": condition_in_words(rule.when),
        "condition": to_engine(rule.when),
        "needs": [_fact(name) for name in sorted(facts_read(rule.when))],
        "examples": _examples(rule),
        "reason": rule.reason,
        "thresholds": [_threshold(limit) for limit in _thresholds(rule)],
        "confidence": rule.confidence,
        "history": _history(rule_id),
        "source": _source(rule.source),
    }


@cache
def materials_index() -> MaterialsIndex:
    """Every material in one line."""
    return {
        "knowledge_version": knowledge_version(),
        "count": len(MATERIALS),
        "materials": [
            {
                "id": material.id,
                "name": material.name,
                "synonyms": list(material.synonyms),
                "uses": sorted(uses_of(material)),
                "c_to_n": None if material.c_to_n is None else _rounded(material.c_to_n.value),
                "page": f"/materials/{material.id}",
            }
            for material in MATERIALS.values()
        ],
    }


@cache
def words_index() -> WordsIndex:
    """Every word that may be told of what is smelled, seen, felt and on hand, with the rules that read it."""
    lines = [_word_line(word) for words in (SMELLS, SIGNS, SYMPTOMS) for word in words.values()]
    lines += [_supply_line(supply) for supply in SUPPLIES.values()]
    return {"knowledge_version": knowledge_version(), "count": len(lines), "words": lines}


def _word_line(word: Word) -> WordLine:
    return {
        "id": word.id,
        "field": WORD_FIELDS[word.kind],
        "label": word.label,
        "says": list(word.says),
        "tells": word.tells,
        "rules": _readers(word.fact, word.id),
        "source": None if word.source is None else _source(word.source),
    }


def _supply_line(supply: Supply) -> WordLine:
    asked = [action.id for action in ACTIONS.values() if supply.id in action.needs]
    return {
        "id": supply.id,
        "field": "/on_hand/-",
        "label": supply.name,
        "says": list(supply.synonyms),
        "tells": said("known.asked-by", moves=", ".join(asked)) if asked else "",
        "rules": _readers(f"has_{supply.id}", ""),
        "source": None,
    }


def _readers(fact: str, value: str) -> list[str]:
    """Rules whose condition names a fact; of a fact with words, those that name this one."""
    named = (rule for rule in RULES.values() if fact in facts_read(rule.when))
    if fact != "smell":
        return [rule.id for rule in named]
    return [rule.id for rule in named if any(getattr(leaf, "limit", None) == value for leaf in leaves(rule.when))]


@cache
def material_page(material_id: str) -> MaterialPage:
    """Everything about one material. Raises KeyError where there is none of that id."""
    material: Material = MATERIALS[material_id]
    return {
        "id": material.id,
        "name": material.name,
        "synonyms": list(material.synonyms),
        "uses": sorted(uses_of(material)),
        "traits": sorted(material.traits),
        "moisture": _figure(material.moisture, "%", 100.0),
        "density": _figure(material.density, "kg/m3"),
        "carbon": _figure(material.carbon, "%", 100.0),
        "nitrogen": _figure(material.nitrogen, "%", 100.0),
        "c_to_n": None if material.c_to_n is None else _figure(material.c_to_n, "1"),
        "rots_in_weeks": _figure(material.fast, "%", 100.0),
        "rots_in_years": _figure(material.slow, "%", 100.0),
        "heating_value": _figure(material.heating_value, "MJ/kg", 1e-6),
        "pace": _figure(material.pace, "%", 100.0),
        "rot_ends_at": _figure(material.hottest, "degC"),
        "remark": material.remark,
        "cautions": [{"text": caution.text, "source": _source(caution.source)} for caution in material.cautions],
    }


def condition_in_words(condition: Condition) -> str:
    """A condition as a person reads it, e.g. `core_c < 40 degC (HOLDING_FROM) and (smoke is yes or smell is burnt)`."""
    match condition:
        case Test(fact, op, limit, threshold):
            unit = _DECLARED[fact].unit
            shown = said("word.yes" if limit else "word.no") if isinstance(limit, bool) else _shown(limit, unit)
            return f"{fact} {_SIGNS[op]} {shown}" + (f" ({threshold})" if threshold else "")
        case Known(fact, present):
            return said("known.is-known" if present else "known.is-not-known", fact=fact)
        case All(parts):
            return f" {said('known.and')} ".join(_inner(part) for part in parts)
        case AnyOf(parts):
            return f" {said('known.or')} ".join(_inner(part) for part in parts)
    raise TypeError(f"not a condition: {condition!r}")


def _inner(part: Condition) -> str:
    return f"({condition_in_words(part)})" if isinstance(part, (All, AnyOf)) else condition_in_words(part)


def _shown(limit: float | str, unit: str) -> str:
    if isinstance(limit, str):
        return limit
    return f"{limit:g}" if unit == "1" else f"{limit:g} {unit}"


def _gives(rule: Rule) -> Gives:
    match rule.gives:
        case Finding(name):
            return {"kind": "finding", "finding": name}
        case Act(action, urgency):
            return {"kind": "action", "action": action, "urgency": urgency.value}
        case Avoid(action):
            return {"kind": "avoid", "action": action}
        case Caution(actions):
            return {"kind": "caution", "actions": list(actions)}


def _thresholds(rule: Rule) -> list[Threshold]:
    """Limits the rule tests against or quotes."""
    tested = [leaf.threshold for leaf in leaves(rule.when) if isinstance(leaf, Test) and leaf.threshold]
    quoted = [name for name in fields_of(rule.reason) if name in THRESHOLDS]
    return [THRESHOLDS[name] for name in sorted({*tested, *quoted})]


def _threshold(limit: Threshold) -> ThresholdShown:
    return {
        "id": limit.id,
        "value": limit.value,
        "unit": limit.unit,
        "meaning": limit.meaning,
        "source": _source(limit.source),
    }


def _fact(name: str) -> FactNeeded:
    fact = _DECLARED[name]
    return {
        "name": name,
        "kind": "finding" if name in findings.DECLARED else fact.kind,
        "unit": fact.unit,
        "meaning": fact.meaning,
        "values": list(fact.values),
        "fields": list(fact.tells),
        "found_by": [rule.id for rule in FIRST_PASS if rule.gives == Finding(name)],
    }


def _examples(rule: Rule) -> RuleExamples:
    """Facts by which the rule fires, and the nearest by which it does not, made from its condition."""
    fires = firing(rule.when)
    fails = failing(rule.when, fires)
    return {
        "fires": {"facts": fires, "text": fill(rule.reason, fires, THRESHOLDS, "metric")},
        "does_not_fire": {"facts": fails, "text": _difference(fires, fails)},
    }


def _difference(fires: dict[str, Value], fails: dict[str, Value]) -> str:
    parts = [
        said("known.is", fact=name, value=_value_said(fails[name], name))
        for name in fails
        if fails[name] != fires.get(name)
    ]
    parts += [said("known.is-not-known", fact=name) for name in fires if name not in fails]
    return said("known.rest", facts=", ".join(parts))


def _value_said(value: Value, name: str) -> str:
    return value_in_words(value, _DECLARED[name].unit, "metric")


def _history(rule_id: str) -> RuleHistory:
    history = history_of(rule_id)
    return {
        "since": history.since,
        "changes": [{"version": change.version, "what": change.what} for change in history.changes],
    }


def _figure(figure: Figure, unit: str, scale: float = 1.0) -> FigureShown:
    value, low, high = (_rounded(number * scale) for number in (figure.value, figure.low, figure.high))
    return {"value": value, "low": low, "high": high, "unit": unit, "source": _source(figure.source)}


def _rounded(number: float) -> float:
    return float(f"{number:.6g}")


def _source(source: Source) -> SourceFull:
    return {
        "kind": source.kind.value,
        "cite": source.cite,
        "how_known": source.how_known.value,
        "where": source.where,
    }
