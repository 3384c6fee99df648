"""What a drawing is made of, in millimetres of paper from its upper left corner, whatever it is written to."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, pi, sin
from typing import Final, Literal

INK, GREY, TUBE, DUCT, FILM = "#111111", "#555555", "#0b4a8f", "#8a2d00", "#1d5c34"
"""Ink of text and heap, of aids, of the loop, the duct and the film: all at least 4.5 to 1 on white."""
SOFT_FILL, COARSE_FILL, CAP_FILL = "#d6d1c4", "#f4f1e8", "#e6e0cf"
PAPER: Final = "#ffffff"
LETTER_WIDTH: Final = 0.52
"""Mean width of a letter over its size, for keeping text apart."""
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Path:
    """A line or an area. `part` names what it stands for; `facts` are its figures for whoever reads the drawing."""

    points: tuple[Point, ...]
    ink: str | None = INK
    width: float = 0.25
    fill: str | None = None
    closed: bool = False
    dashes: tuple[float, float] | None = None
    part: str = ""
    facts: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Dot:
    """A circle."""

    at: Point
    radius: float
    ink: str = INK
    fill: str | None = None
    width: float = 0.25
    part: str = ""
    dashes: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text; `at` is its start, middle or end on the base line."""

    text: str
    at: Point
    size: float = 2.8
    anchor: Anchor = "start"
    bold: bool = False
    ink: str = INK

    @property
    def width(self) -> float:
        """About how wide it is. [mm]"""
        return len(self.text) * self.size * LETTER_WIDTH


Mark = Path | Dot | Words


def line(
    start: Point, end: Point, ink: str = INK, width: float = 0.25, dashes: tuple[float, float] | None = None
) -> Path:
    """A straight line."""
    return Path((start, end), ink, width, dashes=dashes)


def dimension_line(start: Point, end: Point, text: str, *, ink: str = INK) -> list[Mark]:
    """A level dimension line with strokes at its ends and its text above it; below it where there is no room."""
    (x1, y), (x2, _) = start, end
    strokes = [line((x - 0.8, y + 0.8), (x + 0.8, y - 0.8), ink, 0.3) for x in (x1, x2)]
    return [line(start, end, ink, 0.2), *strokes, Words(text, ((x1 + x2) / 2, y - 0.9), 2.6, "middle", ink=ink)]


def half_ellipse(centre: Point, half_width: float, height: float, steps: int = 90) -> tuple[Point, ...]:
    """From the left foot over the top to the right foot."""
    x, y = centre
    angles = [pi * number / steps for number in range(steps + 1)]
    return tuple((x - half_width * cos(angle), y - height * sin(angle)) for angle in angles)
