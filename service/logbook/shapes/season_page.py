"""What a season of a pile came to, as it goes out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import Moment, closed
from service.render.shape import Quantity

_AT = "2026-01-18T07:30:00+01:00"
_PILE = "3f9a0c1d2e4b5a67"


@closed
class SeasonGave(TypedDict):
    """What the pile gave."""

    heat: Annotated[
        Quantity | None, Field(description="Heat drawn; null where no draw was ever known.", examples=[None])
    ]
    days_known: Annotated[
        float, Field(description="Days whose draw is known: only these are counted.", examples=[92.0])
    ]


@closed
class SeasonWork(TypedDict):
    """Work that was done."""

    action: Annotated[str, Field(description="Action id.", examples=["add_water"])]
    times: Annotated[int, Field(description="How often.", examples=[3])]


@closed
class SeasonForecast(TypedDict):
    """How forecasts of the core turned out."""

    days_ahead: Annotated[int, Field(description="How far ahead they looked.", examples=[7])]
    checked: Annotated[int, Field(description="How many could be checked by a reading of that time.", examples=[21])]
    mean_error_k: Annotated[float | None, Field(description="Mean error. [K]", examples=[3.1])]
    as_it_was_k: Annotated[float | None, Field(description="The same of 'as it is now'. [K]", examples=[4.4])]
    range_held: Annotated[float | None, Field(description="Share that fell into the 80 % range.", examples=[0.81])]


@closed
class SeasonRule(TypedDict):
    """What became of one rule's advice."""

    rule: Annotated[str, Field(description="Rule id.", examples=["moisture.water-a-dry-heap"])]
    done: Annotated[int, Field(description="How often it was done.", examples=[3])]
    rejected: Annotated[int, Field(description="How often it was rejected.", examples=[0])]
    better: Annotated[int, Field(description="How often things were better after it.", examples=[2])]
    same: Annotated[int, Field(description="How often nothing changed.", examples=[1])]
    worse: Annotated[int, Field(description="How often they were worse.", examples=[0])]


@closed
class SeasonCause(TypedDict):
    """What was found likely wrong."""

    cause: Annotated[str, Field(description="Finding.", examples=["too_dry"])]
    share: Annotated[float, Field(description="Share of the advice that named it.", examples=[0.4])]


_From = TypedDict(
    "_From", {"from": Annotated[Moment, Field(description="Begin of the time looked at.", examples=[_AT])]}
)
"""A name that Python keeps for itself."""


@closed
class SeasonPage(_From):
    """What a season of a pile came to."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    to: Annotated[Moment, Field(description="End of it.", examples=[_AT])]
    advice: Annotated[int, Field(description="Advice kept in it.", examples=[40])]
    readings: Annotated[int, Field(description="Core readings in it.", examples=[120])]
    gave: Annotated[
        SeasonGave, Field(description="Heat it gave, as far as known.", examples=[{"heat": None, "days_known": 0.0}])
    ]
    cost: Annotated[
        list[SeasonWork], Field(description="What it cost in work.", examples=[[{"action": "add_water", "times": 3}]])
    ]
    forecasts: Annotated[list[SeasonForecast], Field(description="How the forecasts did.", examples=[[]])]
    rules: Annotated[
        list[SeasonRule], Field(description="What became of each rule's advice, as far as told.", examples=[[]])
    ]
    causes: Annotated[list[SeasonCause], Field(description="What was found likely wrong.", examples=[[]])]
    next_heap: Annotated[
        list[str],
        Field(
            description="What to change in the next heap.", examples=[["Build a larger heap, or set the timer lower."]]
        ),
    ]
