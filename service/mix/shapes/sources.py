"""Who says so, and sentences with who says so, as they go out with mixes and plans."""

from __future__ import annotations

from typing import Final

from pydantic import Field

from service.answer.shapes.part import AnswerPart

SOURCE: Final = {
    "kind": "handbook",
    "cite": "Manitoba Agriculture, Compost Elements",
    "how_known": "read",
    "where": "gov.mb.ca/agriculture",
}
NOTE: Final = {"text": "There is enough carbon that can rot to hold the nitrogen.", "source": SOURCE}


class SourceTold(AnswerPart):
    """Who says so, and whether we read it ourselves."""

    kind: str = Field(description="How strong the backing is.", examples=["handbook"])
    cite: str = Field(description="The work.", examples=[SOURCE["cite"]])
    how_known: str = Field(description="read, read second hand, from memory, derived, or no source.", examples=["read"])
    where: str = Field(description="Where it can be found, if known.", examples=[SOURCE["where"]])


class NoteTold(AnswerPart):
    """A sentence with its source."""

    text: str = Field(description="The sentence.", examples=[NOTE["text"]])
    source: SourceTold = Field(description="Who says so.", examples=[SOURCE])
