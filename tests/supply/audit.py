"""Known vulnerabilities of what is locked.

`python -m tests.supply.audit` asks pip-audit, and says so where nobody answers.
"""

from __future__ import annotations

import subprocess
import sys
from typing import Final

from tests.supply.lock import LOCK

NO_ANSWER: Final = (
    "AUDIT NOT DONE: the database of vulnerabilities cannot be reached from here. Nothing is known of the packages of "
    "the lock, good or bad; run `python -m tests.supply.audit` where it can be reached."
)
_UNREACHED: Final = ("ConnectionError", "ServiceError", "Max retries", "Could not reach", "timed out", "HTTPError")
MOST_SECONDS: Final = 180


def audit() -> tuple[int, str]:
    """Exit code and what to say: 0 without findings, 1 with some, 3 where nobody answered or nobody could ask."""
    command = [sys.executable, "-m", "pip_audit", "--disable-pip", "--require-hashes", "--progress-spinner=off"]
    command += ["--timeout=20", "-r", str(LOCK)]
    try:
        ran = subprocess.run(command, capture_output=True, text=True, check=False, timeout=MOST_SECONDS)
    except subprocess.TimeoutExpired:
        return 3, NO_ANSWER
    told = ran.stdout + ran.stderr
    if "No module named pip_audit" in told:
        return 3, "AUDIT NOT DONE: pip-audit is not installed here (`pip install pip-audit`)."
    if "could not be audited" in told:  # it still ends with "no known vulnerabilities"
        return 3, f"{NO_ANSWER}\n{told.count('could not be audited')} packages could not be looked up."
    if ran.returncode != 0 and any(word in told for word in _UNREACHED):
        return 3, f"{NO_ANSWER}\n{told.strip().splitlines()[-1][:300]}"
    return ran.returncode, told


def main() -> int:
    """Print what was found."""
    code, told = audit()
    print(told)
    return code


if __name__ == "__main__":
    sys.exit(main())
