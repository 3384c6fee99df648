"""The command line as a person uses it: real processes, exit codes, and what is printed where."""

from __future__ import annotations

import fcntl
import json
import os
import pty
import re
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.answer.advice import advise
from service.answer.plain_text import brief_as_text
from service.answer.words import FIRE_SENTENCE
from service.operation import preflight
from service.render.numbers import quantity_in_words, to_range, to_range_no_less
from service.status.reading import read_status
from tests.each import each
from tests.examples import FOLDER
from tests.terminal import process, run

STATUS = FOLDER / "advice.chips_alone.request.json"


def test_readable_text_by_default() -> None:
    done = run("advise", str(STATUS), "--all")
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode()
    assert text.startswith("Feed nitrogen")
    assert "1. Feed nitrogen" in text
    assert "Because:" in text
    assert "Look again" in text


@each(sorted(FOLDER.glob("advice.*.request.json")))
def test_the_first_text_is_short(example: Path) -> None:
    """What to do first with its dose, why, what not to do, what would hurt, when to look again: 120 words."""
    answer = advise(read_status(example.read_bytes()), effects="none")
    text = brief_as_text(answer)
    assert len(text.split()) <= 120
    move = f"1. {answer['actions'][0]['title']}"
    before = text[: text.index(move)].splitlines()
    assert all(
        line.startswith(("Take care: ", " ", FIRE_SENTENCE)) for line in before
    )  # only what concerns life in the next hour
    assert "Why:" in text
    assert text.splitlines()[-1].startswith("Look again")
    if answer["actions"][0]["doses"]:
        assert "How much:" in text


def test_the_version() -> None:
    done = process("--version")
    assert done.returncode == 0 and done.stdout.decode().startswith("warmheap ")


def test_a_mistyped_data_folder_is_refused_and_not_made(tmp_path: Path) -> None:
    folder = tmp_path / "tpyo"
    done = run("piles", "show", "north", "--data", str(folder))
    assert done.returncode == 2
    assert "There is no folder" in done.stderr.decode()
    assert not folder.exists()


@each(
    [
        ("mix", {"recipe": [{"material": "wood_chips", "share": 4}]}, "too little nitrogen"),
        ("mix", {"recipe": 3}, ""),
    ]
)
def test_plans_from_a_file(command: str, body: dict[str, object], words: str) -> None:
    done = run(command, "-", stdin=json.dumps(body).encode())
    assert done.returncode == (0 if words else 2)
    assert words.lower() in done.stdout.decode().lower()
    assert bool(done.stderr) is not bool(words)


def test_parts_of_a_plan_are_called_as_a_person_would_call_them() -> None:
    from service.cli.plans import _as_text

    cold = {"value": 28_000.0, "low": 23_000.0, "high": 34_000.0, "unit": "delta_degF.h"}
    lines = _as_text(
        {"headline": "Cold.", "pile": {"when": "when_needed"}, "degree_hours": cold}, whole=True
    ).splitlines()
    assert lines[2:] == [
        "heap:",
        "   when: when needed",
        "cold to make up for: 28,000 °F times hours (23,000 to 34,000)",
    ]


def test_what_is_called_otherwise_is_a_part_of_a_plan() -> None:
    from importlib import import_module
    from pkgutil import walk_packages

    from pydantic import BaseModel

    import service.mix.shapes
    import service.planning.shapes
    from rules.tables.part_sentences import PARTS

    shapes = [service.mix.shapes, service.planning.shapes]
    modules = [import_module(each.name) for one in shapes for each in walk_packages(one.__path__, f"{one.__name__}.")]
    kinds = [kind for module in modules for kind in vars(module).values() if isinstance(kind, type)]
    names = {name for kind in kinds if issubclass(kind, BaseModel) for name in kind.model_fields}
    assert {name.removeprefix("part.") for name in PARTS} <= names


