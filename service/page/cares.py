"""Cautions, what not to do, and where reasons come from, as the page of an answer shows them."""

from __future__ import annotations

from dataclasses import dataclass

from rules.catalogue import said
from service.answer.brief import first_sentence
from service.answer.shapes.action import AvoidShown, CautionShown, Reason


@dataclass(frozen=True, slots=True)
class Care:
    """A caution: what stands on the page, and the rest that unfolds."""

    short: str
    rest: str


class Sources:
    """The sources of the reasons, numbered as they come."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def numbered(self, reasons: list[Reason]) -> tuple[tuple[str, int], ...]:
        """The reasons, each with the number of its source."""
        return tuple(
            (reason["text"], self._numbers.setdefault(reason["source"]["cite"], len(self._numbers) + 1))
            for reason in reasons
        )

    @property
    def cited(self) -> tuple[str, ...]:
        """What was cited, from number 1 on."""
        return tuple(self._numbers)


def cares_for_life(cautions: list[CautionShown], *, whole: bool = False) -> tuple[Care, ...]:
    """Cautions for life: their few words stand first, and the rest unfolds; `whole` leaves nothing to unfold."""
    return tuple(
        Care(caution["text"], "") if whole else Care(caution["brief"] or "", caution["text"]) for caution in cautions
    )


def care_of(caution: CautionShown) -> Care:
    """Another caution: its first sentence stands, and the rest unfolds."""
    first = first_sentence(caution["text"])
    return Care(first, caution["text"].removeprefix(first).strip())


def never_in_words(avoid: list[AvoidShown]) -> str:
    """The first thing not to do, and why, in a sentence or two."""
    if not avoid:
        return ""
    why = first_sentence(avoid[0]["reasons"][0]["text"]) if avoid[0]["reasons"] else ""
    title = avoid[0]["title"]
    return said("page.do-not", what=title[0].lower() + title[1:], why=why).rstrip()
