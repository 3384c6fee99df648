"""A material that is not what its kind usually is, or was named wrongly, is overruled by a week's log.

Measured: Kamp and Feilberg 2023, broiler litter, an open probe of the top and one of the base; told as what it is, and
as grass, which rots several times as fast and as far.
"""

from __future__ import annotations

import numpy as np

from service.outlook.forecast import forecast_core
from service.status.reading import read_status
from tests.measured import litter

PROBES, DAYS = ("T13", "T11"), (8, 18)  # days after building, near enough


def _told(probe: str, day: float, material: str, log_days: int) -> float:
    body = litter.told(litter.traces()[probe], day, log_days=log_days, mix=False)
    body["pile"]["ingredients"] = [{"material": material, "amount": "22 t", "moisture": litter.MOISTURE}]
    return float(forecast_core(read_status(body), [7.0])[0][0])


def _apart(log_days: int) -> float:
    """How far a week's forecast of litter told as grass is from that told as litter, on the mean. [K]"""
    origins = [(probe, litter.origins(litter.traces()[probe])) for probe in PROBES]
    asked = [(probe, min(days, key=lambda day: abs(day - wanted))) for probe, days in origins for wanted in DAYS]
    return float(
        np.mean(
            [abs(_told(p, d, "grass_clippings", log_days) - _told(p, d, "poultry litter", log_days)) for p, d in asked]
        )
    )


def test_readings_overrule_what_was_told_of_the_mix() -> None:
    # One reading of a middling core is hardly led by the mix either, and a week's log no more than it
    assert _apart(0) < 2.0
    assert _apart(7) < 2.0
