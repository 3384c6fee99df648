"""What a plan of drawing is told to bring, from what its run says: coefficients that were learned on whole winters.

The run is of a heap's members once the work that is advised beside the plan is done on them. It knows nothing of how a
heap gets going in its first weeks, kills small and lean heaps too soon and lets large ones live too long: told as it
stands it is 1.2 times what came on each of three truths. `python -m tests.winters.training` fits these to what came
(tuning seeds 300 to 323, 24 heaps of each truth), with the truths' ratios evenly about 1: told heat is then .81, .90
and 1.19 of what came on these, and its range holds .92, .85 and .86. Nothing that an answer knows tells the truths
apart: on half of them a heap's age, the spread of its members, their chance to die, what its house wants, loop or duct,
cold and hot cores apart moved these ratios by .02 at most.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from rules.language.model import HowKnown, Source, SourceKind

RUN_POWER: Final = 0.65
"""Power of the run's heat: a run tells heaps apart, but too far (our own; .5 and .8 fit no better) [1]."""
MEAN: Final[Mapping[str, float]] = MappingProxyType(
    {"always": 1.92, "young": 1.1, "days": 0.16, "lean": 0.68, "core": 0.18}
)
"""Coefficients of the logarithm of the heat told, beside that power; `service.picture.drawplan.bring` says of what."""
LEAST, MOST = 0.27, 3.01
"""Between these shares of the heat told lay that of 88 in 100 questions [1]."""
HOUSE_THERMOSTAT: Final = (0.0, 0.1, 0.3)
"""What a thermostat in the house, in series with the one in the heap, brings more than the plan without: low end, mean
and high end of four heaps in five, as shares of the heat told [1]."""
SOURCE: Final = Source(
    SourceKind.COMMON_PRACTICE, "our own, learned on simulated winters of three kinds", HowKnown("derived")
)
