"""The numbers of a part that may be temperatures, the places it names, and what each place can read."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from service.talk.chat.parts.part import SentencePart
from service.talk.chat.reading import Setting
from service.talk.chat.tokens import TextPiece, WrittenNumber
from service.units.quantities import parse_quantity

PLACES: Final = frozenset({"CORE", "OUTER", "OUTSIDE", "HOUSE", "TONIGHT", "LOW", "INLET", "OUTLET", "AHEAD"})
"""Words that name a place, or a night to come."""
_LIMITS: Final[dict[str, tuple[float, float]]] = {
    "CORE": (-10.0, 95.0),
    "HEAP": (20.0, 95.0),
    "ALONE": (43.0, 95.0),
    "OUTER": (-15.0, 85.0),
    "OUTSIDE": (-45.0, 40.0),
    "HOUSE": (-30.0, 45.0),
    "LOW": (-45.0, 25.0),
    "TONIGHT": (-45.0, 25.0),
    "AHEAD": (-45.0, 25.0),
    "INLET": (-20.0, 70.0),
    "OUTLET": (-5.0, 90.0),
    "DEPTH": (-10.0, 95.0),
    "SIDE": (-10.0, 95.0),
    "KEEP": (-2.0, 30.0),
}
"""What each place may read (our own) [degC]."""
_COUNTS: Final = frozenset(
    {"OTHER", "CONTAINER", "HOUSE", "MATERIAL", "SUPPLY", "SIGN", "PROBE", "FAN", "PUMP", "HEAP", "COVER_KIND", "NUM"}
)
"""Behind a bare number these are what is counted."""
_ADJACENT: Final = 10
"""Letters between two places of which one is a part of the other (our own)."""
_NIGHTS: Final = ("TONIGHT", "LOW", "AHEAD")


def temperatures_in(part: SentencePart) -> list[TextPiece]:
    """The numbers of a part that can be temperatures; a bare one only where nothing is counted by it."""
    found = []
    for piece in part.all("TEMP", "NUM"):
        behind = part.next_told(piece)
        counted = behind is not None and behind.terminal in _COUNTS and behind.start <= piece.end + 2
        before = part.next_told(piece, -1)
        if counted and before is not None and before.terminal in PLACES and piece.start <= before.end + 1:
            counted = behind is not None and behind.terminal in ("CONTAINER", "NUM")
        if piece.terminal == "TEMP" or not (counted and behind is not None and behind.terminal != "PROBE"):
            found.append(piece)
    return found


def places_in(part: SentencePart) -> list[TextPiece]:
    """The places a part names, each by one piece; of "outside the greenhouse" the first, of its middle the house."""
    found: list[TextPiece] = []
    for piece in part:
        if piece.terminal == "SIDE":
            found.append(piece)
        elif piece.terminal == "LENGTH" and _is_depth(part, piece):
            found.append(replace(piece, terminal="DEPTH"))
        elif piece.terminal == "SURFACE" and any(word in str(piece.value) for word in ("edge", "skin")):
            found.append(replace(piece, terminal="OUTER"))
        elif piece.terminal in PLACES and not _is_of_a_stranger(part, piece):
            before = found[-1].terminal if found else ""
            near = bool(found) and piece.start - found[-1].end < _ADJACENT
            if piece.terminal == "HOUSE" and near and before in ("OUTSIDE", "OUTLET", "INLET"):
                continue
            if piece.terminal == "HOUSE" and near and before == "CORE":
                found[-1] = piece
            elif piece.terminal in _NIGHTS and before in (*_NIGHTS, "OUTSIDE"):
                found[-1] = piece if piece.terminal != "LOW" or before == "OUTSIDE" else found[-1]
            elif piece.terminal == "OUTSIDE" and before in _NIGHTS:
                continue
            elif before != piece.terminal:
                found.append(piece)
        if len(found) > 1 and found[-1].terminal == "OUTER" and found[-2].terminal == "OUTSIDE":
            near = found[-1].start - found[-2].end < _ADJACENT
            found = [*found[:-2], found[-1]] if near else found
    return found


def _is_of_a_stranger(part: SentencePart, piece: TextPiece) -> bool:
    """Whether it is the core of something that is not known."""
    of = part.next_told(piece)
    whose = part.next_told(of) if of is not None and of.terminal == "OF" else None
    return whose is not None and whose.terminal in ("OTHER", "MATERIAL", "SUPPLY")


def _is_depth(part: SentencePart, piece: TextPiece) -> bool:
    behind, before = part.next_told(piece), part.next_told(piece, -1)
    led = part.after(piece, -1)
    if led is not None and led.value == "at" and part.has("TEMP", "NUM") and part.has("PROBE", "HEAP", "CORE"):
        return behind is None or behind.terminal not in ("WIDE", "HIGH", "LONG", "FROM", "OTHER")
    if before is not None and before.terminal in ("DEEP_OF", "OF") and part.has("DEEP", "DEEP_OF"):
        return True
    return behind is not None and (
        behind.terminal in ("DEEP", "INSIDE") or (behind.terminal == "SPAN" and behind.value == "in")
    )


def fits_place(number: WrittenNumber, place: str, setting: Setting) -> bool:
    """Whether a number can be what a place reads; in either scale where that is not known."""
    low, high = _LIMITS[place]
    unit = number.unit
    if unit in ("", "?"):
        scale = {"us": "degF", "metric": "degC"}.get(setting.system or "")
        tried = [scale] if scale else ["degC", "degF"]
        return any(low <= _celsius(number.value, each) <= high for each in tried if each)
    return low <= _celsius(number.value, unit) <= high


def _celsius(value: float, unit: str) -> float:
    return parse_quantity(f"{value:g} {unit}", ("temperature",), "metric").si
