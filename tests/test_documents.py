"""Documents: every link to a file leads somewhere, and every file and module they name is there."""

from __future__ import annotations

import re
from pathlib import Path

from tests.each import each

ROOT = Path(__file__).parent.parent
FOLDERS = ("service", "rules", "tests")
DOCUMENTS = sorted([*ROOT.glob("*.md"), *(file for folder in FOLDERS for file in (ROOT / folder).rglob("*.md"))])
PLACE = re.compile(r"`((?:service|rules|tests|openapi_examples)/[\w./-]+\.(?:py|toml|md|yml|json))`")
LINK = re.compile(r"\]\((?!https?:|mailto:|#)([^)#\s]+)")
COMMAND = re.compile(r"python -m (tests(?:\.\w+)+)")
SCREENS = 150
"""Lines of DEVELOPERS.md that are a few screens."""


@each(DOCUMENTS)
def test_links_and_names_lead_somewhere(document: Path) -> None:
    text = document.read_text(encoding="utf-8")
    missing = [link for link in LINK.findall(text) if not (document.parent / link).exists()]
    missing += [place for place in PLACE.findall(text) if not (ROOT / place).exists()]
    for module in COMMAND.findall(text):
        stem = ROOT.joinpath(*module.split("."))
        if not stem.with_suffix(".py").exists() and not (stem / "__main__.py").exists():
            missing.append(module)
    assert missing == []


def test_what_contributors_read_first_is_short() -> None:
    assert len((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()) <= SCREENS
