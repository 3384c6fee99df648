"""Which knowledge an answer was given under: a hash of rules, limits, actions, materials, questions and their texts."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, is_dataclass
from functools import cache
from types import ModuleType
from typing import Any

from rules import RULES, THRESHOLDS, catalogue
from rules.actions.conflicts import CONFLICTS
from rules.actions.records import ACTIONS
from rules.language import facts, findings
from rules.tables import glazing, heap_building, materials, mix_ranges, questions


@cache
def knowledge_version() -> str:
    """Twelve hexadecimal digits that change with any rule, limit, action, material or text."""
    knowledge = [
        plain_data(part)
        for part in (
            RULES,
            THRESHOLDS,
            facts.DECLARED,
            findings.DECLARED,
            dict(ACTIONS),
            CONFLICTS,
            materials.MATERIALS,
            materials.SUPPLIES,
            mix_ranges.RANGES,
            _constants(glazing),
            _constants(heap_building),
            questions.QUESTIONS,
            dict(catalogue.ENGLISH),
        )
    ]
    return hashlib.sha256(json.dumps(knowledge, sort_keys=True).encode()).hexdigest()[:12]


def _constants(module: ModuleType) -> dict[str, object]:
    """The tables and figures a module of knowledge declares."""
    return {name: value for name, value in vars(module).items() if name.isupper() and not name.startswith("_")}


def plain_data(value: Any) -> Any:
    """Records as lists and tables that read the same in every run: sets are sorted, records carry their kind."""
    if is_dataclass(value) and not isinstance(value, type):
        return [type(value).__name__, {field.name: plain_data(getattr(value, field.name)) for field in fields(value)}]
    if isinstance(value, dict):
        return {str(key): plain_data(item) for key, item in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(plain_data(item) for item in value)
    if isinstance(value, (list, tuple)):
        return [plain_data(item) for item in value]
    return value
