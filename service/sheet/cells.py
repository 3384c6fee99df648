"""Cells of the sheet's tables, shared by the page, the PDF and the terminal."""

from __future__ import annotations

from typing import Final

from rules.catalogue import said
from service.mix.shapes.answer import Plain
from service.planning.shapes.sheet_answer import BuildSheet
from service.planning.tape import on_tape
from service.render.shape import Quantity
from service.render.wording import shown, spelled
from service.units.table import FOOT

CellRow = tuple[str, ...]
HEADS: Final[dict[str, CellRow]] = {
    "materials": ("what", "what-for", "how-much", "barrow-loads"),
    "layers": ("number", "layer", "from-to", "thick", "volume", "mass", "barrows", "water"),
    "checks": ("day", "expect", "look", "if-not"),
}
"""Columns of each table, by the end of their ids."""


def head(table: str) -> CellRow:
    """The heads of a table's columns."""
    return tuple(said(f"sheet.head.{column}") for column in HEADS[table])


def amount(told: Quantity | Plain) -> str:
    """A value with its unit, and its range where it has one."""
    value, unit = _alone(told)
    text = f"{shown(value)} {spelled(unit)}".rstrip()
    if isinstance(told, Plain) or told["low"] == told["high"]:
        return text
    return said("sheet.range", value=text, low=shown(told["low"]), high=shown(told["high"]))


def tape(told: Quantity | Plain) -> str:
    """A length as it is read off a tape, its range left out."""
    value, unit = _alone(told)
    return on_tape(value * FOOT, "us") if unit == "ft" else on_tape(value, "metric")


def _alone(told: Quantity | Plain) -> tuple[float, str]:
    return (told.value, told.unit) if isinstance(told, Plain) else (told["value"], told["unit"])


def _laid(told: Quantity) -> str:
    """A length of tube, duct or probe, with its range where it has one."""
    if told["low"] == told["high"]:
        return tape(told)
    ends = [tape(Plain(value=end, unit=told["unit"])) for end in (told["low"], told["high"])]
    return said("sheet.range", value=tape(told), low=ends[0], high=ends[1])


def materials_rows(content: BuildSheet) -> list[CellRow]:
    """What to bring."""
    rows: list[CellRow] = []
    for each in content.materials:
        amounts = [amount(part) for part in (each.mass, each.volume, each.water, each.area) if part is not None]
        if each.length is not None:
            amounts.append(_laid(each.length))
        if each.to_buy is not None:
            amounts.append(said("sheet.to-buy", length=tape(each.to_buy)))
        barrows = "" if each.barrows is None else shown(each.barrows)
        rows.append((each.name, each.use, "; ".join(amounts), barrows))
    return rows


def layers_rows(content: BuildSheet) -> list[CellRow]:
    """From the ground up."""
    return [
        (
            str(each.number),
            each.name,
            f"{tape(each.lower)} - {tape(each.to)}",
            tape(each.thickness),
            amount(each.volume),
            amount(each.mass),
            shown(each.barrows),
            amount(each.water),
        )
        for each in content.layers
    ]


def checks_rows(content: BuildSheet) -> list[CellRow]:
    """Day by day."""
    return [(str(each.day), each.expect, each.look, each.if_not) for each in content.checks]


def barrow_note(content: BuildSheet) -> str:
    """How much a barrow holds here."""
    return said("sheet.barrow-holds", barrow=amount(content.barrow), loads=shown(content.barrows))


def facts(content: BuildSheet) -> list[tuple[str, str]]:
    """The heap in a few lines."""
    heap, gives = content.heap, content.gives
    told = [
        ("volume", amount(heap.volume_as_laid)),
        ("mass", amount(heap.mass)),
        ("size", f"{content.drawing.across}, {content.drawing.high}"),
        ("gives", amount(gives.season_draw)),
        ("chance", f"{shown(gives.chance_of_asked)} %"),
        ("hot-after", amount(heap.hot_after)),
    ]
    asked = content.asked
    dates = (("build-on", asked.build_on), ("first-draw", asked.first_draw), ("last-draw", asked.last_draw))
    told += [(name, day) for name, day in dates if day is not None]
    return [(said(f"sheet.fact.{name}"), value) for name, value in told]
