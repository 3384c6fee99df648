"""What loop and duct are made of, and where the air goes: what cautions for life rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from service.talk.chat.meaning_simple import quantity_of, value_of
from service.talk.chat.reading import Node, Setting, Told, has

_tube = value_of("/draw/water/tube", "TUBE")
_length = quantity_of("/draw/water/tube_length", "LENGTH")


def _tube_length(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _length(node, setting)
    if has(node, "TUBE"):
        yield from _tube(node, setting)


PIPES: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "tube": _tube,
    "tube_length": _tube_length,
    "loop_kind": value_of("/draw/water/loop", "LOOP_KIND"),
    "air_path": value_of("/draw/air/path", "AIR_PATH"),
    "air_to": value_of("/draw/air/outlet_to", "AIR_TO"),
    "air_from": value_of("/draw/air/inlet_from", "AIR_FROM"),
}
"""What each rule of the grammar says, by its name."""
