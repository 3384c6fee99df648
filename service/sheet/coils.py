"""Plans: each layer of tube or duct seen from above, within the heap's foot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, hypot, sin
from typing import Final

from rules.catalogue import said
from service.planning.spirals import Turns, Wound, wound
from service.planning.tape import on_tape
from service.sheet.heap import Sheet
from service.sheet.marks import DUCT, GREY, INK, TUBE, Dot, Mark, Path, Point, Words, line
from service.sheet.section import DUCT_M, TUBE_M

HEAD, GAP, NARROWEST = 14.5, 6.0, 50.0
"""Room for the three lines above a plan, beside and below it, and the least width that its words need. [mm]"""
CLOSE_HEAD, CLOSE_GAP, CLOSE_NARROWEST = 8.5, 2.0, 28.0
CLOSE_FROM: Final = 7
"""The same where there are so many plans that they are set close, with fewer words."""
STEPS_PER_TURN: Final = 90


@dataclass(frozen=True, slots=True)
class Tile:
    """One plan: its heading, the lines below that, the coil in it (None for the bare foot), and which ends go out."""

    heading: str
    told: tuple[str, ...]
    briefly: tuple[str, str]
    coil: Wound | None
    part: str
    outer_end_out: bool
    inner_end_out: bool


def tiles_of(sheet: Sheet) -> list[Tile]:
    """The layers of the loop, then those of the duct, from the lowest up; the foot alone where there are neither."""
    found = [
        *_tiles(sheet, "loop", "tube", sheet.loop.layers if sheet.loop is not None else ()),
        *_tiles(sheet, "duct", "duct", sheet.duct.layers if sheet.duct is not None else ()),
    ]
    across = said("sheet.mark.across", width=on_tape(2 * sheet.shape.radius_m, sheet.system))
    return found or [Tile(said("sheet.mark.foot"), (across,), ("", ""), None, "", False, False)]


def _tiles(sheet: Sheet, name: str, part: str, layers: tuple[Turns, ...]) -> Iterator[Tile]:
    def words(metres: float) -> str:
        return on_tape(metres, sheet.system)

    for number, coil in enumerate(wound(layers), start=1):
        turns, last = coil.turns, number == len(layers)
        label, up, length = f"{name[0].upper()}{number}", words(turns.height_m), words(turns.length_m)
        ends = {"inner": words(turns.inner_m), "outer": words(turns.outer_m)}
        heading = said("sheet.mark.layer", what=said(f"sheet.{name}"), name=label, up=up)
        told = (
            said("sheet.mark.from-middle", **ends),
            said("sheet.mark.turns", pitch=words(turns.pitch_m), length=length),
        )
        briefly = (
            said("sheet.mark.layer-short", name=label, up=up, length=length),
            said("sheet.mark.from-middle-short", **ends),
        )
        yield Tile(
            heading, told, briefly, coil, part, number == 1 or (last and not coil.inwards), last and coil.inwards
        )


def tile_size(sheet: Sheet, per_m: float, *, close: bool) -> tuple[float, float]:
    """Width and height of one plan with its heading and the gap beside it. [mm]"""
    across = 2 * sheet.shape.radius_m * per_m
    head, gap, narrowest = (CLOSE_HEAD, CLOSE_GAP, CLOSE_NARROWEST) if close else (HEAD, GAP, NARROWEST)
    return max(across, narrowest) + gap, across + head + gap


def coil_plan(sheet: Sheet, shown: Tile, per_m: float, corner: Point, *, close: bool) -> Iterator[Mark]:
    """One plan; `corner` is its upper left one."""
    width, _ = tile_size(sheet, per_m, close=close)
    radius = sheet.shape.radius_m * per_m
    centre = (corner[0] + 0.5 * width, corner[1] + (CLOSE_HEAD if close else HEAD) + radius)
    ink = {"duct": DUCT, "tube": TUBE}.get(shown.part, INK)
    heading, told = (shown.briefly[0], shown.briefly[1:]) if close else (shown.heading, shown.told)
    yield Words(heading, (centre[0], corner[1] + 3.2), 2.1 if close else 2.9, "middle", bold=True, ink=ink)
    for row, text in enumerate(told):
        yield Words(text, (centre[0], corner[1] + (6.3 if close else 7.0) + 3.4 * row), 2.0 if close else 2.5, "middle")
    yield Dot(centre, radius, INK, None, 0.45, part="foot")
    for across, down in ((1.5, 0.0), (0.0, 1.5)):
        yield line((centre[0] - across, centre[1] - down), (centre[0] + across, centre[1] + down), GREY, 0.25)
    if shown.coil is not None:
        yield from _coil(shown, shown.coil, per_m, centre, radius)


def _coil(shown: Tile, coil: Wound, per_m: float, centre: Point, radius: float) -> Iterator[Mark]:
    ink, turns = DUCT if shown.part == "duct" else TUBE, coil.turns
    points = spiral(coil, per_m, centre)
    width = max((TUBE_M if shown.part == "tube" else DUCT_M) * per_m * 0.6, 0.4)
    facts = {"height": f"{turns.height_m:.4f}", "length": f"{turns.length_m:.4f}", "pitch": f"{turns.pitch_m:.4f}"}
    yield Path(points, ink, min(width, 1.6), part=shown.part, facts=facts)
    for place, out in ((points[-1], shown.outer_end_out), (points[0], shown.inner_end_out)):
        away = hypot(place[0] - centre[0], place[1] - centre[1])
        if out and away > 0:
            reach = (radius + 1.0) / away
            end = (centre[0] + (place[0] - centre[0]) * reach, centre[1] + (place[1] - centre[1]) * reach)
            yield Path((place, end), ink, 0.4, dashes=(1.2, 0.8), part=f"{shown.part}-out")
        yield Dot(place, 0.7, ink, ink if out else "#ffffff", 0.35)


def spiral(coil: Wound, per_m: float, centre: Point) -> tuple[Point, ...]:
    """The points of a coil on the paper, from its inner to its outer end."""
    turns = coil.turns
    count = max(12, round(STEPS_PER_TURN * turns.turns))
    radii = [turns.inner_m + (turns.outer_m - turns.inner_m) * number / count for number in range(count + 1)]
    return tuple(
        (centre[0] + radius * per_m * cos(angle), centre[1] - radius * per_m * sin(angle))
        for radius, angle in ((radius, coil.angle(radius)) for radius in radii)
    )
