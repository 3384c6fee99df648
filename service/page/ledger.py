"""The heat ledger as two drawn bars of the same length: where the heat comes from, and where it goes.

What the two ways of counting leave open (`unexplained` = lost + drawn + stored - made) fills the shorter bar, so that
nothing is hidden. The bars are lengths, not a score: each piece stands beside its figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from service.render.numbers import quantity_in_words

WIDTH: Final = 100.0
"""The longer bar [% of the room there is]."""
NARROWEST_WITH_KEY: Final = 8.0
"""A piece narrower than this [%] carries no letter of its own."""

_PARTS: Final = (
    ("made", "Made by rot", "A"),
    ("lost.ground_and_air", "Lost to ground and air", "C"),
    ("lost.evaporation", "Lost with vapour", "D"),
    ("drawn.air.sensible", "Drawn by air, as warmth", "E"),
    ("drawn.air.latent", "Drawn by air, as vapour", "F"),
    ("drawn.water", "Drawn by water", "G"),
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a bar: its letter, its name, its figure, and where it lies from 0 to `WIDTH`."""

    letter: str
    name: str
    figure: str
    at: float
    width: float

    @property
    def has_room(self) -> bool:
        """Whether its letter fits into it."""
        return self.width >= NARROWEST_WITH_KEY


@dataclass(frozen=True, slots=True)
class Ledger:
    """The two bars, and the names of what cannot be told."""

    comes: tuple[Piece, ...]
    goes: tuple[Piece, ...]
    untold: tuple[str, ...]

    @property
    def in_words(self) -> str:
        """The bars for those who do not see them."""
        comes, goes = (", ".join(f"{piece.name}: {piece.figure}" for piece in bar) for bar in (self.comes, self.goes))
        return f"Heat comes from: {comes or 'nothing told'}. Heat goes to: {goes or 'nothing told'}."


_Entry = tuple[str, str, dict[str, Any]]


def ledger_of(balance: dict[str, Any]) -> Ledger:
    """The bars of a heat balance as it stands in an answer."""
    entries = [(letter, name, _at(balance, path)) for path, name, letter in _PARTS]
    untold = [name for _, name, found in entries if found is None]
    told: list[_Entry] = [(letter, name, found) for letter, name, found in entries if found is not None]
    comes = [entry for entry in told if entry[0] == "A"]
    goes = [entry for entry in told if entry[0] != "A"]
    for path, taken, given in (
        ("stored", ("H", "Stored as the heap warms"), ("B", "Given up as the heap cools")),
        ("unexplained", ("J", "Unexplained: more goes than is made"), ("K", "Unexplained: more is made than goes")),
    ):
        found = balance[path]
        if found is None:
            untold.append(path.capitalize())
            continue
        side = goes if (found["value"] >= 0) == (path == "stored") else comes
        letter, name = taken if found["value"] >= 0 else given
        side.append((letter, name, found if found["value"] >= 0 else _turned(found)))
    total = max(_sum(comes), _sum(goes))
    return Ledger(_laid_out(comes, total), _laid_out(goes, total), tuple(untold))


def _at(balance: dict[str, Any], path: str) -> dict[str, Any] | None:
    found: Any = balance
    for key in path.split("."):
        found = found[key]
    return found  # type: ignore[no-any-return]


def _turned(quantity: dict[str, Any]) -> dict[str, Any]:
    """A negative quantity told the other way round."""
    return {**quantity, "value": -quantity["value"], "low": -quantity["high"], "high": -quantity["low"]}


def _sum(entries: list[_Entry]) -> float:
    return sum(max(float(found["value"]), 0.0) for _, _, found in entries)


def _laid_out(entries: list[_Entry], total: float) -> tuple[Piece, ...]:
    pieces, at = [], 0.0
    for letter, name, found in entries:
        width = WIDTH * max(found["value"], 0.0) / total if total > 0 else 0.0
        if found["value"] > 0:
            pieces.append(Piece(letter, name, quantity_in_words(found), round(at, 1), round(width, 1)))
        at += width
    return tuple(pieces)
