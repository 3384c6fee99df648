"""What goes into a heap: composition, bulk and cautions of each material, read from `materials.toml`.

Every number carries its range and its source. Carbon is given with either nitrogen or C:N and the third is worked
out here, because published tables average nitrogen and C:N apart and their product can exceed 100 % carbon.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from rules.language import sources
from rules.language.model import HowKnown, Source, SourceKind
from rules.language.toml import TomlTable, entry_of
from rules.tables.material import Figure, Material, MaterialCaution

TRAITS: Final = frozenset(
    {
        "wood",
        "packs",
        "mats",
        "sheets",
        "whole",
        "manure",
        "poultry",
        "sanitary",
        "food",
        "ash",
        "liquid",
        "rich_nitrogen",
        "mineral",
        "unknown",
        "unsaid",
    }
)
CONSISTENT_BY_C_TO_N: Final = Source(
    SourceKind.PHYSICS, "carbon, nitrogen and C:N of one material are two numbers, not three", HowKnown.DERIVED
)
_PERCENT: Final = 0.01
_MEGA: Final = 1e6


@dataclass(frozen=True, slots=True)
class Supply:
    """Something that may be on hand and is no ingredient, such as a tarp."""

    id: str
    name: str
    synonyms: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refusal:
    """Something people ask about that has no place in a heap, and why; `words` in any name tell of it."""

    id: str
    synonyms: tuple[str, ...]
    words: tuple[str, ...]
    why: str
    source: Source

    @property
    def plain_words(self) -> tuple[str, ...]:
        """The telling words as names are compared."""
        return tuple(plain_name(word) for word in self.words)


def find_material(name: str) -> str | None:
    """The id of the material called `name` in any common way (case, spaces, hyphens and plurals do not matter)."""
    plain = plain_name(name)
    return MATERIAL_NAMES.get(plain) or MATERIAL_NAMES.get(_of_manure(plain))


def _of_manure(plain: str) -> str:
    """A plain name with its last word as "manure" where it means that: cow muck is cow manure."""
    first, _, last = plain.rpartition("_")
    return f"{first}_manure" if KINDS.get(last) == "manure" else plain


def find_on_hand(name: str) -> str | None:
    """The id of the supply or material called `name`, or None."""
    return SUPPLY_NAMES.get(plain_name(name)) or find_material(name)


def find_refusal(name: str) -> Refusal | None:
    """Why `name` is not accepted, where it is one of the things that never belong in a heap."""
    plain = plain_name(name)
    id_ = _REFUSAL_NAMES.get(plain)
    if id_ is not None:
        return REFUSALS[id_]
    if plain in MATERIAL_NAMES or plain in SUPPLY_NAMES:
        return None
    within = f"_{plain}_"
    telling = (refusal for refusal in REFUSALS.values() if any(f"_{word}_" in within for word in refusal.plain_words))
    return next(telling, None)


def names_matter(word: str, material: str) -> bool:
    """Whether a word stands in names of other materials and in none of this: with it the thing may be another."""
    named = _named_with(plain_name(word))
    return bool(named) and material not in named


@cache
def _named_with(word: str) -> frozenset[str]:
    """The materials in one of whose names a word stands."""
    return frozenset(id_ for name, id_ in MATERIAL_NAMES.items() if word in name.split("_"))


def plain_name(name: str) -> str:
    """A name as names are compared: in lower case, words joined by `_`, each without its plural ending."""
    words = re.findall(r"[a-z0-9]+", name.casefold().replace("'", ""))
    return "_".join(_singular(word) for word in words)


def _singular(word: str) -> str:
    if word.endswith(("shes", "ches", "xes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word


def _source(key: str, table: dict[str, Source]) -> Source:
    shared = getattr(sources, key, None)
    if isinstance(shared, Source):
        return shared
    if key not in table:
        raise ValueError(f"materials.toml names the source {key!r}, which is declared nowhere")
    return table[key]


def _figure(entry: TomlTable, field: str, scale: float, table: dict[str, Source]) -> Figure:
    value, low, high, key = entry[field]
    if not low <= value <= high:
        raise ValueError(f"{field}: {low} <= {value} <= {high} does not hold")
    return Figure(value * scale, low * scale, high * scale, _source(key, table))


def _carbon_and_nitrogen(entry: TomlTable, table: dict[str, Source]) -> tuple[Figure, Figure, Figure | None]:
    """Carbon, nitrogen and C:N, the one not given worked out from the other two at their middle values."""
    carbon = _figure(entry, "carbon", _PERCENT, table)
    if ("nitrogen" in entry) == ("c_to_n" in entry):
        raise ValueError("give one of nitrogen and c_to_n beside carbon")
    if "c_to_n" in entry:
        ratio = _figure(entry, "c_to_n", 1.0, table)
        return carbon, _divided(carbon, ratio), ratio
    nitrogen = _figure(entry, "nitrogen", _PERCENT, table)
    return carbon, nitrogen, _divided(carbon, nitrogen) if nitrogen.low > 0 else None


def _divided(carbon: Figure, by: Figure) -> Figure:
    middle = carbon.value
    return Figure(middle / by.value, middle / by.high, middle / by.low, CONSISTENT_BY_C_TO_N)


def _traits(entry: TomlTable) -> frozenset[str]:
    traits = frozenset(entry["traits"])
    if traits - TRAITS:
        raise ValueError(f"traits: {sorted(traits - TRAITS)} not known")
    return traits


def _material(id_: str, entry: TomlTable, table: dict[str, Source], cautions: dict[str, MaterialCaution]) -> Material:
    with entry_of("rules/tables/materials.toml", f"materials.{id_}"):
        carbon, nitrogen, c_to_n = _carbon_and_nitrogen(entry, table)
        return Material(
            id=id_,
            name=entry["name"],
            synonyms=tuple(entry["synonyms"]),
            traits=_traits(entry),
            moisture=_figure(entry, "moisture", _PERCENT, table),
            density=_figure(entry, "density", 1.0, table),
            carbon=carbon,
            nitrogen=nitrogen,
            c_to_n=c_to_n,
            fast=_figure(entry, "fast", _PERCENT, table),
            slow=_figure(entry, "slow", _PERCENT, table),
            heating_value=_figure(entry, "heating_value", _MEGA, table),
            pace=_figure(_spread(entry, "pace"), "pace", _PERCENT, table),
            hottest=_figure(_spread(entry, "hottest"), "hottest", 1.0, table),
            remark=entry["remark"],
            cautions=tuple(cautions[key] for key in entry["cautions"]),
        )


def _spread(entry: TomlTable, field: str) -> TomlTable:
    """Where a figure of how heaps differ stands: in the material's own entry, else in that of its kind."""
    if field in entry:
        return entry
    kinds: dict[str, TomlTable] = _DATA["spreads"]
    return next((kinds[kind] for kind in kinds if kind in entry["traits"]), kinds["other"])


