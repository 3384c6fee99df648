"""How facts are declared: a number with its unit, a flag, or a text with the values it takes."""

from __future__ import annotations

from typing import Final

from rules.language.conditions import Fact

ALL: Final[dict[str, Fact]] = {}


def _declare(fact: Fact) -> Fact:
    if fact.name in ALL:
        raise ValueError(f"fact {fact.name} is declared twice")
    if not fact.tells:
        raise ValueError(f"fact {fact.name} comes from nothing: give `field`, or `tells` and `sways`")
    ALL[fact.name] = fact
    return fact


def number(
    name: str,
    unit: str,
    meaning: str,
    *,
    field: str = "",
    tells: tuple[str, ...] = (),
    sways: tuple[str, ...] = (),
    estimated: bool = False,
) -> Fact:
    """A number; `field`, `tells`, `sways` and `estimated` as in `Fact`."""
    return _declare(Fact(name, "number", unit, meaning, (), field, tells or _alone(field), sways, estimated))


def flag(
    name: str,
    meaning: str,
    *,
    field: str = "",
    tells: tuple[str, ...] = (),
    sways: tuple[str, ...] = (),
    estimated: bool = False,
) -> Fact:
    """Something that is so or is not."""
    return _declare(Fact(name, "flag", "", meaning, (), field, tells or _alone(field), sways, estimated))


def text(
    name: str,
    meaning: str,
    *values: str,
    field: str = "",
    tells: tuple[str, ...] = (),
    sways: tuple[str, ...] = (),
    estimated: bool = False,
) -> Fact:
    """One word out of `values`."""
    return _declare(Fact(name, "text", "", meaning, values, field, tells or _alone(field), sways, estimated))


def _alone(field: str) -> tuple[str, ...]:
    return (field,) if field else ()
