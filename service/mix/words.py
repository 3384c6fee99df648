"""Who says what is said about a mix, how grave its causes of ammonia are, and names for use inside sentences."""

from __future__ import annotations

import re
from typing import Final

from rules.catalogue import said
from rules.language.model import HowKnown, Source, SourceKind
from rules.language.sources import (
    AMMONIA_EQUILIBRIUM,
    COMMON_PRACTICE,
    CORNELL_CHEMISTRY,
    CORNELL_MIX,
    NEW_BRUNSWICK,
    SURREY_FIRE,
    URINE_STUDY,
    WSU_AVAILABLE_CARBON,
)
from rules.tables.material import Material
from service.mix.shapes.answer import Level

ESTIMATE: Final = Source(
    SourceKind.PHYSICS,
    "our own estimate from published peaks and the factors of Haug, 1993; see its text",
    HowKnown.DERIVED,
)
FORMULA: Final = Source(
    SourceKind.HANDBOOK,
    "Agnew and Leonard, 2003, and Richard et al., 2004: free air space from bulk density and moisture",
    HowKnown.FROM_MEMORY,
)

AMMONIA_CAUSES: Final[dict[str, tuple[Level, Source]]] = {
    "rich_high": ("high", CORNELL_CHEMISTRY),
    "rich_some": ("some", NEW_BRUNSWICK),
    "ash_high": ("high", AMMONIA_EQUILIBRIUM),
    "ash_some": ("some", AMMONIA_EQUILIBRIUM),
    "quick_some": ("some", URINE_STUDY),
    "overfed": ("high", WSU_AVAILABLE_CARBON),
    "calm": ("low", CORNELL_CHEMISTRY),
    "no_nitrogen": ("low", CORNELL_CHEMISTRY),
}
"""Causes of ammonia: how grave, who says so."""
NOTE_SOURCES: Final[dict[str, Source]] = {
    "wood": WSU_AVAILABLE_CARBON,
    "runs_off": FORMULA,
    "small": COMMON_PRACTICE,
    "fire": SURREY_FIRE,
    "dry_wood": CORNELL_MIX,
}
"""Who says what else to know."""


def name_in_sentence(material: Material) -> str:
    """A material's name without its asides, for use inside a sentence."""
    return re.split(r"[,(]", said(f"material.{material.id}.name"))[0].strip()
