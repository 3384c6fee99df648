"""What the README shows of an answer: `python -m tests.readme` writes it anew from what is really printed."""

from __future__ import annotations

from pathlib import Path

from rules.catalogue import said
from service.answer.advice import advise
from service.answer.plain_text import brief_as_text
from service.status.reading import read_status
from tests.examples import FOLDER

README = FOLDER.parent / "README.md"
OPENING = "<!-- output: advise -->\n```text\n"


def shown(readme: Path = README) -> str:
    """The answer as the README shows it."""
    return readme.read_text(encoding="utf-8").split(OPENING)[1].split("```")[0]


def printed() -> str:
    """What the README's first command prints."""
    status = read_status((FOLDER / "advice.dry_and_falling.request.json").read_bytes())
    return f"{brief_as_text(advise(status))}\n({said('plain.all')})\n"


if __name__ == "__main__":
    before, after = README.read_text(encoding="utf-8").split(OPENING)
    rest = after.split("```", 1)[1]
    README.write_text(f"{before}{OPENING}{printed()}```{rest}", encoding="utf-8")
