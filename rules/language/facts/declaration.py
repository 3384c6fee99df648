"""How facts are declared: a number with its unit, a flag, or a text with the values it takes."""

from __future__ import annotations

from typing import Final, TypedDict, Unpack

from rules.language.conditions import Fact

ALL: Final[dict[str, Fact]] = {}


class Origin(TypedDict, total=False):
    """Where a fact comes from: `field`, `tells`, `sways` and `estimated` as in `Fact`."""

    field: str
    tells: tuple[str, ...]
    sways: tuple[str, ...]
    estimated: bool


def number(name: str, unit: str, meaning: str, **origin: Unpack[Origin]) -> Fact:
    """A number."""
    return _declare(Fact(name, "number", unit, meaning, **_whole(origin)))


def flag(name: str, meaning: str, **origin: Unpack[Origin]) -> Fact:
    """Something that is so or is not."""
    return _declare(Fact(name, "flag", "", meaning, **_whole(origin)))


def text(name: str, meaning: str, *values: str, **origin: Unpack[Origin]) -> Fact:
    """One word out of `values`."""
    return _declare(Fact(name, "text", "", meaning, values, **_whole(origin)))


def _whole(origin: Origin) -> Origin:
    """The same, a fact that is a field as it was told coming from that field."""
    return {"tells": (origin["field"],), **origin} if "field" in origin else origin


def _declare(fact: Fact) -> Fact:
    if fact.name in ALL:
        raise ValueError(f"fact {fact.name} is declared twice")
    if not fact.tells:
        raise ValueError(f"fact {fact.name} comes from nothing: give `field`, or `tells` and `sways`")
    ALL[fact.name] = fact
    return fact
