"""Texts and numbers by themselves: short enough, whole, in order, and one figure for one thing."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from rules import RULES
from rules.language.findings import CAUSES
from rules.language.model import Act, Finding
from service.render.numbers import dose_in_words
from tests.coherence.case import Answer, Case, first, in_fire
from tests.coherence.law import law
from tests.coherence.laws.order import CURES

LONGEST = 320
EXPLAINED = {
    **CURES,
    "very_dry": {"add_water"},
    "ageing": {"start_next_pile"},
    "house_short": {"light_backup_heat"},
    "loop_frost_danger": {"protect_loop_from_frost"},
    "gas_into_house": {"ventilate_greenhouse"},
    "fire_danger": {"keep_clear_and_call_fire_service"},
    "very_hot": {"watch_heat"},
    "overheating": {"watch_heat"},
    "asked_beyond_season": {"reduce_draw"},
}
"""Moves that a finding explains without another word. To wait or to keep going is explained by no finding alone."""
UNEXPLAINED = ("othing you told explains", "nothing you told says why")
NO_EXPLANATION = {"losing_unseen", "too_much_nitrogen"}
"""Causes that say no more than that it cools for no known reason, or that do not cool it."""
FORECAST = re.compile(r"^the core is likely to .*\d")
LEFT_OPEN = re.compile(r"[{}]|\bNone\b|\bnan\b|\binf\b|  |\.\.")
PERCENT = re.compile(r"(\d+(?:\.\d+)?) ?%")


@law("a short text over 320 characters, or without the likely amount of the first dose")
def say_holds_the_dose(case: Case, answer: Answer) -> Iterator[str]:
    for text in (answer["say"], case.us["say"]):
        if not 0 < len(text) <= LONGEST:
            yield f"{len(text)} characters"
    doses = first(answer)["doses"]
    if doses and not in_fire(answer) and dose_in_words(doses[0]) not in answer["say"]:
        yield f"{dose_in_words(doses[0])} not in {answer['say']!r}"


@law("a number that is not finite, or a range out of order")
def numbers_are_sound(case: Case, answer: Answer) -> Iterator[str]:
    for place, value in case.parts(answer):
        if isinstance(value, float) and not math.isfinite(value):
            yield f"{place}: {value}"
        ranged = type(value) is dict and {"value", "low", "high"} <= value.keys()
        if ranged and not value["low"] <= value["value"] <= value["high"]:
            yield f"{place}: {value}"


@law("a text with something left open, or broken")
def texts_are_whole(case: Case, answer: Answer) -> Iterator[str]:
    for place, value in case.parts(answer):
        if isinstance(value, str) and LEFT_OPEN.search(value):
            yield f"{place}: {value!r}"


@law("a first reason that does not explain the action")
def reason_explains_the_action(case: Case, answer: Answer) -> Iterator[str]:
    for action in answer["actions"]:
        gives = RULES[action["reasons"][0]["rule"]].gives
        if isinstance(gives, Act) and gives.action == action["action"]:
            continue
        seen = gives.name if isinstance(gives, Finding) else ""
        if action["action"] in EXPLAINED.get(seen, set()) - {"wait", "keep_going"}:
            continue
        yield f"{action['action']} because {action['reasons'][0]['text']!r}"


@law("one forecast told twice among the reasons for or against one move")
def forecast_told_once(case: Case, answer: Answer) -> Iterator[str]:
    for move in (*answer["actions"], *answer["avoid"]):
        texts = [reason["text"].rstrip(".") for reason in move["reasons"]]
        clauses = [clause for text in texts for clause in text.split(", ") if FORECAST.search(clause)]
        yield from sorted({clause for clause in clauses if clauses.count(clause) > 1})


@law("nothing that was told explains it, beside a cause that was found")
def unexplained_beside_a_cause(case: Case, answer: Answer) -> Iterator[str]:
    texts = [reason["text"] for each in answer["actions"] for reason in each["reasons"]]
    if any(words in text for text in texts for words in UNEXPLAINED):
        found = case.judgement.found.facts
        yield from (name for name in sorted(CAUSES.keys() - NO_EXPLANATION) if found.get(name) is True)


@law("a heap that is too dry here and too wet there, each as if it were sure")
def both_too_dry_and_too_wet(case: Case, answer: Answer) -> Iterator[str]:
    texts = " ".join(reason["text"] for part in answer["avoid"] for reason in part["reasons"])
    if "already wetter than rot likes" in texts and "too dry already" in texts:
        yield texts


@law("one share of the house's need here, another there")
def one_share_of_the_need(case: Case, answer: Answer) -> Iterator[str]:
    tonight = answer["tonight"]
    if tonight["needed"] is None or tonight["needed"]["value"] <= 0:
        return
    texts = [answer["headline"], answer["say"], tonight["verdict"]]
    texts += [part["text"] for a in answer["actions"] for part in (*a["reasons"], *a["cautions"])]
    sentences = [sentence for text in texts for sentence in re.split(r"(?<=[.!?]) ", text)]
    about = [each for each in sentences if "%" in each and re.search(r"covers|of that", each)]
    told = {float(found) for text in about for found in PERCENT.findall(text)}
    if len(told) > 1 and max(told) - min(told) > 1.0:
        yield f"{sorted(told)}"
    if tonight["from_pile"] is None:
        return
    least_given, most_given = _as_shown(tonight["from_pile"]["value"])
    least, most = _as_shown(tonight["needed"]["value"])
    low, high = 100 * least_given / most, min(100 * most_given / least, 100.0)
    yield from (
        f"{found} % told, {low:.0f} to {high:.0f} % given" for found in told if not low - 1.0 <= found <= high + 1.0
    )


def _as_shown(value: float) -> tuple[float, float]:
    """What a number that is told to its last digit other than nought may be."""
    step = 1.0
    while value and value % (10 * step) == 0:
        step *= 10.0
    return value - 0.5 * step, value + 0.5 * step
