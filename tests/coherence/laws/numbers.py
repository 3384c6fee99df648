"""Numbers and the short form: no more digits than a range allows, no chance in percent, a caution once, 120 words."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from service.answer.plain_text import advice_as_text
from service.render.numbers import quantity_in_words
from tests.coherence.case import Answer, Case
from tests.coherence.law import law

MOST_WORDS = 120
NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
CHANCE = re.compile(r"chance[^.]{0,40}\d+(?:\.\d+)? ?%")


def digits_of(written: str) -> int:
    """Digits of a number as written, without the noughts before it and behind it."""
    plain = written.replace(",", "")
    digits = plain.replace(".", "").lstrip("0")
    return len(digits if "." in plain else digits.rstrip("0"))


@law("a number of a text with more digits than its range allows, or a range that begins at nought")
def ranges_are_rounded(case: Case, answer: Answer) -> Iterator[str]:
    for place, amount in quantities_in(case, answer):
        told = quantity_in_words(amount)
        narrow = amount["high"] - amount["low"] < 0.02 * abs(amount["value"])
        most = 3 if narrow or amount["unit"] in ("degC", "degF") else 2  # a temperature to the degree: 105 °F
        for written in NUMBER.findall(re.sub(r"m[²³]|ft[²³]|yd³", "", told)):
            if digits_of(written) > most:
                yield f"{place}: {told}"
        if re.search(r"\(0 to", told):
            yield f"{place}: {told}"


@law("a number as data with more than two digits, though its range is wider than it")
def data_is_rounded(case: Case, answer: Answer) -> Iterator[str]:
    for place, amount in quantities_in(case, answer):
        spread, value = amount["high"] - amount["low"], amount["value"]
        if value and spread >= 1.2 * abs(value):
            size = max(abs(value), spread / 2)
            step = 10.0 ** min(math.floor(math.log10(size)) - 2, math.floor(math.log10(abs(value))) - 1)
            if abs(value / step - round(value / step)) > 1e-6:
                yield f"{place}: {amount}"


@law("a chance told in percent, or a caution that is told twice in one text")
def chances_are_out_of_ten_and_a_caution_is_told_once(case: Case, answer: Answer) -> Iterator[str]:
    whole, short = (" ".join(text.split()) for text in (advice_as_text(answer), case.brief(answer)))
    yield from CHANCE.findall(whole)
    told = [caution["text"] for each in answer["actions"] for caution in each["cautions"]]
    yield from (caution for caution in told if whole.count(caution) > 1 or short.count(caution) > 1)


@law("a short form of more than 120 words, or without the first move and when to look again")
def the_short_form_is_short(case: Case, answer: Answer) -> Iterator[str]:
    text = case.brief(answer)
    if len(text.split()) > MOST_WORDS:
        yield f"{len(text.split())} words"
    if answer["actions"][0]["title"] not in " ".join(text.split()) or "Look again" not in text:
        yield text
    if len(answer["say"].split()) > MOST_WORDS:
        yield answer["say"]


@law("a gain told under a move that likely loses, or that is too small to matter", needs="full")
def no_loss_is_told_as_a_gain(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        effect = action["effect"]
        if effect["text"] is None:
            continue
        heat, days = effect["heat_to_goal"], effect["hot_days_gained"]
        if heat["value"] <= 0 and (days is None or days["value"] <= 0):
            yield f"{action['action']}: {effect}"
        if " -" in effect["text"] or "0 kWh" in effect["text"].split() or not re.search(r"\d+ in \d+", effect["text"]):
            yield effect["text"]


def quantities_in(case: Case, answer: Answer) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every value with a range, with its place."""
    for place, value in case.parts(answer):
        if type(value) is dict and {"value", "low", "high", "unit"} <= value.keys():
            yield place, value
