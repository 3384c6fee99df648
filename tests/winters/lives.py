"""Live a winter by a policy, and grade it."""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from service.answer.advice import advise
from service.status.reading import read_status

from .grower import GOAL_DAY, Grower, Seen, Work, carry_out, growers_of, order, status
from .heaps import Heaps
from .house import Houses, need_w
from .policies import Policy
from .truths import TRUTHS, Truth
from .weather import Winter, hour_of, winter_of

Array = NDArray[np.float64]

FIRST_READING, PACES = 3, (4, 3)
OFTEN_UNTIL, LATER_PACE = 31, 7  # days after building: twice a week until then, weekly later
NIGHT_FROM, NIGHT_TO = 17, 7  # clock hours of a night that may be short of heat
DRAWN_FROM, DRAWN_TO = 19, 9  # clock hours of who draws by `night`, as the plan tells them
HOT_C, FIRE_C, DEAD_C = 75.0, 80.0, 25.0
MARCH_FIRST: Final = 365 + 60
DEAD_DAYS: Final = 7  # before March, on whose mean a heap counts as dead
JOULES_PER_KWH = 3.6e6
LEFT_AS_IT_IS: Final = ("Leave the pump set as it is", "Leave the fan set as it is", "Draw no more by the")
USUAL_LIFT_K = 35.0  # of the material over what goes in, to turn a power into minutes


@dataclass
class Drawing:
    """How each heap is drawn until told otherwise, (n,)."""

    start_c: Array
    stop_c: Array
    minutes: Array
    night: NDArray[np.bool_]
    paused_until: Array
    on: NDArray[np.bool_]

    @classmethod
    def of(cls, count: int, policy: Policy) -> Drawing:
        """As a policy begins."""
        core = policy.draw == "core"
        return cls(
            np.full(count, policy.start_c if core else -99.0),
            np.full(count, policy.stop_c if core else -99.0),
            np.full(count, 60.0 if core else 0.0),
            np.full(count, policy.hours == "night"),
            np.zeros(count),
            np.zeros(count, bool),
        )

    def duty(self, core_c: Array, day: int, clock: int) -> Array:
        """Share of this hour for which each runs."""
        self.on = (core_c >= self.start_c) | (self.on & (core_c > self.stop_c))
        awake = ~self.night | (clock >= DRAWN_FROM or clock < DRAWN_TO)
        running = self.on & awake & (day >= self.paused_until)
        return np.where(running, self.minutes / 60.0, 0.0)


@dataclass
class Lived:
    """What came of a winter, each (n,) but for the days, (days, n)."""

    policy: str
    truth: str
    heat_kwh: Array
    drawn_kwh: Array
    nights_short: Array
    short_kwh: Array
    hot_days: Array
    fire: NDArray[np.bool_]
    dead: NDArray[np.bool_]
    jobs: Array
    litres: Array
    core_c: Array
    told_heat_kwh: Array = field(default_factory=lambda: np.zeros((0, 6)))
    said: list[list[str]] = field(default_factory=list)


def live(heaps: Heaps, truth_name: str, policy: Policy) -> Lived:
    """Live a winter with all heaps."""
    warnings.simplefilter("ignore")
    winter = winter_of(heaps, _days(heaps))
    truth = TRUTHS[truth_name](heaps)
    growers = growers_of(heaps)
    return _Book(heaps, winter, truth, growers, policy).lived(truth_name)


def live_beside(heaps: Heaps, truth_name: str, policies: Sequence[Policy]) -> Lived:
    """Live by several policies that draw by the core and differ in nothing else, as blocks side by side."""
    many = heaps.repeated(len(policies))
    winter, truth, growers = winter_of(many, _days(many)), TRUTHS[truth_name](many), growers_of(many)
    book = _Book(many, winter, truth, growers, policies[0])
    book.drawing.start_c = np.repeat([policy.start_c for policy in policies], heaps.count)
    book.drawing.stop_c = np.repeat([policy.stop_c for policy in policies], heaps.count)
    book.drawing.night = np.repeat([policy.hours == "night" for policy in policies], heaps.count)
    return book.lived(truth_name)


def _days(heaps: Heaps) -> int:
    return int((GOAL_DAY - heaps.built_day).max())


