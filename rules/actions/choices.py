"""Which materials do for which work, best first: by their figures. The actions and the doses both read these."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from rules.tables.material import Material
from rules.tables.materials import MATERIALS
from rules.tables.uses import brown_tier, builds, bulking_tier, feed_tier, feeds, fuel_tier, is_brown, opens, wraps


def _ordered(fits: Callable[[Material], bool], place: Callable[[Material], Any]) -> tuple[str, ...]:
    return tuple(material.id for material in sorted(filter(fits, MATERIALS.values()), key=place))


NITROGEN: Final = _ordered(feeds, feed_tier)
"""Nitrogen: clean and quick ones first; then manures; then greens; last what draws pests or rots slowly."""

BULKING: Final = _ordered(lambda material: is_brown(material) and opens(material), bulking_tier)
"""Coarse and dry first."""

CARBON: Final = _ordered(is_brown, brown_tier)
"""Fine, dry and poor in nitrogen first."""

FRESH_WOOD: Final = _ordered(builds, lambda material: (-material.moisture.value, -material.density.value))
"""Wood for a new heap or a new layer: green first."""

FRESH_FEED: Final = _ordered(feeds, fuel_tier)
"""Built into a new heap: bulky ones first, for they bring quick fuel besides nitrogen."""

WRAP: Final = _ordered(wraps, lambda material: (material.density.value, material.id))
"""What can be laid around a heap: the lighter first."""
