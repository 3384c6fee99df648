"""Statuses through the laws: how often each is broken, with the smallest example."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.coherence.case import Body, Case
from tests.coherence.laws import LAWS, Law
from tests.coherence.shrink import smallest


@dataclass
class Breaches:
    """How often a law was broken, and the first statuses that did."""

    law: Law
    count: int = 0
    examples: list[tuple[Body, str]] = field(default_factory=list)


def held_to(bodies: Iterable[Body], *, full: bool, names: Iterable[str] | None = None) -> dict[str, Breaches]:
    """Hold the answers to these statuses to the laws that read such answers."""
    asked = set(names or LAWS)
    laws = [each for each in LAWS.values() if each.name in asked and (full or each.needs == "any")]
    found = {each.name: Breaches(each) for each in laws}
    for case in map(Case, bodies) if full else Case.side_by_side(bodies):
        for each in laws:
            complaint = complaint_of(each, case, full=full)
            if complaint is not None:
                breaches = found[each.name]
                breaches.count += 1
                breaches.examples = breaches.examples or [(case.body, complaint)]
    return found


def complaint_of(law: Law, case: Case, *, full: bool) -> str | None:
    """What the law complains of, or None."""
    return next(law.check(case, case.full if full else case.none), None)


def example_of(breaches: Breaches, *, full: bool) -> str:
    """The smallest status that breaks the law, with the complaint."""
    law, (body, _) = breaches.law, breaches.examples[0]
    small = smallest(body, lambda less: complaint_of(law, Case(less), full=full) is not None, 80 if full else 400)
    return f"{complaint_of(law, Case(small), full=full)}\n    {json.dumps(small)}"


def table(found: dict[str, Breaches], count: int) -> str:
    """One line for each law that was broken."""
    broken = sorted((each for each in found.values() if each.count), key=lambda each: -each.count)
    lines = [f"{each.count:6d} of {count}  {each.law.name}: {each.law.forbids}" for each in broken]
    return "\n".join(lines) or "every law held"
