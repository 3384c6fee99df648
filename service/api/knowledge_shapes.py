"""Pages about the service and its knowledge as they go out, for the description of the interface."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from service.logbook.shapes.counts import Counts
from service.problems.page import Page, RuleExamples, RuleHistory

_SOURCE = {
    "kind": "handbook",
    "cite": "Richard and Trautmann, Getting the Right Mix, 1996",
    "how_known": "read",
    "where": "compost.css.cornell.edu/calc/rightmix.html",
}
_FIGURE = {"value": 50, "low": 40, "high": 60, "unit": "%", "source": _SOURCE}
_GIVES = {"kind": "action", "action": "add_water", "urgency": "today"}
_VERSION = Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])


class Live(Page):
    """The process answers."""

    status: Literal["live"] = Field(description="Always live.", examples=["live"])


class Ready(Page):
    """Advice can be given."""

    status: Literal["ready"] = Field(description="Always ready; else a problem is sent.", examples=["ready"])
    knowledge_version: str = _VERSION
    rules: int = Field(description="How many rules are loaded.", examples=[120])
    checked: list[str] = Field(
        description="What was tried: the rule engine, reading and writing the log book, room on its disk.",
        examples=[["engine", "log book", "disk"]],
    )


class Start(Page):
    """How to ask for the first time."""

    post: str = Field(description="Where to send a status.", examples=["/advice"])
    smallest_body: dict[str, Any] = Field(
        description="The least that gets an answer.",
        examples=[{"pile": {"age": "63 days"}, "temperatures": {"core": "121 degF"}}],
    )


class Home(Page):
    """What this is and where to go."""

    name: str = Field(description="Name of the service.", examples=["warmheap"])
    what: str = Field(description="What it does.", examples=["Advice for a greenhouse warmed by a heap of chips."])
    version: str = Field(description="Version of the service.", examples=["0.1.0"])
    knowledge_version: str = _VERSION
    start: Start = Field(description="A first question to try.", examples=[{"post": "/advice", "smallest_body": {}}])
    ask: dict[str, str] = Field(
        description="Addresses that answer POST, and what they tell.", examples=[{"/outlook": "The days ahead."}]
    )
    links: dict[str, str] = Field(description="Where to go.", examples=[{"rules": "/rules"}])


class SourceFull(Page):
    """Who says so, and whether we read it ourselves."""

    kind: str = Field(description="How strong the backing is.", examples=["handbook"])
    cite: str = Field(description="The work.", examples=[_SOURCE["cite"]])
    how_known: str = Field(description="read, read second hand, from memory, derived, or no source.", examples=["read"])
    where: str = Field(description="Where it can be found, if known.", examples=[_SOURCE["where"]])


class Gives(Page):
    """What a rule concludes."""

    kind: Literal["finding", "action", "avoid", "caution"] = Field(
        description="finding: something about the heap, for other rules; action: ask for it; avoid: warn off it; "
        "caution: attach a caution to actions.",
        examples=["action"],
    )
    finding: str | None = Field(None, description="Name of the finding.", examples=["too_dry"])
    action: str | None = Field(None, description="Action id.", examples=["add_water"])
    urgency: str | None = Field(None, description="When to act.", examples=["today"])
    actions: list[str] | None = Field(
        None, description="Actions that get the caution; * is every answer.", examples=[["add_water"]]
    )


class SourceBrief(Page):
    """Who says so."""

    kind: str = Field(description="How strong the backing is.", examples=["handbook"])
    cite: str = Field(description="The work.", examples=[_SOURCE["cite"]])


class RuleLine(Page):
    """One rule in one line."""

    id: str = Field(description="Rule id.", examples=["moisture.too-dry"])
    gives: Gives = Field(description="What it concludes.", examples=[_GIVES])
    reason: str = Field(
        description="Its reason, with names in braces where values go.", examples=["A handful is {moisture_feel}."]
    )
    source: SourceBrief = Field(
        description="Its backing, in short.", examples=[{"kind": "handbook", "cite": _SOURCE["cite"]}]
    )
    page: str = Field(description="Address of its page.", examples=["/rules/moisture.too-dry"])


class RulesIndex(Page):
    """Every rule."""

    knowledge_version: str = _VERSION
    count: int = Field(description="How many there are.", examples=[120])
    rules: list[RuleLine] = Field(
        description="The rules, by id.",
        examples=[
            [
                {
                    "id": "moisture.too-dry",
                    "gives": _GIVES,
                    "reason": "…",
                    "source": {"kind": "handbook", "cite": "…"},
                    "page": "/rules/moisture.too-dry",
                }
            ]
        ],
    )


class FactNeeded(Page):
    """A fact or finding that a rule reads."""

    name: str = Field(description="Its name.", examples=["core_c"])
    kind: Literal["number", "flag", "text", "finding"] = Field(description="What kind it is.", examples=["number"])
    unit: str = Field(description="Its unit; 1 for pure numbers, empty for flags and texts.", examples=["degC"])
    meaning: str = Field(description="What it means.", examples=["Hottest reading at or below half the radius."])
    values: list[str] = Field(description="The words a text can be.", examples=[["dusty", "dry", "damp"]])
    fields: list[str] = Field(
        description="Fields of a status that make it known; none for findings.", examples=[["/temperatures/core"]]
    )
    found_by: list[str] = Field(description="Rules that conclude a finding; none for facts.", examples=[[]])


class ThresholdShown(Page):
    """A limit that a rule tests against or quotes."""

    id: str = Field(description="Its id.", examples=["TOO_DRY_BELOW"])
    value: float = Field(description="The limit, in `unit`.", examples=[40])
    unit: str = Field(description="Its unit.", examples=["%"])
    meaning: str = Field(description="What it stands for.", examples=["rot slows below this moisture"])
    source: SourceFull = Field(description="Who says so.", examples=[_SOURCE])


class RulePage(Page):
    """One rule whole."""

    id: str = Field(description="Rule id.", examples=["moisture.too-dry"])
    theme: str = Field(description="What it is about.", examples=["moisture"])
    pass_: Literal[1, 2] = Field(
        alias="pass", description="1: from facts to findings; 2: from both to advice.", examples=[1]
    )
    gives: Gives = Field(description="What it concludes.", examples=[_GIVES])
    when: str = Field(description="Its condition in words.", examples=["moisture_percent < 40 % (TOO_DRY_BELOW)"])
    condition: dict[str, Any] = Field(
        description="Its condition as the rule engine reads it.", examples=[{"$lt": {"moisture_percent": 40.0}}]
    )
    needs: list[FactNeeded] = Field(
        description="What it reads; a fact that is not known makes the test on it unknown.",
        examples=[
            [
                {
                    "name": "core_c",
                    "kind": "number",
                    "unit": "degC",
                    "meaning": "Core.",
                    "values": [],
                    "fields": ["/temperatures/core"],
                    "found_by": [],
                }
            ]
        ],
    )
    examples: RuleExamples = Field(
        description="Where it fires and where it does not.",
        examples=[{"fires": {"facts": {}, "text": "…"}, "does_not_fire": {"facts": {}, "text": "…"}}],
    )
    reason: str = Field(
        description="Its reason, with names in braces where values go.", examples=["A handful is {moisture_feel}."]
    )
    thresholds: list[ThresholdShown] = Field(
        description="Limits it tests against or quotes.",
        examples=[[{"id": "TOO_DRY_BELOW", "value": 40, "unit": "%", "meaning": "rot slows", "source": _SOURCE}]],
    )
    confidence: float = Field(
        description="How often it is right when it fires, by our judgement; breaks ties.", examples=[0.85]
    )
    history: RuleHistory = Field(
        description="Since when it is here, and its changes.", examples=[{"since": "0.1.0", "changes": []}]
    )
    feedback: Counts | None = Field(
        None,
        description="What became of what it asked for, over the piles of whoever asks; null where that is nobody "
        "we know, or nothing is logged.",
        examples=[None],
    )
    source: SourceFull = Field(description="Who says so.", examples=[_SOURCE])


class MaterialLine(Page):
    """One material in one line."""

    id: str = Field(description="Material id.", examples=["wood_chips"])
    name: str = Field(description="What it is called.", examples=["wood chips"])
    synonyms: list[str] = Field(description="Other names that are read.", examples=[["arborist chips"]])
    uses: list[str] = Field(description="What it is reached for.", examples=[["bulking_dry"]])
    c_to_n: float | None = Field(description="Carbon to nitrogen, dry basis.", examples=[400])
    page: str = Field(description="Address of its page.", examples=["/materials/wood_chips"])


class MaterialsIndex(Page):
    """Every material."""

    knowledge_version: str = _VERSION
    count: int = Field(description="How many there are.", examples=[60])
    materials: list[MaterialLine] = Field(
        description="The materials.",
        examples=[
            [
                {
                    "id": "wood_chips",
                    "name": "wood chips",
                    "synonyms": [],
                    "uses": ["carbon"],
                    "c_to_n": 400,
                    "page": "/materials/wood_chips",
                }
            ]
        ],
    )


class FigureShown(Page):
    """A number with its range and its source."""

    value: float = Field(description="Typical value, in `unit`.", examples=[50])
    low: float = Field(description="Low end of the range, in `unit`.", examples=[40])
    high: float = Field(description="High end of the range, in `unit`.", examples=[60])
    unit: str = Field(description="Unit of the three numbers.", examples=["%"])
    source: SourceFull = Field(description="Who says so.", examples=[_SOURCE])


class MaterialCautionShown(Page):
    """What to mind with a material."""

    text: str = Field(description="What to mind.", examples=["Fresh manure carries germs: wear gloves."])
    source: SourceFull = Field(description="Who says so.", examples=[_SOURCE])


class MaterialPage(Page):
    """One material whole."""

    id: str = Field(description="Material id.", examples=["wood_chips"])
    name: str = Field(description="What it is called.", examples=["wood chips"])
    synonyms: list[str] = Field(description="Other names that are read.", examples=[["arborist chips"]])
    uses: list[str] = Field(description="What it is reached for.", examples=[["bulking_dry"]])
    traits: list[str] = Field(description="How it behaves.", examples=[["wood"]])
    moisture: FigureShown = Field(description="Water in the wet mass.", examples=[_FIGURE])
    density: FigureShown = Field(description="Bulk density as it lies, loose.", examples=[_FIGURE | {"unit": "kg/m3"}])
    carbon: FigureShown = Field(description="Carbon in the dry matter.", examples=[_FIGURE])
    nitrogen: FigureShown = Field(description="Nitrogen in the dry matter.", examples=[_FIGURE])
    c_to_n: FigureShown | None = Field(description="Carbon to nitrogen, dry basis.", examples=[_FIGURE | {"unit": "1"}])
    rots_in_weeks: FigureShown = Field(description="Dry matter that rots within weeks.", examples=[_FIGURE])
    rots_in_years: FigureShown = Field(description="Dry matter that rots within years.", examples=[_FIGURE])
    heating_value: FigureShown = Field(
        description="Heat of burning of the dry matter.", examples=[_FIGURE | {"unit": "MJ/kg"}]
    )
    pace: FigureShown = Field(
        description="How fast heaps of it rot over what is usual: how much they differ.", examples=[_FIGURE]
    )
    rot_ends_at: FigureShown = Field(
        description="Temperature at which its rot ends: a few kelvin above the hottest core.",
        examples=[_FIGURE | {"unit": "degC"}],
    )
    remark: str = Field(description="What else to know.", examples=["Green chips heat best."])
    cautions: list[MaterialCautionShown] = Field(
        description="What to mind.", examples=[[{"text": "Wear gloves.", "source": _SOURCE}]]
    )
