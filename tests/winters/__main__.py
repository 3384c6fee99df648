"""Live winters and print the table: `python -m tests.winters --policy … --truth … --heaps N --seeds tune|judge`.

`--keep FILE` writes what was lived after each policy, and `--first N` begins at another heap, so that a judging can be
lived in parts side by side; `--from FILE …` prints the table of such parts together.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Iterator
from pathlib import Path

from .heaps import JUDGE_SEED, TUNE_SEED, Heaps, build
from .lives import Lived, live, live_beside
from .musts import PLAN, must_lines
from .policies import HINDSIGHT, POLICIES
from .table import HEADER, best_of, honesty, paired, put_together, row, worst
from .truths import TRUTHS

Lives = dict[str, Lived]
BEST, NOTHING = "hindsight", "nothing"


def hindsight(heaps: Heaps, truth: str) -> Lived:
    """What hindsight could have had of each heap."""
    return best_of(live_beside(heaps, truth, HINDSIGHT), len(HINDSIGHT))


def main() -> None:
    """Read the command line, live or read what was lived, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.winters", description=__doc__)
    parser.add_argument("--policy", nargs="*", default=[*POLICIES, BEST], choices=[*POLICIES, BEST], metavar="POLICY")
    parser.add_argument("--truth", nargs="*", default=list(TRUTHS), choices=list(TRUTHS))
    parser.add_argument("--heaps", type=int, default=100)
    parser.add_argument("--first", type=int, default=0, help="number of the first heap")
    parser.add_argument("--seeds", choices=("tune", "judge"), default="tune")
    parser.add_argument("--worst", type=int, default=0, help="print so many heaps that lost most")
    parser.add_argument("--keep", type=Path, help="keep what was lived in this file")
    parser.add_argument("--from", dest="parts", type=Path, nargs="*", help="print what was kept in these files")
    asked = parser.parse_args()
    if asked.parts:
        for truth, lives in put_together([pickle.loads(part.read_bytes()) for part in asked.parts]).items():
            print(f"\n{truth}; heat in kWh\n{HEADER}  heaps")
            for lived in lives.values():
                print(f"{row(lived)}  {lived.heat_kwh.size}")
            print("\n".join(_judged(lives, asked.worst)))
        return
    heaps = build(TUNE_SEED if asked.seeds == "tune" else JUDGE_SEED, asked.heaps, asked.first)
    kept: dict[str, Lives] = {}
    for truth in asked.truth:
        print(f"\n{truth}, {asked.heaps} heaps, seeds to {asked.seeds}; heat in kWh\n{HEADER}", flush=True)
        kept[truth] = lives = {}
        for name in dict.fromkeys(asked.policy):
            lives[name] = hindsight(heaps, truth) if name == BEST else live(heaps, truth, POLICIES[name])
            print(row(lives[name]), flush=True)
            if asked.keep:
                asked.keep.write_bytes(pickle.dumps(kept))
        print("\n".join(_judged(lives, asked.worst)))


def _judged(lives: Lives, count: int) -> Iterator[str]:
    """Paired differences, the musts, what the plans told, and the heaps that lost most."""
    for name, lived in lives.items():
        if PLAN in lives and name not in (PLAN, NOTHING) and lived.heat_kwh.size == lives[PLAN].heat_kwh.size:
            yield paired(lives, PLAN, name)
    yield from must_lines(lives)
    for name, lived in lives.items():
        if name in POLICIES and POLICIES[name].draw == "plan":
            yield honesty(lived)
    if count and PLAN in lives and BEST in lives and lives[PLAN].heat_kwh.size == lives[BEST].heat_kwh.size:
        yield worst(lives[PLAN], lives[BEST], count)


if __name__ == "__main__":
    main()