class _Book:
    """The run of one policy on one truth."""

    def __init__(self, heaps: Heaps, winter: Winter, truth: Truth, growers: Sequence[Grower], policy: Policy) -> None:
        n = heaps.count
        self.heaps, self.winter, self.truth, self.growers, self.policy = heaps, winter, truth, growers, policy
        self.drawing, self.houses = Drawing.of(n, policy), Houses(heaps)
        self.ends = np.array([g.goal_days() for g in growers])
        self.pending, self.next_reading, self.paces = Work.none(n), FIRST_READING, 0
        self.used, self.drawn, self.short = np.zeros(n), np.zeros(n), np.zeros(n)
        self.used_by_day: list[Array] = []
        self.nights, self.night_used, self.night_need = np.zeros(n), np.zeros(n), np.zeros(n)
        self.run_minutes, self.run_hours = np.zeros(n), 0
        self.core: list[Array] = []
        self.told: list[tuple[int, int, float, float, float]] = []

    def lived(self, truth_name: str) -> Lived:
        """Live every day, and grade."""
        for day in range(_days(self.heaps)):
            self.morning(day)
            for hour in range(24):
                self.hour(day, (7 + hour) % 24)
            self.evening(day)
        return self.graded(truth_name)

    def morning(self, day: int) -> None:
        """Yesterday's orders are carried out; on the days of readings the heap is read and the advice asked."""
        carry_out(self.truth, self.growers, self.pending)
        self.pending = Work.none(self.heaps.count)
        if self.policy.work == "right":
            _right(self.truth, self.growers, day, self.pending)
        if day != self.next_reading:
            return
        self.next_reading += PACES[self.paces % 2] if day < OFTEN_UNTIL else LATER_PACE
        self.paces += 1
        seen = Seen.of(self.truth, self.run_minutes / max(self.run_hours, 1))
        self.run_minutes, self.run_hours = np.zeros(self.heaps.count), 0
        for grower in self.growers:
            if day >= self.ends[grower.number] - 1:
                continue
            body = status(grower, day, seen, self.winter)
            if self.policy.asks and not grower.gave_up():
                self._ask(grower, day, body)
            elif self.policy.work == "dry" and body["moisture_feel"] in ("dry", "dusty"):
                _water_by_habit(grower, day, self.pending)

    def _ask(self, grower: Grower, day: int, body: dict[str, Any]) -> None:
        answer = advise(read_status(body), effects=self.policy.effects, weighed=False)
        actions = answer["actions"]
        followed = actions[: {"none": 0, "first": 1, "three": 3}.get(self.policy.work, len(actions))]
        order(grower, day, followed, self.pending)
        self._set_draw(grower.number, day, answer, followed)
        plan = answer.get("draw_plan")
        if plan and plan.get("heat"):
            scale = 1.0 if plan["heat"]["unit"] == "kWh" else 1.0 / 3.6
            self.told.append((day, grower.number, *(plan["heat"][key] * scale for key in ("value", "low", "high"))))
        grower.said.append(_line(day, body, answer))

    def _set_draw(self, i: int, day: int, answer: Mapping[str, Any], followed: Sequence[Mapping[str, Any]]) -> None:
        """Set one heap's draw as the policy has it."""
        drawing, policy = self.drawing, self.policy
        if policy.draw == "plan":
            _by_plan(drawing, i, answer.get("draw_plan"))
        elif policy.draw == "season":
            season = answer["energy"]["season_draw"]
            power = policy.factor * season["value"] * (1000.0 if season["unit"] == "kW" else 1.0)
            carrier, ua = self.heaps.carrier_w_k[i], self.heaps.carrier_ua_w_k[i]
            at_full = carrier * -np.expm1(-ua / carrier) * USUAL_LIFT_K
            drawing.minutes[i] = float(np.clip(60.0 * power / at_full, 0.0, 60.0))
        elif policy.draw == "told":
            _as_told(drawing, i, day, followed)

    def hour(self, day: int, clock: int) -> None:
        """One hour of weather, control, heap and house."""
        weather = hour_of(self.winter, self.heaps, day, clock)
        duty = self.drawing.duty(self.truth.core_c(), day, clock)
        live_on = day < self.ends
        brought = self.truth.hour(weather, duty)
        wanted = need_w(self.heaps, weather) * 3600.0
        used = self.houses.use(brought, wanted) * live_on
        self.used += used
        self.drawn += brought * live_on
        self.short += (wanted - used) * live_on
        self.run_minutes += 60.0 * duty
        self.run_hours += 1
        if clock >= NIGHT_FROM or clock < NIGHT_TO:
            self.night_used += used
            self.night_need += wanted * live_on

    def evening(self, day: int) -> None:
        """Count the night and keep the core."""
        self.nights += self.night_used < 0.98 * self.night_need
        self.night_used, self.night_need = np.zeros_like(self.nights), np.zeros_like(self.nights)
        self.core.append(self.truth.core_c())
        self.used_by_day.append(self.used.copy())

    def graded(self, truth_name: str) -> Lived:
        """What came of it."""
        core = np.array(self.core)
        march = (MARCH_FIRST - self.heaps.built_day).astype(int)
        inside = np.arange(len(core))[:, None] < self.ends
        dead = np.array([core[m - DEAD_DAYS : m, i].mean() < DEAD_C for i, m in enumerate(march)])
        used = np.array(self.used_by_day)
        told = np.array(
            [(*row, (self.used[row[1]] - (used[row[0] - 1][row[1]])) / JOULES_PER_KWH) for row in self.told]
        )
        return Lived(
            self.policy.name,
            truth_name,
            self.used / JOULES_PER_KWH,
            self.drawn / JOULES_PER_KWH,
            self.nights,
            self.short / JOULES_PER_KWH,
            ((core >= HOT_C) & inside).sum(axis=0),
            ((core >= FIRE_C) & inside).any(axis=0),
            dead,
            np.array([g.jobs for g in self.growers], float),
            np.array([g.litres for g in self.growers]),
            core,
            told.reshape(-1, 6),
            [g.said for g in self.growers],
        )