def _names(things: Iterable[Material | Supply | Refusal]) -> dict[str, str]:
    """The id behind every plain name of the things; one name for two of them is an error in the data."""
    names: dict[str, str] = {}
    for thing in things:
        given = [thing.id, *thing.synonyms]
        for name in {plain_name(each) for each in given}:
            if name in names:
                raise ValueError(f"{name!r} names both {names[name]} and {thing.id}")
            names[name] = thing.id
    return names


_DATA: Final = tomllib.loads(Path(__file__).with_name("materials.toml").read_text(encoding="utf-8"))
_SOURCES: Final = {
    key: Source(SourceKind(entry["kind"]), entry["cite"], HowKnown(entry["how_known"]), entry.get("where", ""))
    for key, entry in _DATA["sources"].items()
}
_CAUTIONS: Final = {
    key: MaterialCaution(key, entry["text"], _source(entry["source"], _SOURCES))
    for key, entry in _DATA["cautions"].items()
}
MATERIALS: Final[dict[str, Material]] = {
    id_: _material(id_, entry, _SOURCES, _CAUTIONS) for id_, entry in _DATA["materials"].items()
}
SUPPLIES: Final[dict[str, Supply]] = {
    id_: Supply(id_, entry["name"], tuple(entry["synonyms"])) for id_, entry in _DATA["supplies"].items()
}
REFUSALS: Final[dict[str, Refusal]] = {
    id_: Refusal(id_, tuple(entry["synonyms"]), tuple(entry["words"]), entry["why"], _source(entry["source"], _SOURCES))
    for id_, entry in _DATA["refused"].items()
}
SUBSTANCES: Final[dict[str, str]] = {
    plain_name(word): id_ for id_, words in _DATA["substances"].items() for word in words
}
KINDS: Final[dict[str, str]] = {plain_name(word): id_ for id_, words in _DATA["kinds"].items() for word in words}
"""Words that tell the kind of a thing nobody listed, with the material it is taken for."""
MATERIAL_NAMES: Final = _names(MATERIALS.values())
SUPPLY_NAMES: Final = _names(SUPPLIES.values())
_REFUSAL_NAMES: Final = _names(REFUSALS.values())
