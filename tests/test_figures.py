"""Every number of the model stands with its unit, why it is so, and how that is known; code holds no bare one."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Final, get_args

from rules.language.model import HowKnown
from service.units import figures
from service.units.figures import figure
from tests.each import each
from tests.figures import PACKAGES, ROOT, modules, rows
from tests.test_layers import parsed

PLAIN: Final = frozenset({0, 1, 2, -1, 100, 0.5, 10, 12, 24, 60, 365, 365.25, 1000, 3600, 3.6e6, 1.8, 32})
"""Numbers that need no reason: none, one, a half, in a hundred, of clock and calendar, between two units."""
FROM_ROUNDING: Final = 1e-6
"""Smaller ones keep a division or a comparison from what rounding does."""
BOUNDS_OF_SHAPES: Final = frozenset({"examples", "ge", "le", "gt", "lt", "max_length", "min_length", "maxsize"})
WHOLE_MODULES: Final = {
    "where lines and words lie on a drawing": ("planning/season_chart.py", "outlook/chart.py"),
    "published equations, named where they stand": ("heat/physics/moist_air.py",),
    "primes whose roots spread the members, and the normal distribution": ("heat/physics/spread.py",),
    "geometry of the heap's nodes": ("heat/physics/geometry.py",),
}
LINES: Final = {
    "solid geometry": ("facts/size.py: math.pi", "facts/house.py: areas = (", "planning/layout.py: most**3"),
    "published equations": (
        *(
            "heat/physics/flows.py: 4098.0 / (celsius + 237.3)",
            "facts/mixing.py: 2729.92",
            "facts/mixing.py: <= ph <= 14",
        ),
        *("facts/mixing.py: <= ph <= 14", "facts/mixing.py: -40 <= temperature_c"),
        *("heat/physics/one_step.py: half / 3.0",),
    ),
    "roots of a quadratic equation": ("heat/physics/decay.py: 4.0 * HALF_OXYGEN",),
    "numbers of places": (
        "heat/learning/fit.py: np.searchsorted(squares, place)",
        "facts/probes.py: len(readings) < 3",
    ),
    "degrees of freedom of a line": ("heat/learning/situation.py: days.size > 3",),
    "days 3 and 7 of the course": ("picture/drawplan/quick_plan.py: (seventh - third)",),
    "half of a step in hours, in days": ("picture/drawplan/trial.py: ahead.hours / 48.0",),
    "a hundredth": (
        *("mix/limits.py: return 0.01 if", "mix/limits.py: unit = 0.01 if", "mix/proposal.py: value * (0.01 if"),
    ),
    "a figure that is shown as an example": ("why/material_pages.py: _FIGURE = {",),
    "no exponent overflows": ("worth/likelihood.py: -NEAR_NORMAL * distance",),
    "days and months of any year": (
        *("answer/plan_months.py: timedelta(days=31)", "answer/expectations.py: WEEK"),
        *("planning/climate.py: ANY_YEAR", "planning/climate.py: FIRST_MONTH", "planning/formats.py: _STAMP"),
    ),
}
"""Lines whose numbers are no choice of ours, by what they are."""
_LINES: Final = {line for lines in LINES.values() for line in lines}


def bare(node: ast.AST) -> Iterator[tuple[int, float]]:
    """Numbers of a piece of code that need a reason and have none, with their lines."""
    if isinstance(node, ast.JoinedStr) or (isinstance(node, ast.keyword) and node.arg in BOUNDS_OF_SHAPES):
        return
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("figure", "figures"):
        return
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "round":
        yield from bare(node.args[0])  # the rest is digits
    elif isinstance(node, ast.Subscript):
        yield from bare(node.value)  # the rest is places
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        yield from bare(node.left)  # the rest is a power
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        if node.value not in PLAIN and abs(node.value) > FROM_ROUNDING:
            yield node.lineno, node.value
    else:
        for child in ast.iter_child_nodes(node):
            yield from bare(child)


UNIT_FACTORS: Final = frozenset(
    {"YEAR_DAYS", "WEEK", "HOURS", "DAY_HOURS", "WH", "JOULES_PER_KWH", "ANY_YEAR", "FIRST_MONTH"}
)
"""Constants that are factors between units and names of days."""


def plain_constants(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Constants that are a plain number, even one that needs no reason inside a calculation, with their lines."""
    for node in tree.body:
        if isinstance(node, ast.AnnAssign) and isinstance(node.value, ast.Constant):
            name = ast.unparse(node.target)
            if type(node.value.value) in (int, float) and name not in UNIT_FACTORS:
                yield node.lineno, name


@each(PACKAGES)
def test_no_constant_is_a_plain_number(package: str) -> None:
    held = [module for module in _held() if _place(module).startswith(f"{package}/")]
    trees = {_place(module): parsed(module) for module in held}
    found = [f"{place}:{line}: {name}" for place, tree in trees.items() for line, name in plain_constants(tree)]
    assert found == [], "say it with its unit and reason: NAME: Final = figure(value, unit, why, how_known)"


def _is_let_be(place: str, line: str) -> bool:
    return any(f"{place}: " == start[: len(place) + 2] and start[len(place) + 2 :] in line for start in _LINES)


def _place(module: Path) -> str:
    return module.relative_to(ROOT / "service").as_posix()


def _held() -> list[Path]:
    apart = {place for places in WHOLE_MODULES.values() for place in places}
    return [m for m in modules() if "shapes" not in m.parts and m.stem != "shape" and _place(m) not in apart]


@each(PACKAGES)
def test_no_number_stands_bare(package: str) -> None:
    found = []
    for module in _held():
        place, text = _place(module), module.read_text(encoding="utf-8")
        if place.startswith(f"{package}/"):
            lines = text.splitlines()
            numbers = [
                (line, number) for line, number in bare(parsed(module)) if not _is_let_be(place, lines[line - 1])
            ]
            found += [f"{place}:{line}: {number} in {lines[line - 1].strip()}" for line, number in numbers]
    assert found == [], "say it with its unit and reason: NAME: Final = figure(value, unit, why, how_known)"


def test_bare_numbers_are_seen() -> None:
    code = 'A = 3.7\nB = figure(3.7, "K", "why", "read")\nC = 2 * x[4] + 60\nD = f(y, 0.03)\nE = round(x, 3) + y**3'
    assert [line for line, _ in bare(ast.parse(code))] == [1, 4]


def test_what_is_let_be_is_there() -> None:
    code = {_place(module): module.read_text(encoding="utf-8") for module in modules()}
    assert [line for line in _LINES if line.partition(": ")[2] not in code[line.partition(": ")[0]]] == []
    assert all(place in code for places in WHOLE_MODULES.values() for place in places)


def test_every_figure_has_a_unit_and_a_reason() -> None:
    told = list(rows())
    assert len(told) > 500
    assert [row.place for row in told if not row.unit or len(row.why.split()) < 2] == []
    assert {row.how_known for row in told} <= {known.value for known in HowKnown}
    assert set(get_args(figures.KnownWord)) == {known.value for known in HowKnown}
    assert len({row.place for row in told}) == len(told)


def test_a_figure_is_its_value() -> None:
    assert figure(3.5, "K", "why it is so", "read") == 3.5
    assert figures.figures((1.0, "K"), (math.e, "1"), why="why they are so", how_known="derived") == (1.0, math.e)
