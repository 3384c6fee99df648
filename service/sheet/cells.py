"""Cells of the sheet's tables, shared by the page, the PDF and the terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.planning.tape import on_tape
from service.render.wording import SPELLED, shown
from service.units.table import FOOT

MATERIALS_HEAD: Final = ("What", "What for", "How much", "Barrow loads")
LAYERS_HEAD: Final = ("No.", "Layer", "From - to", "Thick", "Volume", "Mass", "Barrows", "Water")
CHECKS_HEAD: Final = ("Day", "Expect", "Look", "If not")
Row = tuple[str, ...]


def amount(told: Mapping[str, Any]) -> str:
    """A value with its unit, and its range where it has one."""
    unit = SPELLED.get(told["unit"], told["unit"])
    text = f"{shown(told['value'])} {unit}".rstrip()
    low, high = told.get("low"), told.get("high")
    if low is None or high is None or low == high:
        return text
    return f"{text} ({shown(low)} to {shown(high)})"


def tape(told: Mapping[str, Any]) -> str:
    """A length as it is read off a tape, its range left out."""
    if told["unit"] == "ft":
        return on_tape(told["value"] * FOOT, "us")
    return on_tape(told["value"], "metric")


def _laid(told: Mapping[str, Any]) -> str:
    """A length of tube, duct or probe, with its range where it has one."""
    if told["low"] == told["high"]:
        return tape(told)
    ends = [tape({"value": told[end], "unit": told["unit"]}) for end in ("low", "high")]
    return f"{tape(told)} ({ends[0]} to {ends[1]})"


def materials_rows(content: Mapping[str, Any]) -> list[Row]:
    """What to bring."""
    rows: list[Row] = []
    for each in content["materials"]:
        amounts = [amount(each[name]) for name in ("mass", "volume", "water", "area") if each[name] is not None]
        if each["length"] is not None:
            amounts.append(_laid(each["length"]))
        if each["to_buy"] is not None:
            amounts.append(f"to buy {tape(each['to_buy'])} or more, with joints and ends")
        barrows = "" if each["barrows"] is None else shown(each["barrows"])
        rows.append((each["name"], each["use"], "; ".join(amounts), barrows))
    return rows


def layers_rows(content: Mapping[str, Any]) -> list[Row]:
    """From the ground up."""
    return [
        (
            str(each["number"]),
            each["name"],
            f"{tape(each['from'])} - {tape(each['to'])}",
            tape(each["thickness"]),
            amount(each["volume"]),
            amount(each["mass"]),
            shown(each["barrows"]),
            amount(each["water"]),
        )
        for each in content["layers"]
    ]


def checks_rows(content: Mapping[str, Any]) -> list[Row]:
    """Day by day."""
    return [(str(each["day"]), each["expect"], each["look"], each["if_not"]) for each in content["checks"]]


def barrow_note(content: Mapping[str, Any]) -> str:
    """How much a barrow holds here."""
    return f"A barrow is taken to hold {amount(content['barrow'])}; {shown(content['barrows'])} loads in all."


def facts(content: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The heap in a few lines."""
    heap, gives = content["heap"], content["gives"]
    told = [
        ("Volume as laid", amount(heap["volume_as_laid"])),
        ("Mass", amount(heap["mass"])),
        ("Across, and high", f"{content['drawing']['across']}, {content['drawing']['high']}"),
        ("Heat it should sustain", amount(gives["season_draw"])),
        ("Chance of the heat asked", f"{shown(gives['chance_of_asked'])} %"),
        ("Hot after about", amount(heap["hot_after"])),
    ]
    asked = content["asked"]
    dates = (("Build on", asked["build_on"]), ("First draw", asked["first_draw"]), ("Last draw", asked["last_draw"]))
    return [*told, *((name, value) for name, value in dates if value is not None)]
