"""What a clause says: readings for a status, and gaps that are named because something more is needed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from lark import Token, Tree

from service.talk.chat.tokens import TextPiece, WrittenNumber
from service.units.quantities import System

UNKNOWN_SCALE: Final = "?"
EITHER: Final = "?"
"""Stands for fan or pump, whichever there is."""


@dataclass(frozen=True, slots=True)
class HeardValue:
    """One value for the status, in contract words and with units: where it goes, and what.

    A pointer that ends in `/-` adds to a list; `/draw/?` is whichever of fan and pump there is. A temperature whose
    scale was not told has `?` for its unit. With `unless_told` it counts only where nothing was told of it before.
    """

    pointer: str
    value: Any
    unless_told: bool = False


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that was told but cannot be used, and why."""

    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Setting:
    """What a clause is read against: the moment it was said, and the system of units the talk is in, if known."""

    now: datetime
    system: System | None


class Unclear(ValueError):
    """A clause that fits the grammar and still makes no sense; the message says why."""


Told = HeardValue | Gap
Node = Tree[Any]


def piece_of(token: Token) -> TextPiece:
    """The lexer's piece behind a token."""
    piece = token.value
    assert isinstance(piece, TextPiece)
    return piece


def pieces_in(node: Node, *terminals: str) -> list[TextPiece]:
    """The pieces of these terminals right below a node, in order; all of them where none is named."""
    tokens = [child for child in node.children if isinstance(child, Token)]
    return [piece_of(token) for token in tokens if not terminals or token.type in terminals]


def has(node: Node, *terminals: str) -> bool:
    """Whether one of these terminals stands right below a node."""
    return bool(pieces_in(node, *terminals))


def parts_in(node: Node, *names: str) -> list[Node]:
    """The nodes of these names right below a node."""
    return [child for child in node.children if isinstance(child, Tree) and child.data in names]


def temperatures(node: Node) -> Iterator[str]:
    """The temperatures right below a node, as the contract writes them."""
    for piece in pieces_in(node, "TEMP", "NUM"):
        yield temperature(piece.value)


def temperature(number: WrittenNumber) -> str:
    """A temperature as the contract writes it; its unit is `?` where the scale was not told."""
    return f"{number.value:g} {number.unit or UNKNOWN_SCALE}"


def in_scale(value: Any, scale: str) -> Any:
    """The value with `scale` in every place where it was unknown."""
    if isinstance(value, str) and value.endswith(f" {UNKNOWN_SCALE}"):
        return f"{value[:-2]} {scale}"
    if isinstance(value, dict):
        return {key: in_scale(item, scale) for key, item in value.items()}
    return [in_scale(item, scale) for item in value] if isinstance(value, list) else value


def needs_scale(value: Any) -> bool:
    """Whether a temperature of unknown scale is in a value."""
    return bool(in_scale(value, "degC") != value)
