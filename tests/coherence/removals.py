"""A status with one field left out: what was not told may widen what is told of it, and never silences it."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any, Final

from service.problems.problem import Problem
from service.status.reading import read_status
from tests.coherence.case import Answer, Body, Case, cautions, first, in_fire, is_lethal

WARMTH: Final = ("/temperatures", "/history", "/read_at", "/probe", "/as_of")
BURNS: Final = (*WARMTH, "/signs", "/smell", "/moisture_feel", "/pile", "/done")
EVIDENCE: Final[Mapping[tuple[str, ...], tuple[str, ...]]] = {
    ("legionella",): (),
    ("monoxide", "deadly gas"): (),
    ("far hotter",): WARMTH,
    ("straw",): BURNS,
    ("everybody out",): ("/people",),
}
"""Words of a caution for life, and the fields without which nothing tells that it is needed: no others take it away."""
KEPT: Final = frozenset({"/as_of", "/pile", "/temperatures", "/pile/age", "/pile/built_on"})
"""Without these there is no status."""


def complaints(case: Case) -> Iterator[str]:
    """Cautions for life, and the fire answer, that go with a field that is no evidence of them."""
    whole = case.none
    paths = {path: body for path in _paths(case.body) if _can_be_read(body := _without(case.body, path))}
    for path, other in zip(paths, Case.side_by_side(paths.values()), strict=True):
        less = other.none
        if in_fire(whole) and not in_fire(less) and not path.startswith(BURNS):
            yield f"without {path} {first(less)['action']} in place of the fire service"
        if in_fire(whole) or in_fire(less):
            continue
        for words, evidence in EVIDENCE.items():
            if _warns(whole, words) and not _warns(less, words) and not path.startswith(evidence):
                yield f"without {path} not a word of {words[0]!r}"


def _can_be_read(body: Body) -> bool:
    try:
        read_status(body)
    except Problem:  # nothing can be said without it
        return False
    return True


def _warns(answer: Answer, words: tuple[str, ...]) -> bool:
    texts = [each["text"].casefold() for each in cautions(answer) if is_lethal(each["rule"])]
    return any(word in text for word in words for text in texts)


def _paths(node: Mapping[str, Any], above: str = "") -> Iterator[str]:
    """Each field that was told, and each part of it."""
    for name, part in node.items():
        path = f"{above}/{name}"
        if path not in KEPT:
            yield path
        if isinstance(part, Mapping) and path != "/read_at":
            yield from _paths(part, path)


def _without(body: Body, path: str) -> Body:
    less = copy.deepcopy(body)
    *parents, name = path.strip("/").split("/")
    place = less
    for parent in parents:
        place = place[parent]
    del place[name]
    return less
