"""Which answers differ between two versions of the knowledge: recorded under one, compared under another."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final, TypedDict

from rules.catalogue import said
from rules.engine.inference import cautions_beside, infer
from rules.version import knowledge_version
from service.answer.advice import advise
from service.picture.picture import picture_of
from service.problems.problem import Problem
from service.status.change import with_fields
from service.status.models import Status
from service.status.reading import read_status

_NOT_STATUSES: Final = (".response.json",)
_OF_THE_VERSION: Final = ("id", "knowledge_version")
_LISTS: Final = ("rules", "avoid")


@dataclass(frozen=True, slots=True)
class Difference:
    """How one answer differs; `what` is a line for each difference, empty where it is the same."""

    name: str
    what: tuple[str, ...]


class RecordedAnswer(TypedDict):
    """What of an answer is compared."""

    as_of: str
    actions: list[str]
    rules: list[str]
    avoid: list[str]
    hash: str


class Recorded(TypedDict):
    """The answers to the statuses of a folder, by file."""

    knowledge_version: str
    answers: dict[str, RecordedAnswer]


def recorded_answers(folder: Path) -> Recorded:
    """The answers to every status in a folder under the present knowledge.

    A status is any JSON file that can be read as one; answers (`*.response.json`) are passed over.

    Raises
    ------
    Problem
        A file holds no usable status; the file is named.
    OSError
        The folder or a file cannot be read.
    """
    return {
        "knowledge_version": knowledge_version(),
        "answers": {name: _answer(status) for name, status in _statuses(folder)},
    }


def compare(recorded: Recorded, folder: Path) -> list[Difference]:
    """What the present knowledge answers otherwise than was recorded, status by status, by name.

    A status without `as_of` is answered as of the moment it was recorded at.
    """
    then = recorded["answers"]
    now = {
        name: _answer(_as_of(status, then[name]["as_of"]) if name in then else status)
        for name, status in _statuses(folder)
    }
    return [Difference(name, tuple(_differences(then.get(name), now.get(name)))) for name in sorted({*then, *now})]


def _statuses(folder: Path) -> Iterator[tuple[str, Status]]:
    for file in sorted(file for file in folder.iterdir() if file.suffix == ".json"):
        if file.name.endswith(_NOT_STATUSES):
            continue
        try:
            yield file.name, read_status(file.read_bytes())
        except Problem as problem:
            raise Problem(problem.slug, f"{file.name}: {problem.detail}", problem.errors) from None


def _as_of(status: Status, moment: str) -> Status:
    return with_fields(status, as_of=datetime.fromisoformat(moment))


def _answer(status: Status) -> RecordedAnswer:
    """What of an answer is compared: order of actions, rules that fired, moves warned off, and the whole as a hash."""
    answer = advise(status)
    actions = [action["action"] for action in answer["actions"]]
    found = infer(picture_of(status).derived.facts)
    fired = (*found.fired, *cautions_beside(found, actions))
    kept = {name: part for name, part in answer.items() if name not in _OF_THE_VERSION}
    return {
        "as_of": answer["as_of"],
        "actions": actions,
        "rules": sorted(rule.id for rule in fired),
        "avoid": sorted(item["action"] for item in answer["avoid"]),
        "hash": hashlib.sha256(json.dumps(kept, sort_keys=True).encode()).hexdigest()[:16],
    }


def _differences(then: RecordedAnswer | None, now: RecordedAnswer | None) -> Iterator[str]:
    if then is None or now is None:
        yield said("command.replay.not-recorded" if then is None else "command.replay.status-gone")
        return
    if then["actions"][:1] != now["actions"][:1]:
        yield said("command.replay.first", then=_first(then), now=_first(now))
    if then["actions"] != now["actions"]:
        yield said("command.replay.actions", then=", ".join(then["actions"]), now=", ".join(now["actions"]))
    for part in _LISTS:
        gone, new = sorted({*then[part]} - {*now[part]}), sorted({*now[part]} - {*then[part]})
        if gone or new:
            yield f"{part}: " + " ".join([*(f"-{name}" for name in gone), *(f"+{name}" for name in new)])
    if then["hash"] != now["hash"] and all(then[part] == now[part] for part in ("actions", *_LISTS)):
        yield said("command.replay.texts-only")


def _first(answer: RecordedAnswer) -> str:
    return answer["actions"][0] if answer["actions"] else "none"
