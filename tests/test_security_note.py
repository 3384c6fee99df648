"""The security note names tests that are there, covers each of the ten, and says how to report a hole."""

from __future__ import annotations

import re
from pathlib import Path

from tests.each import each

TESTS = Path(__file__).parent
NOTE = (TESTS.parent / "service" / "SECURITY.md").read_text()


def _named() -> list[tuple[str, str]]:
    """Every test named in the tables, as (file, function); of a file alone the function is empty."""
    found, file = [], ""
    for given in re.findall(r"`([a-z_/]*\.py)?(?:::)?(test_[a-z0-9_]+)?`", NOTE):
        file = given[0] or file
        if given[0].startswith("tests/") or not (given[0] or given[1]):
            continue
        found.append((file, given[1]))
    return found


@each(sorted(set(_named())))
def test_every_test_that_is_named_is_there(file: str, function: str) -> None:
    text = (TESTS / file).read_text()
    assert re.search(rf"^(async )?def {function}\(", text, re.MULTILINE) if function else text


def test_each_of_the_ten_is_held_by_a_test() -> None:
    rows = [line for line in NOTE.splitlines() if line.startswith("| API")]
    assert [row.split()[1] for row in rows] == [f"API{number}" for number in range(1, 11)]
    assert all("test_" in row for row in rows)


def test_what_is_held_without_a_test_is_held_in_part() -> None:
    rows = [line for line in NOTE.splitlines() if re.match(r"\| \d+\.\d+\.\d+", line)]
    assert len(rows) >= 50
    assert all("`" in row.split(" | ")[-1] or "in part" in row for row in rows)


def test_it_says_how_to_report_a_hole() -> None:
    assert "## How to report a hole" in NOTE
