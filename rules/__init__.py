"""What the trade knows about heaps that warm: facts, findings, rules, actions and materials. No web, no store.

`RULES` holds every rule of `rules/themes` by id, `THRESHOLDS` every limit they quote. `FIRST_PASS` are those that
conclude findings from facts, `SECOND_PASS` those that advise or warn off from facts
and findings, `CAUTIONS` those that go with what is advised. `READS` names the facts each rule reads.
"""

from __future__ import annotations

import importlib
import pkgutil
from types import ModuleType
from typing import Final

from rules import themes
from rules.language import common
from rules.language.conditions import Threshold, facts_read
from rules.language.model import Act, Avoid, Caution, Finding, Rule
from rules.tables import thresholds


def _theme_modules() -> tuple[ModuleType, ...]:
    names = sorted(module.name for module in pkgutil.iter_modules(themes.__path__))
    return tuple(importlib.import_module(f"{themes.__name__}.{name}") for name in names)


def _gather_rules() -> dict[str, Rule]:
    """Every rule of every theme, sorted by id. Raises ValueError where two share an id."""
    gathered: dict[str, Rule] = {}
    for module in _theme_modules():
        for rule in module.RULES:
            if rule.id in gathered:
                raise ValueError(f"two rules are called {rule.id}")
            gathered[rule.id] = rule
    return dict(sorted(gathered.items()))


def _gather_thresholds() -> dict[str, Threshold]:
    """Every limit the rules name, sorted by id. Raises ValueError where two differ under one id."""
    gathered: dict[str, Threshold] = {}
    for module in (thresholds, common, *_theme_modules()):
        for value in vars(module).values():
            if isinstance(value, Threshold) and gathered.setdefault(value.id, value) is not value:
                raise ValueError(f"two limits are called {value.id}")
    return dict(sorted(gathered.items()))


RULES: Final = _gather_rules()
THRESHOLDS: Final = _gather_thresholds()
FIRST_PASS: Final = tuple(rule for rule in RULES.values() if isinstance(rule.gives, Finding))
SECOND_PASS: Final = tuple(rule for rule in RULES.values() if isinstance(rule.gives, Act | Avoid))
CAUTIONS: Final = tuple(rule for rule in RULES.values() if isinstance(rule.gives, Caution))
READS: Final = {rule.id: facts_read(rule.when) for rule in RULES.values()}
