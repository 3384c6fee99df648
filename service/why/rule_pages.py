"""Pages of the rules as they go out."""

from __future__ import annotations

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.json_text import JsonObject
from service.problems.outgoing import closed
from service.why.counts import Counts

CITED = {
    "kind": "handbook",
    "cite": "Richard and Trautmann, Getting the Right Mix, 1996",
    "how_known": "read",
    "where": "compost.css.cornell.edu/calc/rightmix.html",
}
_GIVES = {"kind": "action", "action": "add_water", "urgency": "today"}
KnowledgeVersion = Annotated[
    str, Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])
]


@closed
class SourceFull(TypedDict):
    """Who says so, and whether we read it ourselves."""

    kind: Annotated[str, Field(description="How strong the backing is.", examples=["handbook"])]
    cite: Annotated[str, Field(description="The work.", examples=[CITED["cite"]])]
    how_known: Annotated[
        str, Field(description="read, read second hand, from memory, derived, or no source.", examples=["read"])
    ]
    where: Annotated[str, Field(description="Where it can be found, if known.", examples=[CITED["where"]])]


@closed
class SourceBrief(TypedDict):
    """Who says so."""

    kind: Annotated[str, Field(description="How strong the backing is.", examples=["handbook"])]
    cite: Annotated[str, Field(description="The work.", examples=[CITED["cite"]])]


@closed
class Gives(TypedDict):
    """What a rule concludes."""

    kind: Annotated[
        Literal["finding", "action", "avoid", "caution"],
        Field(
            description="finding: something about the heap, for other rules; action: ask for it; avoid: warn off it; "
            "caution: attach a caution to actions.",
            examples=["action"],
        ),
    ]
    finding: NotRequired[Annotated[str, Field(description="Name of the finding.", examples=["too_dry"])]]
    action: NotRequired[Annotated[str, Field(description="Action id.", examples=["add_water"])]]
    urgency: NotRequired[Annotated[str, Field(description="When to act.", examples=["today"])]]
    actions: NotRequired[
        Annotated[
            list[str], Field(description="Actions that get the caution; * is every answer.", examples=[["add_water"]])
        ]
    ]


@closed
class RuleLine(TypedDict):
    """One rule in one line."""

    id: Annotated[str, Field(description="Rule id.", examples=["moisture.too-dry"])]
    gives: Annotated[Gives, Field(description="What it concludes.", examples=[_GIVES])]
    reason: Annotated[
        str,
        Field(
            description="Its reason, with names in braces where values go.", examples=["A handful is {moisture_feel}."]
        ),
    ]
    source: Annotated[
        SourceBrief,
        Field(description="Its backing, in short.", examples=[{"kind": "handbook", "cite": CITED["cite"]}]),
    ]
    page: Annotated[str, Field(description="Address of its page.", examples=["/rules/moisture.too-dry"])]


@closed
class RulesIndex(TypedDict):
    """Every rule."""

    knowledge_version: KnowledgeVersion
    count: Annotated[int, Field(description="How many there are.", examples=[120])]
    rules: Annotated[
        list[RuleLine],
        Field(
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
        ),
    ]


@closed
class FactNeeded(TypedDict):
    """A fact or finding that a rule reads."""

    name: Annotated[str, Field(description="Its name.", examples=["core_c"])]
    kind: Annotated[
        Literal["number", "flag", "text", "finding"], Field(description="What kind it is.", examples=["number"])
    ]
    unit: Annotated[
        str, Field(description="Its unit; 1 for pure numbers, empty for flags and texts.", examples=["degC"])
    ]
    meaning: Annotated[
        str, Field(description="What it means.", examples=["Hottest reading at or below half the radius."])
    ]
    values: Annotated[list[str], Field(description="The words a text can be.", examples=[["dusty", "dry", "damp"]])]
    fields: Annotated[
        list[str],
        Field(
            description="Fields of a status that make it known; none for findings.", examples=[["/temperatures/core"]]
        ),
    ]
    found_by: Annotated[list[str], Field(description="Rules that conclude a finding; none for facts.", examples=[[]])]


