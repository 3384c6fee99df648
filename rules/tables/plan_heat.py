"""What a plan of drawing is told to bring, from what its run says: coefficients that were learned on whole winters.

The run of a heap's members knows no work that is still to be done, of which the first weeks are full, and holds small
and lean heaps for dead too soon, large ones for alive too long: told as it stood it was .82, .69 and .96 of what came
on three truths, half of it in the first week, and its range held .63 to .67. `python -m tests.winters.training` fits
these to what came (tuning seeds 300 to 347, 48 heaps of each truth), with the truths' ratios evenly about 1: told
heat is then .81, .90 and 1.19 of what came on these, and its range holds .92, .88 and .84. Nothing that an answer
knows tells the truths apart: on half of them a heap's age, the spread of its members, their chance to die, what its
house wants, loop or duct, cold and hot cores apart moved these ratios by .02 at most. All is told 4 % more than was
fitted then: the plan's pairs have become lower ones since, which bring 6, 0 and 4 % more.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from rules.language.model import HowKnown, Source, SourceKind

RUN_POWER: Final = 0.5
"""Power of the run's heat: a run tells heaps apart, but too far (our own; .2 fits no better) [1]."""
MEAN: Final[Mapping[str, float]] = MappingProxyType(
    {"always": 2.63, "young": 1.77, "volume": 0.23, "days": 0.23, "lean": 0.61, "core": 0.21}
)
"""Coefficients of the logarithm of the heat told, beside that power; `service.picture.drawplan.bring` says of what."""
LEAST, MOST = 0.22, 2.27
"""Between these shares of the heat told lay that of 88 in 100 questions [1]."""
HOUSE_THERMOSTAT: Final = (0.0, 0.1, 0.3)
"""What a thermostat in the house, in series with the one in the heap, brings more than the plan without: low end, mean
and high end of four heaps in five, as shares of the heat told [1]."""
SOURCE: Final = Source(
    SourceKind.COMMON_PRACTICE, "our own, learned on simulated winters of three kinds", HowKnown("derived")
)
