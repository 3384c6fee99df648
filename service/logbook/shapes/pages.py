"""What comes out of the log book, for the description of the interface and for the tests."""

from __future__ import annotations

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from service.answer.shapes.advice import Advice
from service.answer.shapes.part import WhatIfs
from service.logbook.shapes.difference import AnswerDifference
from service.logbook.shapes.known_value import KnownValue
from service.logbook.shapes.words import FeedbackVerdict, Outcome
from service.problems.json_text import JsonObject
from service.problems.outgoing import Moment, closed
from service.why.counts import ChanceBand, Counts

_AT = "2026-01-18T07:30:00+01:00"
_PILE = "3f9a0c1d2e4b5a67"
_ANSWER = "5f2c0e9a7d14b6c3"
_ENTRY = "0006487f3b2a10a1b2c3d4e5"
_SAME = {"then": "add_water", "now": "add_water"}
_DIFFERENCE = {
    "first_action": _SAME,
    "actions": {"then": ["add_water"], "now": ["add_water"]},
    "count": 0,
    "changed": [],
}
_KNOWN = {"field": "/temperatures/core", "at": _AT, "age_s": 5400, "state": "fresh", "why": ""}


@closed
class PilePage(TypedDict):
    """A pile and how much is logged of it."""

    id: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    name: Annotated[str, Field(description="What it is called.", examples=["North heap"])]
    units: Annotated[Literal["metric", "us"], Field(description="Units of its answers.", examples=["us"])]
    zone: Annotated[str, Field(description="Time zone it lies in.", examples=["Europe/Berlin"])]
    made_at: Annotated[Moment, Field(description="When it was entered.", examples=[_AT])]
    readings: Annotated[int, Field(description="How many readings.", examples=[120])]
    work: Annotated[int, Field(description="How many pieces of work.", examples=[3])]
    advice: Annotated[int, Field(description="How many pieces of advice.", examples=[17])]
    newest_reading_at: Annotated[Moment | None, Field(description="Moment of the newest reading.", examples=[_AT])]
    damaged: NotRequired[
        Annotated[
            str,
            Field(
                description="What of the above is damaged in the log book; absent where nothing is.",
                examples=["/zone: this cannot be read."],
            ),
        ]
    ]


@closed
class PilesPage(TypedDict):
    """The piles of this account."""

    count: Annotated[int, Field(description="How many.", examples=[1])]
    piles: Annotated[list[PilePage], Field(description="Oldest first.", examples=[[]])]


@closed
class LoggedPage(TypedDict):
    """What a request added to the log."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    readings: Annotated[list[str], Field(description="Ids of the readings added.", examples=[[_ENTRY]])]
    work: Annotated[list[str], Field(description="Ids of the work added.", examples=[[]])]
    already_there: Annotated[
        int, Field(description="Entries that were in the log before, and are not doubled.", examples=[0])
    ]
    warning: Annotated[
        str | None,
        Field(
            description="Keep clear and call the fire service, where what was logged speaks of fire.", examples=[None]
        ),
    ]


@closed
class LogPage(TypedDict):
    """A page of the log, newest first."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    entries: Annotated[
        list[JsonObject],
        Field(
            description="Entries; `kind` is reading, work, advice or feedback. One with `damaged` is not as it "
            "came in: "
            "why is said there, it counts for nothing, and `warning` says to keep clear where what is left "
            "speaks of fire.",
            examples=[[{"kind": "work", "id": _ENTRY, "at": _AT, "action": "add_water", "amount": "60 gal"}]],
        ),
    ]
    next: Annotated[str | None, Field(description="Send it as `after` for older entries.", examples=[None])]


@closed
class StatusPage(TypedDict):
    """What advice would rest on."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    as_of: Annotated[Moment, Field(description="As of this moment.", examples=[_AT])]
    status: Annotated[
        JsonObject,
        Field(description="The log as one status, as for `POST /advice`.", examples=[{"pile": {"age": "63 days"}}]),
    ]
    known: Annotated[list[KnownValue], Field(description="Every value with its age.", examples=[[_KNOWN]])]
    damaged: Annotated[
        list[str],
        Field(
            description="Ids of readings and work that are damaged in the log book and count for nothing.",
            examples=[[]],
        ),
    ]


@closed
class PileAdvice(Advice):
    """Advice from a pile's log."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    known: Annotated[list[KnownValue], Field(description="What it rests on, with ages.", examples=[[_KNOWN]])]
    kept: Annotated[
        bool,
        Field(
            description="Whether it was kept in the pile's log: not where the disk is full or read-only.",
            examples=[True],
        ),
    ]


