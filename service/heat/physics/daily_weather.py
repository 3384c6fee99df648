"""The weather over many heaps, day by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.heat.physics.arrays import Array
from service.units.figures import figure

USUAL_GROUND_C: Final = figure(
    6.0, "degC", "Of the ground below a heap in the heating season, where nobody told", "no source"
)

USUAL_SKY_LOSS_W_M2: Final = figure(
    45.0,
    "W/m2",
    "Net long-wave loss of a face to the sky, the mean of clear and clouded, where nobody told",
    "no source",
)
USUAL_SUN_W_M2: Final = figure(50.0, "W/m2", "Mean winter sun on a face, where nobody told", "no source")
USUAL_WIND_M_S: Final = figure(3.0, "m/s", "Mean wind, where nobody told", "no source")


@dataclass(frozen=True, slots=True)
class DailyWeather:
    """Daily means, each (days, n), with 1 standing for all days or all piles; the last day goes on for ever.

    Parameters
    ----------
    air_c, wind_m_s
        Outdoor air and wind.
    sun_w_m2
        Sunshine on the heap, mean over 24 h.
    sky_loss_w_m2
        Net long-wave loss beyond the linear exchange at air temperature.
    rain_mm_day
        Rain.
    ground_c
        Ground under the heap.
    pace
        Factor on all decay rates: what a day is livelier or duller than the model knows, 1 where nothing is said. [1]
    """

    air_c: Array
    wind_m_s: Array
    sun_w_m2: Array
    sky_loss_w_m2: Array
    rain_mm_day: Array
    ground_c: Array
    pace: Array

    @classmethod
    def of(
        cls,
        air_c: ArrayLike,
        wind_m_s: ArrayLike = USUAL_WIND_M_S,
        *,
        sun_w_m2: ArrayLike = USUAL_SUN_W_M2,
        sky_loss_w_m2: ArrayLike = USUAL_SKY_LOSS_W_M2,
        rain_mm_day: ArrayLike = 0.0,
        ground_c: ArrayLike = USUAL_GROUND_C,
        pace: ArrayLike = 1.0,
    ) -> DailyWeather:
        """Weather from scalars (steady), series (one value a day), or (days, n) arrays."""
        values = (air_c, wind_m_s, sun_w_m2, sky_loss_w_m2, rain_mm_day, ground_c, pace)
        return cls(*[_by_day(value) for value in values])

    def repeated(self, times: int) -> DailyWeather:
        """The same weather for piles repeated as blocks; see `tile`."""
        columns = [getattr(self, f.name) for f in fields(self)]
        return DailyWeather(*[c if c.shape[-1] == 1 else np.concatenate([c] * times, axis=-1) for c in columns])

    def rows(self, days: NDArray[np.intp]) -> DailyWeather:
        """The weather of these days, in this order; what is given once for all days stays so."""
        columns = [getattr(self, f.name) for f in fields(self)]
        return DailyWeather(*[c if c.shape[0] == 1 else c[np.minimum(days, c.shape[0] - 1)] for c in columns])

    def averaged(self, starts: NDArray[np.intp]) -> DailyWeather:
        """Means over stretches of days, each from its start to the next, the last to the end."""
        lengths = np.diff(np.append(starts, self.days))[:, None]
        columns = [getattr(self, f.name) for f in fields(self)]
        means = [c if c.shape[0] == 1 else np.add.reduceat(c, starts, axis=0) / lengths for c in columns]
        return DailyWeather(*means)

    def of_members(self, index: NDArray[np.intp]) -> DailyWeather:
        """The weather over some of the piles."""
        columns = [getattr(self, f.name) for f in fields(self)]
        return DailyWeather(*[c if c.shape[-1] == 1 else c[:, index] for c in columns])

    @property
    def days(self) -> int:
        """Number of days given."""
        return max(len(getattr(self, f.name)) for f in fields(self))


def _by_day(value: ArrayLike) -> Array:
    array = np.asarray(value, dtype=np.float64)
    if array.ndim > 2:
        raise ValueError(f"weather must have at most the axes day and pile, not {array.ndim}")
    return array.reshape(-1, 1) if array.ndim < 2 else array


def side_by_side(weathers: Sequence[DailyWeather]) -> DailyWeather:
    """The weathers of heaps in one row of columns: air, wind and pace of each, the rest as usual."""
    air, wind, pace = (
        np.concatenate([getattr(each, part) for each in weathers], axis=1) for part in ("air_c", "wind_m_s", "pace")
    )
    return DailyWeather.of(air, wind, pace=pace)
