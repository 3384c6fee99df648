"""Sizes as said, shares of a mix, how far it has shrunk, sides, and the air of the house."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from rules.catalogue import said
from service.problems.json_text import JsonObject
from service.talk.chat.meaning_heap import amount_in
from service.talk.chat.meaning_heat import built_in_month, length_of, span_written
from service.talk.chat.moments import span_days
from service.talk.chat.reading import (
    Gap,
    HeardValue,
    Node,
    Setting,
    Told,
    Unclear,
    has,
    parts_in,
    pieces_in,
    temperatures,
)

WHOLE_PERCENT: Final = 100.0
MOSTLY_PERCENT: Final = 80.0
"""What "mostly" is taken for, said back [% by volume] (our own)."""
NOT_ALL_PERCENT: Final = 12.0
"""By how much shares as people say them may miss the whole: two thirds and a quarter do by eight [%] (our own)."""


def _measured(node: Node, setting: Setting) -> Iterator[Told]:
    """Length, width and height in one breath: a long heap, for heaps slope."""
    (piece,) = pieces_in(node, "MEASURES")
    length, width, height = (str(number) for number in piece.value)
    shape = "box" if has(node, "CUBE") else "windrow"
    yield HeardValue("/pile/size", {shape: {"length": length, "width": width, "height": height}})
    names = [str(pieces_in(thing, "MATERIAL")[0].value) for thing in parts_in(node, "thing")]
    if names:
        yield HeardValue("/pile/ingredients", [{"material": name} for name in names])


def _cubed(node: Node, setting: Setting) -> Iterator[Told]:
    side = str(pieces_in(node, "LENGTH")[0].value)
    yield HeardValue("/pile/size", {"box": {"length": side, "width": side, "height": side}})


def _rest_and_share(node: Node, setting: Setting) -> Iterator[Told]:
    """One thing, and another with its share: the first is the rest."""
    (thing,) = parts_in(node, "thing")
    share = float(pieces_in(node, "PERCENT")[0].value.value)
    names = [str(pieces_in(thing, "MATERIAL")[0].value), str(pieces_in(node, "MATERIAL")[0].value)]
    yield from _by_share(names, [100.0 - share, share])


def _tall_only(node: Node, setting: Setting) -> Iterator[Told]:
    yield Gap(str(pieces_in(node, "TALL")[0].value), said("chat.how-wide"))


def _shares(node: Node, setting: Setting) -> Iterator[Told]:
    """Parts of a mix without amounts: by percent, by halves and thirds, by parts, or all alike."""
    whole = amount_in(node, setting)
    if isinstance(whole, Gap):
        yield whole
    elif whole is not None:
        yield HeardValue("/pile/size", dict([whole]))
    shares = parts_in(node, "share", "bare_share", "last_share")
    if shares:
        names = [str(pieces_in(share, "MATERIAL")[0].value) for share in shares]
        counts = [_count(share) for share in shares]
        if (
            all(pieces_in(share, "PERCENT", "FRACTION", "NUM") for share in shares)
            and abs(sum(counts) - 100) > NOT_ALL_PERCENT
        ):
            raise Unclear(said("chat.shares-no-whole"))
    else:
        names = [str(pieces_in(thing, "MATERIAL")[0].value) for thing in parts_in(node, "thing")]
        ratio = pieces_in(node, "RATIO")
        counts = list(ratio[0].value) if ratio else [1.0] * len(names)
    yield from _by_share(names, counts)


def _halves_and_some(node: Node, setting: Setting) -> Iterator[Told]:
    """Two halves, and a little of a third thing that is no share."""
    names = [str(pieces_in(thing, "MATERIAL")[0].value) for thing in parts_in(node, "thing")]
    ratio = pieces_in(node, "RATIO")
    yield from _by_share(names[:2], list(ratio[0].value) if ratio else [1.0, 1.0])
    yield Gap(names[2].replace("_", " "), said("chat.how-much-of-it"))


def _portions_to(node: Node, setting: Setting) -> Iterator[Told]:
    """`3 buckets of chips to 1 bucket of manure`: how they stand to each other, not how much there is."""
    amounts = [piece for part in parts_in(node, "portion") for piece in pieces_in(part, "VOLUME", "YARDS", "MASS")[:1]]
    if len(amounts) < len(parts_in(node, "portion")):
        raise Unclear(said("chat.how-much-of-each"))
    names = [str(pieces_in(part, "MATERIAL")[0].value) for part in parts_in(node, "portion")]
    if len({(piece.terminal, piece.value.unit) for piece in amounts}) > 1:
        raise Unclear(said("chat.which-share"))
    yield from _by_share(names, [piece.value.value for piece in amounts])


def _shares_and_rest(node: Node, setting: Setting) -> Iterator[Told]:
    """Shares, and a last thing that is the rest of the whole."""
    shares = parts_in(node, "share")
    names = [str(pieces_in(share, "MATERIAL")[0].value) for share in shares]
    counts = [_count(share) for share in shares]
    (thing,) = parts_in(node, "thing")
    rest = WHOLE_PERCENT - sum(counts)
    if rest <= 0 or any(has(share, "PARTS") for share in shares):
        raise Unclear(said("chat.shares-no-whole"))
    yield from _by_share([*names, str(pieces_in(thing, "MATERIAL")[0].value)], [*counts, rest])


def _by_share(names: list[str], counts: list[float]) -> Iterator[Told]:
    total = sum(counts)
    if total <= 0 or len(names) != len(counts) or len(set(names)) < len(names):
        yield Gap(" and ".join(names), said("chat.which-share"))
        return
    parts = [
        {"material": name, "share": f"{round(100 * count / total, 1):g} %"}
        for name, count in zip(names, counts, strict=True)
    ]
    yield HeardValue("/pile/ingredients", parts)


def _count(node: Node) -> float:
    for piece in pieces_in(node, "PERCENT", "PARTS", "NUM"):
        return float(piece.value.value)
    return float(pieces_in(node, "FRACTION")[0].value)


def _bare_list(node: Node, setting: Setting) -> Iterator[Told]:
    """Things that are listed and no more are what the heap is made of, where that was not told."""
    names = [str(pieces_in(thing, "MATERIAL")[0].value) for thing in parts_in(node, "thing")]
    yield HeardValue("/pile/ingredients", [{"material": name} for name in names], unless_told=True)


def _mostly(node: Node, setting: Setting) -> Iterator[Told]:
    names = [str(pieces_in(thing, "MATERIAL")[0].value) for thing in parts_in(node, "thing")]
    yield from _by_share(names, [MOSTLY_PERCENT, 100.0 - MOSTLY_PERCENT])
    yield Gap(
        " and ".join(name.replace("_", " ") for name in names), said("chat.mostly", share=f"{MOSTLY_PERCENT:g} %")
    )


def _shrunk(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "PERCENT"):
        yield HeardValue("/pile/shrunk", f"{piece.value.value:g} %")
    for piece in pieces_in(node, "FRACTION"):
        yield HeardValue("/pile/shrunk", f"{piece.value} %")


def _shrunk_since_built(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _shrunk(node, setting)
    yield from built_in_month(node, setting)


def _slumped(node: Node, setting: Setting) -> Iterator[Told]:
    """A heap that sank by so much."""
    if pieces_in(node, "SIGN")[0].value != "slumping":
        raise Unclear(said("chat.which-number"))
    yield from _shrunk(node, setting)


def _shrunk_to(node: Node, setting: Setting) -> Iterator[Told]:
    for piece in pieces_in(node, "PERCENT"):
        yield HeardValue("/pile/shrunk", f"{100 - piece.value.value:g} %")
    for piece in pieces_in(node, "FRACTION"):
        yield HeardValue("/pile/shrunk", f"{100 - float(piece.value):g} %")


def _point(node: Node, setting: Setting) -> Iterator[Told]:
    (value,) = temperatures(node)
    point: JsonObject = {"value": value}
    if has(node, "LENGTH", "YARDS"):
        point["depth"] = length_of(node)
    for piece in pieces_in(node, "SIDE"):
        point["side"] = piece.value
    yield HeardValue("/temperatures/points/-", point)


def _bare_age(node: Node, setting: Setting) -> Iterator[Told]:
    """A span by itself is the age, where none was told before; less than a day is not."""
    span = parts_in(node, "span")[0]
    written = span_written(span)
    if span_days(span) < 1 or written.rpartition(" ")[2].rstrip("s") not in ("day", "week", "month", "year"):
        raise Unclear(said("chat.how-long-is-what"))
    yield HeardValue("/pile/age", written, unless_told=True)


MAKE: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "measured": _measured,
    "cubed": _cubed,
    "rest_and_share": _rest_and_share,
    "tall_only": _tall_only,
    "shares": _shares,
    "halves_and_some": _halves_and_some,
    "portions_to": _portions_to,
    "shares_and_rest": _shares_and_rest,
    "mostly": _mostly,
    "bare_list": _bare_list,
    "shrunk": _shrunk,
    "shrunk_to": _shrunk_to,
    "slumped": _slumped,
    "shrunk_since_built": _shrunk_since_built,
    "point": _point,
    "bare_age": _bare_age,
    "built_in_month": built_in_month,
}
"""What each rule of the grammar says, by its name."""
