"""The grower of a simulated heap: what is known, how wrongly, and what is not looked at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np

from .truth import Truth
from .truth_piles import BULK, COVERS, MATERIALS

NEW_YEAR: Final = datetime(2025, 1, 1, 7, 30, tzinfo=UTC)
# Moisture, wet basis, up to which a squeezed handful feels so: the middles between .30 .42 .55 .64 .70.
FEELS: Final = (("dusty", 0.36), ("dry", 0.485), ("damp", 0.595), ("wet", 0.67), ("soggy", 1.0))
MOISTURE_SD = 0.05
SIZE_LOG_SD, SHAPE_LOG_SD, AMOUNT_LOG_SD = 0.15, 0.07, 0.2
EXPOSURES: Final = ((0.5, "sheltered"), (1.2, "normal"), (9.0, "exposed"))
FOUL_BELOW, SOUR_BELOW = 0.1, 0.2  # oxygen of fresh air in the core


@dataclass(frozen=True, slots=True)
class Grower:
    """Looks at one heap on one day. What is told is drawn from `rng`, always in the same order."""

    happened: Truth
    number: int
    day: int
    rng: np.random.Generator

    def status(self, core_c: float) -> dict[str, Any]:
        """The status as a body of the service, metric, without the history."""
        built = self.happened.built
        start = NEW_YEAR + timedelta(days=int(built.climate.built_day[self.number]))
        body: dict[str, Any] = {
            "as_of": (start + timedelta(days=self.day)).isoformat(),
            "pile": self._pile(start),
            "temperatures": {"core": core_c, "outdoor": round(self._season(0))},
        }
        if self._tells(0.6):
            body["temperatures"]["outer"] = float(np.rint(self._now("outer_c") + 1.5 * self.rng.standard_normal()))
        if self._tells(0.5):
            body["moisture_feel"], body["moisture_feel_at"] = self._feel(), "arm_deep"
        if self._tells(0.4):
            body["smell"] = self._smell()
        if self._tells(0.5):
            body["signs"] = self._signs()
        if self._tells(0.5):
            body["weather"] = {"forecast": [self._forecast(start, ahead) for ahead in range(1, 11)]}
        return body | self._loop(start, core_c)

    def _tells(self, chance: float) -> bool:
        return bool(self.rng.uniform() < chance)

    def _about(self, value: float, log_sd: float) -> float:
        return float(f"{value * np.exp(log_sd * self.rng.standard_normal()):.2g}")

    def _now(self, record: str) -> float:
        return float(getattr(self.happened, record)[2 * self.day, self.number])

    def _of(self, name: str) -> float:
        return float(getattr(self.happened.built.piles, name)[self.number])

    def _season(self, ahead: int) -> float:
        return float(self.happened.built.climate.season_c(np.array(float(self.day + ahead)))[self.number])

    def _pile(self, start: datetime) -> dict[str, Any]:
        pile: dict[str, Any] = {"age": self.day} if self._tells(0.7) else {"built_on": start.date().isoformat()}
        if self._tells(0.95):
            pile["size"] = self._size()
        if self._tells(0.95):
            pile["ingredients"] = self._ingredients()
        pile["cover"] = COVERS[int(self._of("cover"))]
        if self._tells(0.7):
            wind = self._of("wind_factor")
            pile["wind"] = next(word for limit, word in EXPOSURES if wind < limit)
        return pile

    def _size(self) -> dict[str, Any]:
        volume = self._of("volume_m3") * self._now("volume_share")
        way = self.rng.uniform()
        if way < 0.55:
            return {"volume": self._about(volume, SIZE_LOG_SD)}
        if way < 0.75:
            return {"mass": f"{self._about(self.happened.built.mass_kg[self.number] / 1000.0, SIZE_LOG_SD)} t"}
        aspect = self._of("foot_aspect")
        radius = float(np.cbrt(2.0 * volume / (np.pi * aspect)))
        measures = {"diameter": 2.0 * radius, "height": aspect * radius}
        return {"cone": {name: self._about(length, SHAPE_LOG_SD) for name, length in measures.items()}}

    def _ingredients(self) -> list[dict[str, Any]]:
        """What went in, by volume as it lay, each amount misjudged; one grower in eight remembers no amounts."""
        built = self.happened.built
        litres = built.wet_shares[:, self.number] * built.mass_kg[self.number] / BULK
        amounts = [self._about(amount, AMOUNT_LOG_SD) for amount in litres]
        known = self._tells(0.88)
        return [
            {"material": name, "amount": f"{amount:g} m3"} if known else {"material": name}
            for name, amount in zip(MATERIALS, amounts, strict=True)
            if amount > 0.0
        ]

    def _feel(self) -> str:
        wetness = self._now("arm_wetness")
        moisture = wetness / (1.0 + wetness) + MOISTURE_SD * self.rng.standard_normal()
        return next(word for word, limit in FEELS if moisture < limit)

    def _smell(self) -> str:
        oxygen = self._now("core_oxygen")
        return "rotten_egg" if oxygen < FOUL_BELOW else "sour" if oxygen < SOUR_BELOW else "earthy"

    def _signs(self) -> list[str]:
        signs = {
            "steam": self._now("air_w") > 300.0 and self._now("core_c") > 45.0,
            "slumping": self._now("volume_share") < 0.88,
            "wet_skin_dry_core": self._now("core_wetness") < 0.5 and self._now("skin_wetness") > 1.0,
        }
        return [sign for sign, seen in signs.items() if seen]

    def _forecast(self, start: datetime, ahead: int) -> dict[str, Any]:
        """The usual weather of that day: no better forecast is assumed."""
        swing = float(self.happened.built.climate.daily_half_range_k[self.number])
        mean = self._season(ahead)
        day = (start + timedelta(days=self.day + ahead)).date().isoformat()
        return {"date": day, "low": round(mean - swing), "high": round(mean + swing)}

    def _loop(self, start: datetime, core_c: float) -> dict[str, Any]:
        flow = self._of("loop_flow_w_k")
        told = (self._tells(0.75), self._tells(0.7), self._tells(0.8), self.rng.standard_normal(3))
        if flow <= 0.0:
            return {"equipment": []}
        duty = self._now("loop_duty")
        water: dict[str, Any] = {
            "flow": f"{flow / 4186.0 * 60.0 * np.exp(0.1 * told[3][0]):.2g} L/min",
            "minutes_per_hour": round(60.0 * duty),
            "tube": "copper" if self.happened.built.tube_copper[self.number] > 0.5 else "plastic",
        }
        if told[2]:
            water["tube_length"] = f"{self.happened.built.tube_length_m[self.number]:.2g} m"
        body: dict[str, Any] = {"equipment": ["water_loop"], "draw": {"water": water}}
        if duty <= 0.0:
            return body
        inlet = self._of("loop_inlet_c")
        if told[0]:
            water["inlet"] = float(np.rint(inlet + 0.7 * told[3][1]))
        if told[1]:
            effect = 1.0 - np.exp(-self._of("loop_ua_w_k") / flow)
            outlet = inlet + effect * (self._now("loop_material_c") - inlet)
            water["outlet"] = min(float(np.rint(outlet + 0.7 * told[3][2])), core_c + 7.0)
        change = self._of("loop_change_day")
        changed = change <= self.day
        since = start + timedelta(days=change if changed else self._of("loop_from_day"))
        water["since"] = since.date().isoformat()
        if changed:
            rose = self._of("loop_duty_later") > self._of("loop_duty")
            body["done"] = [{"at": since.isoformat(), "action": "raise_draw" if rose else "reduce_draw"}]
        return body
