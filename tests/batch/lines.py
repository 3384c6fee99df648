"""Lines to put into a batch: random statuses that are taken, and lines that are not."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded

from service.problems.json_text import LARGEST_BODY
from tests.strategies import Body, bodies

SMALLEST = b'{"as_of": "2026-01-18T07:30:00Z", "pile": {"age": 20}, "temperatures": {"core": 45}}'


def random_bodies(count: int, seed: int) -> list[Body]:
    """So many statuses; the same for the same seed."""
    found: list[Body] = []

    @settings(
        max_examples=min(count, 500), database=None, deadline=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(bodies())
    def collect(body: Body) -> None:
        found.append(body)

    while len(found) < count:
        seeded(seed + len(found))(collect)()
    return found[:count]


BAD: tuple[Callable[[bytes], bytes], ...] = (
    lambda line: line[:-5],
    lambda line: line.replace(b'"pile"', b'"pille"'),
    lambda line: b'{"temperatures": {"core": 131}, "pile": {"age": 3}}',
    lambda line: b'{"temperatures": {"core": NaN}, "pile": {"age": 3}}',
    lambda line: b'{"temperatures": {"core": 1e999}, "pile": {"age": 3}}',
    lambda line: b'{"smell": "\\ud800", "pile": {"age": 3}, "temperatures": {"core": 40}}',
    lambda line: b"[" * 100_000,
    lambda line: b'{"pile":' * 40 + b"1" + b"}" * 40,
    lambda line: b"[1, 2]",
    lambda line: b"null",
    lambda line: b'"smoke comes out"',
    lambda line: b'{"pile": 1, "pile": 2}',
    lambda line: b"\xff\xfe" + line,
    lambda line: b"\xef\xbb\xbf" + line,
    lambda line: line.replace(b'"as_of"', b'"signs": ["smoke"], "as_off"'),
    lambda line: b'{"pile": {"age": ' + b"9" * 5000 + b"}}",
    lambda line: b'{"pile": {"age": 3, "note": "' + b"x" * LARGEST_BODY + b'"}}',
    lambda line: line + b" " + line,
)
"""What can be wrong with a line."""


def random_lines(count: int, seed: int, bad: float = 0.1) -> list[bytes]:
    """So many lines without line feeds, this share of them bad."""
    rng = random.Random(seed)
    lines = [json.dumps(body).encode() for body in random_bodies(count, seed)]
    return [rng.choice(BAD)(line) if rng.random() < bad else line for line in lines]
