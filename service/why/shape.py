"""An explanation as it goes out, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.part import ActionId, Assumed, SourceShown
from service.problems.outgoing import Moment, closed
from service.render.shape import Quantity

_SOURCE = {"kind": "handbook", "cite": "Richard and Trautmann, Getting the Right Mix, 1996"}
_CONDITION = {
    "fact": "core_c",
    "test": "under",
    "value": 57.0,
    "limit": 40.0,
    "gap": 17.0,
    "unit": "degC",
    "threshold": "HOLDING_FROM",
    "truth": False,
    "decides": True,
    "needs": [],
}
_RULE = {
    "rule": "nitrogen.little-for-the-carbon",
    "state": "did_not_hold",
    "gives": "finds starved_of_nitrogen",
    "text": "Does not hold: core is 57 °C, wanted under 40 °C, 17 °C off.",
    "outcome": None,
    "conditions": [_CONDITION],
    "needs": [],
}
_POWER = {"value": 152, "low": 0, "high": 420, "unit": "W"}
_TRIED = {"value": "30 %", "first_action": "add_water", "season_draw": _POWER}
Tested = Literal["under", "at most", "over", "at least", "is", "is not", "known", "not known"]


@closed
class ConditionShown(TypedDict):
    """One test of a rule's condition with what it met."""

    fact: Annotated[str, Field(description="Fact or finding; `facts` says what it means.", examples=["core_c"])]
    test: Annotated[Tested, Field(description="How it is compared with the limit.", examples=["under"])]
    value: Annotated[
        float | bool | str | None, Field(description="What it met, in `unit`; null: not known.", examples=[57.0])
    ]
    limit: Annotated[
        float | bool | str | None,
        Field(description="The limit or word wanted, in `unit`; null where only being known counts.", examples=[40.0]),
    ]
    gap: Annotated[
        float | None, Field(description="How far a number is from its limit, in degrees of `unit`.", examples=[17.0])
    ]
    unit: Annotated[str, Field(description="Unit of the numbers; empty for words and flags.", examples=["degC"])]
    threshold: Annotated[
        str | None, Field(description="Id of the limit; `limits` says who set it.", examples=["HOLDING_FROM"])
    ]
    truth: Annotated[
        bool | None,
        Field(
            description="Whether it holds; null: cannot be told, as the fact is missing or rests on what nobody told.",
            examples=[False],
        ),
    ]
    decides: Annotated[
        bool, Field(description="Whether it is among the tests that make the rule's state.", examples=[True])
    ]
    needs: Annotated[
        list[str], Field(description="Fields that would settle it, where it is open.", examples=[["/history"]])
    ]


@closed
class RuleExplained(TypedDict):
    """One rule in the light of the status."""

    rule: Annotated[str, Field(description="Rule id.", examples=[_RULE["rule"]])]
    state: Annotated[
        Literal["fired", "did_not_hold", "cannot_tell"],
        Field(
            description="fired: its condition holds; did_not_hold: it fails whatever else may turn up; cannot_tell: "
            "`needs` would settle it.",
            examples=["did_not_hold"],
        ),
    ]
    gives: Annotated[str, Field(description="What it is for.", examples=[_RULE["gives"]])]
    text: Annotated[str, Field(description="Its reason, or why it did not fire.", examples=[_RULE["text"]])]
    outcome: Annotated[
        str | None, Field(description="What became of an action or caution that fired.", examples=["advised, place 1"])
    ]
    conditions: Annotated[
        list[ConditionShown], Field(description="Every test it makes, in order.", examples=[[_CONDITION]])
    ]
    needs: Annotated[
        list[str],
        Field(
            description="Fields of the status that would settle an open rule, as JSON pointers.",
            examples=[["/history"]],
        ),
    ]


@closed
class FactExplained(TypedDict):
    """A fact or finding."""

    meaning: Annotated[
        str, Field(description="What it means.", examples=["Hottest reading at or below half the radius."])
    ]
    fields: Annotated[
        list[str],
        Field(description="Fields of the status it comes from; none for findings.", examples=[["/temperatures/core"]]),
    ]


@closed
class LimitExplained(TypedDict):
    """A limit that rules test against."""

    value: Annotated[float, Field(description="The limit, in `unit`.", examples=[40.0])]
    unit: Annotated[str, Field(description="Its unit.", examples=["degC"])]
    meaning: Annotated[str, Field(description="What it stands for.", examples=["working heat from here"])]
    source: Annotated[SourceShown, Field(description="Who set it.", examples=[_SOURCE])]


