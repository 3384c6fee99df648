"""Sheets to test, planned once, and reading what is drawn."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import hypot
from typing import Any
from xml.etree import ElementTree

from service.planning.shapes.sheet import BuildSheetRequest
from service.planning.shapes.sheet_answer import BuildSheet
from service.sheet.as_svg import as_svg
from service.sheet.content import content
from service.sheet.drawing import Drawing, drawing_of
from service.sheet.heap import Sheet, sheet_of
from service.sheet.marks import Dot, Mark, Path
from service.status.reading import read_model

Body = dict[str, Any]
SPACE = "{http://www.w3.org/2000/svg}"
WHEN = "2025-10-20T12:00:00Z"
METRIC: Body = {
    "as_of": WHEN,
    "heat": {"power": "150 W"},
    "days": 60,
    "lead": 42,
    "heap": "30 m3",
    "cover": "clear_film",
}
US: Body = {
    "as_of": WHEN,
    "units": "us",
    "title": "North <heap> & sons",
    "heat": {"power": "600 BTU/h"},
    "days": 45,
    "heap": "24 yd3",
    "equipment": ["water_loop"],
}
TOO_MUCH: Body = {"as_of": WHEN, "heat": {"power": "5 kW"}, "days": 60}
NAMED = {"metric": METRIC, "us": US, "too much": TOO_MUCH}


def read(body: Body) -> BuildSheetRequest:
    return read_model(body, BuildSheetRequest, "A question about a heap")


def as_model(told: Body) -> BuildSheet:
    return BuildSheet.model_validate(told)


@cache
def planned(name: str) -> tuple[Sheet, Drawing, Body]:
    sheet = sheet_of(read(NAMED[name]))
    drawing = drawing_of(sheet)
    return sheet, drawing, content(sheet, drawing).model_dump(by_alias=True)


def drawn(name: str) -> ElementTree.Element:
    _, drawing, told = planned(name)
    return ElementTree.fromstring(as_svg(drawing, told["drawing"]["title"], told["drawing"]["description"]))


@dataclass(frozen=True)
class Line:
    """A polyline on the paper, with what it says of itself."""

    points: list[tuple[float, float]]
    facts: dict[str, str]

    @property
    def length(self) -> float:
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(self.points, self.points[1:], strict=False))


def lines(chart: ElementTree.Element, part: str) -> list[Line]:
    found = []
    for each in chart.iter():
        if each.get("data-part") == part and each.get("points"):
            numbers = [float(number) for number in re.findall(r"-?[0-9.]+(?:e-?[0-9]+)?", each.get("points", ""))]
            found.append(Line(list(zip(numbers[::2], numbers[1::2], strict=True)), dict(each.attrib)))
    return found


def dots(chart: ElementTree.Element, part: str) -> list[tuple[float, float, float]]:
    return [
        (float(each.get("cx", 0)), float(each.get("cy", 0)), float(each.get("r", 0)))
        for each in chart.iter(f"{SPACE}circle")
        if each.get("data-part") == part
    ]


def extent(marks: Sequence[Mark]) -> tuple[float, float, float, float]:
    """Left, top, right and lower end of everything drawn, text at its estimated width. [mm]"""
    xs: list[float] = []
    ys: list[float] = []
    for mark in marks:
        if isinstance(mark, Path):
            xs += [x for x, _ in mark.points]
            ys += [y for _, y in mark.points]
        elif isinstance(mark, Dot):
            xs += [mark.at[0] - mark.radius, mark.at[0] + mark.radius]
            ys += [mark.at[1] - mark.radius, mark.at[1] + mark.radius]
        else:
            left = mark.at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * mark.width
            xs += [left, left + mark.width]
            ys += [mark.at[1] - mark.size, mark.at[1]]
    return min(xs), min(ys), max(xs), max(ys)
