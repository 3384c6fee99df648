"""How a handful feels, and how deep it was taken."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from rules.catalogue import said
from service.talk.chat.meaning_heat import length_of
from service.talk.chat.reading import HeardValue, Node, Setting, Told, Unclear, has, parts_in, pieces_in
from service.units.quantities import parse_quantity

ARM_DEEP_FROM_M: Final = 0.3
"""From this deep a handful is no longer of the skin, which is 15 to 30 cm (contract of `outer`) [m]."""
_WHICH_FEEL: Final = said("chat.which-feel")


def _feel(node: Node, setting: Setting) -> Iterator[Told]:
    told = {"moisture_feel": pieces_in(node, "FEEL")[0].value}
    depths = [piece.terminal for part in parts_in(node, "depth") for piece in pieces_in(part)]
    if has(node, "CORE"):
        told["moisture_feel_at"] = "core"
    elif depths:
        told["moisture_feel_at"] = "surface" if depths == ["SURFACE"] else "arm_deep"
    yield HeardValue("/moisture_feel", told)


def _feel_at_depth(node: Node, setting: Setting) -> Iterator[Told]:
    """So far in it counts as an arm's depth, less far in as the skin."""
    deep = parse_quantity(length_of(node), ("length",), "metric").si >= ARM_DEEP_FROM_M
    told = {str(piece.value) for piece in pieces_in(node, "FEEL")}
    if len(told) > 1 and told not in ({"dusty", "dry"}, {"wet", "soggy"}):
        raise Unclear(_WHICH_FEEL)
    feel = told.pop() if len(told) == 1 else "dusty" if "dusty" in told else "soggy"
    yield HeardValue("/moisture_feel", {"moisture_feel": feel, "moisture_feel_at": "arm_deep" if deep else "surface"})


def _feel_now(node: Node, setting: Setting) -> Iterator[Told]:
    """It was wet and is dry now: what counts is the latter."""
    yield HeardValue("/moisture_feel", {"moisture_feel": pieces_in(node, "FEEL")[-1].value})


def _feel_two(node: Node, setting: Setting) -> Iterator[Told]:
    """Of a skin and an inside: the inside counts."""
    skin, inside = pieces_in(node, "FEEL")
    yield HeardValue("/moisture_feel", {"moisture_feel": skin.value, "moisture_feel_at": "surface"})
    yield HeardValue("/moisture_feel", {"moisture_feel": inside.value, "moisture_feel_at": "arm_deep"})


def _feel_both(node: Node, setting: Setting) -> Iterator[Told]:
    """Two words for one feel, such as "dry and dusty": the stronger counts."""
    told = {str(piece.value) for piece in pieces_in(node, "FEEL")}
    stronger = "dusty" if told <= {"dusty", "dry"} else "soggy" if told <= {"wet", "soggy"} else ""
    if not stronger and len(told) > 1:
        raise Unclear(_WHICH_FEEL)
    yield HeardValue("/moisture_feel", {"moisture_feel": stronger if len(told) > 1 else told.pop()})


FEELS: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "feel": _feel,
    "feel_two": _feel_two,
    "feel_both": _feel_both,
    "feel_now": _feel_now,
    "feel_at_depth": _feel_at_depth,
}
"""What each rule of the grammar says, by its name."""
