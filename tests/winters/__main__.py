"""Live winters and print the table: `python -m tests.winters --policy … --truth … --heaps N --seeds tune|judge`."""

from __future__ import annotations

import argparse
import pickle
from pathlib import Path

from .heaps import JUDGE_SEED, TUNE_SEED, Heaps, build
from .lives import Lived, live, live_beside
from .musts import must_lines
from .policies import HINDSIGHT, POLICIES
from .table import HEADER, best_of, honesty, paired, row, worst
from .truths import TRUTHS


def hindsight(heaps: Heaps, truth: str) -> Lived:
    """What hindsight could have had of each heap."""
    return best_of(live_beside(heaps, truth, HINDSIGHT), len(HINDSIGHT))


def main() -> None:
    """Read the command line, live, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.winters", description=__doc__)
    parser.add_argument("--policy", nargs="*", default=list(POLICIES), choices=list(POLICIES), metavar="POLICY")
    parser.add_argument("--truth", nargs="*", default=list(TRUTHS), choices=list(TRUTHS))
    parser.add_argument("--heaps", type=int, default=100)
    parser.add_argument("--seeds", choices=("tune", "judge"), default="tune")
    parser.add_argument("--worst", type=int, default=0, help="print so many heaps that lost most")
    parser.add_argument("--keep", type=Path, help="keep what was lived in this file")
    asked = parser.parse_args()
    heaps = build(TUNE_SEED if asked.seeds == "tune" else JUDGE_SEED, asked.heaps)
    kept = {}
    for truth in asked.truth:
        print(f"\n{truth}, {asked.heaps} heaps, seeds to {asked.seeds}; heat in kWh\n{HEADER}", flush=True)
        lives: dict[str, Lived] = {}
        for name in asked.policy:
            lives[name] = live(heaps, truth, POLICIES[name])
            print(row(lives[name]), flush=True)
        lives["hindsight"] = hindsight(heaps, truth)
        print(row(lives["hindsight"]))
        if {"three-and-plan", "work-and-thermostat"} <= set(lives):
            print(paired(lives, "three-and-plan", "work-and-thermostat"))
        for line in must_lines(lives):
            print(line)
        for name in asked.policy:
            if POLICIES[name].draw == "plan":
                print(honesty(lives[name]))
        if asked.worst and asked.policy:
            print(worst(lives[asked.policy[-1]], lives["hindsight"], asked.worst))
        kept[truth] = lives
    if asked.keep:
        asked.keep.write_bytes(pickle.dumps(kept))


if __name__ == "__main__":
    main()
