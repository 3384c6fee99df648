"""`warmheap batch`: files and streams, progress, and exit statuses."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from service.batch import files as files_module
from service.batch.answers import answer_block
from service.batch.blocks import AnsweredBlock, Block
from service.cli.command import main
from tests.batch.lines import SMALLEST
from tests.examples import FOLDER

COMMAND = [sys.executable, "-m", "service.cli", "batch"]
GOOD, BAD = SMALLEST + b"\n", SMALLEST[:-4] + b"\n"


@pytest.fixture(autouse=True)
def answered_here(monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    """Blocks are answered in this process, as fast as processes come up elsewhere."""

    class Here:
        def __init__(self, count: int) -> None:
            from concurrent.futures import ThreadPoolExecutor

            self._pool = ThreadPoolExecutor(1)

        def answered(self, block: Block) -> object:
            return self._pool.submit(answer_block, block)

        def close(self) -> None:
            self._pool.shutdown()

    monkeypatch.setattr(files_module, "Workers", Here)


def test_a_file_is_answered_into_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, sink = tmp_path / "in.ndjson", tmp_path / "out.ndjson"
    source.write_bytes(GOOD * 3)
    assert main(["batch", str(source), str(sink), "--workers", "1"]) == 0
    assert sink.read_bytes() == answer_block(Block(1, GOOD * 3)).data
    assert capsys.readouterr() == ("", "")


def test_a_line_with_a_problem_is_told_by_the_exit_status(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, sink = tmp_path / "in.ndjson", tmp_path / "out.ndjson"
    source.write_bytes(GOOD + BAD + b"\n" + GOOD)
    assert main(["batch", str(source), str(sink), "--progress"]) == 1
    assert [json.loads(line)["line"] for line in sink.read_bytes().splitlines()] == [1, 2, 4]
    told = capsys.readouterr().err.splitlines()
    assert told == ["3 lines answered, 100 %, 1 with a problem", "1 of 3 lines have a problem."]


def test_streams_are_read_and_written(tmp_path: Path) -> None:
    done = subprocess.run([*COMMAND, "-", "--workers", "1"], input=GOOD[:-1], capture_output=True, check=True)
    assert (done.stdout, done.stderr) == (answer_block(Block(1, GOOD)).data, b"")


@pytest.mark.parametrize("named", ["missing.ndjson", "."])
def test_what_cannot_be_read_or_written_is_told(tmp_path: Path, named: str, capsys: pytest.CaptureFixture[str]) -> None:
    good = tmp_path / "good.ndjson"
    good.write_bytes(GOOD)
    assert main(["batch", str(tmp_path / named), "-"]) == 2
    assert main(["batch", str(good), str(tmp_path / "nowhere" / "out")]) == 2
    assert main(["batch", str(good), str(good)]) == 2
    assert good.read_bytes() == GOOD
    assert capsys.readouterr().err.count("cannot be used") == 3


def test_a_reader_that_leaves_ends_it_quietly(tmp_path: Path) -> None:
    source = tmp_path / "in.ndjson"
    source.write_bytes(BAD * 3000)
    running = subprocess.Popen(
        [*COMMAND, str(source), "--workers", "1"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert running.stdout is not None and running.stderr is not None
    assert running.stdout.readline().startswith(b'{"line":1,')
    running.stdout.close()
    assert running.wait(30) == 2
    assert running.stderr.read() == b""
    running.stderr.close()


@pytest.mark.parametrize("count", ["0", "-1", "two", "5000"])
def test_a_count_of_workers_that_cannot_be_is_refused(count: str) -> None:
    with pytest.raises(SystemExit):
        main(["batch", "-", "--workers", count])


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "in.ndjson"
    source.write_bytes(GOOD)
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert main(["batch", str(source), "--scheduler", "tcp://127.0.0.1:1"]) == 2
    assert "warmheap[dask]" in capsys.readouterr().err


def test_sizes_that_were_not_answered_are_not_counted() -> None:
    assert AnsweredBlock(0, 0, b"").data == answer_block(Block(1, b"\n\n")).data


def test_the_example_has_two_heaps_and_a_slip(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main(["batch", str(FOLDER / "batch.three_heaps.request.ndjson")]) == 1
    found = [json.loads(line) for line in capfdbinary.readouterr().out.splitlines()]
    assert ["advice" in line for line in found] == [True, True, False]
    # A bare 131 is degrees Fahrenheit, and a heap that truly is this hot must still be told of.
    assert found[2]["problem"]["errors"][0]["pointer"] == "/temperatures/core"
    assert "call the fire service" in found[2]["problem"]["detail"]
