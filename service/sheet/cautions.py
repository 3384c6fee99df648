"""What can hurt people or the heap: said on every sheet, with who says so. Local law and licensed trades come first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.catalogue import said
from rules.language.model import Source
from rules.language.sources import (
    AMMONIA_EQUILIBRIUM,
    BUGGELN_FIRE,
    COMMON_PRACTICE,
    CONFINED_SPACE,
    COPPER_AND_AMMONIA,
    EPA_STATIC,
    EXPOSURE_LIMITS,
    NFPA_70,
    PEARSON_BIOAEROSOLS,
    SCALD_STUDY,
    SEALED_HEATING,
    SURREY_FIRE,
    WHO_LEGIONELLA,
)
from rules.tables.materials import MATERIALS
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY, FIRE_OVERHEATING
from rules.themes.safety import LEGIONELLA_FROM, LEGIONELLA_TO, SCALDS_FROM
from service.mix.shapes.sources import NoteTold
from service.mix.sources import notes_shown
from service.mix.words import name_in_sentence
from service.planning.build_list import tube_of
from service.planning.tape import on_tape
from service.render.wording import in_words
from service.sheet.heap import Sheet

Said = tuple[str, Source]
SOURCES: Final[dict[str, Source]] = {
    "law": COMMON_PRACTICE,
    "fire": SURREY_FIRE,
    "place": BUGGELN_FIRE,
    "gas": EXPOSURE_LIMITS,
    "crawl": CONFINED_SPACE,
    "spores": PEARSON_BIOAEROSOLS,
    "germs": EPA_STATIC,
    "ammonia": AMMONIA_EQUILIBRIUM,
    "copper": COPPER_AND_AMMONIA,
    "scald": SCALD_STUDY,
    "legionella": WHO_LEGIONELLA,
    "pressure": SEALED_HEATING,
    "current": NFPA_70,
    "weight": COMMON_PRACTICE,
}
"""Who says what is to be minded, by the end of its id."""


def cautions(sheet: Sheet) -> list[NoteTold]:
    """The cautions for this heap, each with its source."""
    quoted = {
        "daily": FIRE_LOOK_DAILY.value,
        "over": FIRE_OVERHEATING.value,
        "clear": FIRE_KEEP_CLEAR.value,
        "scald": SCALDS_FROM.value,
        "from": LEGIONELLA_FROM.value,
        "to": LEGIONELLA_TO.value,
    }
    words = {name: in_words(value, "degC", sheet.system) for name, value in quoted.items()}
    words["height"] = on_tape(sheet.shape.height_m, sheet.system)
    told: list[Said] = [
        *(_general(name, words) for name in _minded(sheet)),
        *_of_materials(sheet),
        _general("law", words),
    ]
    return notes_shown(told)


def _general(name: str, words: dict[str, str]) -> Said:
    return said(f"sheet.caution.{name}", **words), SOURCES[name]


def _minded(sheet: Sheet) -> Iterator[str]:
    yield from ("fire", "place", "gas")
    if sheet.duct is not None or sheet.loop is not None:
        yield "crawl"
    yield from ("spores", "germs", "ammonia")
    if sheet.loop is not None:
        if tube_of(sheet.request) == "copper":
            yield "copper"
        yield from ("scald", "legionella", "pressure")
    yield from ("current", "weight")


def _of_materials(sheet: Sheet) -> Iterator[Said]:
    """What to mind with each thing that is laid, each caution once."""
    mix = sheet.plan.wanted.mix
    materials = [stuff.material for stuff, _ in mix.parts] + [MATERIALS["urea"]] * (mix.nitrogen.value > 0.0)
    seen: set[str] = set()
    for material in materials:
        for number, caution in enumerate(material.cautions, start=1):
            if caution.key not in seen:
                seen.add(caution.key)
                name = name_in_sentence(material)
                text = said(f"material.{material.id}.caution.{number}")
                yield said("sheet.caution.of-material", name=name[0].upper() + name[1:], caution=text), caution.source
