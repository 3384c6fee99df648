"""A heap of things nobody listed is advised on all the same: said back, listed as assumed, and with wider ranges."""

from __future__ import annotations

from typing import Any

from service.answer.advice import advise
from service.facts.mixture import read_mixture
from service.facts.record import Derived
from service.status.reading import read_status
from tests.each import each

AS_OF = "2026-01-18T07:30:00Z"


def status(*parts: tuple[str, str]) -> dict[str, Any]:
    ingredients = [{"material": name, "amount": amount} for name, amount in parts]
    return {
        "as_of": AS_OF,
        "pile": {"age": 40, "ingredients": ingredients},
        "temperatures": {"core": 45},
        "moisture_feel": "dry",
    }


@each(["zebra droppings", "kombucha scoby", "llama stuff", "xyzzy"])
def test_advice_says_what_it_was_taken_for(said: str) -> None:
    answer = advise(read_status(status(("wood chips", "8 m3"), (said, "2 m3"))))
    assert answer["actions"]
    (told,) = [each for each in answer["read_as"] if each["given"] == said]
    assert told["field"] == "/pile/ingredients/1/material"
    (taken,) = [each for each in answer["assumed"] if each["field"] == "/pile/ingredients/1/material"]
    assert said in taken["why"]
    assert taken["low"] <= 15
    assert taken["high"] >= 80


def test_ranges_widen_with_what_nobody_knows() -> None:
    def spread(*parts: tuple[str, str]) -> float:
        mixture = read_mixture(read_status(status(*parts)), Derived())
        return mixture.cn_degradable.high / mixture.cn_degradable.low

    known = spread(("wood chips", "8 m3"), ("manure", "2 m3"))
    some = spread(("wood chips", "8 m3"), ("zebra droppings", "2 m3"))
    most = spread(("wood chips", "2 m3"), ("zebra droppings", "8 m3"))
    assert known < some < most


def test_a_slip_of_spelling_widens_nothing() -> None:
    right = read_mixture(read_status(status(("horse manure", "2 m3"))), Derived())
    slipped = read_mixture(read_status(status(("horse manur", "2 m3"))), Derived())
    assert right == slipped
