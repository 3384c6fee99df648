"""Handfuls against each other: one in several is misjudged, and water that was given changes what they tell of."""

from __future__ import annotations

from typing import Any

from service.answer.advice import advise
from service.picture.picture import seen_in
from service.status.reading import read_status
from tests.each import each

BASE: dict[str, Any] = {
    "as_of": "2026-12-01T08:00:00+00:00",
    "season": "heating",
    "goal": {"until": "2027-03-31"},
    "pile": {"age": 40, "size": {"volume": 15}, "cover": "clear_film"},
    "temperatures": {"core": 56, "outdoor": 2},
    "smell": "earthy",
    "moisture_feel": "dry",
    "moisture_feel_at": "arm_deep",
}


def body(*hands: tuple[int, str], done: tuple[tuple[int, str], ...] = (), **more: Any) -> dict[str, Any]:
    """A status with handfuls on days of November, oldest first, and work done on others."""
    history = [{"at": f"2026-11-{day:02}T08:00:00+00:00", "core": 56, "moisture_feel": feel} for day, feel in hands]
    work = [{"at": f"2026-11-{day:02}T08:00:00+00:00", "action": action} for day, action in done]
    return {**BASE, "history": history, "done": work, **more}


def confirmed(status: dict[str, Any]) -> Any:
    return seen_in(read_status(status)).derived.facts.get("hand_confirmed")


@each(
    [
        (body(), None),
        (body((28, "dry")), True),
        (body((28, "damp")), False),
        (body((21, "damp"), (24, "damp"), (26, "damp"), (28, "dry")), False),
        (body((24, "damp"), (28, "dry")), True),
        (body((28, "damp"), done=((29, "squeeze_again"),)), True),
        (body((24, "damp"), (28, "damp"), done=((25, "squeeze_again"),)), False),
        (body((18, "dry"), done=((19, "add_water"),)), False),
        (body((18, "dry"), (28, "dry"), done=((19, "add_water"),)), True),
    ]
)
def test_what_confirms_a_dry_hand(status: dict[str, Any], expected: bool | None) -> None:
    assert confirmed(status) is expected


def test_a_doubtful_hand_is_squeezed_again_before_water_is_carried() -> None:
    answer = advise(read_status(body((21, "damp"), (28, "damp"))), "none")
    names = [action["action"] for action in answer["actions"]]
    assert "squeeze_again" in names
    assert "add_water" not in names


def test_the_dose_goes_by_all_hands() -> None:
    def litres(*hands: tuple[int, str]) -> float:
        answer = advise(read_status(body(*hands)), "none")
        dose = next(action for action in answer["actions"] if action["action"] == "add_water")["doses"][0]
        return float(dose["value"])

    assert litres((26, "dry"), (28, "dry")) > litres((26, "damp"), (28, "dry")) > 0.0
