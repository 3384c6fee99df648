"""The section: the heap cut down the middle, with its layers, tube, duct, film and probes, and their measures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, pi, sqrt
from typing import Final

from rules.catalogue import said
from service.mix.words import name_in_sentence
from service.planning.spirals import Turns, Wound, wound
from service.planning.tape import on_tape
from service.render.wording import listed
from service.sheet.heap import Sheet
from service.sheet.layers import LayerKind
from service.sheet.marks import (
    CAP_FILL,
    COARSE_FILL,
    DUCT,
    FILM,
    GREY,
    INK,
    PAPER,
    SOFT_FILL,
    TUBE,
    Dot,
    Mark,
    Path,
    Point,
    Words,
    dimension_line,
    half_ellipse,
    line,
)
from service.sheet.probes import face_at, probes_of

LEFT, RIGHT, ABOVE, ROW = 14.0, 50.0, 13.0, 6.5
"""Room beside (at the right the least of it) and above the heap, and for a row of measures below it. [mm]"""
LABEL_SIZE: Final = 2.6
LABELS_OFF, LABEL_IN = 5.0, 4.0
"""How far the first column of labels stands off the heap, and a label in its column. [mm]"""
TUBE_M: Final = 0.03
DUCT_M: Final = 0.1
LEAST_DOT: Final = 0.55
FILM_OFF: Final = 1.6
"""The film is drawn so far off the heap that both are seen. [mm]"""
RIDGE_OPEN_M: Final = 0.3
LABEL_APART, COLUMN = 3.6, 22.0
LEGEND_WIDTH: Final = 136.0
LEAST_NUMBERED: Final = 2.3
"""A layer thinner than this on the paper has no room for its number. [mm]"""


@dataclass(frozen=True, slots=True)
class Cut:
    """The section on paper: millimetres per metre, and where the middle of the foot lies."""

    sheet: Sheet
    per_m: float
    foot: Point

    def at(self, from_centre_m: float, above_ground_m: float) -> Point:
        """Where a place in the heap lies on the paper."""
        return self.foot[0] + from_centre_m * self.per_m, self.foot[1] - above_ground_m * self.per_m

    def words(self, metres: float) -> str:
        """A length in the reader's units."""
        return on_tape(metres, self.sheet.system)


def section_size(sheet: Sheet, per_m: float) -> tuple[float, float]:
    """Width and height of the section with its measures. [mm]"""
    rows = 2 + (sheet.loop is not None) + (sheet.duct is not None)
    shape = sheet.shape
    return LEFT + 2 * shape.radius_m * per_m + _right_of(sheet), ABOVE + shape.height_m * per_m + 3 + ROW * rows


def _right_of(sheet: Sheet) -> float:
    """Room at the right: the labels of the last column may be long in feet and inches. [mm]"""
    columns = _columns(sheet)
    ends = [
        LABELS_OFF + COLUMN * place + LABEL_IN + Words(_label(sheet, letter, number, turns), (0, 0), LABEL_SIZE).width
        for place, (letter, layers, _) in enumerate(columns)
        for number, turns in enumerate(layers, start=1)
    ]
    return max([RIGHT, *ends])


def _columns(sheet: Sheet) -> list[tuple[str, Sequence[Turns], str]]:
    """Letter, layers and ink of what is wound in the heap."""
    layouts = (("L", sheet.loop, TUBE), ("D", sheet.duct, DUCT))
    return [(letter, layout.layers, ink) for letter, layout, ink in layouts if layout is not None]


def _label(sheet: Sheet, letter: str, number: int, turns: Turns) -> str:
    return said("sheet.mark.level", name=f"{letter}{number}", up=on_tape(turns.height_m, sheet.system))


def section(sheet: Sheet, per_m: float, corner: Point) -> Iterator[Mark]:
    """Everything of the section; `corner` is its upper left one."""
    shape = sheet.shape
    foot = (corner[0] + LEFT + shape.radius_m * per_m, corner[1] + ABOVE + shape.height_m * per_m)
    cut = Cut(sheet, per_m, foot)
    yield from _layers(cut)
    yield from _outline(cut)
    for layout, ink, size, part in ((sheet.loop, TUBE, TUBE_M, "tube-cut"), (sheet.duct, DUCT, DUCT_M, "duct-cut")):
        for coil in wound(layout.layers) if layout is not None else ():
            yield from _crossings(cut, coil, ink, size, part)
    yield from _probes(cut)
    yield from _levels(cut)
    yield from _measures(cut)


