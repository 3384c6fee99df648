"""The `warmheap` command as a test runs it: in this process, which is quick, or in one of its own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import dataclass
from unittest import mock

from service.cli.command import main


@dataclass
class Done:
    """What a command left behind."""

    returncode: int
    stdout: bytes
    stderr: bytes


class Terminal(io.TextIOWrapper):
    """What is written, as if to a terminal."""

    def isatty(self) -> bool:
        return True


def run(*arguments: str, stdin: bytes = b"", terminal: bool = False, **environment: str) -> Done:
    """Run `warmheap` with these arguments, in this process."""
    kind = Terminal if terminal else io.TextIOWrapper
    out, err = (kind(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    given = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8")
    with (
        mock.patch.dict(os.environ, environment),
        mock.patch.multiple(sys, stdin=given, stdout=out, stderr=err),
    ):
        try:
            code = main(list(arguments))
        except SystemExit as ended:
            code = ended.code if isinstance(ended.code, int) else 1
    return Done(code, out.buffer.getvalue(), err.buffer.getvalue())  # type: ignore[attr-defined]


def process(*arguments: str, stdin: bytes = b"", **environment: str) -> subprocess.CompletedProcess[bytes]:
    """The same in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "service.cli", *arguments],
        input=stdin,
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )
