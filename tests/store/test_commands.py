"""The log book on the command line."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from service.cli.command import main
from tests.store.test_log_book import at


@pytest.fixture
def run(folder: Path, capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    """Run a command: exit code, what it said, what it complained of."""

    def run(*arguments: str) -> tuple[int, str, str]:
        code = main(list(arguments))
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def test_a_pile_from_the_command_line(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    code, pile, _ = run("piles", "add", "North heap", "--units", "us", "--zone", "Europe/Berlin")
    assert code == 0 and re.fullmatch(r"[0-9a-f]{16}\n", pile)
    assert (
        run("log", "North heap", "pile.age=63", 'pile.size.volume="22 yd3"', "core=121", "signs=none", "smell=earthy")[
            0
        ]
        == 0
    )
    code, said, _ = run(
        "log", "North heap", "core=125 degF", "--at", at(48), "--done", "add_water", "--amount", "60 gal"
    )
    assert (code, said) == (0, "Added: readings 1, work 1. There already: 0.\n")
    assert run("log", "North heap", "core=125 degF", "--at", at(48))[1].endswith("There already: 1.\n")
    code, said, _ = run("log", "North heap")
    assert [line.split("  ")[1] for line in said.splitlines()] == [
        "reading",
        "work",
        "reading",
    ] or "add_water 60 gal" in said
    code, said, _ = run("piles", "show", "North heap")
    assert re.search(r"/temperatures/core +121 degF +0\.0 h +fresh", said)
    code, said, _ = run("piles", "advice", "North heap", "--json")
    advice = json.loads(said)
    assert advice["pile"] == pile.strip() and advice["known"]
    short, whole = (run("piles", "advice", pile.strip(), *more)[1] for more in ((), ("--all",)))
    assert short.startswith(f"1. {advice['actions'][0]['title']}") and "Look again" in short and "--all" in short
    assert " ".join(whole.split()).startswith(advice["headline"]) and "Sources" in whole and "Sources" not in short
    code, said, _ = run("piles")
    assert re.search(rf"{pile.strip()}  North heap +2 +1 +1 ", said)
    assert json.loads(run("log", "North heap", "--json")[1])["entries"][0]["kind"] == "advice"
    assert "no word" in run("piles", "counts")[1]

    for kind in ("json", "csv"):
        file = tmp_path / f"pile.{kind}"
        assert run("piles", "export", "North heap", "--format", kind, "--output", str(file))[0] == 0
        assert run("piles", "export", "North heap", "--format", kind, "--output", str(file))[0] == 2
        assert run("piles", "delete", pile.strip()) == (
            2,
            "",
            "This deletes the pile and all that was logged of it; say --yes if that is meant.\n",
        )
        assert run("piles", "delete", pile.strip(), "--yes")[0] == 0
        assert run("piles", "import", str(file))[1] == pile
    assert run("check")[1].endswith("All is well.\n")


def test_files_are_logged_by_their_kind(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    run("piles", "add", "heap")
    (tmp_path / "a.csv").write_text(f"at,core [degC]\n{at(3)},50\n{at(2)},51\n")
    (tmp_path / "b.senml").write_text('[{"n": "core", "u": "Cel", "v": 50}]')
    (tmp_path / "c.json").write_text('{"smell": "sour"}')
    (tmp_path / "d.csv").write_text(f"at,core [degC]\n{at(3)},5000\n")
    for name, readings in (("a.csv", 2), ("b.senml", 1), ("c.json", 1)):
        told = run("log", "heap", "--file", str(tmp_path / name))[1]
        assert told.startswith(f"Added: readings {readings}, work 0.")
    code, _, complaint = run("log", "heap", "--file", str(tmp_path / "d.csv"))
    assert code == 2 and "/lines/2/temperatures/core" in complaint
    assert run("log", "heap", "--file", str(tmp_path / "nothing.csv"))[0] == 2


def test_fire_is_told(run) -> None:  # type: ignore[no-untyped-def]
    run("piles", "add", "heap")
    code, _, complaint = run("log", "heap", "signs=smoke")
    assert code == 0 and "call the fire service" in complaint


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("log", "nothing", "core=1"), "no pile"),
        (("log", "heap", "core"), "FIELD=VALUE"),
        (("log", "heap", "core=warm"), "one number and its unit"),
        (("log", "heap", "core=50", "temperatures.core.x=1"), "inside a single value"),
        (("log", "heap", "cor=50"), "no such field"),
        (("log", "heap", "core=50", "--at", "2126-01-01T00:00:00Z"), "future"),
        (("log", "heap", "--done", "explode"), "name of an action"),
        (("piles", "add", "x", "--zone", "Mars/Base"), "time zone"),
        (("piles", "advice", "heap"), "not hold enough"),
        (("piles", "import", "/nowhere"), "/nowhere"),
        (("tokens", "revoke", "00000000"), "no token"),
        (("restore", "/nowhere", "--yes"), "not there"),
        (("restore", "/etc/passwd", "--yes"), "not a sound copy"),
        (("backup", "/nowhere/copy"), "/nowhere/copy cannot be written"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_told(run, arguments: tuple[str, ...], words: str) -> None:  # type: ignore[no-untyped-def]
    run("piles", "add", "heap")
    code, said, complaint = run(*arguments)
    assert code == 2 and said == "" and words in complaint


def test_two_piles_of_one_name_are_told_apart_by_id(run) -> None:  # type: ignore[no-untyped-def]
    first = run("piles", "add", "heap")[1].strip()
    run("piles", "add", "heap")
    assert "2 piles are called heap" in run("log", "heap", "core=50")[2]
    assert run("log", first, "core=50")[0] == 0


def test_accounts_do_not_see_each_other(run) -> None:  # type: ignore[no-untyped-def]
    run("piles", "add", "heap", "--account", "anna")
    assert "heap" not in run("piles")[1]
    assert "heap" in run("piles", "--account", "anna")[1]
    assert run("log", "heap", "core=50")[0] == 2


def test_tokens_are_made_listed_and_revoked(run) -> None:  # type: ignore[no-untyped-def]
    written = run("tokens", "make", "phone", "--scope", "reader", "--account", "anna")[1].strip()
    token_id, secret = written.split("_", 2)[1:]
    listed = run("tokens", "list")[1]
    assert re.search(rf"{token_id}  phone  anna +reader", listed) and secret not in listed
    assert run("tokens", "revoke", token_id)[1] == f"{token_id} is revoked.\n"
    assert len(run("tokens", "list")[1].splitlines()[1].split()) == 8


def test_the_data_folder_can_be_named(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "other").mkdir()
    run("piles", "add", "heap", "--data", str(tmp_path / "other"))
    assert (tmp_path / "other" / "warmheap.db").exists()


def test_a_copy_is_made_and_brought_back(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    copy = str(tmp_path / "copy.db")
    run("piles", "add", "heap")
    run("log", "heap", "core=50")
    assert run("backup", copy)[0] == 0
    assert "there already" in run("backup", copy)[2]
    run("log", "heap", "core=51")
    run("piles", "add", "another")
    assert run("restore", copy)[0] == 2
    assert run("restore", copy, "--yes")[0] == 0
    listed = run("piles")[1]
    assert "another" not in listed and re.search(r"heap +1 +0 +0", listed)
    assert run("check")[0] == 0


def test_nothing_heavy_is_loaded_for_other_commands() -> None:
    code = (
        "import sys; from service.cli.command import main\n"
        "try: main(['serve', '--help'])\nexcept SystemExit: pass\n"
        "print([name for name in ('sqlalchemy', 'alembic', 'pydantic', 'fastapi') if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip().endswith("[]")
