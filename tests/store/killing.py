"""Kill a writer again and again: `python -m tests.store.killing FOLDER [ROUNDS] [SEED]`.

Each round a process logs readings and acknowledges each on a pipe; after a few of them and a moment more it is killed
(SIGKILL), wherever it is in its next. Then every reading that was acknowledged must be in the log book, none twice, and
the file must be sound.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import sys
import time
from contextlib import closing
from pathlib import Path

from service.logbook.store.engine import Store
from tests.store.writer import new_pile, numbers_in, write

MOST_ACKS = 8
LONGEST_S = 0.01


def run(folder: Path, rounds: int, seed: int) -> dict[str, int]:
    """Kill `rounds` writers; how many readings were acknowledged, found, lost and doubled, and faults of the file."""
    chance = random.Random(seed)
    url = f"sqlite:///{folder / 'warmheap.db'}"
    store = Store(url).open()
    pile = new_pile(store)
    store.close()
    acknowledged: list[int] = []
    faults = 0
    for turn in range(rounds):
        after = chance.randint(1, MOST_ACKS), chance.random() * LONGEST_S
        acknowledged += _kill_one(url, pile, turn * 1_000_000, *after)
        with closing(sqlite3.connect(folder / "warmheap.db")) as file:
            faults += file.execute("PRAGMA quick_check").fetchone() != ("ok",)
    with closing(sqlite3.connect(folder / "warmheap.db")) as file:
        faults += file.execute("PRAGMA integrity_check").fetchone() != ("ok",)
        found = numbers_in(at for (at,) in file.execute("SELECT at FROM readings"))
    return {
        "rounds": rounds,
        "acknowledged": len(acknowledged),
        "found": len(found),
        "lost": len(set(acknowledged) - set(found)),
        "doubled": len(found) - len(set(found)),
        "faults": faults,
    }


def _kill_one(url: str, pile: str, first: int, acks: int, after_s: float) -> list[int]:
    """Start a writer, kill it `after_s` after so many acknowledgements; the numbers it acknowledged."""
    reader, writer = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            _write_for_ever(url, pile, first, writer)
        finally:
            os._exit(1)
    os.close(writer)
    said = b""
    while said.count(b"\n") < acks and (part := os.read(reader, 4096)):
        said += part
    time.sleep(after_s)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    while part := os.read(reader, 65536):
        said += part
    os.close(reader)
    return [int(line) for line in said.split(b"\n")[:-1]]


def _write_for_ever(url: str, pile: str, first: int, acks: int) -> None:
    store = Store(url).open()
    while True:
        write(store, pile, first)
        os.write(acks, b"%d\n" % first)
        first += 1


if __name__ == "__main__":
    numbers = [int(number) for number in sys.argv[2:]]
    rounds, seed = (*numbers, 200, 1)[:2] if len(numbers) != 1 else (numbers[0], 1)
    print(json.dumps(run(Path(sys.argv[1]), rounds, seed)))
