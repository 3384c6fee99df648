"""The lock: every package of the application, its version and the hashes of its files, and no address to get it from.

`python -m tests.supply.lock` writes it anew with `uv` (a general-purpose resolver), for every Python and machine.
"""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]
LOCK: Final = Path(__file__).with_name("requirements.lock")
OLDEST: Final = "3.11"
_HEAD: Final = (
    "# Made by `python -m tests.supply.lock`;"
    " install by `pip install --require-hashes -r tests/supply/requirements.lock`.\n"
)
_PINNED: Final = re.compile(r"([a-z0-9-]+)==([0-9][0-9a-z.+!]*)(?: ; (.+))?")
_HASH: Final = re.compile(r"--hash=sha256:([0-9a-f]{64})")


@dataclass(frozen=True, slots=True)
class Pinned:
    """One package: its version, when it is wanted (a marker, or empty), and the SHA-256 of each of its files."""

    name: str
    version: str
    marker: str
    hashes: tuple[str, ...]


def pinned(text: str) -> list[Pinned]:
    """The packages of a lock. Raises ValueError where a line is none, or a package has no hash."""
    found = []
    for entry in re.sub(r"\\\n", " ", re.sub(r"^#.*\n", "", text, flags=re.M)).splitlines():
        named, _, hashes = entry.partition(" --hash")
        match = _PINNED.fullmatch(named.strip())
        digests = tuple(_HASH.findall(f"--hash{hashes}"))
        if match is None or not digests:
            raise ValueError(f"no package with its hashes: {entry[:80]!r}")
        found.append(Pinned(match[1], match[2], match[3] or "", digests))
    return found


def main() -> int:
    """Write the lock anew."""
    command = ["uv", "pip", "compile", "pyproject.toml", "--generate-hashes", "--universal"]
    command += ["--no-header", "--no-annotate", "--quiet", f"--python-version={OLDEST}", "--no-config"]
    made = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if made.returncode != 0:
        print(made.stderr, file=sys.stderr)
        return 1
    pinned(made.stdout)
    LOCK.write_text(_HEAD + made.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main())
