"""What can hurt people or the heap: said on every sheet, with who says so. Local law and licensed trades come first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

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
from service.mix.words import plain_name
from service.planning.ranges import source_shown
from service.planning.tape import on_tape
from service.render.wording import in_words
from service.sheet.heap import Sheet

Said = tuple[str, Source]
LAW: Final[Said] = (
    "This sheet is no permit and no design by a licensed trade. Where local law, fire code, plumbing or electrical "
    "rules, or a licensed trade say otherwise, they are right.",
    COMMON_PRACTICE,
)
FIRE: Final[Said] = (
    "Fire: a heap can light itself. From {daily} look daily and open the vent; from {over} look twice a day and blow "
    "no air in; from {clear}, or at any smoke, keep clear, do not open it, and call the fire service.",
    SURREY_FIRE,
)
PLACE: Final[Said] = (
    "Fire: keep it away from houses, fences, fuel and dry grass, as far as your fire code asks, with a hose that "
    "reaches it and room to pull it apart. Build it no higher than {height}.",
    BUGGELN_FIRE,
)
GAS: Final[Said] = (
    "Gases: a heap uses up oxygen and breathes out gas that can harm or kill (carbon dioxide, carbon monoxide, "
    "ammonia). Do not lean over an opened heap. Do not work in a shut shed. Let no air that went through the heap into "
    "a closed house.",
    EXPOSURE_LIMITS,
)
CRAWL: Final[Said] = (
    "Never climb or put your head into a duct, pit, tank or dug hole: the air there can kill at once.",
    CONFINED_SPACE,
)
SPORES: Final[Said] = (
    "Spores: dust from chips and heaps harms lungs. Wear a dust mask that fits, stand upwind, damp down dry stuff, and "
    "stay away if your lungs or your defences are weak.",
    PEARSON_BIOAEROSOLS,
)
GERMS: Final[Said] = (
    "Germs: a hot core is no proof that germs and weed seeds are dead; the outer layer never gets hot. This sheet "
    "promises no kill. Wash your hands, and treat what comes out as raw.",
    EPA_STATIC,
)
AMMONIA: Final[Said] = (
    "Ammonia: urea, urine and fresh manure give off ammonia, all the more with wood ash or lime. Keep ash and lime "
    "out, dissolve urea outdoors, and wear gloves and eye cover.",
    AMMONIA_EQUILIBRIUM,
)
COPPER: Final[Said] = (
    "Ammonia eats copper and can crack it: keep urea, urine and fresh manure off the tube.",
    COPPER_AND_AMMONIA,
)
SCALD: Final[Said] = (
    "Scald: from {scald} water burns skin within minutes. Fit a mixing valve, and lag pipes that people touch.",
    SCALD_STUDY,
)
LEGIONELLA: Final[Said] = (
    "Legionella: germs that attack the lungs grow in water from {from} to {to}. Keep the loop closed, with a heat "
    "exchanger; never drink, spray or shower with its water.",
    WHO_LEGIONELLA,
)
PRESSURE: Final[Said] = (
    "Pressure: a closed loop in a hot heap needs an expansion vessel and a relief valve that drips where nobody "
    "stands. Fill and press it before the heap hides it; let a plumber do what the code asks for.",
    SEALED_HEATING,
)
CURRENT: Final[Said] = (
    "Electricity: pumps, fans and timers in the wet need a safety switch that trips on earth faults (RCD or GFCI). "
    "Unplug before you touch them. Leave wiring to a licensed electrician.",
    NFPA_70,
)
WEIGHT: Final[Said] = (
    "Weight: wet stuff is heavy and a steep side can slide. Use small loads, do not undercut it, and do not work "
    "alone.",
    COMMON_PRACTICE,
)


def cautions(sheet: Sheet) -> list[dict[str, Any]]:
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
    general = [(text.format_map(words), source) for text, source in _said(sheet)]
    return [{"text": text, "source": source_shown(source)} for text, source in [*general, *_of_materials(sheet), LAW]]


def _said(sheet: Sheet) -> Iterator[Said]:
    yield from (FIRE, PLACE, GAS)
    if sheet.duct is not None or sheet.loop is not None:
        yield CRAWL
    yield from (SPORES, GERMS, AMMONIA)
    if sheet.loop is not None:
        if sheet.answer["layout"]["loop"]["tube"] == "copper":
            yield COPPER
        yield from (SCALD, LEGIONELLA, PRESSURE)
    yield from (CURRENT, WEIGHT)


def _of_materials(sheet: Sheet) -> Iterator[Said]:
    """What to mind with each thing that is laid, each caution once."""
    mix = sheet.plan.wanted.mix
    materials = [stuff.material for stuff, _ in mix.parts] + [MATERIALS["urea"]] * (mix.nitrogen.value > 0.0)
    seen: set[str] = set()
    for material in materials:
        for caution in material.cautions:
            if caution.key not in seen:
                seen.add(caution.key)
                name = plain_name(material)
                yield f"{name[0].upper()}{name[1:]}. {caution.text}", caution.source