def completed(line: str) -> list[str]:
    """What a shell is offered at the end of a line, asked as the shell's own script asks."""
    asked = {"_ARGCOMPLETE": "1", "COMP_LINE": line, "COMP_POINT": str(len(line)), "_ARGCOMPLETE_IFS": "\n"}
    asked |= {"_ARGCOMPLETE_SUPPRESS_SPACE": "1", "_ARGCOMPLETE_SHELL": "bash"}
    with (Path(os.devnull)).open("rb") as nothing:
        reading, writing = os.pipe()
        command = f"exec {sys.executable} -m service.cli 8>&{writing} 9>/dev/null"
        done = subprocess.run(
            ["bash", "-c", command], env={**os.environ, **asked}, pass_fds=(writing,), stdin=nothing, check=False
        )
        os.close(writing)
        with os.fdopen(reading) as pipe:
            offered = pipe.read()
    assert done.returncode == 0
    return offered.split("\n")


@each(
    [
        ("warmheap se", "season"),
        ("warmheap piles ad", "add"),
        ("warmheap advise x.json --un", "--units"),
        ("warmheap advise x.json --units m", "metric"),
    ]
)
def test_a_shell_completes_commands_options_and_choices(line: str, offered: str) -> None:
    assert offered in [each.strip() for each in completed(line)]


@each(["bash", "zsh", "fish"])
def test_each_shell_has_its_completion(shell: str) -> None:
    assert "warmheap" in run("completion", shell).stdout.decode()


def test_a_chat_in_the_terminal() -> None:
    done = run("chat", stdin=b"nine weeks, core 121F, dusty\nbye\n")
    text = done.stdout.decode()
    assert done.returncode == 0
    assert "9 weeks old" in text
    assert "Add water" in text


@each(
    [
        (1203.4, 0.0, 2734.0, "L", "up to 2,700 L"),
        (62_345_678.0, 20_000_000.0, 90_000_000.0, "BTU", "60 million BTU (20 to 90 million)"),
        (917.3, 414.2, 1550.9, "gal", "900 gal (400 to 1,600)"),
        (18.03, 17.6, 18.9, "kWh", "18 kWh (18 to 19)"),
        (5.0, 5.0, 5.0, "days", "5 days"),
        (105.1, 59.0, 165.2, "degF", "105 °F (59 to 165)"),
    ]
)
def test_no_more_digits_than_the_range_allows(value: float, low: float, high: float, unit: str, said: str) -> None:
    assert quantity_in_words({"value": value, "low": low, "high": high, "unit": unit}) == said


@given(st.lists(st.floats(-1e9, 1e9), min_size=3, max_size=3).map(sorted), st.sampled_from(["", "degF"]))
def test_a_number_as_data_is_as_near_as_two_digits_and_between_its_ends(told: list[float], unit: str) -> None:
    low, value, high = told
    shown, below, above = to_range(value, low, high, unit=unit, as_data=True)
    assert below <= shown <= above
    assert shown == pytest.approx(value, rel=0.051)  # 52 of 0 to 8,200 is no 100


def test_a_number_raised_to_another_keeps_the_steps_of_its_own_range() -> None:
    assert to_range_no_less((660, 650, 2890), (664, 662, 1320)) == (670, 670, 2890)
    assert to_range_no_less((660, 650, 2890), (600, 600, 1000)) == (660, 650, 2890)


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


@each([b"", b"{", b"[]", b"\xff\xfe", b'{"a":' * 5000, b"x" * 300_000])
def test_hostile_input_is_a_problem_and_no_trace(body: bytes) -> None:
    done = run("advise", "-", stdin=body)
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert len(done.stderr) < 4000


