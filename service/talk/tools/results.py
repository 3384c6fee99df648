"""What the tools give: shapes that are read by the type checker, and of which the tools' schemas are made."""

from __future__ import annotations

from typing_extensions import TypedDict

from service.problems.json_text import JsonObject
from service.why.material_pages import MaterialPage
from service.why.rule_pages import RulePage


class ToolDose(TypedDict):
    """How much of what."""

    of: str
    value: float
    low: float
    high: float
    unit: str
    per: str | None
    split: int


class ToolReason(TypedDict):
    """Why, by which rule, and who says so."""

    rule: str
    text: str
    source: str


class ToolAction(TypedDict):
    """One action with what is needed to do it and to say why."""

    rank: int
    action: str
    title: str
    urgency: str
    doses: list[ToolDose]
    steps: list[str]
    reasons: list[ToolReason]
    cautions: list[str]


class ToolAvoid(TypedDict):
    """A move that is warned off, and why."""

    action: str
    reasons: list[str]


class ToolAsked(TypedDict):
    """A question that would help."""

    question: str
    field: str
    why: str


class ToolLook(TypedDict):
    """When to look again, and for what."""

    at: str
    watch_for: str


class ToolAdvice(TypedDict):
    """The advice in short."""

    headline: str
    say: str
    phase: str
    actions: list[ToolAction]
    avoid: list[ToolAvoid]
    ask_next: list[ToolAsked]
    assumed: list[str]
    look_again: ToolLook


class ToolLikely(TypedDict):
    """A likely answer to the question, and what would follow."""

    answer: str
    sets: JsonObject | None
    first_action: str


class ToolQuestion(TypedDict):
    """The next question, and what was read so far."""

    enough: bool
    question: str | None
    field: str | None
    why: str
    changes_first_action: float | None
    answers: list[ToolLikely]
    first_action: str | None
    understood: list[str]
    unread: list[str]
    status: JsonObject
    skipped: list[str]


class ToolRange(TypedDict):
    """A number with its range."""

    value: float
    low: float
    high: float
    unit: str


class ToolNumber(TypedDict):
    """One number of a mix, judged."""

    name: str
    value: ToolRange | None
    verdict: str
    text: str


class ToolPart(TypedDict):
    """What to add, and how much of it."""

    material: str
    amount: str


class ToolMix(TypedDict):
    """A mix judged or proposed."""

    headline: str
    numbers: list[ToolNumber]
    possible: bool | None
    add: list[ToolPart]


class ToolPage(TypedDict):
    """A rule or material, or the ids of all."""

    kind: str
    id: str | None
    ids: list[str]
    page: RulePage | MaterialPage | None
