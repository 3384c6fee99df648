"""Where a new fact begins in words without a comma: "fan 12 min an hour pump off no smell kinda damp"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.talk.chat.parts.part import SentencePart
from service.talk.chat.tokens import TextPiece

_KEPT_WHOLE: Final = frozenset(
    {"WISH", "ASKS_HERE", "ELSEWHERE", "TURN", "DOUBT", "KEEP", "WANT", "TARGET", "AIMED", "UNTIL", "UNSURE"}
)
"""What one of these reaches to is not known: a part with it is not parted."""
_ABOUT: Final = frozenset({"when", "where", "whenever"})
"""Of the words that ask, those that say when something was seen: "damp when I dig"."""
_DRAWERS: Final = frozenset({"FAN", "PUMP"})
_DRAWN: Final = frozenset({"AIRFLOW", "WATERFLOW", "MINUTES", "HOURS", "ALWAYS", "ALL_DAY", "OFF"})
_PLACES: Final = frozenset({"CORE", "OUTER", "OUTSIDE", "HOUSE", "TONIGHT", "LOW", "INLET", "OUTLET"})
_HEATS: Final = frozenset({"TEMP", "NUM"})
_SENSED: Final = frozenset({"FEEL", "SMELL_KIND", "SIGN", "WIND", "SKY", "RAIN", "SYMPTOM", "NO_COVER", "COVER_KIND"})
_LED: Final = frozenset({"OF", "FROM", "TO", "BY", "SPAN", "INTO", "WITH", "NO", "SINCE", "INLET", "OUTLET", "THROUGH"})
"""Behind one of these whoever is named belongs to what stands before."""
_MOMENTS: Final = frozenset({"YESTERDAY", "LAST_NIGHT", "DAY_BEFORE", "WEEKDAY", "DAY"})
_WHERE: Final = frozenset({"INSIDE", "SURFACE", "CORE", "HEAP"})


def runs_of(part: SentencePart) -> Iterator[SentencePart]:
    """The part, in as many as facts begin in it that say themselves what they are of."""
    if part.has(*_KEPT_WHOLE) or any(piece.value not in _ABOUT for piece in part.all("ASKS")):
        yield part
        return
    told = [place for place, piece in enumerate(part.pieces) if piece.terminal != "DROPPED"]
    begins = [0]
    for count, place in enumerate(told):
        run = [part.pieces[each] for each in told[:count] if each >= begins[-1]]
        behind = [part.pieces[each] for each in told[count + 1 : count + 3]]
        if run and _begins(run, part.pieces[place], behind):
            begins.append(place)
    for start, end in zip(begins, [*begins[1:], len(part.pieces)], strict=True):
        yield replace(part, pieces=part.pieces[start:end], joint=part.joint if not start else "RUN", used=part.used)


def _begins(run: list[TextPiece], here: TextPiece, behind: list[TextPiece]) -> bool:
    """Whether a new fact begins here, the run before it being complete."""
    names = [piece.terminal for piece in run]
    after = [piece.terminal for piece in behind]
    if names[-1] in _LED or not _is_complete(names):
        return False
    if here.terminal in _MOMENTS and after in (["WAS", "TEMP"], ["WAS", "NUM"]) and names[-1] in _HEATS:
        return True  # "131 F yesterday it was 134"
    match here.terminal:
        case "FAN" | "PUMP":
            return bool(_DRAWERS & set(names)) or not _DRAWN & set(names)
        case "OTHER":
            return here.value == "same" and "VAGUE" in after  # "core 52 C same as last week"
        case "NO":
            return after[:1] in (["SMELL"], ["SIGN"], ["SMELL_KIND"]) and "NO" not in names
        case "SMELL":
            return names[-1] not in ("SMELL_KIND", "NO", "NOTHING")
        case "FEEL":
            return names[-1] not in _WHERE | {"FEEL", "MOISTURE", "OTHER"} and not {"FEEL", "MATERIAL", "SUPPLY"} & set(
                names
            )
        case "MOISTURE":
            return after[:1] == ["FEEL"]
        case "DURATION":
            return after[:1] == ["OLD"] and "DURATION" not in names
        case "AGE":
            return after[:1] == ["DURATION"] and "DURATION" not in names
        case "HEAP" | "PROBE":
            return "HEAP" not in names and bool({"TEMP", "NUM"} & set(after)) and _all_placed(names)
        case "MATERIAL":
            return {"LENGTH", "HIGH"} <= set(names) and names[-1] in ("WIDE", "HIGH", "LONG")
        case terminal if terminal in _PLACES:
            leads = after[:1] in (["TEMP"], ["NUM"]) or (
                terminal in _WHERE and after[:1] == ["FEEL"] and "FEEL" not in names
            )
            ends = {"INLET", "OUTLET"}
            return leads and _all_placed(names) and not (terminal in ends and ends & set(names))
    return False


def _is_complete(names: list[str]) -> bool:
    """Whether something is told in a run that needs no more words."""
    told = set(names)
    drawn = bool(told & _DRAWN) and bool(told & _DRAWERS)
    smelled = "SMELL" in told and bool(told & {"NO", "NOTHING"})
    sized = "MEASURES" in told or ("LENGTH" in told and bool(told & {"WIDE", "HIGH", "LONG"}))
    return drawn or smelled or sized or bool(told & (_HEATS | _SENSED)) or {"DURATION", "OLD"} <= told


def _all_placed(names: list[str]) -> bool:
    """Whether each temperature of a run has its place already, so that none waits for the one behind."""
    return sum(name in _PLACES for name in names) >= sum(name in _HEATS for name in names)
