"""The build sheet as text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from rules.catalogue import said
from service.planning.shapes.sheet_answer import BuildSheet
from service.sheet.cells import CellRow, barrow_note, checks_rows, facts, head, layers_rows, materials_rows

WIDTH: Final = 100


def as_text(content: BuildSheet) -> str:
    """The whole sheet, without the drawing."""
    return "\n".join(_lines(content)) + "\n"


def _lines(content: BuildSheet) -> Iterator[str]:
    if content.notice is not None:
        yield from _wrapped(said("sheet.not-as-asked-loud", notice=content.notice))
        yield ""
    yield content.title
    yield from _wrapped(content.purpose)
    yield ""
    yield from (f"{name + ':':<26}{value}" for name, value in facts(content))
    yield from _part("bring")
    for name, use, amounts, barrows in materials_rows(content):
        loads = said("sheet.barrows", count=barrows) if barrows else ""
        yield from _wrapped(f"- {name}: {amounts}{loads} ({use})", 2)
    yield from _wrapped(barrow_note(content))
    yield from _part("layers")
    yield from _table((head("layers"), *layers_rows(content)))
    yield from _part("where")
    for kind in ("loop", "duct"):
        if getattr(content.layout, kind) is not None:
            yield from _wrapped(f"{said(f'sheet.{kind}')}: {getattr(content.layout, kind).text}")
    yield from _part("order")
    for number, step in enumerate(content.steps, start=1):
        yield from _wrapped(f"{number}. {step}", 3)
    yield from _part("checks")
    for day, expect, look, if_not in checks_rows(content):
        yield from _wrapped(said("sheet.day", day=day, expect=expect, look=look, if_not=if_not), 3)
    yield from _part("care")
    for each in content.cautions:
        yield from _wrapped(f"- {each.text} [{each.source.cite}]", 2)
    yield from _part("know")
    for each in content.notes:
        yield from _wrapped(f"- {each.text}", 2)


def _part(part: str) -> Iterator[str]:
    yield from ("", said(f"sheet.part.{part}"), "")


def _wrapped(text: str, indent: int = 0) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * indent)


def _table(rows: Sequence[CellRow]) -> Iterator[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
