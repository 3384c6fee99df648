"""The generated parts of rules/README.md: `python -m tests.rule_table` writes them anew.

Each part lies between two marks, `<!-- begin NAME -->` and `<!-- end NAME -->`; all else in the file is left alone.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from rules import RULES
from rules.actions.conflicts import BESIDE_THE_HEAP, CONFLICTS, KEEP_GOING_YIELDS_TO, WAIT_YIELDS_TO
from rules.actions.records import ACTIONS
from rules.language.model import Act, Avoid, Caution, Finding, HowKnown, Rule, SourceKind

FILE = Path(__file__).parent.parent / "rules" / "README.md"
LONGEST_CITE = 60


def rules_part() -> str:
    """Every rule in one line: what it gives and who says so."""
    kinds = Counter(rule.source.kind for rule in RULES.values())
    counted = ", ".join(f"{kinds[kind]} {kind.value.replace('_', ' ')}" for kind in SourceKind if kinds[kind])
    lines = [
        "## Rules",
        "",
        f"{len(RULES)} rules: {counted}. A source marked * was not read by us but recalled or quoted.",
        "",
        "| rule | gives | source |",
        "|---|---|---|",
        *(f"| {rule.id} | {_gives(rule)} | {_source(rule)} |" for rule in RULES.values()),
    ]
    return "\n".join(lines)


def _gives(rule: Rule) -> str:
    match rule.gives:
        case Finding(name):
            return f"finds {name}"
        case Act(action, urgency):
            return f"{action}, {urgency.value.replace('_', ' ')}"
        case Avoid(action):
            return f"avoid {action}"
        case Caution(actions, gravity):
            beside = "the first action" if actions == ("*",) else ", ".join(actions)
            return f"caution ({gravity.value}): {beside}"


def _source(rule: Rule) -> str:
    source = rule.source
    if source.kind is SourceKind.COMMON_PRACTICE:
        return "common practice"
    cite = source.cite if len(source.cite) <= LONGEST_CITE else source.cite[: LONGEST_CITE - 1].rstrip(" ,.") + "…"
    second_hand = source.how_known in (HowKnown.FROM_MEMORY, HowKnown.READ_SECOND_HAND)
    return f"{source.kind.value}: {cite.replace('|', '/')}{'*' if second_hand else ''}"


def conflicts_part() -> str:
    """What never stands together, and why."""
    by_reason: dict[tuple[str, str], list[str]] = {}
    for conflict in CONFLICTS:
        by_reason.setdefault((conflict.keeps, conflict.why), []).append(conflict.drops)
    lines = [
        "## Conflicts",
        "",
        "Moves that never stand in one answer (`rules/actions/conflicts.py`); `tests/test_laws.py` holds every answer "
        "to it. "
        "Beyond the table, an `avoid` rule takes its move out of the ranking.",
        "",
        "| stays | goes | why |",
        "|---|---|---|",
    ]
    for (keeps, why), drops in by_reason.items():
        gone = "every move at the heap" if len(drops) > len(ACTIONS) / 2 else ", ".join(drops)
        lines.append(f"| {keeps} | {gone} | {why} |")
    soon = " or ".join(sorted(urgency.value for urgency in KEEP_GOING_YIELDS_TO))
    beside = ", ".join(sorted(BESIDE_THE_HEAP))
    lines.append(f"| any move on the heap due {soon} | keep_going | Something presses. Beside the heap: {beside}. |")
    works = ", ".join(sorted(WAIT_YIELDS_TO))
    lines.append(f"| any of {works}, due as soon | wait | Nobody can do both. |")
    return "\n".join(lines)


PARTS = {"rules": rules_part, "conflicts": conflicts_part}


def part_in(text: str, name: str) -> str | None:
    """What stands between the marks of a part, None where they are not there."""
    found = re.search(rf"<!-- begin {name} -->\n(.*?)\n<!-- end {name} -->", text, re.DOTALL)
    return found[1] if found else None


def with_part(text: str, name: str, part: str) -> str:
    """The text with a part between its marks; where there are none, at the end."""
    marked = f"<!-- begin {name} -->\n{part}\n<!-- end {name} -->"
    if part_in(text, name) is None:
        return f"{text.rstrip()}\n\n{marked}\n"
    pattern = rf"<!-- begin {name} -->\n.*?\n<!-- end {name} -->"
    return re.sub(pattern, lambda _: marked, text, flags=re.DOTALL)


def write() -> None:
    """Write every part anew."""
    text = FILE.read_text(encoding="utf-8") if FILE.exists() else "# For developers\n"
    for name, part in PARTS.items():
        text = with_part(text, name, part())
    FILE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write()