@closed
class ThresholdShown(TypedDict):
    """A limit that a rule tests against or quotes."""

    id: Annotated[str, Field(description="Its id.", examples=["TOO_DRY_BELOW"])]
    value: Annotated[float, Field(description="The limit, in `unit`.", examples=[40])]
    unit: Annotated[str, Field(description="Its unit.", examples=["%"])]
    meaning: Annotated[str, Field(description="What it stands for.", examples=["rot slows below this moisture"])]
    source: Annotated[SourceFull, Field(description="Who says so.", examples=[CITED])]


@closed
class RuleExample(TypedDict):
    """Facts and findings, and what the rule makes of them."""

    facts: Annotated[
        dict[str, float | bool | str],
        Field(description="The facts and findings, in the units of `needs`.", examples=[{"moisture_feel": "dry"}]),
    ]
    text: Annotated[str, Field(description="What is said then, or what makes it fail.", examples=["A handful is dry."])]


@closed
class RuleExamples(TypedDict):
    """Examples made from the condition: one step apart where one step is enough."""

    fires: Annotated[
        RuleExample,
        Field(description="By these the rule fires.", examples=[{"facts": {"moisture_feel": "dry"}, "text": "…"}]),
    ]
    does_not_fire: Annotated[
        RuleExample,
        Field(description="By these it does not.", examples=[{"facts": {"moisture_feel": "damp"}, "text": "…"}]),
    ]


@closed
class RuleChangeShown(TypedDict):
    """A change of a rule."""

    version: Annotated[str, Field(description="Version of the service that brought it.", examples=["0.2.0"])]
    what: Annotated[str, Field(description="What was changed.", examples=["Limit raised from 40 to 42 degC."])]


@closed
class RuleHistory(TypedDict):
    """Since when a rule is here, and what was changed about it."""

    since: Annotated[str, Field(description="Version of the service that brought it.", examples=["0.1.0"])]
    changes: Annotated[list[RuleChangeShown], Field(description="Changes since, oldest first.", examples=[[]])]


_Pass = TypedDict(
    "_Pass",
    {
        "pass": Annotated[
            Literal[1, 2], Field(description="1: from facts to findings; 2: from both to advice.", examples=[1])
        ]
    },
)
"""A name that Python keeps for itself."""


@closed
class RulePage(_Pass):
    """One rule whole."""

    id: Annotated[str, Field(description="Rule id.", examples=["moisture.too-dry"])]
    theme: Annotated[str, Field(description="What it is about.", examples=["moisture"])]
    gives: Annotated[Gives, Field(description="What it concludes.", examples=[_GIVES])]
    when: Annotated[
        str, Field(description="Its condition in words.", examples=["moisture_percent < 40 % (TOO_DRY_BELOW)"])
    ]
    condition: Annotated[
        JsonObject,
        Field(description="Its condition as the rule engine reads it.", examples=[{"$lt": {"moisture_percent": 40.0}}]),
    ]
    needs: Annotated[
        list[FactNeeded],
        Field(
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
        ),
    ]
    examples: Annotated[
        RuleExamples,
        Field(
            description="Where it fires and where it does not.",
            examples=[{"fires": {"facts": {}, "text": "…"}, "does_not_fire": {"facts": {}, "text": "…"}}],
        ),
    ]
    reason: Annotated[
        str,
        Field(
            description="Its reason, with names in braces where values go.", examples=["A handful is {moisture_feel}."]
        ),
    ]
    thresholds: Annotated[
        list[ThresholdShown],
        Field(
            description="Limits it tests against or quotes.",
            examples=[
                [
                    {
                        "id": "TOO_DRY_BELOW",
                        "value": 40,
                        "unit": "%",
                        "meaning": "rot slows",
                        "source": CITED,
                    }
                ]
            ],
        ),
    ]
    confidence: Annotated[
        float, Field(description="How often it is right when it fires, by our judgement; breaks ties.", examples=[0.85])
    ]
    history: Annotated[
        RuleHistory,
        Field(description="Since when it is here, and its changes.", examples=[{"since": "0.1.0", "changes": []}]),
    ]
    feedback: NotRequired[
        Annotated[
            Counts | None,
            Field(
                description="What became of what it asked for, over the piles of whoever asks; null where that "
                "is nobody "
                "we know, or nothing is logged.",
                examples=[None],
            ),
        ]
    ]
    source: Annotated[SourceFull, Field(description="Who says so.", examples=[CITED])]
