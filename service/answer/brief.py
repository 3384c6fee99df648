"""The short form of an answer: what to do first, why, what not to do, what would hurt, when to look again."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Final

from rules.catalogue import said
from service.actions.rank import FIRE_ACTION
from service.answer.shapes.action import AvoidShown, DoseShown
from service.answer.shapes.advice import Advice
from service.answer.words import life_cautions, look_again_in_words, when
from service.units.figures import figure

MOST_WORDS: Final = figure(120, "words", "Length of the short form, so that a cold hand need not scroll", "no source")
MOST_OTHERS: Final = figure(3, "moves", "Moves that the short form names behind the first", "no source")


def brief(answer: Advice, dose_text: Callable[[DoseShown], str]) -> list[str]:
    """Lines of at most 120 words in all; `dose_text` writes one dose.

    What does not fit goes, the least first; never what to do, nor what would hurt in the next hour.
    """
    kept = _first(answer, dose_text)
    others = [line for line in _others(answer) if line]
    look = look_again_in_words(answer["actions"][0]["action"], answer["look_again"])
    while others and _words([*kept, *others, look]) > MOST_WORDS:
        others.pop()
    return [*kept, *others, look]


def _words(lines: list[str]) -> int:
    return sum(len(line.split()) for line in lines)


def _first(answer: Advice, dose_text: Callable[[DoseShown], str]) -> list[str]:
    """What to do, after what concerns the next hour; from a fire one goes away before one reads anything else."""
    first = answer["actions"][0]
    soon = [
        said("plain.care", text=first_sentence(each["text"])) for each in life_cautions(answer["actions"], soon=True)
    ]
    fire = first["action"] == FIRE_ACTION
    move = [f"1. {first['title']}, {when(first)}."]
    move += ["   " + said("plain.how-much", dose=dose_text(first["doses"][0]))] if first["doses"] else []
    return [said("answer.fire"), *move, *soon] if fire else [*soon, *move]


def _others(answer: Advice) -> Iterator[str]:
    first, *others = answer["actions"]
    yield "   " + said("plain.why", text=first_sentence(first["reasons"][0]["text"])) if first["reasons"] else ""
    life = life_cautions(answer["actions"], soon=False)
    for caution in (life or [each for each in first["cautions"] if not each["soon"]])[:1]:
        yield "   " + said("plain.care", text=first_sentence(caution["text"]))
    yield from (
        said("plain.do-not-this", title=_lower(item["title"]), why=_reason(item)) for item in answer["avoid"][:1]
    )
    titles = [f"{item['rank']}. {_lower(item['title'])}, {when(item)}" for item in others[:MOST_OTHERS]]
    yield said("plain.then", moves="; ".join(titles)) if titles else ""


def _reason(item: AvoidShown) -> str:
    return first_sentence(item["reasons"][0]["text"]) if item["reasons"] else ""


def _lower(title: str) -> str:
    return title[0].lower() + title[1:]


def first_sentence(text: str) -> str:
    """A text up to the end of its first sentence."""
    found = re.match(r".*?[.!?](?= [A-Z]|$)", text, re.DOTALL)
    return found[0] if found else text
