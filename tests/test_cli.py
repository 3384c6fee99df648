"""The command line as a person uses it: real processes, exit codes, and what is printed where."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from service.answer.advice import advise
from service.answer.plain_text import brief_as_text, quantity_as_text
from service.operation import preflight
from service.status.reading import read_status
from tests.examples import FOLDER

STATUS = FOLDER / "advice.chips_alone.request.json"


def run(*arguments: str, stdin: bytes = b"", **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run `warmheap` with these arguments."""
    return subprocess.run(
        [sys.executable, "-m", "service.cli", *arguments],
        input=stdin,
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )


def test_readable_text_by_default() -> None:
    done = run("advise", str(STATUS), "--all")
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode()
    assert text.startswith("Feed nitrogen")
    assert "1. Feed nitrogen" in text
    assert "Because:" in text
    assert "Look again" in text


@pytest.mark.parametrize("example", sorted(FOLDER.glob("advice.*.request.json")), ids=lambda path: path.stem)
def test_the_first_text_is_short(example: Path) -> None:
    """What to do first with its dose, why, what not to do, what would hurt, when to look again: 120 words."""
    answer = advise(read_status(example.read_bytes()), effects="none")
    text = brief_as_text(answer)
    assert len(text.split()) <= 120
    move = f"1. {answer['actions'][0]['title']}"
    before = text[: text.index(move)].splitlines()
    assert all(line.startswith(("Take care: ", " ")) for line in before)  # only what concerns life in the next hour
    assert "Why:" in text
    assert text.splitlines()[-1].startswith("Look again")
    if answer["actions"][0]["doses"]:
        assert "How much:" in text


def test_the_version() -> None:
    assert run("--version").stdout.decode().startswith("warmheap ")


def test_a_mistyped_data_folder_is_refused_and_not_made(tmp_path: Path) -> None:
    folder = tmp_path / "tpyo"
    done = run("piles", "show", "north", "--data", str(folder))
    assert done.returncode == 2
    assert "There is no folder" in done.stderr.decode()
    assert not folder.exists()


@pytest.mark.parametrize(
    ("command", "body", "words"),
    [
        ("mix", {"recipe": [{"material": "wood_chips", "share": 4}]}, "headline:"),
        ("mix", {"recipe": 3}, ""),
    ],
)
def test_plans_from_a_file(command: str, body: dict[str, object], words: str) -> None:
    done = run(command, "-", stdin=json.dumps(body).encode())
    assert done.returncode == (0 if words else 2)
    assert words in done.stdout.decode()
    assert bool(done.stderr) is not bool(words)


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_completion_names_every_command(shell: str) -> None:
    script = run("completion", shell).stdout.decode()
    assert all(name in script for name in ("advise", "chat", "season", "--json"))


def test_a_chat_in_the_terminal() -> None:
    done = run("chat", stdin=b"nine weeks, core 121F, dusty\nbye\n")
    text = done.stdout.decode()
    assert done.returncode == 0
    assert "9 weeks old" in text
    assert "Add water" in text


@pytest.mark.parametrize(
    ("value", "low", "high", "unit", "said"),
    [
        (1203.4, 0.0, 2734.0, "L", "up to 3,000 L"),
        (62_345_678.0, 20_000_000.0, 90_000_000.0, "BTU", "60 million BTU (20 to 90 million)"),
        (917.3, 414.2, 1550.9, "gal", "900 gal (400 to 1,600)"),
        (18.03, 17.6, 18.9, "kWh", "18 kWh (18 to 19)"),
        (5.0, 5.0, 5.0, "days", "5 days"),
    ],
)
def test_no_more_digits_than_the_range_allows(value: float, low: float, high: float, unit: str, said: str) -> None:
    assert quantity_as_text({"value": value, "low": low, "high": high, "unit": unit}) == said


def test_the_whole_answer_as_json() -> None:
    done = run("advise", str(STATUS), "--json")
    assert done.returncode == 0
    assert json.loads(done.stdout)["actions"][0]["action"] == "add_nitrogen"


