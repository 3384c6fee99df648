"""What a rule, a source, a threshold and a fact are: frozen records, no behaviour of the web or the engine."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from rules.language.conditions import Condition

EVERY_ANSWER: Final = "*"


class SourceKind(StrEnum):
    """How a piece of knowledge is backed, from strongest to weakest."""

    STANDARD = "standard"
    REGULATION = "regulation"
    HANDBOOK = "handbook"
    PAPER = "paper"
    PHYSICS = "physics"
    COMMON_PRACTICE = "common_practice"


class HowKnown(StrEnum):
    """Whether we read the source ourselves."""

    READ = "read"
    READ_SECOND_HAND = "read second hand"
    FROM_MEMORY = "from memory"
    DERIVED = "derived"
    NO_SOURCE = "no source"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number or a rule comes from, and how well that is known."""

    kind: SourceKind
    cite: str
    how_known: HowKnown
    where: str = ""


class Urgency(StrEnum):
    """When to act, soonest first."""

    NOW = "now"
    TODAY = "today"
    THIS_WEEK = "this_week"
    THIS_MONTH = "this_month"
    NEXT_PILE = "next_pile"


@dataclass(frozen=True, slots=True)
class Finding:
    """The rule concludes something about the pile, for later rules to read."""

    name: str


@dataclass(frozen=True, slots=True)
class Act:
    """The rule asks for an action; a `last_resort` counts only where no other rule asks for anything.

    `until_cleared`: it lasts until the danger that asked for it is gone, not for a number of days. `closing`: nothing
    is out of order; where no other rule asks for the action, its steps are those of closing an open loop.
    """

    action: str
    urgency: Urgency
    last_resort: bool = False
    until_cleared: bool = False
    closing: bool = False


@dataclass(frozen=True, slots=True)
class Avoid:
    """The rule warns off an action; this also takes the action out of the ranking."""

    action: str


class Gravity(StrEnum):
    """How much harm a caution is to keep away, worst first."""

    LIFE = "life"
    INJURY = "injury"
    HEAP = "heap"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Caution:
    """The rule attaches a caution to each of these actions when advised, or to the first of all (EVERY_ANSWER).

    `brief` is the same in a few words, for a message; each caution for life has one. Of the cautions that share a
    `topic` an answer tells only the gravest. `soon` marks what concerns the next hour: it is told before all else.
    """

    actions: tuple[str, ...]
    gravity: Gravity = Gravity.HEAP
    brief: str = ""
    topic: str = ""
    soon: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of the trade or of physics.

    `reason` is a sentence with `{fact_name}` and `{THRESHOLD_ID}` fields, filled in the reader's units.
    `confidence` (0 to 1) is how often the conclusion is right when the rule fires, by our judgement;
    it only breaks ties in the ranking and shares out the likely causes.
    """

    id: str
    when: Condition
    reason: str
    gives: Finding | Act | Avoid | Caution
    source: Source
    confidence: float = 0.7


def concluded(rule: Rule) -> str:
    """The finding a first-pass rule gives."""
    assert isinstance(rule.gives, Finding)
    return rule.gives.name
