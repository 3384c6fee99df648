"""What became of advice, counted, as it goes out."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.outgoing import closed


@closed
class ChanceBand(TypedDict):
    """How a promised chance of gain turned out."""

    promised: Annotated[list[float], Field(description="From and to, as chances of gain.", examples=[[0.8, 1.0]])]
    told: Annotated[int, Field(description="How often somebody told what came of it.", examples=[12])]
    better: Annotated[int, Field(description="How often that was `better`.", examples=[10])]


@closed
class Counts(TypedDict):
    """What became of what a rule asked for."""

    given: Annotated[int, Field(description="How often it asked for an action.", examples=[40])]
    done: Annotated[int, Field(description="How often that was done.", examples=[20])]
    rejected: Annotated[int, Field(description="How often it was rejected.", examples=[3])]
    ignored: Annotated[int, Field(description="How often it was said to be ignored.", examples=[2])]
    no_word: Annotated[int, Field(description="How often nobody said anything.", examples=[15])]
    rejected_because: Annotated[dict[str, int], Field(description="Reasons given.", examples=[{"nothing_at_hand": 2}])]
    outcome: Annotated[
        dict[str, int], Field(description="What came of it.", examples=[{"better": 10, "same": 2, "worse": 0}])
    ]
    calibration: Annotated[
        list[ChanceBand],
        Field(
            description="Outcomes by the chance of gain that was promised.",
            examples=[[{"promised": [0.8, 1.0], "told": 12, "better": 10}]],
        ),
    ]
