"""A rise or a fall since a day, or so much each day: with the reading of now it tells what was read then."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

from service.talk.chat.days import moment_back
from service.talk.chat.meaning_heat import NO_DAY, moment, span_days, work_told
from service.talk.chat.moments import last_night
from service.talk.chat.reading import (
    UNKNOWN_SCALE,
    Gap,
    HeardValue,
    Node,
    Setting,
    Told,
    parts_in,
    pieces_in,
    temperature,
    temperatures,
)

CHANGE: Final = "/history/?change"
"""Where a change goes until the reading of now is known."""
_RISING: Final = (
    "ros",
    "ris",
    "climb",
    "went up",
    "crept up",
    "warm",
    "heat",
    "gone up",
    "has gone up",
    "has ris",
    "is up",
)
"""How words of a rise begin; the others tell of a fall."""


def before_change(change: HeardValue, core: Any) -> HeardValue | None:
    """The earlier reading that a change and the core of now make; None where no core or another scale was told."""
    by, by_scale = str(change.value["by"]).split()
    if core is None or by_scale not in (UNKNOWN_SCALE, str(core).split()[1]):
        return None
    now, scale = str(core).split()
    then = float(now) + (-1 if change.value["rose"] else 1) * float(by)
    return HeardValue("/history/-", {"at": change.value["at"], "core": f"{then:g} {scale}"})


def _changed(node: Node, setting: Setting) -> Iterator[Told]:
    (word,) = pieces_in(node, "FELL", "SHRUNK")
    rose = _rises(str(word.value))
    for piece in pieces_in(node, "PER_DAY"):
        at = moment_back(1, setting.now)
        yield HeardValue(CHANGE, {"at": at.isoformat(), "by": temperature(piece.value), "rose": rose})
    for piece in pieces_in(node, "TEMP", "NUM"):
        since = parts_in(node, "since", "since_work")[0]
        whens, spans = parts_in(since, "moment"), parts_in(since, "span")
        then = moment(whens[0], setting) if whens else moment_back(span_days(spans[0]), setting.now) if spans else None
        if then is None:
            yield Gap(temperature(piece.value), NO_DAY)
            continue
        yield HeardValue(CHANGE, {"at": then.isoformat(), "by": temperature(piece.value), "rose": rose})
        if since.data == "since_work":
            yield HeardValue("/done/-", {"at": then.isoformat(), "action": work_told(since)})


def _fell_by_to(node: Node, setting: Setting) -> Iterator[Told]:
    """By how much, and to what, in one breath: "fell 4 degrees overnight to 47 C"."""
    by, now = temperatures(node)
    (word,) = pieces_in(node, "FELL")
    yield HeardValue("/temperatures/core", now)
    at = last_night(setting.now) if pieces_in(node, "TONIGHT") else None
    for since in parts_in(node, "since", "since_work"):
        whens, spans = parts_in(since, "moment"), parts_in(since, "span")
        at = moment(whens[0], setting) if whens else moment_back(span_days(spans[0]), setting.now) if spans else None
    if at is None:
        yield Gap(by, NO_DAY)
    else:
        yield HeardValue(CHANGE, {"at": at.isoformat(), "by": by, "rose": _rises(str(word.value))})


def _changed_lately(node: Node, setting: Setting) -> Iterator[Told]:
    """A change since yesterday or last night."""
    (word,) = pieces_in(node, "FELL")
    (since,) = pieces_in(node, "SINCE_THEN")
    at = {"since yesterday": moment_back(1, setting.now), "since last night": last_night(setting.now)}.get(since.value)
    for piece in pieces_in(node, "TEMP", "NUM"):
        if at is None:
            yield Gap(temperature(piece.value), NO_DAY)
            continue
        yield HeardValue(
            CHANGE, {"at": at.isoformat(), "by": temperature(piece.value), "rose": _rises(str(word.value))}
        )


def _rises(word: str) -> bool:
    return word.startswith(_RISING) or word.endswith(" up")


MOVES: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "changed": _changed,
    "fell_by_to": _fell_by_to,
    "changed_lately": _changed_lately,
}
"""What each rule of the grammar says, by its name."""
