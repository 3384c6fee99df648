"""What the heap is: size, make-up, feel, smell, signs, cover and place; and what is on hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from rules.catalogue import said
from rules.tables.questions import NAMED_SIGNS
from service.talk.chat.meaning_heat import built, built_in_month, length_of
from service.talk.chat.meaning_simple import always, not_kept, quantity_of, value_of
from service.talk.chat.reading import Gap, HeardValue, Node, Setting, Told, Unclear, has, parts_in, pieces_in
from service.talk.chat.tokens import WrittenNumber

COVERS: Final = {
    "clear_film": "clear_film",
    "tarp": "tarp",
    "breathable_cover": "breathable",
    "breathable": "breathable",
    "straw_bales": "straw",
    "straw": "straw",
    "wheat_straw": "straw",
    "oat_straw": "straw",
}
"""The cover a material or supply makes."""
_WHICH_TON: Final = said("chat.which-ton")
_AMOUNTS: Final = ("VOLUME", "YARDS", "MASS", "TONS")
_STOCK: Final = ("MATERIAL", "SUPPLY")


def amount_in(node: Node, setting: Setting) -> tuple[str, str] | Gap | None:
    """Kind (volume or mass) and amount right below a node; a gap where it is a ton of unknown kind."""
    for piece in pieces_in(node, *_AMOUNTS):
        number: WrittenNumber = piece.value
        match piece.terminal:
            case "YARDS":
                return "volume", f"{number.value:g} yd3"
            case "TONS":
                ton = f"{number.value:g} short_ton"
                return ("mass", ton) if setting.system == "us" else Gap(str(number), _WHICH_TON)
            case kind:
                return kind.lower(), str(number)
    return None


def _size(node: Node, setting: Setting) -> Iterator[Told]:
    amount = amount_in(node, setting)
    if isinstance(amount, Gap):
        yield amount
    elif amount is not None:
        yield HeardValue("/pile/size", dict([amount]))


def _shape(node: Node, setting: Setting) -> Iterator[Told]:
    """Width and height are a round heap's; with a length besides, a long heap's."""
    measures: dict[str, str] = {}
    unit = ""
    for part in parts_in(node, "dimension"):
        (word,) = pieces_in(part, "WIDE", "HIGH", "LONG", "TALL", "DEEP")
        name = {"WIDE": "width", "HIGH": "height", "LONG": "length", "TALL": "height", "DEEP": "height"}[word.terminal]
        if name in measures:
            yield Gap(str(word.value), said("chat.given-twice", name=name))
            return
        bare = pieces_in(part, "NUM")
        if bare and not unit:
            raise Unclear(said("chat.which-unit-of-height"))
        unit = unit if bare or has(part, "TALL") else length_of(part).partition(" ")[2]
        measures[name] = (
            str(word.value)
            if word.terminal == "TALL"
            else f"{bare[0].value.value:g} {unit}"
            if bare
            else length_of(part)
        )
    yield _shaped(measures)


def _shape_of_two(node: Node, setting: Setting) -> Iterator[Told]:
    """`10 by 12 feet and 5 feet high`: a long heap, the longer side its length."""
    (two,) = pieces_in(node, "TWO_MEASURES")
    (part,) = parts_in(node, "dimension")
    (word,) = pieces_in(part, "WIDE", "HIGH", "LONG", "TALL", "DEEP")
    if word.terminal not in ("HIGH", "TALL", "DEEP") or pieces_in(part, "NUM"):
        raise Unclear(said("chat.how-high"))
    height = str(word.value) if word.terminal == "TALL" else length_of(part)
    length, width = (str(number if number.unit else replace(number, unit=height.split()[-1])) for number in two.value)
    yield _shaped({"length": length, "width": width, "height": height})


def _upright(node: Node, setting: Setting) -> Iterator[Told]:
    """A round bin: it does not slope as a heap does."""
    for told in _shape(node, setting):
        cone = told.value.get("cone") if isinstance(told, HeardValue) else None
        yield replace(told, value={"cylinder": cone}) if cone and isinstance(told, HeardValue) else told


def _shape_of_square(node: Node, setting: Setting) -> Iterator[Told]:
    """`4 m square and 1.2 m high`."""
    (part,) = parts_in(node, "dimension")
    if not has(part, "HIGH", "TALL", "DEEP") or pieces_in(part, "NUM"):
        raise Unclear(said("chat.how-high"))
    tall = pieces_in(part, "TALL")
    side, height = length_of(node), str(tall[0].value) if tall else length_of(part)
    yield _shaped({"length": side, "width": side, "height": height})


def _shaped(measures: dict[str, str]) -> Told:
    if measures.keys() == {"width", "height"}:
        return HeardValue("/pile/size", {"cone": {"diameter": measures["width"], "height": measures["height"]}})
    if measures.keys() == {"length", "width", "height"}:
        return HeardValue("/pile/size", {"windrow": measures})
    return Gap(" and ".join(measures), said("chat.size-needs"))


def _mix(node: Node, setting: Setting) -> Iterator[Told]:
    """What the heap was built from.

    `14 yards of chips with manure` is a heap of 14 yards; after a comma, or with a trailer of manure, the amount is
    that of the first thing alone.
    """
    listed = parts_in(node, "portion", "thing")
    amounts = _carried([amount_in(part, setting) for part in listed], listed)
    whole = amount_in(node, setting)
    names = [pieces_in(part, "MATERIAL")[0].value for part in listed]
    gaps = [amount for amount in (*amounts, whole) if isinstance(amount, Gap)]
    yield from gaps
    for part in listed:
        yield from of_a_load(part)
    told = [amount[1] if isinstance(amount, tuple) else None for amount in amounts]
    first = amounts[0]
    if (
        node.data != "built_from"
        and len(listed) > 1
        and isinstance(first, tuple)
        and not any(told[1:])
        and not any(has(part, "CONTAINER") for part in listed[1:])  # a trailer of manure is not within the chips
        and not has(node, "COMMA")
    ):
        whole, told[0] = first, None
    if isinstance(whole, tuple):
        yield HeardValue("/pile/size", dict([whole]))
    yield HeardValue("/pile/ingredients", [_ingredient(*pair) for pair in zip(names, told, strict=True)])


def _carried(amounts: list[tuple[str, str] | Gap | None], listed: list[Node]) -> list[tuple[str, str] | Gap | None]:
    """The amounts, a number without a unit in the unit of the one before: "12 yards of chips and 3 of manure"."""
    carried: list[tuple[str, str] | Gap | None] = []
    for amount, part in zip(amounts, listed, strict=True):
        bare = pieces_in(part, "NUM") if not has(part, "CONTAINER") else []
        before = carried[-1] if carried else None
        if bare and not isinstance(before, tuple):
            raise Unclear(said("chat.how-much-in-units"))
        if bare and isinstance(before, tuple):
            carried.append((before[0], f"{bare[0].value.value:g} {before[1].partition(' ')[2]}"))
        else:
            carried.append(amount)
    return carried


def of_a_load(part: Node) -> Iterator[Gap]:
    """Loads, bags and bales are as big as somebody makes them: the material is read, the amount asked for."""
    for piece in pieces_in(part, "CONTAINER"):
        counted = "".join(f"{number.value.value:g} " for number in pieces_in(part, "NUM"))
        yield Gap(
            f"{counted}{piece.value}",
            said("chat.how-big-is-one", thing=str(piece.value).removesuffix(" of").removesuffix("s")),
        )


def _moisture(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/pile/moisture", f"{pieces_in(node, 'PERCENT')[0].value.value:g} %")


def _built_from(node: Node, setting: Setting) -> Iterator[Told]:
    """When it was built, and from what."""
    yield from (built_in_month if has(node, "MONTH") else built)(node, setting)
    yield from _mix(node, setting)


def _ingredient(name: str, amount: str | None) -> dict[str, str]:
    return {"material": name} if amount is None else {"material": name, "amount": amount}


def _on_hand(node: Node, setting: Setting) -> Iterator[Told]:
    for part in parts_in(node, "stock", "stock_of"):
        (thing,) = pieces_in(part, *_STOCK)
        yield HeardValue("/on_hand/-", thing.value)
        for amount in pieces_in(part, *_AMOUNTS, "NUM"):
            held = (
                "".join(f" {piece.value}" for piece in pieces_in(part, "CONTAINER")) if amount.terminal == "NUM" else ""
            )
            yield Gap(f"{amount.value}{held}", said("chat.stock-only-what"))


def _cover(node: Node, setting: Setting) -> Iterator[Told]:
    for part in parts_in(node, "cover_kind"):
        (thing,) = pieces_in(part)
        cover = COVERS.get(thing.value)
        if cover is None:
            yield Gap(thing.value.replace("_", " "), said("chat.covers"))
        else:
            yield HeardValue("/pile/cover", cover)


def _cover_of_two(node: Node, setting: Setting) -> Iterator[Told]:
    """Two things that cover it: which of them is outermost decides."""
    kinds = {COVERS.get(pieces_in(part)[0].value) for part in parts_in(node, "cover_kind")}
    if len(kinds) > 1 or None in kinds:
        yield Gap("", said("chat.outermost"))
    else:
        yield HeardValue("/pile/cover", kinds.pop())


def _cover_so_thick(node: Node, setting: Setting) -> Iterator[Told]:
    """What lies on it; how thick has no place."""
    yield from _cover(node, setting)
    yield Gap(length_of(node), said("chat.how-thick"))


def cover_named(node: Node) -> str | None:
    """The cover named right below a node, if it is one."""
    return next((COVERS.get(pieces_in(part)[0].value) for part in parts_in(node, "cover_kind")), None)


def _uncovered(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/pile/cover", "none")


def _smell_only(node: Node, setting: Setting) -> Iterator[Told]:
    """It smells; of what, where something was named that is no known smell, is asked again."""
    of_something = str(pieces_in(node, "SMELL")[0].value).endswith((" of", " like", "nose"))
    yield Gap("", said("chat.smells-of")) if of_something else HeardValue("/smell", "foul")


def _no_sign(node: Node, setting: Setting) -> Iterator[Told]:
    yield HeardValue("/not_seen/-", pieces_in(node, "SIGN")[0].value)


def _none_of_the_named(node: Node, setting: Setting) -> Iterator[Told]:
    """A no to the question about signs is a no to those it named, and to nothing else."""
    for sign in NAMED_SIGNS:
        yield HeardValue("/not_seen/-", sign)


def _cover_answer(node: Node, setting: Setting) -> Iterator[Told]:
    yield from _cover(node, setting) if parts_in(node, "cover_kind") else [HeardValue("/pile/cover", "none")]


HEAP: Final[dict[str, Callable[[Node, Setting], Iterator[Told]]]] = {
    "size": _size,
    "size_then": not_kept(said("chat.size-then")),
    "shape": _shape,
    "mix": _mix,
    "mix_heap": _mix,
    "made_of": _mix,
    "on_hand": _on_hand,
    "nothing_on_hand": always("/on_hand", []),
    "on_hand_only": _on_hand,
    "smell": value_of("/smell", "SMELL_KIND"),
    "smell_only": _smell_only,
    "not_smelled": not_kept(said("chat.smells-of")),
    "no_smell": always("/smell", "none"),
    "sign": value_of("/signs/-", "SIGN"),
    "no_sign": _no_sign,
    "felt": value_of("/people/-", "SYMPTOM"),
    "not_felt": always("/people", []),
    "no_signs": always("/signs", []),
    "cover": _cover,
    "no_cover": always("/pile/cover", "none"),
    "wind": value_of("/pile/wind", "WIND"),
    "wind_speed": quantity_of("/weather/wind_speed", "SPEED"),
    "sky": value_of("/weather/sun", "SKY"),
    "rain": value_of("/weather/rain", "RAIN"),
    "probe": quantity_of("/probe/length", "LENGTH", "YARDS"),
    "probe_checked": always("/probe/checked", True),
    "calibrated": always("/probe/checked", True),
    "moisture": _moisture,
    "shape_of_two": _shape_of_two,
    "upright": _upright,
    "shape_of_square": _shape_of_square,
    "built_from": _built_from,
    "cover_of_two": _cover_of_two,
    "cover_so_thick": _cover_so_thick,
    "covered_now": _cover,
    "uncovered": _uncovered,
    "lasted": not_kept(said("chat.how-long-lasted")),
    "not_at_hand": not_kept(said("chat.what-there-is")),
    "answer_smell": always("/smell", "none"),
    "answer_ingredients": _mix,
    "answer_size": _size,
    "answer_cover": _cover_answer,
    "answer_signs": _none_of_the_named,
    "answer_length": quantity_of("/probe/length", "LENGTH", "YARDS"),
}
"""What each rule of the grammar says, by its name."""
