"""Troubleshooting cases with a hidden truth: heaps of the independent model, all of them told, most of it withheld."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from service.status.models import Status
from service.status.reading import read_status
from tests.forecasting.grower import Grower
from tests.forecasting.truth import Truth, simulate
from tests.forecasting.truth_piles import build, generator

Body = dict[str, Any]
TUNING_SEED, TEST_SEED = 6101, 7301
"""Everything was tuned on heaps of the first seed; the table and the tests use the second."""
DAYS: Final = 100
ASKING: Final = 11
"""Purpose of the random numbers drawn here; see `truth_piles.generator`."""
FIRST_DAY: Final = 5
HISTORY_DAYS: Final = 3
DISAPPOINTS_BELOW_C: Final = 50.0
FALLS_K: Final = 2.1  # within those three days
WITHHELD: Final = 0.75
"""Chance that a field is not told at first."""

FIELDS: Final = {
    "/moisture_feel": (("moisture_feel",), ("moisture_feel_at",)),
    "/history": (("history",),),
    "/smell": (("smell",),),
    "/pile/ingredients": (("pile", "ingredients"),),
    "/pile/size": (("pile", "size"),),
    "/draw": (("draw",),),
    "/pile/cover": (("pile", "cover"),),
    "/temperatures/outdoor": (("temperatures", "outdoor"),),
    "/temperatures/outer": (("temperatures", "outer"),),
    "/signs": (("signs",),),
    "/probe/length": (("probe",),),
}
"""What a question reveals, by the field it asks for."""


@dataclass(frozen=True, slots=True)
class Witness(Grower):
    """A grower who has looked at everything."""

    def _tells(self, chance: float) -> bool:
        return True


@dataclass(frozen=True)
class Case:
    """One case: the whole truth as a body, and the fields that are withheld at first."""

    number: int
    truth: Body
    hidden: frozenset[str]

    def status(self, asked: frozenset[str] = frozenset()) -> Status:
        """The status once these fields were asked for."""
        body = copy.deepcopy(self.truth)
        for field in self.hidden - asked:
            for *parents, name in FIELDS[field]:
                part = body
                for parent in parents:
                    part = part[parent]
                part.pop(name, None)
        return read_status(body)


def make_cases(seed: int, heaps: int, days: int = DAYS) -> list[Case]:
    """The cases of a seed's first heaps, at most one each."""
    happened = simulate(build(seed, heaps), days)
    found = (_case(happened, number) for number in range(heaps))
    return [case for case in found if case is not None]


def _case(happened: Truth, number: int) -> Case | None:
    rng = generator(happened.built.seed, number, ASKING)
    days = troubled_days(happened.core_c[:, number])
    if days.size == 0:
        return None
    day = int(rng.choice(days))
    core = happened.core_c[:, number]
    now, earlier = (float(np.rint(core[2 * at] + rng.standard_normal())) for at in (day, day - HISTORY_DAYS))
    body = Witness(happened, number, day, rng).status(now)
    for untold in ("done", "weather"):
        body.pop(untold, None)
    at = datetime.fromisoformat(body["as_of"]) - timedelta(days=HISTORY_DAYS)
    body |= {"history": [{"at": at.isoformat(), "core": earlier}], "probe": {"length": "1.2 m"}, "season": "heating"}
    told = [field for field in FIELDS if _told(body, field)]
    return Case(number, body, frozenset(field for field in told if rng.uniform() < WITHHELD))


def troubled_days(core_c: NDArray[np.float64]) -> NDArray[np.intp]:
    """Ages on which a heap is not hot, or cools."""
    day = np.arange(FIRST_DAY, (len(core_c) - 1) // 2 + 1)
    now, earlier = core_c[2 * day], core_c[2 * (day - HISTORY_DAYS)]
    result: NDArray[np.intp] = day[(now < DISAPPOINTS_BELOW_C) | (earlier - now > FALLS_K)]
    return result


def _told(body: Body, field: str) -> bool:
    part: Any = body
    for name in field.strip("/").split("/"):
        part = part.get(name) if isinstance(part, dict) else None
    return part is not None
