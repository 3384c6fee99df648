"""Since when each rule is here and what was changed about it: read from `history.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from rules.language.toml import TomlTable

_FILE: Final = Path(__file__).with_name("history.toml")


@dataclass(frozen=True, slots=True)
class RuleChange:
    """One change of one rule."""

    version: str
    what: str


@dataclass(frozen=True, slots=True)
class History:
    """The version that brought a rule, and its changes, oldest first."""

    since: str
    changes: tuple[RuleChange, ...]


def _read(text: str) -> tuple[str, dict[str, str], dict[str, tuple[RuleChange, ...]]]:
    data: TomlTable = tomllib.loads(text)
    changes: dict[str, tuple[RuleChange, ...]] = {}
    for entry in data.get("change", []):
        changes[entry["rule"]] = (*changes.get(entry["rule"], ()), RuleChange(entry["version"], entry["what"]))
    return data["first"], data.get("since", {}), changes


FIRST, SINCE, CHANGES = _read(_FILE.read_text(encoding="utf-8"))
"""The first version, the version of each later rule, and the changes of each rule."""


def history_of(rule_id: str) -> History:
    """The history of one rule."""
    return History(SINCE.get(rule_id, FIRST), CHANGES.get(rule_id, ()))