@closed
class AdviceRecord(TypedDict):
    """An advice with all it was given under."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    id: Annotated[str, Field(description="Advice id.", examples=[_ANSWER])]
    given_at: Annotated[Moment, Field(description="When it was given.", examples=[_AT])]
    valid_until: Annotated[Moment, Field(description="Until when it was valid if nothing new came in.", examples=[_AT])]
    superseded_at: Annotated[Moment | None, Field(description="When something newer came in.", examples=[None])]
    superseded_by: Annotated[str | None, Field(description="The advice that took its place.", examples=[None])]
    effects: Annotated[WhatIfs, Field(description="With what-ifs or without.", examples=["full"])]
    knowledge_version: Annotated[str, Field(description="Knowledge it was given under.", examples=["0a1b2c3d4e5f"])]
    service_version: Annotated[str, Field(description="Version of the service that gave it.", examples=["0.1.0"])]
    sha256: Annotated[str, Field(description="Hash of the bytes of the answer.", examples=["9f86d081884c7d65"])]
    status: Annotated[
        JsonObject,
        Field(description="The status it was given for, weather included.", examples=[{"pile": {"age": "63 days"}}]),
    ]
    known: Annotated[list[KnownValue], Field(description="What it rests on, with ages.", examples=[[_KNOWN]])]
    answer: Annotated[JsonObject, Field(description="The answer as it was given.", examples=[{"id": _ANSWER}])]


@closed
class ThenAndNow(TypedDict):
    """Two versions."""

    then: Annotated[str, Field(description="When the advice was given.", examples=["0a1b2c3d4e5f"])]
    now: Annotated[str, Field(description="Now.", examples=["0a1b2c3d4e5f"])]


@closed
class ReplayPage(TypedDict):
    """What would be said today of the same status, beside what was said then."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    id: Annotated[str, Field(description="Advice id.", examples=[_ANSWER])]
    knowledge: Annotated[
        ThenAndNow, Field(description="Knowledge versions.", examples=[{"then": "0a1b", "now": "0a1c"}])
    ]
    service: Annotated[
        ThenAndNow, Field(description="Versions of the service.", examples=[{"then": "0.1.0", "now": "0.1.0"}])
    ]
    same_bytes: Annotated[bool, Field(description="Whether both answers are the same, byte for byte.", examples=[True])]
    difference: Annotated[
        AnswerDifference,
        Field(
            description="First action, order of actions, and every value that differs by JSON pointer (at most 200).",
            examples=[_DIFFERENCE],
        ),
    ]
    now: Annotated[JsonObject, Field(description="Today's answer.", examples=[{"id": _ANSWER}])]


@closed
class FeedbackShown(TypedDict):
    """What was said about one action."""

    id: Annotated[str, Field(description="Entry id.", examples=[_ENTRY])]
    at: Annotated[Moment, Field(description="When it was done or decided.", examples=[_AT])]
    advice: Annotated[str, Field(description="Advice id.", examples=[_ANSWER])]
    action: Annotated[str, Field(description="Action id.", examples=["add_water"])]
    verdict: Annotated[FeedbackVerdict, Field(description="What was said.", examples=["done"])]
    reason: Annotated[str | None, Field(description="Why it was rejected.", examples=[None])]
    comment: Annotated[str | None, Field(description="In own words.", examples=[None])]
    outcome: Annotated[Outcome | None, Field(description="What came of it.", examples=["better"])]
    outcome_at: Annotated[Moment | None, Field(description="When that was seen.", examples=[None])]


@closed
class FeedbackPage(TypedDict):
    """What was kept."""

    pile: Annotated[str, Field(description="Pile id.", examples=[_PILE])]
    feedback: Annotated[list[FeedbackShown], Field(description="One for each action.", examples=[[]])]


@closed
class CountsPage(TypedDict):
    """Feedback by rule, over the piles of this account."""

    words: Annotated[int, Field(description="How many actions somebody has said something about.", examples=[25])]
    rules: Annotated[dict[str, Counts], Field(description="By rule id.", examples=[{}])]
    calibration: Annotated[
        list[ChanceBand],
        Field(
            description="Over all rules, each action once.",
            examples=[[{"promised": [0.8, 1.0], "told": 12, "better": 10}]],
        ),
    ]


@closed
class DeletedPage(TypedDict):
    """What was deleted."""

    deleted: Annotated[str, Field(description="Its id.", examples=[_PILE])]
    wiped: Annotated[
        bool | None,
        Field(
            description="Whether it is gone from the file too (SQLite); null where a server keeps the data.",
            examples=[True],
        ),
    ]
