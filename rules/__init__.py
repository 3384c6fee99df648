"""What the trade knows about heaps that warm: facts, findings, rules, actions and materials. No web, no store.

`RULES` holds every rule of `rules/themes` by id. `FIRST_PASS` are those that conclude findings from facts,
`SECOND_PASS` those that advise, warn off or caution, from facts and findings.
"""

from __future__ import annotations

import importlib
import pkgutil
from typing import Final

from rules import themes
from rules.model import Finding, Rule


def _gather() -> dict[str, Rule]:
    """Every rule of every theme, sorted by id. Raises ValueError where two share an id."""
    gathered: dict[str, Rule] = {}
    for module in pkgutil.iter_modules(themes.__path__):
        for rule in importlib.import_module(f"{themes.__name__}.{module.name}").RULES:
            if rule.id in gathered:
                raise ValueError(f"two rules are called {rule.id}")
            gathered[rule.id] = rule
    return dict(sorted(gathered.items()))


RULES: Final = _gather()
FIRST_PASS: Final = tuple(rule for rule in RULES.values() if isinstance(rule.gives, Finding))
SECOND_PASS: Final = tuple(rule for rule in RULES.values() if not isinstance(rule.gives, Finding))
