"""The heat ledger as two drawn bars of the same length: where the heat comes from, and where it goes.

What the two ways of counting leave open (`unexplained` = lost + drawn + stored - made) fills the shorter bar, so that
nothing is hidden. The bars are lengths, not a score: each piece stands beside its figure.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from rules.catalogue import said
from service.answer.shapes.heat import HeatBalance
from service.render.numbers import quantity_in_words
from service.render.shape import Quantity

WIDTH: Final = 100.0
"""The longer bar [% of the room there is]."""
NARROWEST_WITH_KEY: Final = 8.0
"""A piece narrower than this [%] carries no letter of its own."""

_PARTS: Final = (
    ("made", "A"),
    ("lost.ground_and_air", "C"),
    ("lost.evaporation", "D"),
    ("drawn.air.sensible", "E"),
    ("drawn.air.latent", "F"),
    ("drawn.water", "G"),
)


@dataclass(frozen=True, slots=True)
class BarPiece:
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
class LedgerBars:
    """The two bars, and the names of what cannot be told."""

    comes: tuple[BarPiece, ...]
    goes: tuple[BarPiece, ...]
    untold: tuple[str, ...]

    @property
    def in_words(self) -> str:
        """The bars for those who do not see them."""
        comes, goes = (
            ", ".join(f"{piece.name}: {piece.figure}" for piece in bar) or said("page.ledger.nothing")
            for bar in (self.comes, self.goes)
        )
        return said("page.ledger.in-words", comes=comes, goes=goes)


_Entry = tuple[str, str, Quantity]


def ledger_of(balance: HeatBalance) -> LedgerBars:
    """The bars of a heat balance as it stands in an answer."""
    entries = [(letter, said(f"page.ledger.{path}"), _at(balance, path)) for path, letter in _PARTS]
    untold = [name for _, name, found in entries if found is None]
    told: list[_Entry] = [(letter, name, found) for letter, name, found in entries if found is not None]
    comes = [entry for entry in told if entry[0] == "A"]
    goes = [entry for entry in told if entry[0] != "A"]
    for path, taken, given in (
        ("stored", "H", "B"),
        ("unexplained", "J", "K"),
    ):
        found = _at(balance, path)
        if found is None:
            untold.append(said(f"page.ledger.{path}"))
            continue
        side = goes if (found["value"] >= 0) == (path == "stored") else comes
        way, letter = ("taken", taken) if found["value"] >= 0 else ("given", given)
        name = said(f"page.ledger.{path}.{way}")
        side.append((letter, name, found if found["value"] >= 0 else _turned(found)))
    total = max(_sum(comes), _sum(goes))
    return LedgerBars(_laid_out(comes, total), _laid_out(goes, total), tuple(untold))


def _at(balance: HeatBalance, path: str) -> Quantity | None:
    found: Any = balance
    for key in path.split("."):
        found = found[key]
    return found  # type: ignore[no-any-return]


def _turned(quantity: Quantity) -> Quantity:
    """A negative quantity told the other way round."""
    return {"value": -quantity["value"], "low": -quantity["high"], "high": -quantity["low"], "unit": quantity["unit"]}


def _sum(entries: list[_Entry]) -> float:
    return sum(max(float(found["value"]), 0.0) for _, _, found in entries)


def _laid_out(entries: list[_Entry], total: float) -> tuple[BarPiece, ...]:
    pieces, at = [], 0.0
    for letter, name, found in entries:
        width = WIDTH * max(found["value"], 0.0) / total if total > 0 else 0.0
        if found["value"] > 0:
            pieces.append(BarPiece(letter, name, quantity_in_words(found), round(at, 1), round(width, 1)))
        at += width
    return tuple(pieces)