# --- what is amiss is said once, with the usage of that command
@each(
    [
        (["advize", "x"], "there is no advize. Did you mean advise?", "usage: warmheap [-h]"),
        (["advise"], "required: FILE", "usage: warmheap advise "),
        (["advise", "no.json"], "no.json cannot be read", "usage: warmheap advise "),
        (["advise", "no.json", "--jsn"], "not known here: --jsn. Did you mean --json?", "usage: warmheap advise "),
        (["advise", "no.json", "--units", "furlongs"], "there is no furlongs", "usage: warmheap advise "),
        (["piles", "ad", "north"], "Did you mean add?", "usage: warmheap piles "),
        (["log"], "required: PILE", "usage: warmheap log "),
        (["serve", "--port", "many"], "a port is a whole number up to 65535", "usage: warmheap serve "),
        (["serve", "--port", "99999"], "a port is a whole number up to 65535", "usage: warmheap serve "),
    ]
)
def test_a_slip_is_said_once_with_the_usage_of_its_command(arguments: list[str], told: str, usage: str) -> None:
    done = run(*arguments)
    text = done.stderr.decode()
    assert done.returncode == 2 and done.stdout == b""
    flat = " ".join(text.split())
    assert flat.count(told) == 1 and flat.count("usage:") == 1 and usage in flat


@each(
    [
        (["outlook", "-", "--days", "x"], b"{}", "A whole number of days is wanted."),
        (["advise", "-"], b'{"pile": {"age": -3}}', "less than this can be"),
        (["advise", "-"], b'{"pile": {"age": 5}, "temperatures": {"core": 45}, "title": 1}', "there is no such field"),
    ]
)
def test_what_is_wrong_with_a_body_is_said_once(arguments: list[str], body: bytes, told: str) -> None:
    text = run(*arguments, stdin=body).stderr.decode()
    assert " ".join(text.split()).count(told) == 1, text


def test_data_that_is_no_folder_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "a file"
    file.write_text("")
    for named in (str(file), "", str(tmp_path / "a" / "b")):
        for command in (["piles"], ["log", "north", "core=50"], ["check"], ["serve", "--port", "0"]):
            done = run(*command, "--data", named)
            assert done.returncode == 2 and "There is no folder" in done.stderr.decode()
    assert sorted(tmp_path.iterdir()) == [file]


# --- width, colours, letters
COMMANDS = [
    ["advise", str(STATUS)],
    ["advise", str(STATUS), "--all"],
    pytest.param(["explain", str(STATUS)], marks=pytest.mark.slow),
    ["outlook", str(STATUS)],
    pytest.param(["season", str(FOLDER / "planning" / "season.a_winter.request.json")], marks=pytest.mark.slow),
    pytest.param(
        ["build-sheet", str(FOLDER / "planning" / "build_sheet.north_heap.request.json")], marks=pytest.mark.slow
    ),
    ["advise", "no such file.json"],
    ["advise", str(STATUS), "--untis", "us"],
]


@pytest.mark.parametrize("columns", [40, pytest.param(71, marks=pytest.mark.slow)])
@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: " ".join(Path(part).name for part in command))
def test_nothing_is_wider_than_the_terminal(command: list[str], columns: int) -> None:
    done = run(*command, terminal=True, COLUMNS=str(columns), NO_COLOR="1", TERM="xterm")
    text = (done.stdout + done.stderr).decode()
    assert text and max(map(len, text.splitlines())) <= columns


@each([80, 40])
def test_the_first_action_stays_on_the_screen(columns: int) -> None:
    """Of 24 lines, as a terminal has from of old."""
    for example in sorted(FOLDER.glob("advice.*.request.json"))[:2]:
        done = run("advise", str(example), terminal=True, COLUMNS=str(columns), NO_COLOR="1")
        lines = done.stdout.decode().splitlines()
        first = next(place for place, line in enumerate(lines) if line.startswith("1. "))
        assert len(lines) - first <= (23 if columns == 80 else 40)


def test_colours_only_where_there_is_a_terminal_that_wants_them() -> None:
    plain = {"TERM": "xterm", "NO_COLOR": ""}
    assert b"\033[" in run("advise", str(STATUS), terminal=True, **plain).stdout
    for other in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert b"\033[" not in run("advise", str(STATUS), terminal=True, **{**plain, **other}).stdout
    assert b"\033[" not in run("advise", str(STATUS), **plain).stdout
    told = re.sub(rb"\033\[[\d;]*m", b"", run("advise", str(STATUS), terminal=True, **plain).stdout)
    assert told == run("advise", str(STATUS), terminal=True, **{**plain, "NO_COLOR": "1"}).stdout