def _line(day: int, body: Mapping[str, Any], answer: Mapping[str, Any]) -> str:
    doses = [a["action"] + "".join(f" {d['of']}={d['value']:g}" for d in a["doses"][:1]) for a in answer["actions"][:5]]
    plan = answer.get("draw_plan") or {}
    told = f"{plan.get('by')} {plan.get('start_at')}/{plan.get('stop_at')} {plan.get('hours')}" if plan else "no plan"
    draw = next(iter(body["draw"].values()))["minutes_per_hour"]
    return (
        f"day {day}: core {body['temperatures']['core']}, feels {body.get('moisture_feel')}, smells {body['smell']}, "
        f"cover {body['pile']['cover']}, {draw} min/h -> {'; '.join(doses)} | {told}"
    )


def _as_told(drawing: Drawing, i: int, day: int, followed: Sequence[Mapping[str, Any]]) -> None:
    """Minutes and pauses by the advice's draw actions."""
    for told in followed:
        doses = {dose["of"].split("_", 1)[-1]: dose["value"] for dose in told["doses"]}
        if told["action"] in ("raise_draw", "reduce_draw") and "minutes_per_hour" in doses:
            drawing.minutes[i] = doses["minutes_per_hour"]
        if told["action"] == "pause_draw":
            drawing.paused_until[i] = day + doses.get("days", 5.0)


def _by_plan(drawing: Drawing, i: int, plan: Mapping[str, Any] | None) -> None:
    """Follow the plan with a thermostat where it goes by the core, by the timer otherwise.

    Who is told to leave all as it is, or to draw no more than now, leaves the thermostat as it was set.
    """
    if plan is None or plan["text"].startswith(LEFT_AS_IT_IS):
        return
    by_core = plan["by"] == "core"
    drawing.start_c[i] = plan["start_at"] if by_core else -99.0
    drawing.stop_c[i] = plan["stop_at"] if by_core else -99.0
    drawing.night[i] = plan["hours"] == "night"
    minutes = 60.0 if by_core else plan["minutes_per_hour"]
    if plan["hours"] == "all" and not by_core:
        minutes = minutes * plan["hours_per_day"] / 24.0
    drawing.minutes[i] = 0.0 if plan["by"] == "off" else minutes


def _water_by_habit(grower: Grower, day: int, work: Work) -> None:
    litres = 20.0 * grower.told_volume
    work.water_kg[grower.number] += litres
    grower.litres += litres
    grower.jobs += 1


def _right(truth: Truth, growers: Sequence[Grower], day: int, work: Work) -> None:
    """Work as the truth has it: water to 57 % when below 50, nitrogen for the lean, film and wrap in the first week."""
    heaps = growers[0].heaps
    if day == 2:
        lean = np.maximum(0.47 * heaps.degradable_kg / 32.0 - heaps.nitrogen_kg, 0.0)
        work.nitrogen_kg += lean / 0.6
    if day in (2, 4, 6) or (day > 6 and day % 14 == 0):
        moisture = truth.mean_moisture()
        dry = heaps.dry_kg * truth.volume_share()
        wanted = dry * (0.57 / 0.43 - moisture / (1.0 - moisture)) / 0.75
        work.water_kg += np.where(moisture < 0.50, np.maximum(wanted, 0.0), 0.0)
    if day == 3:
        for grower in growers:
            grower.film = grower.wrap = True
        work.covers = True
