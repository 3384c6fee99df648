"""The first page and the pages of health as they go out."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from service.problems.json_text import JsonObject
from service.problems.outgoing import closed
from service.why.rule_pages import KnowledgeVersion


@closed
class Live(TypedDict):
    """The process answers."""

    status: Annotated[Literal["live"], Field(description="Always live.", examples=["live"])]


@closed
class Ready(TypedDict):
    """Advice can be given."""

    status: Annotated[Literal["ready"], Field(description="Always ready; else a problem is sent.", examples=["ready"])]
    knowledge_version: KnowledgeVersion
    rules: Annotated[int, Field(description="How many rules are loaded.", examples=[120])]
    checked: Annotated[
        list[str],
        Field(
            description="What was tried: the rule engine, reading and writing the log book, room on its disk.",
            examples=[["engine", "log book", "disk"]],
        ),
    ]


@closed
class Start(TypedDict):
    """How to ask for the first time."""

    post: Annotated[str, Field(description="Where to send a status.", examples=["/advice"])]
    smallest_body: Annotated[
        JsonObject,
        Field(
            description="The least that gets an answer.",
            examples=[{"pile": {"age": "63 days"}, "temperatures": {"core": "121 degF"}}],
        ),
    ]


@closed
class Home(TypedDict):
    """What this is and where to go."""

    name: Annotated[str, Field(description="Name of the service.", examples=["warmheap"])]
    what: Annotated[
        str, Field(description="What it does.", examples=["Advice for a greenhouse warmed by a heap of chips."])
    ]
    version: Annotated[str, Field(description="Version of the service.", examples=["0.1.0"])]
    knowledge_version: KnowledgeVersion
    start: Annotated[
        Start, Field(description="A first question to try.", examples=[{"post": "/advice", "smallest_body": {}}])
    ]
    ask: Annotated[
        dict[str, str],
        Field(
            description="Addresses that answer POST, and what they tell.", examples=[{"/outlook": "The days ahead."}]
        ),
    ]
    links: Annotated[dict[str, str], Field(description="Where to go.", examples=[{"rules": "/rules"}])]