@pytest.mark.slow
@pytest.mark.parametrize("coding", ["ascii", "cp437", "cp1252", "latin-1", "utf-8"])
def test_letters_that_the_terminal_does_not_know_stop_nothing(coding: str) -> None:
    """Code pages of other systems, and no locale at all."""
    for command in (["advise", str(STATUS), "--all"], ["outlook", str(STATUS)], ["--help"]):
        done = process(*command, PYTHONIOENCODING=coding, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
        assert done.returncode == 0, done.stderr
        done.stdout.decode(coding)
    json_too = process("advise", str(STATUS), "--json", PYTHONIOENCODING=coding)
    assert json.loads(json_too.stdout.decode("utf-8"))["actions"]


@pytest.mark.slow
def test_closed_ends_and_full_disks_leave_no_trace() -> None:
    start = f"{sys.executable} -m service.cli"
    for line, told in (
        (f"{start} advise {STATUS} >&-", "closed"),
        (f"{start} advise - <&-", "closed"),
        (f"{start} ask <&-", "age"),
        (f"{start} advise {STATUS} > /dev/full", "No space left"),
    ):
        done = subprocess.run(["bash", "-c", line], capture_output=True, check=False)
        assert done.returncode == 2 and b"Traceback" not in done.stderr
        assert told in done.stderr.decode(), line


# --- in a terminal
def in_terminal(arguments: list[str], typed: list[bytes], columns: int = 80) -> tuple[int, str]:
    """Run a command in a terminal of its own, typing each piece once there is a prompt; exit code and what was seen."""
    child, screen = pty.fork()
    if child == 0:
        os.environ |= {"TERM": "xterm", "NO_COLOR": "1"}
        os.execv(sys.executable, [sys.executable, "-m", "service.cli", *arguments])
    fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    seen, until = b"", time.monotonic() + 60
    waiting = list(typed)
    while time.monotonic() < until:
        try:
            seen += os.read(screen, 4096)
        except OSError:
            break
        if waiting and seen.endswith(b"> "):
            os.write(screen, waiting.pop(0))
            seen += b" "
    _, status = os.waitpid(child, 0)
    os.close(screen)
    return os.waitstatus_to_exitcode(status), seen.decode(errors="replace")


@pytest.mark.slow
def test_ask_edits_lines_tells_why_and_takes_back() -> None:
    left = b"\033[D"
    code, seen = in_terminal(
        ["ask"],
        [
            b"20 weks, core 121F" + left * 12 + b"e\r",  # the slip is set right with the arrow keys
            b"why\r",
            b"undo\r",
            b"20 weeks, core 121F\r",
            b"help\r",
            b"stop\r",
        ],
    )
    assert code == 0 and "Traceback" not in seen
    assert seen.count("Read: 20 weeks old") == 2
    assert "times in 10 it changes" in seen and "Taken back." in seen and '"undo" takes the last answer back' in seen
    assert "--all" in seen and "Because:" not in seen


@pytest.mark.slow
@pytest.mark.parametrize(("key", "code"), [(b"\x03", 130), (b"\x04", 2)], ids=["Ctrl-C", "Ctrl-D"])
def test_ask_ends_cleanly(key: bytes, code: int) -> None:
    """Ctrl-D with nothing told says what is wanting; Ctrl-C just ends."""
    ended, seen = in_terminal(["ask"], [key])
    assert ended == code and "Traceback" not in seen
    ended, seen = in_terminal(["chat"], [b"nine weeks, core 121F\r", key])
    assert ended == 0 and "Traceback" not in seen


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


@pytest.mark.slow
def test_the_examples_of_help_are_answered() -> None:
    from service.cli.plans import _KINDS, _answered

    for name, kind in _KINDS.items():
        assert _answered(name, kind.example.encode())["headline"], name
