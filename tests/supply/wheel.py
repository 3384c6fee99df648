"""Two builds of the wheel must be one.

`python -m tests.supply.wheel` builds twice in two places and compares the digests.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.supply.lock import ROOT


def digest_of_a_build(folder: Path) -> tuple[str, str]:
    """Name and SHA-256 of a wheel built from what is committed, or would be."""
    source, out = folder / "source", folder / "out"
    listed = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(listed, cwd=ROOT, capture_output=True, check=True).stdout.decode().split("\0")
    for name in names:
        if name and (ROOT / name).is_file():
            place = source / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes((ROOT / name).read_bytes())
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(out), str(source)]
    subprocess.run(command, check=True)
    (wheel,) = out.iterdir()
    return wheel.name, hashlib.sha256(wheel.read_bytes()).hexdigest()


def main() -> int:
    """Build twice, in two places; exit code 1 where the wheels differ."""
    with tempfile.TemporaryDirectory() as first, tempfile.TemporaryDirectory() as second:
        builds = [digest_of_a_build(Path(folder)) for folder in (first, second)]
    for name, digest in builds:
        print(f"{digest}  {name}")
    return 0 if builds[0] == builds[1] else 1


if __name__ == "__main__":
    sys.exit(main())
