"""What most rules of the grammar say: one value at one place, or that there is no place for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from service.talk.chat.reading import Gap, HeardValue, Node, Setting, Told, pieces_in


def not_kept(why: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """Understood, and there is no place for it."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        yield Gap("", why)

    return told


def value_of(pointer: str, terminal: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """The value of the word of this terminal."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        yield HeardValue(pointer, pieces_in(node, terminal)[0].value)

    return told


def always(pointer: str, value: Any) -> Callable[[Node, Setting], Iterator[Told]]:
    """Always the same value."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        yield HeardValue(pointer, value)

    return told


def quantity_of(pointer: str, *terminals: str) -> Callable[[Node, Setting], Iterator[Told]]:
    """The quantity of one of these terminals."""

    def told(node: Node, setting: Setting) -> Iterator[Told]:
        yield HeardValue(pointer, str(pieces_in(node, *terminals)[0].value))

    return told
