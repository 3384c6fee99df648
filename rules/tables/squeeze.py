"""Where a squeezed handful counts: the skin of a heap says little about its inside."""

from __future__ import annotations

from typing import Final

from rules.language import facts as f

FROM_INSIDE: Final = f.moisture_feel_at.unknown() | f.moisture_feel_at.one_of("arm_deep", "core")
"""The handful is not known to come from the surface."""

DRY_INSIDE: Final = f.moisture_feel.one_of("dusty", "dry") & FROM_INSIDE
"""A dry handful from inside."""

DAMP_INSIDE: Final = f.moisture_feel.one_of("damp") & FROM_INSIDE
"""A handful like a wrung-out rag, from inside."""

WET_INSIDE: Final = (
    f.moisture_feel.one_of("wet", "soggy") & FROM_INSIDE & (f.moisture_feel_at.known() | f.wet_skin_dry_core.not_seen())
)
"""A dripping handful from inside. Of unknown origin, it counts only where nobody saw a wet skin over a dry core."""

SOGGY_INSIDE: Final = (
    f.moisture_feel.one_of("soggy") & FROM_INSIDE & (f.moisture_feel_at.known() | f.wet_skin_dry_core.not_seen())
)
"""A streaming handful from inside, judged as above."""

FEEL_NOT_WET: Final = f.moisture_feel.unknown() | f.moisture_feel.one_of("dusty", "dry", "damp")
"""Nobody felt a wet handful."""
