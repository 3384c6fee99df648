"""The drawing as a whole: section and plans at the largest scale that fits the paper, with a scale bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Final

from rules.catalogue import said
from service.sheet.coils import CLOSE_FROM, Tile, coil_plan, tile_size, tiles_of
from service.sheet.heap import Sheet
from service.sheet.marks import INK, PAPER, Mark, Path, Words, line
from service.sheet.section import section, section_size
from service.units.quantities import System
from service.units.table import FOOT

WIDTH, HEIGHT = 180.0, 236.0
"""Room on A4 and on Letter within margins of 12 mm, a heading left over it. [mm]"""
HEAD, GAP = 10.0, 2.0
SCALES: Final[dict[System, tuple[int, ...]]] = {
    "metric": (10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500),
    "us": (8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384, 480),
}
"""Ratios that are on scale rules; under `us` those of an inch, or a part of it, to the foot."""
BARS_M: Final[dict[System, tuple[float, ...]]] = {
    "metric": (0.5, 1.0, 2.0, 5.0),
    "us": (FOOT, 2 * FOOT, 5 * FOOT, 10 * FOOT, 20 * FOOT),
}
INCH_TO_FOOT: Final = {
    8: "1 1/2",
    12: "1",
    16: "3/4",
    24: "1/2",
    32: "3/8",
    48: "1/4",
    64: "3/16",
    96: "1/8",
    128: "3/32",
}
SHORTEST_BAR: Final = 25.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """Marks on a piece of paper of a width and a height [mm]; the section is drawn at 1 to `section`, plans `plan`."""

    marks: tuple[Mark, ...]
    width: float
    height: float
    section: int
    plan: int

    @property
    def scale(self) -> str:
        """As it is written."""
        if self.section == self.plan:
            return f"1:{self.plan}"
        return said("sheet.mark.scales", section=str(self.section), plan=str(self.plan))


def drawing_of(sheet: Sheet) -> Drawing:
    """Draw a heap: the plans as large as they can be, then the section as large as what is left allows."""
    tiles, ratios = tiles_of(sheet), SCALES[sheet.system]
    fitting = (each for each in ratios if _height(sheet, tiles, each, each) <= HEIGHT and _fits(sheet, tiles, each))
    plan = next(fitting, None)
    plan = ratios[-1] if plan is None else plan
    cut = next(
        each
        for each in ratios
        if each == plan or (_height(sheet, tiles, each, plan) <= HEIGHT and section_size(sheet, 1e3 / each)[0] <= WIDTH)
    )
    height = round(_height(sheet, tiles, cut, plan), 2)
    return Drawing(tuple(_marks(sheet, tiles, (cut, plan), height)), WIDTH, height, cut, plan)


def _fits(sheet: Sheet, tiles: list[Tile], ratio: int) -> bool:
    return section_size(sheet, 1000.0 / ratio)[0] <= WIDTH and _tile_size(sheet, tiles, ratio)[0] <= WIDTH


def _tile_size(sheet: Sheet, tiles: list[Tile], ratio: int) -> tuple[float, float]:
    return tile_size(sheet, 1000.0 / ratio, close=len(tiles) >= CLOSE_FROM)


def _beside(sheet: Sheet, tiles: list[Tile], ratio: int) -> int:
    return max(1, min(len(tiles), int(WIDTH / _tile_size(sheet, tiles, ratio)[0])))


def _height(sheet: Sheet, tiles: list[Tile], cut: int, plan: int) -> float:
    """Height of everything. [mm]"""
    rows = ceil(len(tiles) / _beside(sheet, tiles, plan))
    return 2 * HEAD + section_size(sheet, 1000.0 / cut)[1] + GAP + _tile_size(sheet, tiles, plan)[1] * rows


def _marks(sheet: Sheet, tiles: list[Tile], ratios: tuple[int, int], height: float) -> Iterator[Mark]:
    cut, plan = ratios
    corners = ((0.0, 0.0), (WIDTH, 0.0), (WIDTH, height), (0.0, height))
    yield Path(corners, None, 0, PAPER, closed=True)
    yield from _heading(sheet, said("sheet.mark.section"), cut, 0.0)
    size = section_size(sheet, 1000.0 / cut)
    yield from section(sheet, 1000.0 / cut, (0.5 * (WIDTH - size[0]), HEAD))
    top = HEAD + size[1] + GAP
    yield from _heading(sheet, said(f"sheet.mark.{'above' if len(tiles) > 1 else 'plan'}"), plan, top)
    beside = _beside(sheet, tiles, plan)
    wide, high = _tile_size(sheet, tiles, plan)
    for number, shown in enumerate(tiles):
        row, place = divmod(number, beside)
        in_row = min(beside, len(tiles) - row * beside)
        left = 0.5 * (WIDTH - in_row * wide) + place * wide
        yield from coil_plan(
            sheet, shown, 1000.0 / plan, (left, top + HEAD + row * high), close=len(tiles) >= CLOSE_FROM
        )


def _heading(sheet: Sheet, what: str, ratio: int, top: float) -> Iterator[Mark]:
    """What is drawn and its scale, in words and as a bar."""
    inches = INCH_TO_FOOT.get(ratio) if sheet.system == "us" else None
    also = f" {said('sheet.mark.inches-to-foot', inches=inches)}" if inches else ""
    yield Words(f"{what}, 1:{ratio}{also}", (2, top + 5), 3.6, bold=True)
    bars = BARS_M[sheet.system]
    length = next((each for each in bars if each * 1000 / ratio >= SHORTEST_BAR), bars[-1])
    long, right = length * 1000 / ratio, WIDTH - 8
    facts = {"metres": f"{length:.4f}", "scale": f"{ratio}"}
    yield Path(((right - long, top + 7.5), (right, top + 7.5)), INK, 0.8, part="scale-bar", facts=facts)
    for x in (right - long, right - 0.5 * long, right):
        yield line((x, top + 6.3), (x, top + 8.7), INK, 0.3)
    unit, number = ("ft", length / FOOT) if sheet.system == "us" else ("m", length)
    yield Words("0", (right - long, top + 5.2), 2.6, "middle")
    yield Words(f"{number:g} {unit}", (right, top + 5.2), 2.6, "middle")
