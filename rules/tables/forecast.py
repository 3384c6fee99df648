"""How a forecast of the core is put together: weights of the ways a core may go on, and the width of the range.

Every number in `forecast.toml` was learned offline (`python -m tests.forecasting.training`, then `calibration`) and is
our own.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from rules.language.model import HowKnown, Source, SourceKind

Coefficients = Mapping[str, float]
"""By the name of a number that tells of the situation."""


@dataclass(frozen=True, slots=True)
class ForecastTable:
    """Coefficients of the logarithms of each way's weight (that of the first way is 0), and of both half-widths."""

    ways: Mapping[str, Coefficients]
    below: Coefficients
    above: Coefficients
    source: Source


def _table(data: Mapping[str, Any]) -> ForecastTable:
    return ForecastTable(
        ways=MappingProxyType({name: MappingProxyType(row) for name, row in data["ways"].items()}),
        below=MappingProxyType(data["range"]["below"]),
        above=MappingProxyType(data["range"]["above"]),
        source=Source(SourceKind.COMMON_PRACTICE, data["source"]["cite"], HowKnown(data["source"]["how_known"])),
    )


FORECAST: Final = _table(tomllib.loads(Path(__file__).with_name("forecast.toml").read_text(encoding="utf-8")))
