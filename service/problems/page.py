"""Parts of a rule's page: examples and history."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class Page(BaseModel):
    """A page or a part of one."""

    model_config = ConfigDict(extra="forbid")


class RuleExample(Page):
    """Facts and findings, and what the rule makes of them."""

    facts: dict[str, float | bool | str] = Field(
        description="The facts and findings, in the units of `needs`.", examples=[{"moisture_feel": "dry"}]
    )
    text: str = Field(description="What is said then, or what makes it fail.", examples=["A handful is dry."])


class RuleExamples(Page):
    """Examples made from the condition: one step apart where one step is enough."""

    fires: RuleExample = Field(
        description="By these the rule fires.", examples=[{"facts": {"moisture_feel": "dry"}, "text": "…"}]
    )
    does_not_fire: RuleExample = Field(
        description="By these it does not.", examples=[{"facts": {"moisture_feel": "damp"}, "text": "…"}]
    )


class RuleChangeShown(Page):
    """A change of a rule."""

    version: str = Field(description="Version of the service that brought it.", examples=["0.2.0"])
    what: str = Field(description="What was changed.", examples=["Limit raised from 40 to 42 degC."])


class RuleHistory(Page):
    """Since when a rule is here, and what was changed about it."""

    since: str = Field(description="Version of the service that brought it.", examples=["0.1.0"])
    changes: list[RuleChangeShown] = Field(description="Changes since, oldest first.", examples=[[]])
