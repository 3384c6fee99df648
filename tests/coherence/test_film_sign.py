"""Whether a film helps is answered alike with what-ifs and without: advised in both, at about the same place."""

from __future__ import annotations

import random
from typing import Any

import pytest

from service.answer.advice import advise
from service.status.reading import read_status

FILM = "cover_with_clear_film"


def _drawn(rng: random.Random) -> dict[str, Any]:
    body: dict[str, Any] = {
        "as_of": "2026-01-18T08:00:00Z",
        "pile": {"age": rng.choice([8, 20, 45, 90]), "size": {"volume": rng.choice([3, 6, 12, 25])}, "cover": "none"},
        "temperatures": {"core": rng.choice([38, 45, 50, 56, 62]), "outdoor": rng.choice([-12, -3, 4])},
        "weather": {"low": rng.choice([-18, -7, 1])},
        "moisture_feel": rng.choice(["damp", "dry", "wet"]),
    }
    minutes = rng.choice([3, 10, 30])
    draw = {"draw": {"water": {"flow": 3, "inlet": 8, "outlet": 24, "minutes_per_hour": minutes}}}
    return body | (draw if rng.random() < 0.6 else {"equipment": []})


def _place(status: Any, effects: Any) -> int | None:
    named = [action["action"] for action in advise(status, effects)["actions"]]
    return named.index(FILM) if FILM in named else None


@pytest.mark.slow
def test_a_film_helps_in_both_ways_of_asking_or_in_neither() -> None:
    rng = random.Random(29)
    for _ in range(60):
        body = _drawn(rng)
        status = read_status(body)
        full, none = _place(status, "full"), _place(status, "none")
        assert (full is None) == (none is None), body
        assert full is None or none is None or abs(full - none) <= 1, body
