"""What lies over a heap, by the cover that was told and the work that was done."""

from __future__ import annotations

from typing import Any

from service.actions.effects import CHANGES
from service.answer.advice import advise
from service.facts.covers import cover_on
from service.heat.physics.members import members
from service.picture.picture import seen_in
from service.status.reading import read_status
from tests.each import each

FILM = {"at": "2026-11-01T10:00:00Z", "action": "cover_with_clear_film"}
WRAP = {"at": "2026-11-05T10:00:00Z", "action": "insulate"}
LIFT = {"at": "2026-11-08T10:00:00Z", "action": "lift_cover"}


def status_of(cover: str | None, *done: dict[str, str], **more: Any) -> Any:
    pile = {"age": 40, "size": {"volume": 15}} | ({"cover": cover} if cover else {})
    return read_status(
        {
            "as_of": "2026-11-20T07:30:00+00:00",
            "pile": pile,
            "temperatures": {"core": 45, "outdoor": 2},
            "done": list(done),
            **more,
        }
    )


@each(
    [
        ("none", (), ("none", False)),
        ("none", (FILM, WRAP), ("none", False)),
        (None, (), (None, False)),
        (None, (FILM,), ("clear_film", False)),
        (None, (WRAP,), ("straw", False)),
        (None, (FILM, WRAP), ("clear_film", True)),
        ("clear_film", (WRAP,), ("clear_film", True)),
        ("straw", (), ("straw", False)),
        ("straw", (FILM, WRAP), ("clear_film", True)),
        ("clear_film", (WRAP, LIFT), ("clear_film", False)),
        ("tarp", (WRAP,), ("tarp", True)),
    ]
)
def test_cover_and_wrap(cover: str | None, done: tuple[dict[str, str], ...], found: tuple[str | None, bool]) -> None:
    assert cover_on(status_of(cover, *done)) == found


def test_a_wrap_adds_to_film_and_film_to_a_wrap() -> None:
    """A wrap about a filmed heap never loses what the film keeps (first law: a resistance more is no heat less)."""
    season = {"season": "heating", "goal": {"until": "2027-03-31"}, "moisture_feel": "damp"}
    gained = {}
    for cover, action in (("clear_film", "insulate"), ("straw", "cover_with_clear_film")):
        answer = advise(status_of(cover, **season), "full")
        shown = next(each for each in answer["actions"] if each["action"] == action)
        gained[action] = shown["effect"]["heat_to_goal"]["value"]
    assert min(gained.values()) > 0.0


def test_a_second_wrap_changes_nothing() -> None:
    piles, state, _ = members(seen_in(status_of("clear_film", WRAP)).estimate)
    again, _ = CHANGES["insulate"](piles, state, [])
    assert (again.cover_resistance == piles.cover_resistance).all()
    bare, state, _ = members(seen_in(status_of("clear_film")).estimate)
    once, _ = CHANGES["insulate"](bare, state, [])
    assert (once.cover_resistance == piles.cover_resistance).all()
