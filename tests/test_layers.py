"""Imports point one way, and what is imported is ours."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import rules
import service

ROOT = Path(__file__).parent.parent


def imports_of(module: Path) -> Iterator[str]:
    """Top-level names a module imports."""
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def modules(folder: str) -> list[Path]:
    """Every module below a folder."""
    return sorted((ROOT / folder).rglob("*.py"))


@pytest.mark.parametrize("module", modules("rules"), ids=lambda path: str(path.relative_to(ROOT)))
def test_the_knowledge_knows_nothing_of_the_service(module: Path) -> None:
    barred = ("service", "fastapi", "starlette", "pydantic", "numpy", "sqlalchemy")
    assert not [name for name in imports_of(module) if name.split(".")[0] in barred]


@pytest.mark.parametrize("module", modules("service/heat/physics"), ids=lambda path: str(path.relative_to(ROOT)))
def test_physics_knows_nothing_of_rules_or_the_web(module: Path) -> None:
    allowed = ("service.heat.physics", "service.units.estimate")
    ours = [name for name in imports_of(module) if name.split(".")[0] in ("rules", "service")]
    assert [name for name in ours if not name.startswith(allowed)] == []


def test_only_the_adapter_talks_to_the_engine() -> None:
    users = [module for module in modules("rules") + modules("service") if "durable" in " ".join(imports_of(module))]
    assert [module.name for module in users] == ["adapter.py"]


def test_the_packages_are_ours() -> None:
    for package, name in ((rules, "rules"), (service, "service")):
        assert package.__file__ is not None
        assert Path(package.__file__).parent.name == name
        assert (Path(package.__file__).parent / "__init__.py").read_text().startswith('"""')


def test_what_is_heavy_is_not_imported_at_the_start() -> None:
    heavy = ("scipy", "sqlalchemy", "alembic", "mcp", "lark", "pint", "pygal", "matplotlib")
    code = f"import sys, service.app; print([name for name in {heavy} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
