"""What became of advice, counted."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class ChanceBand(BaseModel):
    """How a promised chance of gain turned out."""

    model_config = ConfigDict(extra="forbid")

    promised: list[float] = Field(description="From and to, as chances of gain.", examples=[[0.8, 1.0]])
    told: int = Field(description="How often somebody told what came of it.", examples=[12])
    better: int = Field(description="How often that was `better`.", examples=[10])


class Counts(BaseModel):
    """What became of what a rule asked for."""

    model_config = ConfigDict(extra="forbid")

    given: int = Field(description="How often it asked for an action.", examples=[40])
    done: int = Field(description="How often that was done.", examples=[20])
    rejected: int = Field(description="How often it was rejected.", examples=[3])
    ignored: int = Field(description="How often it was said to be ignored.", examples=[2])
    no_word: int = Field(description="How often nobody said anything.", examples=[15])
    rejected_because: dict[str, int] = Field(description="Reasons given.", examples=[{"nothing_at_hand": 2}])
    outcome: dict[str, int] = Field(description="What came of it.", examples=[{"better": 10, "same": 2, "worse": 0}])
    calibration: list[ChanceBand] = Field(
        description="Outcomes by the chance of gain that was promised.",
        examples=[[{"promised": [0.8, 1.0], "told": 12, "better": 10}]],
    )