def test_a_dash_reads_standard_input() -> None:
    done = run("advise", "-", "--json", stdin=STATUS.read_bytes())
    assert json.loads(done.stdout)["id"] == json.loads(run("advise", str(STATUS), "--json").stdout)["id"]


def test_units_of_the_answer_can_be_chosen() -> None:
    answer = json.loads(run("advise", str(STATUS), "--json", "--units", "us").stdout)
    assert answer["units"] == "us"
    assert answer["outlook"]["unit"] == "degF"
    assert answer["heat_balance"]["made"]["unit"] == "BTU/h"


def test_a_problem_goes_to_standard_error_with_exit_code_2() -> None:
    done = run("advise", "-", stdin=b'{"pile": {"age": -3}, "temperatures": {"core": 131}}')
    assert done.returncode == 2
    assert done.stdout == b""
    told = done.stderr.decode()
    assert "/pile/age" in told
    assert "/temperatures/core" in told
    assert "degF" in told
    assert "Traceback" not in told


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b"\xff\xfe", b'{"a":' * 5000, b"x" * 300_000])
def test_hostile_input_is_a_problem_and_no_trace(body: bytes) -> None:
    done = run("advise", "-", stdin=body)
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert len(done.stderr) < 4000


def test_a_reader_who_has_gone_leaves_no_trace() -> None:
    nobody, pipe = os.pipe()
    os.close(nobody)
    command = [sys.executable, "-m", "service.cli", "advise", str(STATUS)]
    done = subprocess.run(command, stdout=pipe, stderr=subprocess.PIPE, check=False)
    os.close(pipe)
    assert (done.returncode, done.stderr) == (2, b"")


def test_a_missing_file_is_said_plainly() -> None:
    done = run("advise", "no/such/file.json")
    assert done.returncode == 2
    assert b"no/such/file.json cannot be read" in done.stderr


def test_a_refusal_of_smoke_still_says_to_keep_clear() -> None:
    done = run("advise", "-", stdin=b'{"pile": {"age": 5}, "signs": ["smoke"], "nonsense": 1}')
    assert done.returncode == 2
    assert b"fire service" in done.stderr


# --- before the installation
def test_this_machine_lacks_nothing() -> None:
    assert preflight.what_is_missing() == ""


def test_a_missing_compiler_is_one_sentence(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, preflight.__file__],
        capture_output=True,
        env={"PATH": str(tmp_path), "CC": "no-such-compiler"},
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.decode().count("\n") == 1
    assert "no C compiler (no-such-compiler)" in done.stderr.decode()


def test_missing_headers_are_one_sentence(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(preflight.sysconfig, "get_path", lambda name: str(tmp_path))
    assert preflight.what_is_missing().startswith("Python's header files are missing")


@pytest.mark.parametrize("version", [(3, 10, 9), (3, 14, 0)])
def test_another_python_is_refused_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, version: tuple[int, int, int]
) -> None:
    monkeypatch.setattr(preflight.sys, "version_info", version)
    assert preflight.what_is_missing().startswith("warmheap needs Python 3.11, 3.12 or 3.13")


@pytest.mark.parametrize(
    ("version", "told", "flags"),
    [
        ((3, 11, 7), "", ""),
        ((3, 12, 1), "-I/opt", "-I/opt"),
        ((3, 13, 0), "", preflight.OLD_NAME),
        ((3, 13, 1), "-I/opt", f"-I/opt {preflight.OLD_NAME}"),
        ((3, 13, 1), preflight.OLD_NAME, preflight.OLD_NAME),
    ],
)
def test_the_engine_is_built_with_its_old_name_where_python_has_lost_it(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    version: tuple[int, int, int],
    told: str,
    flags: str,
) -> None:
    monkeypatch.setattr(preflight.sys, "version_info", version)
    monkeypatch.setenv("CPPFLAGS", told)
    assert preflight.main() == 0
    assert capsys.readouterr().out.strip() == flags