_From = TypedDict("_From", {"from": Annotated[Any, Field(description="What it says now.", examples=["24 degC"])]})
"""A name that Python keeps for itself."""


@closed
class Change(_From):
    """The smallest change found of one field that changes the first action; proved by running everything again."""

    field: Annotated[str, Field(description="The field, as a JSON pointer.", examples=["/temperatures/core"])]
    to: Annotated[
        Any, Field(description="What it would have to say; can be sent as it stands.", examples=["28.6 degC"])
    ]
    first_action_now: Annotated[ActionId, Field(description="First action now.", examples=["add_nitrogen"])]
    first_action_then: Annotated[ActionId, Field(description="First action then.", examples=["wait"])]
    tried: Annotated[int, Field(description="How many changes were tried.", ge=1, examples=[33])]
    text: Annotated[
        str,
        Field(
            description="The same in words.",
            examples=['If core were 28.6 degC, not 24 degC, the first action would be "Wait and see".'],
        ),
    ]


@closed
class IfItWere(TypedDict):
    """What would follow if an assumed value were told to be this."""

    value: Annotated[str, Field(description="The value tried.", examples=["30 %"])]
    first_action: Annotated[ActionId, Field(description="First action then.", examples=["add_water"])]
    season_draw: Annotated[
        Quantity | None, Field(description="What the heap could give to the goal's date then.", examples=[_POWER])
    ]


@closed
class AssumedEffect(Assumed):
    """An assumption and what it does to the answer."""

    if_it_were: Annotated[
        list[IfItWere],
        Field(
            description="Both ends of the range, or the other words, each run through everything.", examples=[[_TRIED]]
        ),
    ]
    changes_first_action: Annotated[
        bool | None,
        Field(
            description="Whether any of these changes the first action; null where nothing else can be tried.",
            examples=[True],
        ),
    ]


@closed
class Explanation(TypedDict):
    """Why this answer: every rule with its tests, what would change it, and what the assumptions do to it."""

    as_of: Annotated[Moment, Field(description="The moment it speaks of.", examples=["2026-01-18T07:30:00+00:00"])]
    knowledge_version: Annotated[
        str, Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])
    ]
    units: Annotated[Literal["metric", "us"], Field(description="Units of this explanation.", examples=["metric"])]
    first_action: Annotated[ActionId, Field(description="What is advised first.", examples=["add_nitrogen"])]
    counts: Annotated[
        dict[str, int],
        Field(
            description="How many rules are in each state.",
            examples=[{"fired": 24, "did_not_hold": 218, "cannot_tell": 78}],
        ),
    ]
    rules: Annotated[list[RuleExplained], Field(description="The rules, by id.", examples=[[_RULE]])]
    facts: Annotated[
        dict[str, FactExplained],
        Field(
            description="The facts and findings these rules read.",
            examples=[{"core_c": {"meaning": "Core.", "fields": ["/temperatures/core"]}}],
        ),
    ]
    limits: Annotated[
        dict[str, LimitExplained],
        Field(
            description="The limits these rules test against.",
            examples=[{"HOLDING_FROM": {"value": 40, "unit": "degC", "meaning": "working heat", "source": _SOURCE}}],
        ),
    ]
    what_would_change: Annotated[
        Change | None,
        Field(
            description="The smallest change found that flips the first action; null where none was, or one rule was "
            "asked for.",
            examples=[
                {
                    "field": "/temperatures/core",
                    "from": "24 degC",
                    "to": "28.6 degC",
                    "first_action_now": "add_nitrogen",
                    "first_action_then": "wait",
                    "tried": 33,
                    "text": "If core were 28.6 degC …",
                }
            ],
        ),
    ]
    assumed: Annotated[
        list[AssumedEffect],
        Field(
            description="Every assumption with its effect; empty where one rule was asked for.",
            examples=[
                [
                    {
                        "field": "/pile/moisture",
                        "value": 50,
                        "low": 30,
                        "high": 70,
                        "unit": "%",
                        "why": "nobody felt or measured it",
                        "if_it_were": [_TRIED],
                        "changes_first_action": True,
                    }
                ]
            ],
        ),
    ]
