"""What loop and duct are made of, and where the air goes: what cautions for life rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from service.talk.chat.meaning_simple import always, quantity_of, value_of
from service.talk.chat.reading import EITHER, HeardValue, Node, Setting, Told, has, pieces_in, temperatures

_THROUGH: Final = "through_heap"
_tube = value_of("/draw/water/tube", "TUBE")
_length = quantity_of("/draw/water/tube_length", "LENGTH")


def _tube_length(node: Node, setting: Setting) -> Iterator[Told]:
    """Pipe of which nobody said of what it is may be a duct's, unless a loop is named."""
    if has(node, "PIPE") and not has(node, "PUMP", "TUBE"):
        yield HeardValue(f"/draw/{EITHER}/tube_length", str(pieces_in(node, "LENGTH")[0].value))
        return
    yield from _length(node, setting)
    if has(node, "TUBE"):
        yield from _tube(node, setting)


def _path_and_end(node: Node, setting: Setting) -> Iterator[Told]:
    """Through what the air goes, and that it ends in the house."""
    yield HeardValue("/draw/air/path", pieces_in(node, "AIR_PATH")[0].value)
    yield HeardValue("/draw/air/outlet_to", "greenhouse")


def _blown_through_into(node: Node, setting: Setting) -> Iterator[Told]:
    """Through the heap and into the house: what a caution for life is about."""
    yield HeardValue("/draw/air/path", _THROUGH)
    yield HeardValue("/draw/air/outlet_to", "greenhouse")


def _blown_through_to(node: Node, setting: Setting) -> Iterator[Told]:
    """The same, with the place it is blown to."""
    yield HeardValue("/draw/air/path", _THROUGH)
    yield HeardValue("/draw/air/outlet_to", pieces_in(node, "AIR_TO")[0].value)


def _air_to(node: Node, setting: Setting) -> Iterator[Told]:
    """Where the air is blown to, and how warm it comes there."""
    for piece in pieces_in(node, "AIR_TO"):
        yield HeardValue("/draw/air/outlet_to", piece.value)
    if not has(node, "AIR_TO"):
        yield HeardValue("/draw/air/outlet_to", "greenhouse")
    for value in temperatures(node):
        yield HeardValue("/draw/air/outlet", value)


def _air_from(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "AIR_FROM", "COMES_FROM"):
        yield HeardValue("/draw/air/inlet_from", piece.value)
    for value in temperatures(node):
        yield HeardValue("/draw/air/inlet", value)


def _air_from_place(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/draw/air/inlet_from", "greenhouse" if has(node, "HOUSE") else "outdoors")
    for value in temperatures(node):
        yield HeardValue("/draw/air/inlet", value)


def _goes_to(node: Node, setting: Setting) -> Iterator[Told]:
    """What is so warm as it goes into the house comes out of duct or loop."""
    for value in temperatures(node):
        yield HeardValue(f"/draw/{EITHER}/outlet", value)


def _comes_from(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "COMES_FROM"):
        yield HeardValue(f"/draw/{EITHER}/inlet_from", piece.value)
    for value in temperatures(node):
        yield HeardValue(f"/draw/{EITHER}/inlet", value)


def _control(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "CONTROL"):
        yield HeardValue("/draw/control", piece.value)
    if has(node, "BY_HAND"):
        yield HeardValue("/draw/control", "hand")


PIPES: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "tube": _tube,
    "tube_length": _tube_length,
    "loop_kind": value_of("/draw/water/loop", "LOOP_KIND"),
    "air_path": value_of("/draw/air/path", "AIR_PATH"),
    "path_and_end": _path_and_end,
    "blown_through": always("/draw/air/path", _THROUGH),
    "blown_through_into": _blown_through_into,
    "blown_through_to": _blown_through_to,
    "air_to": _air_to,
    "air_from": _air_from,
    "air_from_place": _air_from_place,
    "goes_to": _goes_to,
    "comes_from": _comes_from,
    "control": _control,
    "house_stat": always("/equipment/-", "house_thermostat"),
}
"""What each rule of the grammar says, by its name."""
