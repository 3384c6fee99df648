"""The words that may be told, as they go out, for the description of the interface."""

from __future__ import annotations

from pydantic import Field

from service.api.knowledge_shapes import SourceFull
from service.problems.page import Page


class WordLine(Page):
    """One word: where it goes, how people say it, and what it tells."""

    id: str = Field(description="The word to put into the field.", examples=["ash_streaks"])
    field: str = Field(description="JSON pointer of the field of a status that takes it.", examples=["/signs/-"])
    label: str = Field(description="What the form calls it.", examples=["Grey streaks like ash, inside"])
    says: list[str] = Field(description="What else is read as it.", examples=[["ashy streaks"]])
    tells: str = Field(
        description="What it means by itself, where no rule says more.", examples=["Mushrooms do no harm."]
    )
    rules: list[str] = Field(description="Rules that read it.", examples=[["shape.ash-streaks-are-dry"]])
    source: SourceFull | None = Field(
        description="Who says so; null where its rules say who.",
        examples=[None],
    )


class WordsIndex(Page):
    """Every word."""

    knowledge_version: str = Field(
        description="Changes with any rule, limit, material or text.", examples=["0a1b2c3d4e5f"]
    )
    count: int = Field(description="How many there are.", examples=[60])
    words: list[WordLine] = Field(
        description="The words.",
        examples=[
            [
                {
                    "id": "rodents",
                    "field": "/signs/-",
                    "label": "Rats or mice, or their holes",
                    "says": ["rats"],
                    "tells": "",
                    "rules": ["visitors.holes-leak-air"],
                    "source": None,
                }
            ]
        ],
    )
