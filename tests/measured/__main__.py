"""`python -m tests.measured [--judge]`: the report on the open part, or on the part kept for judging."""

from __future__ import annotations

import argparse

from tests.measured.report import report


def main() -> None:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.measured", description=__doc__)
    parser.add_argument("--judge", action="store_true", help="the part kept for judging; never tune on it")
    print(report(judge=parser.parse_args().judge))


if __name__ == "__main__":
    main()
