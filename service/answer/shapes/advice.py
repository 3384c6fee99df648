"""The advice as it goes out."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.action import REASON_EXAMPLE, ActionShown, AvoidShown
from service.answer.shapes.draw_plan import DrawPlan
from service.answer.shapes.heat import Energy, HeatBalance, Tonight
from service.answer.shapes.part import Assumed, Phase, ReadAsShown
from service.heat.learning.shape import LearnedShown
from service.problems.outgoing import Moment, closed
from service.render.shape import Quantity
from service.worth.shape import AskNext

_ASK = {
    "question": "Is it dry?",
    "field": "/moisture_feel",
    "why": "Dry and wet heaps want opposite care.",
    "changes_first_action": 0.41,
    "heat_at_stake": 0.08,
}

_LOOK = {"at": "2026-01-22T07:30:00+00:00", "watch_for": "a core that stops falling within five days"}


@closed
class LikelyCause(TypedDict):
    """What may explain a disappointing heap."""

    cause: Annotated[str, Field(description="Name of the finding.", examples=["too_dry"])]
    share: Annotated[
        float,
        Field(
            description="Share of the belief in all causes found, 0 to 1; where no rule found any, of heaps that fit.",
            ge=0,
            le=1,
            examples=[0.7],
        ),
    ]
    rules: Annotated[list[str], Field(description="The rules that found it.", examples=[["moisture.too-dry"]])]
    no_action: Annotated[
        str | None,
        Field(
            description="Where it is likely (0.5 or more) and no action answers it: why not. Else null.",
            examples=[None],
        ),
    ]


@closed
class Band(TypedDict):
    """A course over time with its 80 % band, one number for each moment of `at`."""

    low: Annotated[list[float], Field(description="Low end.", examples=[[118, 114]])]
    median: Annotated[list[float], Field(description="Middle.", examples=[[120, 118]])]
    high: Annotated[list[float], Field(description="High end.", examples=[[122, 121]])]


@closed
class Outlook(TypedDict):
    """Where the core is going if nothing is changed."""

    unit: Annotated[str, Field(description="Unit of the temperatures.", examples=["degF"])]
    at: Annotated[list[Moment], Field(description="Moments ahead.", examples=[["2026-01-19T07:30:00+00:00"]])]
    core: Annotated[Band, Field(description="Core.", examples=[{"low": [118], "median": [120], "high": [122]}])]
    days_until_cool: Annotated[
        Quantity | None,
        Field(
            description="Days until the core falls below the goal's limit.",
            examples=[{"value": 30, "low": 14, "high": 60, "unit": "days"}],
        ),
    ]


@closed
class LookAgain(TypedDict):
    """When to come back."""

    at: Annotated[Moment, Field(description="When.", examples=[_LOOK["at"]])]
    watch_for: Annotated[str, Field(description="What to watch for.", examples=[_LOOK["watch_for"]])]


@closed
class Advice(TypedDict):
    """Ranked actions for one pile, with what they rest on. A quantity that cannot be told is null."""

    id: Annotated[
        str,
        Field(
            description="Follows from the status, the knowledge version and the question.",
            examples=["5f2c0e9a7d14b6c3"],
        ),
    ]
    as_of: Annotated[Moment, Field(description="The moment it speaks of.", examples=["2026-01-18T07:30:00+00:00"])]
    valid_until: Annotated[Moment, Field(description="Ask again by then.", examples=[_LOOK["at"]])]
    knowledge_version: Annotated[
        str, Field(description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"])
    ]
    units: Annotated[Literal["metric", "us"], Field(description="Units of this answer.", examples=["us"])]
    learned: Annotated[
        LearnedShown | None,
        Field(
            description="What the log taught of this heap: give it back in a later status as it is, and a week "
            "later it "
            "counts. Null without a log, or where nothing was run.",
            examples=[{"as_of": "2026-01-18T07:30:00+00:00", "of": 1, "members": [3, 17, 17, 204]}],
        ),
    ]
    headline: Annotated[
        str, Field(description="One sentence.", examples=["Add water today. A squeezed handful is dry."])
    ]
    say: Annotated[
        str,
        Field(
            description="Plain text for a chat or a text message.",
            max_length=320,
            examples=["Add water today: 190 to 480 gallons. Look again 2026-01-22."],
        ),
    ]
    call: Annotated[
        list[str],
        Field(description="In a fire the numbers to call, your own first; else empty.", examples=[["112", "911"]]),
    ]
    phase: Annotated[
        Phase,
        Field(description="Heat phase, the first that matches in this order.", examples=["falling"]),
    ]
    tonight: Annotated[
        Tonight,
        Field(
            description="What the house needs tonight and what the heap can give.",
            examples=[{"needed": None, "from_pile": None, "short_by": None, "verdict": "Nothing is fitted."}],
        ),
    ]
    actions: Annotated[
        list[ActionShown],
        Field(
            description="What to do, most important first.",
            examples=[
                [
                    {
                        "rank": 1,
                        "action": "add_water",
                        "title": "Add water",
                        "urgency": "today",
                        "effort": "moderate",
                        "doses": [],
                        "steps": [],
                        "effect": {
                            "heat_to_goal": None,
                            "hot_days_gained": None,
                            "chance_of_gain": None,
                            "text": None,
                            "note": None,
                        },
                        "reasons": [REASON_EXAMPLE],
                        "cautions": [],
                        "cautions_above": [],
                    }
                ]
            ],
        ),
    ]
    avoid: Annotated[
        list[AvoidShown],
        Field(
            description="Tempting wrong moves.",
            examples=[[{"action": "add_nitrogen", "title": "Add nitrogen", "reasons": [REASON_EXAMPLE]}]],
        ),
    ]
    likely_causes: Annotated[
        list[LikelyCause],
        Field(
            description="What may be behind it, likeliest first.",
            examples=[[{"cause": "too_dry", "share": 0.7, "rules": ["moisture.too-dry"], "no_action": None}]],
        ),
    ]
    heat_balance: Annotated[
        HeatBalance,
        Field(
            description="Heat made, lost, drawn and stored now.",
            examples=[
                {
                    "made": None,
                    "lost": {"ground_and_air": None, "evaporation": None},
                    "drawn": {"air": {"sensible": None, "latent": None}, "water": None},
                    "stored": None,
                    "unexplained": None,
                }
            ],
        ),
    ]
    energy: Annotated[
        Energy,
        Field(
            description="The ledger of energy; its entries never stand for each other.",
            examples=[
                {
                    "total": None,
                    "usable_left": None,
                    "burst_draw": None,
                    "season_draw": None,
                    "asked": None,
                    "verdict": "Nothing is asked of it.",
                }
            ],
        ),
    ]
    draw_plan: Annotated[
        DrawPlan | None,
        Field(
            description="How to draw until the next reading; null where nothing is fitted to draw with.",
            examples=[None],
        ),
    ]
    outlook: Annotated[
        Outlook,
        Field(
            description="Where the core is going; its lists are empty with `effects=none`.",
            examples=[
                {
                    "unit": "degF",
                    "at": ["2026-01-19T07:30:00+00:00"],
                    "core": {"low": [118], "median": [120], "high": [122]},
                    "days_until_cool": None,
                }
            ],
        ),
    ]
    assumed: Annotated[
        list[Assumed],
        Field(
            description="Every value that was assumed.",
            examples=[
                [{"field": "/pile/moisture", "value": 48, "low": 40, "high": 55, "unit": "%", "why": "not given"}]
            ],
        ),
    ]
    read_as: Annotated[
        list[ReadAsShown],
        Field(
            description="Names that were read by a synonym.",
            examples=[[{"field": "/on_hand/0", "given": "tarpaulin", "read_as": "tarp"}]],
        ),
    ]
    ask_next: Annotated[
        list[AskNext],
        Field(
            description="The most useful questions left open.",
            examples=[[_ASK]],
        ),
    ]
    look_again: Annotated[LookAgain, Field(description="When to come back and what to watch for.", examples=[_LOOK])]
