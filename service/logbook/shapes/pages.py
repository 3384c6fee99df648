"""What comes out of the log book, for the description of the interface and for the tests."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from pydantic import Field

from service.answer.shapes.advice import Advice
from service.logbook.shapes.counts import ChanceBand, Counts
from service.problems.page import Page

_AT = "2026-01-18T07:30:00+01:00"
_PILE = "3f9a0c1d2e4b5a67"
_ANSWER = "5f2c0e9a7d14b6c3"
_ENTRY = "0006487f3b2a10a1b2c3d4e5"
_KNOWN = {"field": "/temperatures/core", "at": _AT, "age_s": 5400, "state": "fresh", "why": ""}


class PilePage(Page):
    """A pile and how much is logged of it."""

    id: str = Field(description="Pile id.", examples=[_PILE])
    name: str = Field(description="What it is called.", examples=["North heap"])
    units: Literal["metric", "us"] = Field(description="Units of its answers.", examples=["us"])
    zone: str = Field(description="Time zone it lies in.", examples=["Europe/Berlin"])
    made_at: datetime = Field(description="When it was entered.", examples=[_AT])
    readings: int = Field(description="How many readings.", examples=[120])
    work: int = Field(description="How many pieces of work.", examples=[3])
    advice: int = Field(description="How many pieces of advice.", examples=[17])
    newest_reading_at: datetime | None = Field(description="Moment of the newest reading.", examples=[_AT])


class PilesPage(Page):
    """The piles of this account."""

    count: int = Field(description="How many.", examples=[1])
    piles: list[PilePage] = Field(description="Oldest first.", examples=[[]])


class LoggedPage(Page):
    """What a request added to the log."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    readings: list[str] = Field(description="Ids of the readings added.", examples=[[_ENTRY]])
    work: list[str] = Field(description="Ids of the work added.", examples=[[]])
    already_there: int = Field(description="Entries that were in the log before, and are not doubled.", examples=[0])
    warning: str | None = Field(
        description="Keep clear and call the fire service, where what was logged speaks of fire.", examples=[None]
    )


class LogPage(Page):
    """A page of the log, newest first."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    entries: list[dict[str, Any]] = Field(
        description="Entries; `kind` is reading, work, advice or feedback. One with `damaged` is not as it came in: "
        "why is said there, it counts for nothing, and `warning` says to keep clear where what is left speaks of fire.",
        examples=[[{"kind": "work", "id": _ENTRY, "at": _AT, "action": "add_water", "amount": "60 gal"}]],
    )
    next: str | None = Field(description="Send it as `after` for older entries.", examples=[None])


class KnownValue(Page):
    """One value of the log, how old it is, and whether it still counts."""

    field: str = Field(description="Where it belongs in a status, as a JSON pointer.", examples=["/temperatures/core"])
    at: datetime = Field(description="When it was read.", examples=[_AT])
    age_s: int = Field(description="How old it was at `as_of`, in seconds.", examples=[5400])
    state: Literal["fresh", "stale", "lapsed", "ended", "set_aside"] = Field(
        description="fresh and stale count (stale with a wider range where it is one of those in `read_at`); lapsed is "
        "too old; ended by work or by a date; set aside for another value it cannot stand beside.",
        examples=["fresh"],
    )
    why: str = Field(description="Why it does not count as fresh.", examples=[""])


class StatusPage(Page):
    """What advice would rest on."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    as_of: datetime = Field(description="As of this moment.", examples=[_AT])
    status: dict[str, Any] = Field(
        description="The log as one status, as for `POST /advice`.", examples=[{"pile": {"age": "63 days"}}]
    )
    known: list[KnownValue] = Field(description="Every value with its age.", examples=[[_KNOWN]])
    damaged: list[str] = Field(
        description="Ids of readings and work that are damaged in the log book and count for nothing.", examples=[[]]
    )


class PileAdvice(Advice):
    """Advice from a pile's log."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    known: list[KnownValue] = Field(description="What it rests on, with ages.", examples=[[_KNOWN]])
    kept: bool = Field(
        description="Whether it was kept in the pile's log: not where the disk is full or read-only.", examples=[True]
    )


class SeasonHeat(Page):
    """Heat that was drawn."""

    value: float = Field(description="Likeliest.", examples=[1200.0])
    low: float = Field(description="Low end of the 80 % range, the ends of all days together.", examples=[800.0])
    high: float = Field(description="High end.", examples=[1700.0])
    unit: str = Field(description="Its unit.", examples=["MJ"])


class SeasonGave(Page):
    """What the pile gave."""

    heat: SeasonHeat | None = Field(description="Heat drawn; null where no draw was ever known.", examples=[None])
    days_known: float = Field(description="Days whose draw is known: only these are counted.", examples=[92.0])


class SeasonWork(Page):
    """Work that was done."""

    action: str = Field(description="Action id.", examples=["add_water"])
    times: int = Field(description="How often.", examples=[3])


class SeasonForecast(Page):
    """How forecasts of the core turned out."""

    days_ahead: int = Field(description="How far ahead they looked.", examples=[7])
    checked: int = Field(description="How many could be checked by a reading of that time.", examples=[21])
    mean_error_k: float | None = Field(description="Mean error. [K]", examples=[3.1])
    as_it_was_k: float | None = Field(description="The same of 'as it is now'. [K]", examples=[4.4])
    range_held: float | None = Field(description="Share that fell into the 80 % range.", examples=[0.81])


class SeasonRule(Page):
    """What became of one rule's advice."""

    rule: str = Field(description="Rule id.", examples=["moisture.water-a-dry-heap"])
    done: int = Field(description="How often it was done.", examples=[3])
    rejected: int = Field(description="How often it was rejected.", examples=[0])
    better: int = Field(description="How often things were better after it.", examples=[2])
    same: int = Field(description="How often nothing changed.", examples=[1])
    worse: int = Field(description="How often they were worse.", examples=[0])


