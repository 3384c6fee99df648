"""`python -m tests.figures`: every number of the model that was chosen, read or learned, as one table."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parent.parent
PACKAGES: Final = (
    "heat",
    "facts",
    "picture",
    "actions",
    "course",
    "outlook",
    "worth",
    "planning",
    "answer",
    "mix",
    "why",
)


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A line of the table: where a number stands, its value as written, its unit, why, and how that is known."""

    place: str
    value: str
    unit: str
    why: str
    how_known: str


def modules() -> list[Path]:
    """Where such numbers may stand."""
    return [module for package in PACKAGES for module in sorted((ROOT / "service" / package).rglob("*.py"))]


def rows() -> Iterator[FigureRow]:
    """Every number that is declared."""
    for module in modules():
        place = module.relative_to(ROOT / "service").with_suffix("").as_posix()
        for node in ast.parse(module.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, ast.Call):
                target = node.targets[0] if isinstance(node, ast.Assign) else node.target
                yield from _rows(place, target, node.value)


def _rows(place: str, target: ast.expr, call: ast.Call) -> Iterator[FigureRow]:
    match ast.unparse(call.func):
        case "figure":
            value, *said = call.args
            unit, why, how_known = (str(ast.literal_eval(part)) for part in said)
            yield FigureRow(f"{place}.{ast.unparse(target)}", ast.unparse(value), unit, why, how_known)
        case "figures":
            assert isinstance(target, ast.Tuple)
            why, how_known = (str(ast.literal_eval(keyword.value)) for keyword in call.keywords)
            for name, told in zip(target.elts, call.args, strict=True):
                assert isinstance(told, ast.Tuple)
                value, unit = told.elts
                whole = f"{place}.{ast.unparse(name)}"
                yield FigureRow(whole, ast.unparse(value), str(ast.literal_eval(unit)), why, how_known)


if __name__ == "__main__":
    for row in rows():
        print(f"{row.place} = {row.value} [{row.unit}]: {row.why} ({row.how_known})")