def _layers(cut: Cut) -> Iterator[Mark]:
    sheet, inside = cut.sheet, cut.sheet.inside
    yield Path(half_ellipse(cut.foot, *_size(cut, sheet.shape.radius_m, sheet.shape.height_m)), None, 0, CAP_FILL)
    for number, layer in enumerate(sheet.layers, start=1):
        if layer.kind == "cap":
            continue
        fill = SOFT_FILL if layer.kind == "soft" else COARSE_FILL
        sides = [_half_width(cut, level) for level in _between(layer.from_m, layer.to_m)]
        levels = _between(layer.from_m, layer.to_m)
        left = [cut.at(-half, level) for half, level in zip(sides, levels, strict=True)]
        right = [cut.at(half, level) for half, level in zip(sides, levels, strict=True)]
        facts = {"number": str(number), "kind": layer.kind}
        yield Path((*left, *reversed(right)), GREY, 0.12, fill, closed=True, part="layer", facts=facts)
        middle, thick = 0.5 * (layer.from_m + layer.to_m), layer.thickness_m * cut.per_m
        place = cut.at(_half_width(cut, layer.to_m), middle)
        if thick >= LEAST_NUMBERED and place[0] > cut.foot[0] + 8:
            yield Words(f"{number}", (place[0] - 1.2, place[1] + 0.8), 2.2, "end")
    yield Path(half_ellipse(cut.foot, *_size(cut, inside.radius_m, inside.height_m)), GREY, 0.2)


def _size(cut: Cut, radius_m: float, height_m: float) -> tuple[float, float]:
    return radius_m * cut.per_m, height_m * cut.per_m


def _half_width(cut: Cut, level_m: float) -> float:
    share = min(level_m / cut.sheet.inside.height_m, 1.0)
    return cut.sheet.inside.radius_m * sqrt(1.0 - share * share)


def _between(low: float, high: float) -> list[float]:
    steps = max(12, ceil((high - low) / 0.05))
    return [low + (high - low) * number / steps for number in range(steps + 1)]


def _outline(cut: Cut) -> Iterator[Mark]:
    """The heap, the ground, and what lies over it."""
    shape = cut.sheet.shape
    wide, high = _size(cut, shape.radius_m, shape.height_m)
    yield Path(half_ellipse(cut.foot, wide, high), INK, 0.5, part="outline")
    (x, y) = cut.foot
    yield line((x - wide - 8, y), (x + wide + 8, y), INK, 0.4)
    cover = cut.sheet.request.cover
    if cover in ("none", "straw"):
        return
    over = half_ellipse(cut.foot, wide + FILM_OFF, high + FILM_OFF)
    gap = max(0.5 * RIDGE_OPEN_M * cut.per_m, 1.5)
    for side in (-1, 1):
        half = tuple(point for point in over if side * (point[0] - x) >= gap)
        yield Path(half, FILM, 0.4, dashes=(2.0, 1.0), part="film")
    what = said(f"sheet.mark.cover.{cover or 'clear_film'}")
    if cover is None:
        what = said("sheet.mark.if-used", cover=what)
    yield Words(said("sheet.mark.ridge", cover=what), (x, y - high - FILM_OFF - 1.8), 2.6, "middle", ink=FILM)


def _crossings(cut: Cut, coil: Wound, ink: str, size_m: float, part: str) -> Iterator[Mark]:
    """Where the turns of a layer pass through the plane of the cut."""
    drawn = max(0.5 * size_m * cut.per_m, LEAST_DOT)
    fill = ink if part == "tube-cut" else PAPER
    for side, angle in ((1, 0.0), (-1, pi)):
        for radius in coil.crossings(angle):
            yield Dot(cut.at(side * radius, coil.turns.height_m), drawn, ink, fill, 0.35, part=part)


def _probes(cut: Cut) -> Iterator[Mark]:
    for probe in probes_of(cut.sheet.shape):
        tip = cut.at(-probe.from_centre_m, probe.above_ground_m)
        enters = cut.at(-probe.enters_m, probe.enters_at_m)
        end = (enters[0] - 4.0, enters[1] - 2.2)
        yield line(end, tip, INK, 0.35)
        yield Dot(tip, 0.7, INK, INK, part="probe")
        yield Words(probe.letter, (end[0] - 0.6, end[1]), 3.0, "end", bold=True)


def _levels(cut: Cut) -> Iterator[Mark]:
    """Name and height of each layer of tube and duct at the right, in a column each."""
    sheet = cut.sheet
    edge = cut.foot[0] + sheet.shape.radius_m * cut.per_m + LABELS_OFF
    for place, (letter, layers, ink) in enumerate(_columns(sheet)):
        yield from _column(cut, letter, layers, ink, edge + COLUMN * place)
    top = cut.at(0, sheet.shape.height_m)
    yield line((top[0] + 1, top[1]), (edge + 10, top[1]), INK, 0.15, (1.0, 1.0))
    yield Words(said("sheet.mark.top", up=cut.words(sheet.shape.height_m)), (edge + 11, top[1] - 1.0), 2.6)


