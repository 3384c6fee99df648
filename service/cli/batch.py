"""`warmheap batch`: a file of statuses, one on each line, answered into another."""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from service.cli import screen

if TYPE_CHECKING:
    from service.batch.files import BatchProgress


def add(commands: Any) -> None:
    """Add the command to the subparsers of `warmheap`."""
    parser = commands.add_parser(
        "batch",
        help="advise on many heaps, one status on each line of a file",
        epilog="Exit status: 0 if every line was answered with advice, 1 if some lines were answered with a problem, "
        "2 if the batch could not be run to its end. What-ifs are not run, as with POST /advice?effects=none.",
    )
    parser.add_argument("source", metavar="IN", help="lines of JSON, one status each; - reads standard input")
    parser.add_argument("sink", metavar="OUT", nargs="?", default="-", help="where answers go (default: -, to output)")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--workers", type=_count, metavar="N", help="processes at work (default: one a processor)")
    where.add_argument("--scheduler", metavar="ADDRESS", help="work on a Dask cluster, such as tcp://10.0.0.5:8786")
    parser.add_argument("--progress", action="store_true", help="tell how far it is even if nobody seems to watch")
    parser.set_defaults(run=_run)


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 1024:
        raise argparse.ArgumentTypeError("a whole number from 1 to 1024 is wanted")
    return int(text)


def _run(options: argparse.Namespace) -> int:
    try:
        with _opened(options.source, options.sink) as (source, sink):
            counts = _answer(source, sink, options)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # nobody reads: nothing is left to be flushed
        return 2
    except OSError as error:
        file, why = error.filename or screen.words("the-file"), error.strerror or error
        print(screen.words("unusable", file=file, why=why), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print(screen.words("interrupted"), file=sys.stderr)
        return 2
    return 2 if counts is None else int(counts.problems > 0)


def _answer(source: IO[bytes], sink: IO[bytes], options: argparse.Namespace) -> BatchProgress | None:
    """What was answered; None where the cluster cannot be used."""
    progress = _Progress(source, always=options.progress)
    if options.scheduler is None:
        from service.batch.files import answer_here
        from service.operation.batch_limits import default_count

        counts = asyncio.run(answer_here(source, sink, options.workers or default_count(), progress.tell))
    else:
        try:
            import distributed  # noqa: F401 - whether it is there
        except ImportError:
            print(screen.words("no-cluster"), file=sys.stderr)
            return None
        from service.batch.cluster import ClusterError, answer_on_cluster

        try:
            counts = asyncio.run(answer_on_cluster(source, sink, options.scheduler, progress.tell))
        except ClusterError as error:
            print(error, file=sys.stderr)
            return None
    progress.end(counts)
    return counts


@contextlib.contextmanager
def _opened(source: str, sink: str) -> Iterator[tuple[IO[bytes], IO[bytes]]]:
    """Both ends; a file that would be overwritten while it is read is refused."""
    with contextlib.ExitStack() as stack:
        reading: IO[bytes] = sys.stdin.buffer
        writing: IO[bytes] = sys.stdout.buffer
        if source != "-":
            reading = stack.enter_context(Path(source).open("rb", buffering=0))
        if sink != "-":
            if source != "-" and Path(sink).exists() and Path(sink).samefile(source):
                raise OSError(None, "it is read from and written to at once", sink)
            writing = stack.enter_context(Path(sink).open("wb"))
        yield reading, writing


class _Progress:
    """How far the batch is, on standard error, where somebody is watching or asked for it."""

    def __init__(self, source: IO[bytes], *, always: bool) -> None:
        self._shown = always or sys.stderr.isatty()
        self._in_place = sys.stderr.isatty()
        self._size = 0
        with contextlib.suppress(OSError):
            self._size = os.fstat(source.fileno()).st_size

    def tell(self, counts: BatchProgress) -> None:
        """Say how many lines are answered, and how much of a file of known size that is."""
        if self._shown:
            part = f", {min(100 * counts.size // self._size, 100)} %" if self._size else ""
            text = screen.words("lines-answered", lines=f"{counts.lines:,}", part=part, problems=f"{counts.problems:,}")
            print(
                f"\r{text}" if self._in_place else text, end="" if self._in_place else "\n", file=sys.stderr, flush=True
            )

    def end(self, counts: BatchProgress) -> None:
        """Say what came of it, if anything is amiss or somebody watches."""
        if self._shown and self._in_place:
            print(file=sys.stderr)
        if counts.problems:
            lines, problems = f"{counts.lines:,}", f"{counts.problems:,}"
            print(screen.words("lines-with-problem", problems=problems, lines=lines), file=sys.stderr)
