"""`python -m tests.coherence --seed 7 --count 2000 [--full] [--habits] [--law NAME]`: how often each law is broken."""

from __future__ import annotations

import argparse

from tests.coherence.habits import habits
from tests.coherence.run import example_of, held_to, table
from tests.coherence.statuses import statuses


def main() -> None:
    """Count breaches and print the smallest example of each."""
    asked = argparse.ArgumentParser(prog="python -m tests.coherence", description=__doc__)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--count", type=int, default=1000)
    asked.add_argument("--full", action="store_true", help="with what-ifs, and the quick answer beside")
    asked.add_argument("--habits", action="store_true", help="statuses as some people send them")
    asked.add_argument("--law", action="append", help="only this law; may be repeated")
    asked.add_argument("--no-examples", action="store_true")
    given = asked.parse_args()
    drawn = habits if given.habits else statuses
    found = held_to(drawn(given.seed, given.count), full=given.full, names=given.law)
    print(table(found, given.count))
    for breaches in found.values():
        if breaches.count and not given.no_examples:
            print(f"\n{breaches.law.name}: {example_of(breaches, full=given.full)}")


if __name__ == "__main__":
    main()
