"""What is left of a mix after a while: carbon goes up in the air, and most nitrogen stays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.facts.mixture import Mixture
from service.units.figures import figure

NITROGEN_LOST: Final = figure(
    0.2,
    "1",
    "Share of the nitrogen that is gone once all that can rot has rotted (common practice, no source: as "
    "ammonia and with water; from some of it to half in rich mixes)",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Rotted:
    """A mix as it is now: its two ratios of carbon to nitrogen, and shares of the dry matter that is left."""

    cn_ratio: float | None
    cn_ratio_degradable: float | None
    nitrogen_share: float
    degradable_share: float


def rotted(mixture: Mixture, degradable_left: float) -> Rotted:
    """The mix with this share (0 to 1) of what could rot still there."""
    gone = 1.0 - degradable_left
    built = mixture.fast.value + mixture.slow.value
    dry_left = 1.0 - built * gone
    nitrogen = mixture.nitrogen_share * (1.0 - NITROGEN_LOST * gone)
    rotting = mixture.cn_degradable.value * mixture.nitrogen_share
    known = nitrogen > 0.0
    return Rotted(
        cn_ratio=max(mixture.carbon_share - rotting * gone, 0.0) / nitrogen if known else None,
        cn_ratio_degradable=rotting * degradable_left / nitrogen if known else None,
        nitrogen_share=nitrogen / dry_left,
        degradable_share=built * degradable_left / dry_left,
    )
