"""The lock, the bill of materials, the licences, and one wheel from one source."""

from __future__ import annotations

import json
import subprocess
import tomllib
from typing import Any

import pytest
from packaging.requirements import Requirement

from tests.each import each
from tests.supply import audit, wheel
from tests.supply.bill import BILL, LICENCES, bill, licence_of, licences
from tests.supply.lock import LOCK, ROOT, pinned

PACKAGES = pinned(LOCK.read_text())
DECLARED = [
    Requirement(line) for line in tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
]


def test_the_lock_names_no_place_to_get_things_from() -> None:
    text = LOCK.read_text()
    assert "://" not in text and "index" not in text and "find-links" not in text
    assert all(len(package.hashes) >= 1 for package in PACKAGES)


@each(DECLARED)
def test_what_is_declared_is_locked_within_its_bounds(declared: Requirement) -> None:
    versions = [package.version for package in PACKAGES if package.name == declared.name.replace(".", "-")]
    assert versions and all(declared.specifier.contains(version) for version in versions)


@each(["six==1.16.0", "six>=1 --hash=sha256:" + "0" * 64, "https://x.example/six.whl"])
def test_a_lock_with_a_hole_is_refused(line: str) -> None:
    with pytest.raises(ValueError, match="no package with its hashes"):
        pinned(line)


def test_the_bill_lists_what_is_locked() -> None:
    told = json.loads(BILL.read_text())
    listed = [
        (each["name"], each["version"], [p["value"] for p in each["properties"] if p["name"].endswith("sha256")])
        for each in told["components"]
    ]
    assert listed == [(package.name, package.version, list(package.hashes)) for package in PACKAGES]
    refs = {each["bom-ref"] for each in told["components"]} | {told["metadata"]["component"]["bom-ref"]}
    assert {each["ref"] for each in told["dependencies"]} == refs
    assert {ref for each in told["dependencies"] for ref in each["dependsOn"]} <= refs
    assert len(told["dependencies"][0]["dependsOn"]) >= len(DECLARED)


def test_the_bill_is_cyclonedx() -> None:
    """By the schema of the standard itself (CycloneDX 1.6), as its own library holds it."""
    from cyclonedx.schema import SchemaVersion
    from cyclonedx.validation.json import JsonStrictValidator

    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(BILL.read_text()) is None


def test_the_same_lock_gives_the_same_bill() -> None:
    def without_licences(told: dict[str, Any]) -> list[dict[str, Any]]:
        return [{key: value for key, value in each.items() if key != "licenses"} for each in told["components"]]

    assert bill(PACKAGES) == bill(PACKAGES)
    assert without_licences(bill(PACKAGES)) == without_licences(json.loads(BILL.read_text()))


def test_every_licence_is_known_and_the_copyleft_one_is_explained() -> None:
    text = LICENCES.read_text()
    assert "NOASSERTION" not in text
    assert [name for name in {package.name for package in PACKAGES} if licence_of(name) == "NOASSERTION"] == []
    assert "| fpdf2 | 2." in text and "LGPL-3.0" in text and "must say that fpdf2" in text
    assert licences(PACKAGES).split("| package")[0] == text.split("| package")[0]


def test_a_database_that_cannot_be_reached_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Silence is no clean bill: nothing answers at this address."""
    for name in ("HTTP_PROXY", "HTTPS_PROXY", "http_proxy", "https_proxy"):
        monkeypatch.setenv(name, "http://127.0.0.1:9")
    code, told = audit.audit()
    assert code == 3 and "AUDIT NOT DONE" in told


@pytest.mark.slow
def test_two_builds_are_one_wheel() -> None:
    assert wheel.main() == 0


def test_git_keeps_what_the_wheel_is_built_from() -> None:
    listed = subprocess.run(["git", "ls-files", "tests/supply"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode != 0:
        pytest.skip("this is no checkout")
    assert "tests/supply/requirements.lock" in listed.stdout
