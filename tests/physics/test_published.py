"""The heat model against what was published or is told of real heaps: a table, printed, with what holds and what fails.

A row agrees by its median where that lies in the published span (within a tenth of a single figure), by its range where
only the model's 80 % range meets the span; else the model is too high or too low. Rows that fail are asserted to fail,
so that the table stays true: see the remark beside each.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from tests.physics.published import (
    days_to,
    duct_outlet_f,
    frozen_chips,
    hose_outlet_f,
    latent_share,
    quarter_hours_of_water,
    recovered_kj_kg,
    stored_chips_loss,
    tonnes_for,
)

RICH, USUAL = "50 chips : 30 manure : 20 grass", "75 chips : 25 horse manure"
SECOND_SUMMER = slice(440, 580)


@dataclass(frozen=True)
class Row:
    """One published figure: its span, the model's members or range, and how they compare."""

    what: str
    unit: str
    low: float
    high: float
    model: Callable[[], object]
    verdict: str
    source: str

    def modelled(self) -> tuple[float, float, float]:
        """10, 50 and 90 % points of the model."""
        return tuple(np.quantile(np.asarray(self.model(), dtype=float), [0.1, 0.5, 0.9]).tolist())  # type: ignore[return-value]

    def found(self) -> str:
        """How the model compares."""
        low, median, high = self.modelled()
        if low > self.high or high < self.low:
            return "too high" if low > self.high else "too low"
        slack = 0.1 * self.low if self.low == self.high else 0.0
        return "median" if self.low - slack <= median <= self.high + slack else "range"


ROWS = [
    # Smith, Aber and Rynk 2015 (read): mean heat recovered in the laboratory, at pilot scale, in plants
    Row(
        "heat recovered, laboratory",
        "kJ/kg DM",
        1159,
        1159,
        lambda: recovered_kj_kg(USUAL, 30),
        "median",
        "review 2015",
    ),
    Row("heat recovered, pilot", "kJ/kg DM", 3899, 3899, lambda: recovered_kj_kg(USUAL, 365), "median", "review 2015"),
    # Plants are fed, blown and condense their vapour; a static heap of the best mix gets there in a year at its best
    Row("heat recovered, plants", "kJ/kg DM", 7084, 7084, lambda: recovered_kj_kg(RICH, 365), "range", "review 2015"),
    # Energies 15:7094 (read). Fails: sound stemwood rots far more slowly than the green chips of the prior
    Row("loss, pine stemwood, 5.9 months", "%", 2.4, 3.8, lambda: stored_chips_loss(177), "too high", "Energies 2022"),
    # Abstract of a study of spruce chip heaps (read): up to 11.1 %; met at the model's lower half only
    Row("loss, spruce, 5 months", "%", 0.0, 11.1, lambda: stored_chips_loss(150), "range", "spruce abstract"),
    # Forests 13:459 (read), two batches in a chamber
    Row("loss, poplar, 4 weeks", "%", 5.0, 9.8, lambda: stored_chips_loss(28), "range", "Forests 2022"),
    # Forests 11:374 (read): about a quarter. Fails: fresh poplar holds more that rots quickly than the prior has
    Row("loss, poplar, 7 months", "%", 22.0, 28.0, lambda: stored_chips_loss(213), "too low", "Forests 2020"),
    Row("loss, birch, 12 months", "%", 8.0, 27.0, lambda: stored_chips_loss(365), "median", "BioRes 5:55"),
    # Sampson and McBeath (read): 6 m of spruce chips built frozen. The peak fails by about 8 K: the model's decay ends
    # at 66-74 degC, its chips are greener, and ice and its heat of melting are left out
    Row(
        "peak, frozen spruce chips",
        "degC",
        61,
        61,
        lambda: frozen_chips().core_c[:330].max(axis=0),
        "too high",
        "Fairbanks",
    ),
    Row(
        "second summer, the same",
        "degC",
        41,
        41,
        lambda: frozen_chips().core_c[SECOND_SUMMER].max(axis=0),
        "median",
        "Fairbanks",
    ),
    # Cornell, Compost Physics (read): large heaps 60-70 degC in 3-5 days
    Row("days to 60 degC, 9 t, 25 % manure", "days", 3, 5, lambda: days_to(60.0, USUAL, 9.0), "median", "Cornell"),
    # Energies 12:1583 (abstract read: mostly latent); share from a psychrometric library
    Row(
        "latent share of air through the heap",
        "1",
        0.70,
        0.80,
        lambda: [latent_share(0.0, 40.0), latent_share(10.0, 45.0), latent_share(10.0, 55.0)],
        "range",
        "psychrometrics",
    ),
    # Common practice, no source
    Row("duct outlet, 88 ft3/min", "degF", 100, 105, lambda: duct_outlet_f(60.0, 88.0), "range", "common practice"),
    Row(
        "hose outlet, 1 gal/min, for hours",
        "degF",
        60,
        70,
        lambda: hose_outlet_f(50.0, 1.0),
        "median",
        "common practice",
    ),
    # Common practice: half a gallon a minute for 15 minutes an hour never overdraws a heap of 1-2 tons. With a plastic
    # hose in a rich mix the core is above 40 degC after a week; with 100 ft of copper, or in a usual mix, most are not;
    # and after a fortnight hardly any is
    Row(
        "core after 7 d, plastic hose, rich mix",
        "degC",
        40,
        70,
        lambda: quarter_hours_of_water(RICH, "plastic").core_c[14],
        "median",
        "common practice",
    ),
    Row(
        "the same through 100 ft of copper",
        "degC",
        40,
        70,
        lambda: quarter_hours_of_water(RICH, "copper").core_c[14],
        "range",
        "common practice",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.what)
def test_the_model_compares_as_the_table_says(row):
    assert row.found() == row.verdict


def test_the_table_is_printed(capsys):
    lines = [f"{'':<40}{'unit':<10}{'published':>14}{'model P10 / P50 / P90':>34}  verdict"]
    for row in ROWS:
        span = f"{row.low:g}" if row.low == row.high else f"{row.low:g}-{row.high:g}"
        numbers = " / ".join(f"{value:.3g}" for value in row.modelled())
        lines.append(f"{row.what:<40}{row.unit:<10}{span:>14}{numbers:>34}  {row.found()} ({row.source})")
    with capsys.disabled():
        print("\n" + "\n".join(lines))


def test_a_farmhouse_heap_needs_tens_of_tonnes():
    # Malesani et al. 2021 (abstract read): a static heap of prunings, 2.75 kW as a mean over a year. Its size was not
    # read, so this is open: the model wants some 40 t of dry matter, several lorry loads
    low, median, high = np.quantile(tonnes_for(2.75), [0.1, 0.5, 0.9])
    assert 15.0 < low < median < high < 100.0
    assert 25.0 < median < 60.0


def test_a_quarter_of_an_hour_overdraws_through_copper_or_in_a_usual_mix():
    # Common practice says never: it holds for a week through a plastic hose in a rich mix, and for nothing else
    week, fortnight = 14, 28
    kept = {
        (mix, tube): [
            float((quarter_hours_of_water(mix, tube).core_c[step] >= 40.0).mean()) for step in (week, fortnight)
        ]
        for mix, tube in ((RICH, "plastic"), (RICH, "copper"), (USUAL, "plastic"))
    }
    assert kept[RICH, "plastic"][0] > 0.6
    assert kept[RICH, "copper"][0] < 0.3
    assert kept[USUAL, "plastic"][0] < 0.3
    assert kept[RICH, "plastic"][1] < 0.5
