"""The chat: what goes in and what comes out."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import Field, RootModel, model_validator

from service.problems.json_text import JsonObject
from service.problems.problem import Problem
from service.questions.shape import Pointer, QuestionPart
from service.status.moments import INSTANT
from service.status.part import AtMost, Part
from service.status.partial import check_partial
from service.status.quantities import refused
from service.status.status import Aged
from service.talk.chat.draft import SYSTEM_OF, without_goal_day
from service.talk.chat.reading import in_scale, needs_scale
from service.talk.chat.reply_parts import ChatAction, ChatQuestion, Understood, UnreadWords

LONGEST_MESSAGE = 2000
CONVERSATION = r"^[A-Za-z0-9_.:@+-]{1,80}$"
Conversation = Annotated[str, Field(pattern=CONVERSATION, strict=True)]
Short = Annotated[str, Field(max_length=80, strict=True)]
Degrees = Annotated[str, Field(pattern=r"^-?[0-9]{1,7}(\.[0-9]{1,6})? \?$", strict=True)]


class Waiting(Part):
    """A temperature whose scale was not told yet."""

    pointer: Pointer = Field(description="Where it belongs; `/history/-` adds one.", examples=["/temperatures/core"])
    value: Degrees | Annotated[dict[Annotated[str, Field(max_length=40)], Short], Field(max_length=10)] = Field(
        description="The reading: number and question mark, by itself or in a record such as that of an earlier one.",
        examples=["121 ?", {"at": "2026-01-15T07:30:00Z", "core": "133 ?"}],
    )

    @model_validator(mode="after")
    def _fits(self) -> Waiting:
        """In one scale or the other it is a temperature of the status: whatever was handed out can be sent back."""
        if not needs_scale(self.value) or not any(self._goes_in(scale) for scale in SYSTEM_OF):
            raise refused("no temperature waits there", read=self.pointer, allowed="a temperature of the status")
        return self

    def _goes_in(self, scale: str) -> bool:
        names = self.pointer.strip("/").split("/")
        value = in_scale(self.value, scale)
        for name in reversed(names):
            value = [value] if name == "-" else {name: value}
        try:
            check_partial(value)
        except Problem:
            return False
        return True


class ChatState(Part):
    """Where a conversation stands, for a caller who keeps it himself: send back what came with the last reply."""

    status: JsonObject = Field({}, description="The status told so far.", examples=[{"pile": {"age": "10 weeks"}}])
    skipped: Annotated[list[Pointer], AtMost(40)] = Field(
        [], description="Fields nobody could tell; they are not asked for again.", examples=[["/smell"]]
    )
    asked: Pointer | None = Field(None, description="Field of the question that stands.", examples=["/pile/age"])
    waiting: Annotated[list[Waiting], AtMost(40)] = Field(
        [], description="Temperatures that wait for their scale.", examples=[[]]
    )
    told_at: dict[Aged, Annotated[datetime, INSTANT]] = Field(
        {}, description="When readings that age were told.", examples=[{"/temperatures/core": "2026-01-18T07:30:00Z"}]
    )
    before: JsonObject | None = Field(
        None, description="The status before the last message, for `undo`.", examples=[{"pile": {"age": "10 weeks"}}]
    )
    advised_at: Annotated[datetime, INSTANT] | None = Field(
        None, description="When advice was last given.", examples=["2026-01-18T07:30:00Z"]
    )
    recent: Annotated[list[Pointer], AtMost(100)] = Field(
        [], description="What the last message told, which a bare number may correct.", examples=[["/pile/age"]]
    )

    unsettled: Annotated[list[Literal["fire", "people", "pipes"]], AtMost(3)] = Field(
        [], description="Alarms that nobody has settled yet: they stay first.", examples=[["people"]]
    )

    @model_validator(mode="after")
    def _status_is_good(self) -> ChatState:
        try:
            check_partial(without_goal_day(self.status))
            check_partial(without_goal_day(self.before or {}))
        except Problem as problem:
            raise refused(f"the status cannot be used: {problem.detail}") from None
        return self


class ChatMessage(Part):
    """One message of a conversation."""

    text: str = Field(
        description=f"What was said, at most {LONGEST_MESSAGE} characters.",
        max_length=LONGEST_MESSAGE,
        strict=True,
        examples=["ten weeks old, core 121 F, crumbly dry"],
    )
    conversation: Conversation | None = Field(
        None,
        description="Id of the conversation, chosen by the caller: whoever knows it can go on with it. `new` has one "
        "made. Kept in memory for 12 hours, the newest 1000. Without one nothing is kept.",
        examples=["new"],
    )
    state: ChatState | None = Field(
        None, description="Instead of an id: the `state` of the last reply.", examples=[{"status": {}}]
    )
    units: Literal["metric", "us"] | None = Field(
        None, description="How numbers of degrees are read that say neither °C nor °F.", examples=["us"]
    )
    as_of: Annotated[datetime, INSTANT] | None = Field(
        None,
        description="When it was said, with its offset, by which `yesterday` is counted. Default: now, in UTC.",
        examples=["2026-01-18T07:30:00-05:00"],
    )

    @model_validator(mode="after")
    def _one_memory(self) -> ChatMessage:
        if self.conversation is not None and self.state is not None:
            raise refused("give conversation or state, not both")
        return self


class ChatReply(QuestionPart):
    """The reply to a message."""

    text: str = Field(
        description="The whole reply in plain words; nothing else need be shown.", examples=["Read: core 121 °F; dry."]
    )
    keep_clear: str | None = Field(
        description="What stands first in the text, if anything: of fire, of gas and sick people, of pipes.",
        examples=[None],
    )
    understood: list[Understood] = Field(
        description="What was read of this message.",
        examples=[[{"field": "/moisture_feel", "value": {"moisture_feel": "dry"}, "said": "dry"}]],
    )
    unread: list[UnreadWords] = Field(
        description="What was not, and why.", examples=[[{"text": "core 121", "why": "is that °C or °F?"}]]
    )
    actions: list[ChatAction] = Field(
        description="What to do, best first; empty until age and core are known.",
        examples=[[{"rank": 1, "action": "add_water", "title": "Add water", "urgency": "today"}]],
    )
    question: ChatQuestion | None = Field(
        description="The next best question, or null when enough is known.",
        examples=[
            {
                "question": "How old is the heap, in days or weeks?",
                "field": "/pile/age",
                "why": "What heat to expect depends on its age first of all.",
            }
        ],
    )
    conversation: str | None = Field(description="Id to go on with, if one was given or made.", examples=["porch-7"])
    state: ChatState = Field(
        description="Where the conversation stands, to be sent back where no id is used.",
        examples=[{"status": {"pile": {"age": "10 weeks"}}, "asked": "/temperatures/core"}],
    )


class ChatText(RootModel[str]):
    """The reply in plain words, what concerns fire first."""
