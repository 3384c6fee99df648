"""Two versions of the knowledge: which answers differ, and by what."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from rules.version import knowledge_version
from service.cli.command import main
from service.why.versions import compare, recorded_answers
from tests.examples import FOLDER

ROOT = Path(__file__).parent.parent
TWO = {
    "cool.json": {"as_of": "2026-01-20T08:00:00Z", "pile": {"age": 35}, "temperatures": {"core": 41}},
    "hot.json": {"as_of": "2026-01-20T08:00:00Z", "pile": {"age": 35}, "temperatures": {"core": 58}},
}


@pytest.fixture
def statuses(tmp_path: Path) -> Path:
    folder = tmp_path / "statuses"
    folder.mkdir()
    for name, status in TWO.items():
        (folder / name).write_text(json.dumps(status))
    (folder / "cool.response.json").write_text("{}")
    return folder


def under_other_knowledge(tmp_path: Path, old: str, new: str, file: str, *arguments: str) -> Any:
    """Run the command on a copy of the code in which one line of the knowledge differs."""
    copy = tmp_path / "copy"
    for package in ("rules", "service"):
        shutil.copytree(ROOT / package, copy / package, dirs_exist_ok=True)  # compiled, or all would be so again
    text = (copy / file).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (copy / file).write_text(text.replace(old, new), encoding="utf-8")
    code = f"import sys; sys.path.insert(0, {str(copy)!r}); from service.cli.command import main; "
    code += "sys.exit(main(sys.argv[1:]))"
    return subprocess.run(
        [sys.executable, "-c", code, "knowledge", *arguments], capture_output=True, text=True, check=False, cwd=copy
    )


def test_the_command_prints_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge"]) == 0
    assert capsys.readouterr().out.startswith(knowledge_version())


def test_the_same_knowledge_gives_the_same_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "requests"
    folder.mkdir()
    for request in sorted(FOLDER.glob("advice.*.request.json"))[::5]:
        shutil.copy(request, folder)
    assert main(["knowledge", "answers", str(folder)]) == 0
    recorded = tmp_path / "answers.json"
    recorded.write_text(capsys.readouterr().out)
    count = len(json.loads(recorded.read_text())["answers"])
    assert count == len(list(folder.iterdir())) > 1
    assert main(["knowledge", "compare", str(recorded), str(folder)]) == 0
    assert f"0 of {count} answers differ" in capsys.readouterr().out


def test_a_changed_limit_is_told_with_what_it_does(tmp_path: Path, statuses: Path) -> None:
    recorded = tmp_path / "answers.json"
    recorded.write_text(json.dumps(recorded_answers(statuses)))
    ran = under_other_knowledge(
        tmp_path,
        '"HOLDING_FROM", 40.0',
        '"HOLDING_FROM", 43.0',
        "rules/tables/thresholds.py",
        "compare",
        str(recorded),
        str(statuses),
    )
    assert ran.returncode == 1, ran.stderr
    first, *lines = ran.stdout.splitlines()
    # The other differs by the limit that is kept where nobody told one: it begins where a core holds.
    assert first.startswith(f"knowledge {knowledge_version()} -> ") and first.endswith("2 of 2 answers differ")
    assert lines[0] == "cool.json"
    assert any("-phase.holding-keep-going" in line and "+phase.unclear-wait" in line for line in lines)


@pytest.mark.slow
def test_a_changed_text_changes_no_action(tmp_path: Path, statuses: Path) -> None:
    recorded = tmp_path / "answers.json"
    recorded.write_text(json.dumps(recorded_answers(statuses)))
    ran = under_other_knowledge(
        tmp_path,
        '"Keep going as you are"',
        '"Carry on as you are"',
        "rules/actions/records.py",
        "compare",
        str(recorded),
        str(statuses),
    )
    assert ran.returncode == 1, ran.stderr
    assert ran.stdout.count("   texts or numbers only") == 2


def test_statuses_that_came_or_went_are_told(statuses: Path) -> None:
    recorded = recorded_answers(statuses)
    (statuses / "hot.json").rename(statuses / "warm.json")
    found = {difference.name: difference.what for difference in compare(recorded, statuses)}
    assert found == {"cool.json": (), "hot.json": ("its status is gone",), "warm.json": ("not recorded then",)}


def test_a_status_without_its_moment_is_answered_as_of_the_recording(statuses: Path) -> None:
    status = {key: value for key, value in TWO["hot.json"].items() if key != "as_of"}
    (statuses / "hot.json").write_text(json.dumps(status))
    recorded = recorded_answers(statuses)
    recorded["answers"]["hot.json"]["as_of"] = "2026-01-01T00:00:00+00:00"
    (difference,) = [item for item in compare(recorded, statuses) if item.name == "hot.json"]
    assert difference.what == ("texts or numbers only",)  # its dates alone


def test_what_cannot_be_read_is_told(tmp_path: Path, statuses: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["knowledge", "answers", str(tmp_path / "nowhere")]) == 2
    assert "nowhere" in capsys.readouterr().err
    (tmp_path / "bad.json").write_text("[]")
    assert main(["knowledge", "compare", str(tmp_path / "bad.json"), str(statuses)]) == 2
    assert "bad.json does not hold recorded answers" in capsys.readouterr().err
    (statuses / "odd.json").write_text("{}")
    assert main(["knowledge", "answers", str(statuses)]) == 2
    assert "odd.json" in capsys.readouterr().err
