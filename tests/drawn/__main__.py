"""The command line; see the package."""

from __future__ import annotations

import argparse

from tests.drawn.judged import judged, table
from tests.drawn.published import reports_shown
from tests.drawn.steady import COPIES


def main() -> None:
    """Judge and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.drawn", description=__doc__)
    parser.add_argument("--seeds", required=True, help="seeds that nothing was tuned on, such as 31,32")
    parser.add_argument("--heaps", type=int, default=60, help="heaps of each truth and seed")
    parser.add_argument("--truths", default=",".join(COPIES), help="which, by name")
    given = parser.parse_args()
    seeds = [int(seed) for seed in given.seeds.split(",")]
    print(table(judged(given.truths.split(","), seeds, given.heaps)))
    print(f"\n{reports_shown()}")


if __name__ == "__main__":
    main()
