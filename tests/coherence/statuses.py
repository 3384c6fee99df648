"""Random plausible statuses from a seed: every field is there or not, independently of the others.

Values hang together as those of a real heap do (an outlet is no warmer than the core, a history leads up to it, the
air outside fits the month); which of them were told does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from random import Random
from typing import Any, Final, TypeVar, get_args

from rules.actions.records import ACTIONS
from rules.language.status_words import (
    AirPath,
    AirPlace,
    Cover,
    Exposure,
    Glazing,
    Loop,
    MoistureFeel,
    MoistureFeelAt,
    Preference,
    Rain,
    Season,
    Sun,
    Tube,
)
from rules.language.vocabulary import SYMPTOMS
from rules.tables.fields import FIELDS, FieldRecord
from rules.tables.materials import MATERIALS, SUPPLIES

Body = dict[str, Any]
Item = TypeVar("Item")

COMMON: Final = (
    "wood_chips",
    "wood_chips",
    "wood_chips",
    "wood_chips_green",
    "horse_manure",
    "bark",
    "leaves",
    "straw",
)
HEAP_MATERIALS: Final = sorted(name for name, material in MATERIALS.items() if material.density.value > 0)
SMELLS: Final = ("earthy", "earthy", "none", "none", "ammonia", "rotten_egg", "sour", "musty")
SIGNS: Final = (
    "steam",
    "slumping",
    "white_threads",
    "leachate",
    "dry_pockets",
    "snow_covered",
    "frozen_crust",
    "cracks",
    "wet_skin_dry_core",
    "no_flow_in_loop",
    "fan_stopped",
    "water_in_duct",
)
BREAKDOWNS: Final = ("fan_no_air", "pipe_frozen", "pipe_burst", "power_out")
AIR_BY_MONTH: Final = (-3, -1, 4, 9, 14, 18, 20, 19, 15, 9, 4, -1)
"""Mean air of a cold temperate place by month [degC] (our own)."""
MONTHS: Final = (1, 1, 1, 2, 2, 2, 3, 3, 11, 11, 12, 12, 12, 10, 4, 7)
CONTROL_BY_FLOW: Final = {1: "timer", 3: "hand", 6: "thermostat"}
"""What switches the pump, by its flow: no further draw of chance, so that the other fields stay as they were."""
SELDOM: Final = 0.3
"""How likely something that few tell is told, to what others tell [1]."""
PEOPLE: Final = tuple(SYMPTOMS)
ENOUGH: Final = 60
"""Statuses in which everything that is drawn at all turns up, where each thing is told."""
TELLING: Final = (0.25, 0.5, 0.5, 0.75)
"""How likely each field is told; drawn once for each status."""


def statuses(seed: int, count: int) -> Iterator[Body]:
    """That many statuses; the same seed gives the same ones, each on its own."""
    for place in range(count):
        yield status(seed, place)


def status(seed: int, place: int) -> Body:
    """One status of a seed."""
    random = Random(f"coherence {seed} {place}")
    teller = _Teller(random, random.choice(TELLING))
    return teller.with_examples(teller.status())


def told_in(body: Any, above: str = "") -> Iterator[str]:
    """Pointers of all that a status tells; entries of a list are a star."""
    if isinstance(body, dict) and above != "/read_at":
        for name, value in body.items():
            yield from told_in(value, f"{above}/{name}")
    elif isinstance(body, list) and body and isinstance(body[0], dict):
        for value in body:
            yield from told_in(value, f"{above}/*")
    else:
        yield above


@cache
def _undrawn() -> tuple[FieldRecord, ...]:
    """Numbers, words and flags that no teller draws with a sense for the rest: their examples are told."""
    tellers = (_Teller(Random(f"drawn {place}"), 1.0) for place in range(ENOUGH))
    drawn = {pointer for teller in tellers for pointer in told_in(teller.status())}
    return tuple(
        record
        for record in FIELDS.values()
        if record.kind in ("number", "word", "flag") and record.at not in drawn and record.at != "/units"
    )


def _possible(body: Body) -> Body:
    """The same without outlets that are warmer than all readings of now allow."""
    readings = body.get("temperatures", {})
    now = [readings.get("core"), *(point["value"] for point in readings.get("points", ()))]
    known = [value for value in now if value is not None]
    for drawn in (way for way in body.get("draw", {}).values() if isinstance(way, dict)):
        if known and drawn.get("outlet", -99.0) > max(known) + 7.0:
            del drawn["outlet"]
    return body


@dataclass(frozen=True)
class _Teller:
    """Somebody who tells each thing with a certain likelihood."""

    random: Random
    telling: float

    def status(self) -> Body:
        random = self.random
        now = datetime(2026, random.choice(MONTHS), random.randint(1, 28), random.randint(0, 23), 30, tzinfo=UTC)
        air = round(random.gauss(AIR_BY_MONTH[now.month - 1], 6), 1)
        age = random.choice(
            (random.randint(0, 21), random.randint(7, 120), random.randint(7, 120), random.randint(60, 700))
        )
        core = self._core(age)
        history = self._history(now, core, age)
        drawn = self._draw(now, core, air)
        body: Body = {"as_of": now.isoformat(), "pile": self._pile(now, age)}
        body["temperatures"] = self._temperatures(core, air, told=not history or random.random() < 0.95)
        body |= self._some(
            season=self._word(Season),
            goal=self._goal(now),
            probe=self._some(length=round(random.uniform(0.2, 1.6), 2), checked=random.random() < 0.5),
            moisture_feel=self._word(MoistureFeel),
            moisture_feel_at=self._word(MoistureFeelAt),
            smell="burnt" if random.random() < 0.02 else random.choice(SMELLS),
            signs=self._signs(),
            equipment=self._equipment(drawn),
            draw=drawn,
            greenhouse=self._house(),
            weather=self._weather(now, air),
            on_hand=random.sample([*SUPPLIES, *HEAP_MATERIALS], random.randint(0, 6)),
            done=self._done(now, age),
        )
        if history:
            body["history"] = history
        self._add_rarer(body, now)
        return _possible(body)

    def with_examples(self, body: Body) -> Body:
        """The status with fields that are told by their examples, drawn after all else."""
        for record in _undrawn():
            if self.random.random() < SELDOM * self.telling:
                *parents, name = record.at[1:].split("/")
                part = body
                for parent in parents:
                    part = part.setdefault(parent, {})
                part[name] = self.random.choice(record.examples)
        return body

    def _add_rarer(self, body: Body, now: datetime) -> None:
        """What few people tell, drawn last so that all else stays as it was for a seed."""
        random = self.random
        body |= self._seldom(
            people=random.sample(PEOPLE, random.randint(0, 1)),
            not_seen=random.sample(SIGNS, random.randint(0, 3)),
            help_called=random.random() < 0.5,
            emergency_number="115",
        )
        body["pile"] |= self._seldom(shrunk=random.randint(5, 40))
        parts = body["pile"].get("ingredients", ())
        if not any("amount" in part for part in parts):
            for part in parts:
                part["share"] = random.randint(1, 5)
        if "greenhouse" in body:
            body["greenhouse"] |= self._seldom(temperature=random.randint(-2, 22), humidity=random.randint(40, 99))
        for work in body.get("done", ()):
            if work["action"] == "add_water":
                work.update(self._seldom(amount=f"{random.randint(20, 900)} L"))
        for reading in body.get("history", ()):
            reading.update(self._seldom(moisture_feel=self._word(MoistureFeel)))
        broken = self._seldom(signs=[*body.get("signs", ()), random.choice(BREAKDOWNS)])
        body |= {name: signs for name, signs in broken.items() if not set(signs) & set(body.get("not_seen", ()))}
        if "core" in body["temperatures"]:
            body |= self._seldom(
                read_at={"/temperatures/core": (now - timedelta(hours=random.randint(1, 40))).isoformat()}
            )

    def _seldom(self, **fields: Any) -> Body:
        return {name: value for name, value in fields.items() if self.random.random() < SELDOM * self.telling}

    def _some(self, **fields: Any) -> Body:
        return {
            name: value for name, value in fields.items() if self.random.random() < self.telling and value is not None
        }

    def _word(self, kind: Any) -> Any:
        return self.random.choice(get_args(kind))

    def _core(self, age: int) -> float:
        kind = self.random.random()
        if kind < 0.03:
            return round(self.random.uniform(75, 90), 1)
        if kind < 0.08:
            return round(self.random.uniform(64, 75), 1)
        if age < 4:
            return round(self.random.uniform(5, 45), 1)
        return round(
            self.random.choice((self.random.uniform(5, 30), self.random.uniform(30, 62), self.random.uniform(38, 60))),
            1,
        )

    def _pile(self, now: datetime, age: int) -> Body:
        random = self.random
        told: Body = (
            {"age": age} if random.random() < 0.9 else {"built_on": (now - timedelta(days=age)).date().isoformat()}
        )
        return told | self._some(
            size=self._size(),
            ingredients=self._ingredients(),
            moisture=random.randint(25, 75),
            cover=self._word(Cover),
            wind=self._word(Exposure),
        )

    def _size(self) -> Body:
        random = self.random
        width, height = round(random.uniform(1.5, 4.5), 1), round(random.uniform(0.8, 2.6), 1)
        return random.choice(
            (
                {"volume": round(random.choice((random.uniform(1, 8), random.uniform(6, 40))), 1)},
                {"mass": round(random.uniform(600, 16000))},
                {"cone": {"diameter": width, "height": height}},
                {"cylinder": {"diameter": width, "height": height}},
                {"box": {"length": width, "width": round(random.uniform(1.2, 3.5), 1), "height": height}},
                {"windrow": {"length": round(width * 2, 1), "width": width, "height": height}},
            )
        )

    def _ingredients(self) -> list[Body]:
        random = self.random
        names = [random.choice(COMMON), *random.sample(HEAP_MATERIALS, random.randint(0, 2))]
        share = [1.0, 0.4, 0.2]
        return [
            {"material": name}
            | self._some(amount=f"{round(share[place] * random.uniform(1, 12), 1)} m3", moisture=random.randint(20, 75))
            for place, name in enumerate(names)
        ]

    def _temperatures(self, core: float, air: float, *, told: bool) -> Body:
        random = self.random
        outer = round(air + (core - air) * random.uniform(0.2, 0.9), 1)
        points = [
            {"value": round(air + (core - air) * random.uniform(0.5, 1.0), 1)}
            | self._some(
                depth=round(random.uniform(0.1, 1.2), 2), side=random.choice(("north", "south", "east", "west"))
            )
            for _ in range(random.randint(1, 4))
        ]
        readings = self._some(outer=outer, outdoor=air, points=points)
        return {"core": core} | readings if told else readings

    def _history(self, now: datetime, core: float, age: int) -> list[Body]:
        """Readings that lead up to the core: steady, slow, or fast either way, with the error of a probe."""
        random = self.random
        if random.random() > self.telling:
            return []
        slope = random.choice((0.0, 0.0, -0.15, -0.3, -0.5, -1.0, -2.0, -4.0, 1.0, 3.0))
        error = random.choice((0.0, 0.3, 1.0))
        days, gap, found = 0.0, random.choice((0.5, 1, 2, 3, 5)), []
        for _ in range(random.randint(1, 7)):
            days += gap
            before = core - slope * days + random.gauss(0, error)
            if days > max(age, 1) or not 2 < before < 79:
                break
            found.append({"at": (now - timedelta(days=days)).isoformat(), "core": round(before, 1)})
        return found

    def _goal(self, now: datetime) -> Body:
        random = self.random
        return self._some(
            until=(now + timedelta(days=random.choice((1, 7, 30, 60, 90, 120)))).date().isoformat(),
            keep_core_above=random.choice((30, 35, 38, 40, 42, 45, 50)),
            prefer=self._word(Preference),
        )

    def _signs(self) -> list[str]:
        random = self.random
        seen = random.sample(SIGNS, random.choice((0, 0, 1, 1, 2, 3)))
        return [*seen, "smoke"] if random.random() < 0.03 else seen

    def _equipment(self, drawn: Body | None) -> list[str]:
        fitted = {name for name, way in (("air_duct", "air"), ("water_loop", "water")) if drawn and way in drawn}
        return sorted(fitted | {name for name in ("air_duct", "water_loop") if self.random.random() < 0.4})

    def _draw(self, now: datetime, core: float, air: float) -> Body | None:
        random = self.random
        found: Body = {}
        if random.random() < 0.45:
            found["air"] = self._some(
                flow=random.choice((0, 20, 40, 75, 120, 200, 300)),
                path=self._word(AirPath),
                inlet_from=self._word(AirPlace),
                outlet_to=self._word(AirPlace),
                **self._running(now, core, air),
            )
        if random.random() < 0.6:
            found["water"] = self._some(
                flow=random.choice((0, 0.5, 1, 2, 3, 4, 6, 10)),
                tube=self._word(Tube),
                tube_length=random.choice((15, 30, 50, 80, 120)),
                loop=self._word(Loop),
                **self._running(now, core, air),
            )
        switched = CONTROL_BY_FLOW.get(found.get("water", {}).get("flow", 0))
        return (found | {"control": switched} if switched else found) or None

    def _running(self, now: datetime, core: float, air: float) -> Body:
        random = self.random
        inlet = round(random.uniform(3, 14), 1)
        outlet = round(inlet + max(core - inlet, 1.0) * random.uniform(0.2, 0.95), 1)
        since = (now - timedelta(days=random.randint(0, 60))).date().isoformat()
        return {
            "inlet": inlet,
            "outlet": outlet,
            "minutes_per_hour": random.choice((0, 5, 10, 15, 20, 30, 45, 60, 60)),
            "hours_per_day": random.choice((6, 10, 12, 24, 24)),
            "since": since,
        }

    def _house(self) -> Body:
        random = self.random
        volume = round(random.uniform(15, 200))
        return self._some(
            volume=volume,
            glazing=self._word(Glazing),
            glazing_area=round(volume * random.uniform(0.9, 1.4)),
            night_target=random.choice((2, 5, 7, 10, 12, 15)),
        )

    def _weather(self, now: datetime, air: float) -> Body:
        random = self.random
        days = [
            {"date": (now + timedelta(days=ahead)).date().isoformat()}
            | self._some(
                low=round(air - random.uniform(2, 12), 1),
                high=round(air + random.uniform(0, 6), 1),
                snow=random.random() < 0.3,
                rain=self._word(Rain),
            )
            for ahead in range(1, random.randint(2, 6))
        ]
        return self._some(
            low=round(air - random.uniform(0, 8), 1),
            wind_speed=round(random.uniform(0, 12), 1),
            sun=self._word(Sun),
            rain=self._word(Rain),
            forecast=days,
        )

    def _done(self, now: datetime, age: int) -> list[Body]:
        random = self.random
        return [
            {"at": (now - timedelta(days=random.uniform(0, min(age, 25) or 0.1))).isoformat(), "action": name}
            for name in self._sampled(sorted(ACTIONS), random.randint(0, 3))
        ]

    def _sampled(self, items: Sequence[Item], count: int) -> list[Item]:
        return self.random.sample(items, count)
