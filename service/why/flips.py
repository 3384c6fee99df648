"""What would change the first action: the smallest change of one input, found by running the whole flow again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from service.status.change import with_value
from service.status.checks import misfits
from service.status.models import Status
from service.units.figures import figure
from service.units.quantities import System
from service.why.flow import Guess, Rerun, guess, rerun
from service.why.inputs import Number, input_in_words, numbers_given, words_in

MOST_TRIED: Final = figure(200, "guesses", "Guesses before the search gives up", "no source")
MOST_PROVED: Final = figure(8, "guesses", "Proofs before the search gives up", "no source")
MOST_DOUBTED: Final = figure(
    10, "guesses", "Guesses that changed nothing but were unsure, and so were run in full", "no source"
)
OFFSETS: Final = figure(
    (1 / 8, 1 / 4, 1 / 2, 1.0, 1.5, 2.0, 3.0),
    "steps of its scale",
    "Changes of a number that are tried besides those that cross a limit",
    "no source",
)


@dataclass(frozen=True, slots=True)
class Flip:
    """One change of one field that changes the first action. Values are as the service takes them."""

    pointer: str
    old: Any
    new: Any
    first_action: str


@dataclass(frozen=True, slots=True)
class _Try:
    """A change to try: its size, its field, and for a number its place on the grid (side -1 or 1)."""

    size: float
    pointer: str
    side: int
    place: int
    old: Any
    new: Any
    number: Number | None = None

    def applied(self, status: Status) -> Status | None:
        """The status changed, None where that could not be."""
        value = self.new if self.number is None else self.number.read(self.place)
        if value is None:
            return None
        other = with_value(status, self.pointer, value)
        return None if misfits(other) else other


def smallest_flip(now: Rerun, system: System) -> tuple[Flip | None, int]:
    """The smallest change found that flips the first action, and how many changes were tried.

    Words count by steps along their row, numbers by a scale of their kind. Candidates are tried from small to large
    with a quick guess; a number that seems to flip is closed in on; what is found is then proved by the whole flow.
    The search is the same in every run and ends after MOST_TRIED guesses or MOST_PROVED proofs.
    """
    status = now.picture.status
    search = _Search(now)
    for attempt in sorted(_attempts(status, system), key=lambda a: (a.size, a.pointer, a.side, a.place, str(a.new))):
        if search.is_over():
            break
        flip = search.flip(attempt)
        if flip is not None:
            return flip, search.tried
    return None, search.tried


class _Search:
    """One search: what it has tried and proved so far."""

    def __init__(self, now: Rerun) -> None:
        self._now = now
        self._last_same: dict[tuple[str, int], int] = {}
        self._doubted = 0
        self._proved = 0
        self.tried = 0

    def is_over(self) -> bool:
        """Whether the bounds are reached."""
        return self.tried >= MOST_TRIED or self._proved >= MOST_PROVED

    def flip(self, attempt: _Try) -> Flip | None:
        """The flip at or just before this attempt, or None where it changes nothing."""
        found = self._guess(attempt)
        if found is None:
            return None
        if found.first_action != self._now.first_action:
            self._proved += 1
            nearest = attempt if attempt.number is None else self._closed_in(attempt, attempt.number)
            return self._proof(nearest) or (None if nearest is attempt else self._proof(attempt))
        if found.unsure and self._doubted < MOST_DOUBTED:
            self._doubted += 1
            return self._proof(attempt)
        self._last_same[attempt.pointer, attempt.side] = attempt.place
        return None

    def _guess(self, attempt: _Try) -> Guess | None:
        """A guess for this attempt, None where the status could not be so."""
        other = attempt.applied(self._now.picture.status)
        if other is None:
            return None
        self.tried += 1
        return guess(other, self._now.gains)

    def _closed_in(self, attempt: _Try, number: Number) -> _Try:
        """The nearest place on the grid, after the last that changed nothing, that still seems to flip."""
        here = number.shown / number.step
        start = math.ceil(here) - 1 if attempt.side < 0 else math.floor(here) + 1
        inside, outside = self._last_same.get((attempt.pointer, attempt.side), start - attempt.side), attempt.place
        while abs(outside - inside) > 1:
            middle = (inside + outside) // 2
            found = self._guess(replace(attempt, place=middle))
            if found is None or found.first_action == self._now.first_action:
                inside = middle
            else:
                outside = middle
        return replace(attempt, place=outside)

    def _proof(self, attempt: _Try) -> Flip | None:
        """The flip, if the whole flow agrees."""
        other = attempt.applied(self._now.picture.status)
        assert other is not None
        then = rerun(other).first_action
        if then == self._now.first_action:
            return None
        new = attempt.new if attempt.number is None else attempt.number.text_at(attempt.place)
        return Flip(attempt.pointer, attempt.old, new, then)


def _attempts(status: Status, system: System) -> Iterator[_Try]:
    for size, pointer, old, new in words_in(status):
        yield _Try(size, pointer, 0, 0, old, new)
    for number in numbers_given(status, system):
        old = input_in_words(round(number.shown, 4), number.measure.dimension, system)
        for side, place in sorted(_places(number)):
            size = abs(place * number.step - number.shown) / number.scale
            yield _Try(size, number.pointer, side, place, old, None, number)


def _places(number: Number) -> set[tuple[int, int]]:
    """Places on the grid to try, with their side of the value."""
    wanted = {number.shown + side * offset * number.scale for side in (-1, 1) for offset in OFFSETS}
    places = {round(value / number.step) for value in wanted}
    for limit in number.limits():
        at = round(limit / number.step, 6)
        places |= {math.ceil(at) - 1, round(at), math.floor(at) + 1}
    here = number.shown / number.step
    return {(1 if place > here else -1, place) for place in places if abs(place - here) > 1e-6}
