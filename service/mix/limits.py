"""The limits of a proposal as ratios of sums, so that each is linear in the amounts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rules.language.model import Source
from rules.tables.mix_ranges import RANGES, MixRange, Span
from service.mix.matter import Totals
from service.mix.shapes.things import MixLimits
from service.units.figures import figure

Bound = Literal["low", "high"]
ROUNDING: Final = figure(1e-6, "1", "A mixture this close to a limit, relatively, is on it", "no source")
OPTIMISER: Final = figure(
    1e-6, "1", "What the optimiser may miss a limit by, to a kilogram of the whole mixture", "no source"
)
BOUNDS: Final[tuple[Bound, Bound]] = ("low", "high")


@dataclass(frozen=True, slots=True)
class Shape:
    """How a quantity follows from sums: `plus` less `minus`, over `over`.

    `step` is a clear miss of it, `typical` the usual amount of `over` to a kilogram of dry matter; they only weigh
    misses of different kinds against each other (our own).
    """

    plus: str
    minus: str | None
    over: str
    step: float
    typical: float


RATIO_STEP: Final = figure(10.0, "1", "A clear miss of a ratio of carbon to nitrogen", "no source")
SHARE_STEP: Final = figure(0.10, "1", "A clear miss of a share", "no source")
NITROGEN_SHARE: Final = figure(0.01, "1", "Nitrogen in a kilogram of a usual mix", "no source")
VOLUME_OF_KG: Final = figure(0.005, "m3", "Volume of a kilogram of a usual mix", "no source")
SHAPES: Final[dict[str, Shape]] = {
    "c_to_n": Shape("rotting_carbon", None, "nitrogen", RATIO_STEP, NITROGEN_SHARE),
    "c_to_n_total": Shape("carbon", None, "nitrogen", RATIO_STEP, NITROGEN_SHARE),
    "moisture": Shape("water", None, "mass", SHARE_STEP, 2.0),
    "free_air_space": Shape("volume", "filled", "volume", SHARE_STEP, VOLUME_OF_KG),
    "soft_matter": Shape("soft", None, "solid", SHARE_STEP, 2.0),
}


@dataclass(frozen=True, slots=True)
class Limit:
    """A quantity the proposal must keep within `low` and `high`, and best within `best` (fractions, not %).

    `asked` says that the sender set it; else `source` does.
    """

    id: str
    shape: Shape
    low: float | None
    high: float | None
    best: Span
    asked: bool
    source: Source

    def bound(self, side: Bound) -> float | None:
        """The limit on one side."""
        return self.low if side == "low" else self.high

    def kept_by(self, sums: Totals) -> bool:
        """Whether a mixture keeps it, but for rounding."""
        over: float = getattr(sums, self.shape.over)
        above: float = getattr(sums, self.shape.plus) - (getattr(sums, self.shape.minus) if self.shape.minus else 0.0)
        slack = ROUNDING * (abs(above) + over) + OPTIMISER * sums.mass
        return (self.low is None or above >= self.low * over - slack) and (
            self.high is None or above <= self.high * over + slack
        )

    @property
    def unit_size(self) -> float:
        """One of the unit it is told in, e.g. 0.01 for a share told in %."""
        return 0.01 if RANGES[self.id].unit == "%" else 1.0


def limits_of(asked: MixLimits | None) -> list[Limit]:
    """The limits asked for, and the published ranges of what works for the rest."""
    given = {} if asked is None else {name: getattr(asked, name) for name in SHAPES}
    limits = []
    for name, shape in SHAPES.items():
        bounds, known = given.get(name), RANGES[name]
        if bounds is None and name == "c_to_n_total":
            continue
        if bounds is None and name == "c_to_n" and given.get("c_to_n_total") is not None:
            continue
        unit = 0.01 if known.unit == "%" else 1.0
        span = known.reasonable if bounds is None else Span(bounds.low, bounds.high)
        low, high = _scaled(span.low, unit), _scaled(span.high, unit)
        best = _within(known, low, high, unit)
        limits.append(Limit(name, shape, low, high, best, bounds is not None, known.reasonable_source))
    return limits


def _within(known: MixRange, low: float | None, high: float | None, unit: float) -> Span:
    """The best range moved into the limits.

    A limit that was lifted has none, nor has all carbon, which misleads where there is wood. Much air is no fault to
    mend: the heap settles, and water must not be poured in to fill it.
    """
    if known.preferred is None or known.id == "c_to_n_total" or (low is None and high is None):
        return Span(None, None)
    best_low, best_high = (
        _clamped(_scaled(end, unit), low, high) for end in (known.preferred.low, known.preferred.high)
    )
    return Span(best_low, None if known.id == "free_air_space" else best_high)


def _clamped(value: float | None, low: float | None, high: float | None) -> float | None:
    if value is None:
        return None
    above = value if low is None else max(value, low)
    return above if high is None else min(above, high)


def _scaled(value: float | None, unit: float) -> float | None:
    return None if value is None else value * unit