def _column(cut: Cut, letter: str, layers: Sequence[Turns], ink: str, x: float) -> Iterator[Mark]:
    """Labels from the lowest layer up, at their heights where there is room, else pushed up and set smaller."""
    shape = cut.sheet.shape
    room = shape.height_m * cut.per_m - 1.5
    step = min(LABEL_APART, room / len(layers))
    size = min(LABEL_SIZE, 0.8 * step)
    last = cut.foot[1] - 1.0 + step
    for number, turns in enumerate(layers, start=1):
        face = cut.at(face_at(shape, turns.height_m), turns.height_m)
        left = len(layers) - number
        # Never so high that those above it would leave the drawing
        last = max(min(face[1], last - step), cut.foot[1] - room + step * left)
        start = face[0] + 0.6 if letter == "L" or cut.sheet.loop is None else x
        yield Path(((start, face[1]), (x, face[1]), (x + 3, last)), ink, 0.15)
        label = _label(cut.sheet, letter, number, turns)
        yield Words(label, (x + LABEL_IN, last + 0.35 * size), size, ink=ink)


def _measures(cut: Cut) -> Iterator[Mark]:
    """Rows below the ground: loop, duct, and the whole width; then what the shades are."""
    sheet, radius = cut.sheet, cut.sheet.shape.radius_m
    loop, duct = sheet.loop, sheet.duct
    rows = [
        *([(loop.from_centre_m[1], TUBE, "loop")] if loop is not None else []),
        *([(duct.from_centre_m, DUCT, "duct")] if duct is not None else []),
    ]
    y = cut.foot[1] + 1.5
    middle, left, right = (cut.at(metres, 0)[0] for metres in (0.0, -radius, radius))
    for outermost, ink, what in rows:
        y += ROW
        at = cut.at(outermost, 0)[0]
        yield from dimension_line((middle, y), (at, y), cut.words(outermost), ink=ink)
        yield from dimension_line((at, y), (right, y), cut.words(radius - outermost), ink=ink)
        yield line((at, cut.foot[1]), (at, y), ink, 0.12, (0.8, 0.8))
        yield Words(
            said("sheet.mark.outermost", what=said(f"sheet.{what}-small")), (right + 2.5, y - 1.2), 2.3, ink=ink
        )
        yield Words(said("sheet.mark.outermost-more"), (right + 2.5, y + 1.6), 2.3, ink=ink)
    yield line((middle, cut.foot[1] - 1), (middle, y), GREY, 0.12, (3.0, 1.0))
    y += ROW
    yield from dimension_line((left, y), (right, y), cut.words(2 * radius))
    for x in (left, right):
        yield line((x, cut.foot[1]), (x, y + 0.5), GREY, 0.12)
    yield from _legend(cut, y + ROW)


def _legend(cut: Cut, y: float) -> Iterator[Mark]:
    """What the shades are, with the names of what lies there where there is room for them."""
    kinds = {layer.kind: layer for layer in cut.sheet.layers}
    shades: tuple[tuple[LayerKind, str], ...] = (("coarse", COARSE_FILL), ("soft", SOFT_FILL), ("cap", CAP_FILL))
    present = [(kinds[kind], fill) for kind, fill in shades if kind in kinds]
    within = [listed([name_in_sentence(stuff.material) for stuff, _ in layer.parts]) for layer, _ in present]
    kinds_named = [said(f"sheet.mark.kind.{layer.kind}") for layer, _ in present]
    named = [f"{kind}: {names}" for kind, names in zip(kinds_named, within, strict=True)]
    width = sum(9 + Words(text, (0, 0), 2.5).width for text in named)
    texts = named if width <= LEGEND_WIDTH else [said(f"sheet.mark.kind.{layer.kind}") for layer, _ in present]
    x = cut.foot[0] - 0.5 * sum(9 + Words(text, (0, 0), 2.5).width for text in texts)
    for text, (_, fill) in zip(texts, present, strict=True):
        shown = Words(text, (x + 6, y), 2.5)
        yield Path(((x, y - 2.2), (x + 4.5, y - 2.2), (x + 4.5, y + 0.2), (x, y + 0.2)), GREY, 0.15, fill, closed=True)
        yield shown
        x += 9 + shown.width
