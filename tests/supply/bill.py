"""The bill of materials in CycloneDX (ECMA-424, version 1.6), from the lock and the licences of what is installed.

`python -m tests.supply.bill` writes `bill.cdx.json` and `LICENCES.md` anew. The same lock gives the same bytes.
"""

from __future__ import annotations

import json
import re
import sys
import tomllib
import uuid
from importlib.metadata import PackageNotFoundError, metadata, requires
from pathlib import Path
from typing import Any, Final

from tests.supply.lock import LOCK, ROOT, Pinned, pinned

BILL: Final = Path(__file__).with_name("bill.cdx.json")
LICENCES: Final = Path(__file__).with_name("LICENCES.md")
_SPACE: Final = uuid.UUID("5b0c6c0e-6f0e-5d2a-9a57-1d6f9a1f5d11")
"""Names the bill by its contents."""
_BY_WORDS: Final = {
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "MIT License": "MIT",
    "The MIT License": "MIT",
    "Apache Software License": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "PSFL": "PSF-2.0",
    "HPND": "MIT-CMU",
}
"""What older packages write, by the identifier of the SPDX list."""
LGPL: Final = frozenset({"LGPL-3.0-only", "LGPL-3.0-or-later"})
_HEAD: Final = """# Licences

Written by `python -m tests.supply.bill` from the lock. warmheap itself is under the MIT licence (`LICENSE`).

**fpdf2 is under the LGPL 3.0.** It writes the PDF of the build sheet, is imported as it comes and not changed, and is
not part of our wheel: whoever installs warmheap gets it from where packages come from, with its source and its licence.
That leaves warmheap under MIT. Whoever hands on both together (an image, a disk, an appliance) must say that fpdf2 is
in it and under the LGPL, hand on the texts of the LGPL and GPL 3.0, give its source or say where it is to be had, and
let the receiver put a changed fpdf2 in its place: a folder of Python files that can be exchanged is enough, one sealed
binary is not. Whoever changes fpdf2 itself hands on the changes under the LGPL. Without it all but the PDF works.
The extra `postgres` brings psycopg, under the LGPL 3.0 too, to which the same applies.

| package | version | licence |
|---|---|---|
"""


def licence_of(name: str) -> str:
    """The licence of an installed package as an SPDX expression, as far as it can be told; else `NOASSERTION`."""
    try:
        told = metadata(name)
    except PackageNotFoundError:
        return "NOASSERTION"
    expression = told.get("License-Expression")
    if expression:
        return str(expression)
    words = (told.get("License") or "").strip()
    classified = [line.rpartition(" :: ")[2] for line in told.get_all("Classifier") or () if line.startswith("License")]
    for given in (words, *classified):
        if given in _BY_WORDS:
            return _BY_WORDS[given]
        if re.fullmatch(r"[A-Za-z0-9.+-]{2,30}", given):
            return given
        if "Lesser General Public License v3" in given:
            return "LGPL-3.0-only"
    return "NOASSERTION"


def bill(packages: list[Pinned]) -> dict[str, Any]:
    """The bill of materials."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    own = f"pkg:pypi/{project['name']}@{project['version']}"
    components = [_component(package) for package in packages]
    told = json.dumps(components, sort_keys=True)
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": f"urn:uuid:{uuid.uuid5(_SPACE, told)}",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": own,
                "name": project["name"],
                "version": project["version"],
                "licenses": [{"license": {"id": project["license"]}}],
                "purl": own,
            }
        },
        "components": components,
        "dependencies": _dependencies(own, project["dependencies"], packages),
    }


def _component(package: Pinned) -> dict[str, Any]:
    purl = f"pkg:pypi/{package.name}@{package.version}"
    licence = licence_of(package.name)
    choice = {"expression": licence} if " " in licence else {"license": _named(licence)}
    return {
        "type": "library",
        "bom-ref": purl,
        "name": package.name,
        "version": package.version,
        "licenses": [choice],
        "purl": purl,
        "properties": [
            *({"name": "warmheap:marker", "value": package.marker} for _ in range(bool(package.marker))),
            *({"name": "warmheap:file-sha256", "value": digest} for digest in package.hashes),
        ],
    }


def _named(licence: str) -> dict[str, str]:
    return {"name": "not told"} if licence == "NOASSERTION" else {"id": licence}


def _dependencies(own: str, direct: list[str], packages: list[Pinned]) -> list[dict[str, Any]]:
    """Which package needs which, as far as what is installed tells."""
    refs: dict[str, list[str]] = {}
    for package in packages:
        refs.setdefault(package.name, []).append(f"pkg:pypi/{package.name}@{package.version}")

    def wanted(lines: list[str]) -> list[str]:
        names = {_name(line) for line in lines if "extra ==" not in line}
        return sorted(ref for name in names for ref in refs.get(name, ()))

    graph = [{"ref": own, "dependsOn": wanted(direct)}]
    return graph + [{"ref": ref, "dependsOn": wanted(_requires(name))} for name in refs for ref in refs[name]]


def _requires(name: str) -> list[str]:
    try:
        return requires(name) or []
    except PackageNotFoundError:
        return []


def _name(line: str) -> str:
    found = re.match(r"[A-Za-z0-9._-]+", line)
    return re.sub(r"[-_.]+", "-", found[0]).lower() if found else ""


def licences(packages: list[Pinned]) -> str:
    """The list of licences, with what one of them asks for."""
    rows = (f"| {package.name} | {package.version} | {licence_of(package.name)} |" for package in packages)
    return _HEAD + "\n".join(dict.fromkeys(rows)) + "\n"


def main() -> int:
    """Write the bill and the list of licences anew."""
    packages = pinned(LOCK.read_text())
    BILL.write_text(json.dumps(bill(packages), indent=1) + "\n")
    LICENCES.write_text(licences(packages))
    return 0


if __name__ == "__main__":
    sys.exit(main())
