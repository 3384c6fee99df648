"""What goes out has a shape; only what is not ours to name is free-form."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).parent.parent
FREE_FORM = {
    "service/problems/json_text.py": "JSON objects as somebody sent them (JsonObject)",
    "service/http/description.py": "pieces of the description of the interface, named by its standard (Described)",
    "service/machines/hub/discovery.py": "discovery messages, named by the hub's own format (Announced)",
    "service/logbook/store/file_rows.py": "rows as the database library takes them (Row)",
    "service/logbook/shapes/entry.py": "fields of a model that is made of another one's",
    "service/talk/tools/schemas.py": "schemas of tools, named by their standard (Schema)",
    "rules/language/toml.py": "tables of data files before they are records (TomlTable)",
    "rules/engine/envelope.py": "conditions in the rule engine's own form (EngineForm)",
}
"""Files and packages that may hold what has no shape, and what that is."""


def test_what_goes_out_has_a_shape() -> None:
    files = [file for folder in ("service", "rules") for file in sorted((ROOT / folder).rglob("*.py"))]
    names = [str(file.relative_to(ROOT)) for file in files if "dict[str, Any]" in file.read_text(encoding="utf-8")]
    loose = [name for name in names if not name.startswith(tuple(FREE_FORM))]
    assert loose == [], (
        "give it a shape: what goes out is a closed TypedDict with words and examples (service/problems/outgoing.py); "
        "what came in is a JsonObject (service/problems/json_text.py); anything else is a record"
    )


def test_nothing_is_listed_as_free_form_that_is_not() -> None:
    held = {name: [ROOT / name] if name.endswith(".py") else [*(ROOT / name).rglob("*.py")] for name in FREE_FORM}
    assert [n for n, files in held.items() if not any("dict[str, Any]" in f.read_text() for f in files)] == []
