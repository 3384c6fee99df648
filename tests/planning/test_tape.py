"""Lengths as a tape shows them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.planning.tape import on_tape
from tests.each import each


@each(
    [
        (0.0, "0 cm", "0 in"),
        (0.1, "10 cm", "4 in"),  # 3.9 in
        (0.3048, "30 cm", "1 ft"),  # by definition
        (0.996, "1 m", "3 ft 3 in"),
        (1.676, "1.68 m", "5 ft 6 in"),
        (9.994, "9.99 m", "33 ft"),
        (20.72, "20.7 m", "68 ft"),
    ]
)
def test_lengths(metres: float, metric: str, us: str) -> None:
    assert (on_tape(metres, "metric"), on_tape(metres, "us")) == (metric, us)


@given(metres=st.floats(0, 500))
def test_what_is_told_is_what_is_meant(metres: float) -> None:
    feet, inches = re.fullmatch(r"(?:(\d+) ft)? ?(?:(\d+) in)?", on_tape(metres, "us")).groups()  # type: ignore[union-attr]
    told = (12 * int(feet or 0) + int(inches or 0)) * 0.0254
    assert told == pytest.approx(metres, abs=0.0128 if metres < 6 else 0.153)
    number, unit = on_tape(metres, "metric").split()
    assert float(number) * {"cm": 0.01, "m": 1.0}[unit] == pytest.approx(metres, abs=0.0051 if metres < 9.9 else 0.051)
