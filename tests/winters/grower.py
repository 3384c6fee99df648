"""What the growers of a winter read and tell, and the work they do, a day late."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from rules.tables.materials import MATERIALS

from .heaps import COVERS, GLAZING_U, GROWER, Heaps
from .truths import Truth
from .weather import Winter

Array = NDArray[np.float64]

NEW_YEAR: Final = datetime(2025, 1, 1, 7, 30, tzinfo=UTC)
GOAL_DAY: Final = 365 + 90  # the end of March
PROBE_SD_K, OUTER_SD_K, FEEL_SD, SIZE_LOG_SD, AMOUNT_LOG_SD = 1.2, 1.5, 0.025, 0.12, 0.15
COLD_READINGS, STONE_COLD_C, GIVEN_UP_AFTER = 6, 12.0, 50  # readings, degC, days after building
MISJUDGED: Final = 1.0 / 7.0
FEELS: Final = (("dusty", 0.33), ("dry", 0.455), ("damp", 0.61), ("wet", 0.69), ("soggy", 1.1))
FOUL_BELOW, SOUR_BELOW = 0.10, 0.18
LONGEST_HISTORY, LONGEST_DONE, MOST_FORECAST = 12, 40, 5
EXPOSURES: Final = ((0.7, "sheltered"), (1.3, "normal"), (9.0, "exposed"))
NO_WORK: Final = frozenset({"squeeze_again", "light_backup_heat", "protect_loop_from_frost"})


@dataclass
class Grower:
    """One grower: what was told before, what lies over the heap, and what was done."""

    heaps: Heaps
    number: int
    told_volume: float
    told_amounts: tuple[float, float]
    rng: np.random.Generator
    film: bool
    wrap: bool
    roof: bool
    vented: bool = False
    told_cover: str = "none"
    history: list[tuple[int, float, str | None]] = field(default_factory=list)
    look_again: bool = False
    remembers: bool = True
    done: list[dict[str, Any]] = field(default_factory=list)
    since: int = 0
    jobs: int = 0
    litres: float = 0.0
    minutes_told: float = -1.0
    said: list[str] = field(default_factory=list)

    def at(self, day: int) -> datetime:
        """The morning of a day after building."""
        return NEW_YEAR + timedelta(days=float(self.heaps.built_day[self.number]) - 1 + day)

    def gave_up(self) -> bool:
        """Whether the heap has been stone cold for weeks: nobody goes on asking about that."""
        cores = [core for _, core, _ in self.history[-COLD_READINGS:]]
        late = bool(self.history) and self.history[-1][0] > GIVEN_UP_AFTER
        return late and len(cores) == COLD_READINGS and max(cores) < STONE_COLD_C

    def goal_days(self) -> int:
        """Days from building to the end of March."""
        return int(GOAL_DAY - self.heaps.built_day[self.number])


def growers_of(heaps: Heaps) -> list[Grower]:
    """One grower for each heap."""
    rngs = heaps.rng(GROWER)
    covers = [COVERS[int(place)] for place in heaps.cover]
    found = []
    for number, (rng, cover) in enumerate(zip(rngs, covers, strict=True)):
        manure = float(heaps.manure_share[number])
        amounts = (1.0 - 0.8 * manure, 0.9 * manure)  # by volume, near enough
        found.append(
            Grower(
                heaps,
                number,
                told_volume=float(heaps.volume_m3[number] * np.exp(SIZE_LOG_SD * rng.standard_normal())),
                told_amounts=tuple(
                    float(a * heaps.volume_m3[number] * np.exp(AMOUNT_LOG_SD * rng.standard_normal())) for a in amounts
                ),
                rng=rng,
                film=cover == "clear_film",
                wrap=cover == "straw",
                roof=cover == "tarp",
                told_cover=cover,
            )
        )
    return found


@dataclass(frozen=True, slots=True)
class Seen:
    """The truth on a morning, as far as a grower can get at it; each (n,)."""

    core_c: Array
    outer_c: Array
    material_c: Array
    arm_moisture: Array
    oxygen: Array
    volume_share: Array
    minutes: Array  # in the hour, mean since the last reading

    @classmethod
    def of(cls, truth: Truth, minutes: Array) -> Seen:
        """Read the truth."""
        return cls(
            truth.core_c(),
            truth.outer_c(),
            truth.material_c(),
            truth.arm_moisture(),
            truth.oxygen(),
            truth.volume_share(),
            minutes,
        )


def status(grower: Grower, day: int, seen: Seen, winter: Winter, *, handful: bool = True) -> dict[str, Any]:
    """What a grower tells on a day. The same random numbers are used whatever is told."""
    heaps, i, rng = grower.heaps, grower.number, grower.rng
    noise, chance, feel_of = rng.standard_normal(10), rng.uniform(size=3), rng.integers(2, size=3)
    hands = FEEL_SD * rng.standard_normal(3)
    now = grower.at(day)
    core = round(float(seen.core_c[i] + PROBE_SD_K * noise[0]), 1)
    body: dict[str, Any] = {
        "as_of": now.isoformat(),
        "season": "heating",
        "goal": {"until": grower.at(grower.goal_days()).date().isoformat()},
        "pile": _pile(grower, seen, day),
        "temperatures": {
            "core": core,
            "outer": round(float(seen.outer_c[i] + OUTER_SD_K * noise[1]), 1),
            "outdoor": round(float(winter.air_c[day, i] - 0.5 * heaps.swing_k[i] + noise[2]), 1),
        },
        "history": [_told(grower, *read) for read in grower.history[-LONGEST_HISTORY:]],
        "done": grower.done[-LONGEST_DONE:],
        "smell": _smell(float(seen.oxygen[i])),
        "greenhouse": {
            "volume": round(float(heaps.house_volume_m3[i]), 1),
            "glazing": list(GLAZING_U)[int(heaps.house_kind[i])],
            "glazing_area": round(float(heaps.house_area_m2[i]), 1),
            "night_target": float(heaps.night_target_c[i]),
        },
        "weather": _weather(grower, day, winter, noise),
    }
    if handful:
        felt = [_feel(float(seen.arm_moisture[i] + hands[k]), float(chance[k]), int(feel_of[k])) for k in range(3)]
        body["moisture_feel"] = _middle(felt) if grower.look_again else felt[0]
        grower.look_again = False
        body["moisture_feel_at"] = "arm_deep"
    body |= _draw(grower, day, seen, core, noise)
    grower.history.append((day, core, body.get("moisture_feel")))
    return body


def _told(grower: Grower, day: int, core: float, feel: str | None) -> dict[str, Any]:
    told: dict[str, Any] = {"at": grower.at(day).isoformat(), "core": core}
    if grower.remembers and feel is not None:
        told["moisture_feel"] = feel
    return told


def _middle(felt: list[str]) -> str:
    """The middle one of three handfuls."""
    names = [name for name, _ in FEELS]
    return names[sorted(names.index(feel) for feel in felt)[1]]


def _pile(grower: Grower, seen: Seen, day: int) -> dict[str, Any]:
    heaps, i = grower.heaps, grower.number
    wind = float(heaps.exposure[i])
    return {
        "age": day,
        "size": {"volume": round(grower.told_volume * float(seen.volume_share[i]), 1)},
        "ingredients": [
            {"material": name, "amount": f"{amount:.2f} m3"}
            for name, amount in zip(("wood_chips", "horse_manure"), grower.told_amounts, strict=True)
            if amount > 0.05
        ],
        "cover": grower.told_cover,
        "wind": next(word for limit, word in EXPOSURES if wind < limit),
    }


def _smell(oxygen: float) -> str:
    return "rotten_egg" if oxygen < FOUL_BELOW else "sour" if oxygen < SOUR_BELOW else "earthy"


def _feel(moisture: float, chance: float, side: int) -> str:
    place = next(at for at, (_, limit) in enumerate(FEELS) if moisture < limit)
    if chance < MISJUDGED:
        place = min(max(place + (1 if side else -1), 0), len(FEELS) - 1)
    return FEELS[place][0]


def _weather(grower: Grower, day: int, winter: Winter, noise: Array) -> dict[str, Any]:
    i, days = grower.number, len(winter.air_c)
    swing = float(grower.heaps.swing_k[i])
    ahead = []
    for lead in range(1, MOST_FORECAST + 1):
        if day + lead < days:
            air = float(winter.air_c[day + lead, i] + 0.5 * lead * noise[3 + lead])
            date = grower.at(day + lead).date().isoformat()
            ahead.append({"date": date, "low": round(air - swing, 1), "high": round(air + swing, 1)})
    return {
        "low": round(float(winter.air_c[day, i] - swing), 1),
        "wind_speed": f"{float(winter.wind_m_s[day, i]):.1f} m/s",
        "sun": "overcast" if winter.cloud[day, i] > 0.65 else "clear" if winter.cloud[day, i] < 0.35 else "mixed",
        "rain": "light" if winter.rain_kg_m2_s[day, i] > 0.0 else "none",
        "forecast": ahead,
    }


def _draw(grower: Grower, day: int, seen: Seen, core: float, noise: Array) -> dict[str, Any]:
    heaps, i = grower.heaps, grower.number
    minutes = round(float(seen.minutes[i]), 1)
    if abs(minutes - grower.minutes_told) > 3.0:
        grower.since, grower.minutes_told = max(grower.history[-1][0] if grower.history else 0, 0), minutes
    loop, carrier = bool(heaps.has_loop[i]), float(heaps.carrier_w_k[i])
    inlet = float(heaps.night_target_c[i]) + 4.0
    told: dict[str, Any] = {
        "flow": f"{carrier / 4186.0 * 60.0:.2g} L/min" if loop else f"{carrier / 1207.0 * 3600.0:.3g} m3/h",
        "minutes_per_hour": minutes,
    }
    if minutes > 0.0:
        effect = -np.expm1(-float(heaps.carrier_ua_w_k[i]) / carrier)
        outlet = inlet + effect * (float(seen.material_c[i]) - inlet)
        told["inlet"] = round(inlet + 0.5 * noise[8], 1)
        told["outlet"] = min(round(outlet + 0.5 * noise[9], 1), core + 7.0)
        told["since"] = grower.at(grower.since).date().isoformat()
    if loop:
        told |= {"tube": "plastic", "tube_length": f"{float(heaps.tube_length_m[i]):.3g} m", "loop": "closed"}
        return {"equipment": ["water_loop"], "draw": {"water": told}}
    told |= {"path": "closed_duct", "inlet_from": "greenhouse", "outlet_to": "greenhouse"}
    return {"equipment": ["air_duct"], "draw": {"air": told}}


@dataclass
class Work:
    """Work to be done on all heaps on one morning, each (n,)."""

    water_kg: Array
    nitrogen_kg: Array
    loosen: NDArray[np.bool_]
    bulk_m3: Array
    covers: bool = False

    @classmethod
    def none(cls, count: int) -> Work:
        """Nothing to do."""
        return cls(np.zeros(count), np.zeros(count), np.zeros(count, bool), np.zeros(count))


def order(grower: Grower, day: int, actions: Sequence[Mapping[str, Any]], work: Work) -> None:
    """Take the work among these actions in hand, to be done tomorrow; count what it costs."""
    for told in actions:
        name = told["action"]
        amount = _take(grower, name, told, work)
        if amount is None:
            continue
        grower.jobs += name not in NO_WORK
        record: dict[str, Any] = {"at": grower.at(day + 1).isoformat(), "action": name}
        if amount:
            record["amount"] = amount
        grower.done.append(record)


def _take(grower: Grower, name: str, told: Mapping[str, Any], work: Work) -> str | None:
    """Put one action into the work; its amount in words, "" where it has none, None where nothing is to be done."""
    i = grower.number
    doses = told.get("doses") or []
    if name in ("add_water", "add_nitrogen", "add_dry_bulking"):
        if not doses:
            return None
        dose = doses[0]
        kind = dose["of"]
        if name == "add_water":
            work.water_kg[i] += dose["value"]
            grower.litres += dose["value"]
            return f"{dose['value']} L"
        if name == "add_nitrogen":
            material = MATERIALS[kind]
            mass = dose["value"]
            dry = mass * (1.0 - material.moisture.value)
            split = dose.get("split") or 1
            work.nitrogen_kg[i] += dry * material.nitrogen.value / split
            return f"{mass / split} kg"
        work.bulk_m3[i] += dose["value"] if dose["unit"] == "m3" else dose["value"] / 200.0
        return f"{dose['value']} {dose['unit']}"
    if name == "squeeze_again":
        grower.look_again = True
        return ""
    if name in ("light_backup_heat", "protect_loop_from_frost"):
        return ""
    if name == "loosen_pile":
        work.loosen[i] = True
        return ""
    before = (grower.film, grower.wrap, grower.roof, grower.vented)
    if name == "cover_with_clear_film":
        grower.film, grower.vented = True, False
        grower.told_cover = "straw" if grower.wrap else "clear_film"
    elif name == "insulate":
        grower.wrap, grower.told_cover = True, "straw"
    elif name == "keep_rain_off":
        grower.roof = True
        grower.told_cover = grower.told_cover if grower.film or grower.wrap else "tarp"
    elif name == "open_vent_in_film":
        grower.vented = True
    elif name == "lift_cover":
        grower.film = grower.wrap = grower.roof = False
        grower.told_cover = "none"
    if (grower.film, grower.wrap, grower.roof, grower.vented) == before:
        return None
    work.covers = True
    return ""


def carry_out(truth: Truth, growers: Sequence[Grower], work: Work) -> None:
    """Do the work."""
    if work.water_kg.any():
        truth.add_water(work.water_kg)
    if work.nitrogen_kg.any():
        truth.feed(work.nitrogen_kg)
    if work.loosen.any():
        truth.loosen(work.loosen)
    if work.bulk_m3.any():
        truth.bulk(work.bulk_m3)
    if work.covers:
        flags = [np.array([float(getattr(g, name)) for g in growers]) for name in ("film", "wrap", "roof", "vented")]
        truth.cover(*flags)
