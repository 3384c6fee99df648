"""Every pair of colours that carries words or lines has the contrast WCAG 2.2 asks for, on light and dark screens."""

from __future__ import annotations

import re

import pytest

from service.page.render import style
from tests.each import each

PALETTES = {
    name: dict(re.findall(r"--(\w+):(#[0-9a-f]+)", block))
    for name, block in zip(("light", "dark", "paper"), re.findall(r":root\{(.*?)\}", style("answer")), strict=True)
}
PALETTES["dark"] = {**PALETTES["light"], **PALETTES["dark"]}
PALETTES["paper"] = {**PALETTES["light"], **PALETTES["paper"]}
TEXT = 4.5  # WCAG 2.2, 1.4.3
LINE = 3.0  # WCAG 2.2, 1.4.11

PAIRS = [
    ("ink", "paper", TEXT),
    ("ink", "card", TEXT),
    ("soft", "paper", TEXT),
    ("soft", "card", TEXT),
    ("plum", "card", TEXT),
    ("plum", "paper", TEXT),
    ("edge", "card", LINE),
    ("ink", "frost", LINE),
    ("#fff", "deep", TEXT),
    ("#f5cd55", "deep", TEXT),
    ("#fff", "alarm", TEXT),
    ("#f5cd55", "#000", TEXT),
    ("#1f1626", "straw", TEXT),
    ("ink", "lilac", LINE),
]
"""Words or lines, what they stand on, and the least contrast. Texts in drawings stand on card, or a disc of card."""


def luminance(colour: str) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio, as WCAG 2.2 defines it."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_worked_out_right() -> None:
    """Black on white is 21 to 1 by definition; #767676 on white is the well-known 4.54 (from memory)."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.01)


@each(["light", "dark"], PAIRS)
def test_contrast_is_enough(palette: str, front: str, back: str, least: float) -> None:
    colours = PALETTES[palette]
    assert contrast(colours.get(front, front), colours.get(back, back)) >= least


def test_there_is_no_traffic_light() -> None:
    """Nothing is told by red, amber or green: no pure hue of theirs is in the style sheet at all."""
    assert not re.search(r"\b(red|green|orange|amber|lime|crimson)\b", style("form") + style("answer"))
    for colour in set(re.findall(r"#[0-9a-f]{6}\b", style("form") + style("answer"))):
        red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
        assert not (red > 1.6 * max(green, blue) and red > 120), colour
        assert not (green > 1.3 * max(red, blue)), colour