class SeasonCause(Page):
    """What was found likely wrong."""

    cause: str = Field(description="Finding.", examples=["too_dry"])
    share: float = Field(description="Share of the advice that named it.", examples=[0.4])


class SeasonPage(Page):
    """What a season of a pile came to."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    begin: datetime = Field(alias="from", description="Begin of the time looked at.", examples=[_AT])
    to: datetime = Field(description="End of it.", examples=[_AT])
    advice: int = Field(description="Advice kept in it.", examples=[40])
    readings: int = Field(description="Core readings in it.", examples=[120])
    gave: SeasonGave = Field(description="Heat it gave, as far as known.", examples=[{"heat": None, "days_known": 0.0}])
    cost: list[SeasonWork] = Field(
        description="What it cost in work.", examples=[[{"action": "add_water", "times": 3}]]
    )
    forecasts: list[SeasonForecast] = Field(description="How the forecasts did.", examples=[[]])
    rules: list[SeasonRule] = Field(description="What became of each rule's advice, as far as told.", examples=[[]])
    causes: list[SeasonCause] = Field(description="What was found likely wrong.", examples=[[]])
    next_heap: list[str] = Field(
        description="What to change in the next heap.", examples=[["Build a larger heap, or set the timer lower."]]
    )


class AdviceRecord(Page):
    """An advice with all it was given under."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    id: str = Field(description="Advice id.", examples=[_ANSWER])
    given_at: datetime = Field(description="When it was given.", examples=[_AT])
    valid_until: datetime = Field(description="Until when it was valid if nothing new came in.", examples=[_AT])
    superseded_at: datetime | None = Field(description="When something newer came in.", examples=[None])
    superseded_by: str | None = Field(description="The advice that took its place.", examples=[None])
    effects: Literal["none", "full"] = Field(description="With what-ifs or without.", examples=["full"])
    knowledge_version: str = Field(description="Knowledge it was given under.", examples=["0a1b2c3d4e5f"])
    service_version: str = Field(description="Version of the service that gave it.", examples=["0.1.0"])
    sha256: str = Field(description="Hash of the bytes of the answer.", examples=["9f86d081884c7d65"])
    status: dict[str, Any] = Field(
        description="The status it was given for, weather included.", examples=[{"pile": {"age": "63 days"}}]
    )
    known: list[KnownValue] = Field(description="What it rests on, with ages.", examples=[[_KNOWN]])
    answer: dict[str, Any] = Field(description="The answer as it was given.", examples=[{"id": _ANSWER}])


class ThenAndNow(Page):
    """Two versions."""

    then: str = Field(description="When the advice was given.", examples=["0a1b2c3d4e5f"])
    now: str = Field(description="Now.", examples=["0a1b2c3d4e5f"])


class ReplayPage(Page):
    """What would be said today of the same status, beside what was said then."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    id: str = Field(description="Advice id.", examples=[_ANSWER])
    knowledge: ThenAndNow = Field(description="Knowledge versions.", examples=[{"then": "0a1b", "now": "0a1c"}])
    service: ThenAndNow = Field(description="Versions of the service.", examples=[{"then": "0.1.0", "now": "0.1.0"}])
    same_bytes: bool = Field(description="Whether both answers are the same, byte for byte.", examples=[True])
    difference: dict[str, Any] = Field(
        description="First action, order of actions, and every value that differs by JSON pointer (at most 200).",
        examples=[{"first_action": {"then": "add_water", "now": "add_water"}, "count": 0, "changed": []}],
    )
    now: dict[str, Any] = Field(description="Today's answer.", examples=[{"id": _ANSWER}])


class FeedbackShown(Page):
    """What was said about one action."""

    id: str = Field(description="Entry id.", examples=[_ENTRY])
    at: datetime = Field(description="When it was done or decided.", examples=[_AT])
    advice: str = Field(description="Advice id.", examples=[_ANSWER])
    action: str = Field(description="Action id.", examples=["add_water"])
    verdict: Literal["done", "rejected", "ignored"] = Field(description="What was said.", examples=["done"])
    reason: str | None = Field(description="Why it was rejected.", examples=[None])
    comment: str | None = Field(description="In own words.", examples=[None])
    outcome: Literal["better", "same", "worse"] | None = Field(description="What came of it.", examples=["better"])
    outcome_at: datetime | None = Field(description="When that was seen.", examples=[None])


class FeedbackPage(Page):
    """What was kept."""

    pile: str = Field(description="Pile id.", examples=[_PILE])
    feedback: list[FeedbackShown] = Field(description="One for each action.", examples=[[]])


class CountsPage(Page):
    """Feedback by rule, over the piles of this account."""

    words: int = Field(description="How many actions somebody has said something about.", examples=[25])
    rules: dict[str, Counts] = Field(description="By rule id.", examples=[{}])
    calibration: list[ChanceBand] = Field(
        description="Over all rules, each action once.", examples=[[{"promised": [0.8, 1.0], "told": 12, "better": 10}]]
    )


class DeletedPage(Page):
    """What was deleted."""

    deleted: str = Field(description="Its id.", examples=[_PILE])
    wiped: bool | None = Field(
        description="Whether it is gone from the file too (SQLite); null where a server keeps the data.",
        examples=[True],
    )
