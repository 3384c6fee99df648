"""Questions: never to dig where it may burn, never for what was told."""

from __future__ import annotations

from collections.abc import Iterator

from tests.coherence.case import Answer, Case, hottest, told
from tests.coherence.law import law

KEEP_OFF_FROM = 75.0
NEAR = ("dig", "squeeze", "handful", "push", "probe", "smell a", "arm's depth", "under the skin", "walk")


@law("a question that sends somebody to a heap that may burn")
def digging_where_it_may_burn(case: Case, answer: Answer) -> Iterator[str]:
    burning = told(case.body, "smell") == "burnt" or "smoke" in (told(case.body, "signs") or [])
    if burning or (hottest(case.body) or 0.0) >= KEEP_OFF_FROM:
        for asked in answer["ask_next"]:
            if any(word in asked["question"].casefold() for word in NEAR):
                yield asked["question"]


@law("a question while somebody by the heap feels unwell: all are to be out")
def asks_while_somebody_is_unwell(case: Case, answer: Answer) -> Iterator[str]:
    if {"headache", "dizzy", "sick"} & set(told(case.body, "people") or []):
        for asked in answer["ask_next"]:
            if any(word in asked["question"].casefold() for word in NEAR):
                yield asked["question"]


@law("a question for what was told")
def asks_for_what_was_told(case: Case, answer: Answer) -> Iterator[str]:
    for asked in answer["ask_next"]:
        path = asked["field"].strip("/").split("/")
        if path in (["history"], ["draw"], ["pile", "size"], ["pile", "ingredients"]):
            continue
        if path == ["moisture_feel"] and told(case.body, "moisture_feel_at") in (None, "surface"):
            continue  # a handful from the skin does not tell what the inside is like
        if path == ["moisture_feel"] and case.judgement.found.facts.get("hand_doubtful") is True:
            continue  # one that something else speaks against is worth another look
        if told(case.body, *path) is not None:
            yield f"{asked['field']}: {asked['question']}"
