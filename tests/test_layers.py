"""Imports point one way, and what is imported is ours."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path
from types import ModuleType

import rules
import service
from tests.each import each

ROOT = Path(__file__).parent.parent


LAYERS = {
    "rules": ("language", "tables", "actions", "themes", "", "engine", "catalogue", "version", "examples"),
    "service": (
        "units",  # what quantities are
        "problems",  # how anything is refused
        "status",  # what was told
        "heat",  # the physics of it, and what its log teaches
        "facts",  # what follows
        "picture",  # all of it joined, with the plan of drawing
        "actions",  # ranked moves, doses, what-ifs
        "course",  # the days ahead
        "render",  # how values are written
        "worth",  # what an answer to a question would be worth
        "answer",  # the advice
        "why",  # built on it: explanations, questions, outlook, mixes, plans, sheets
        "questions",
        "outlook",
        "mix",
        "planning",
        "sheet",
        "operation",  # running it: settings, processes, the log book, many heaps
        "work",
        "logbook",
        "batch",
        "talk",  # the doors
        "machines",
        "http",
        "page",
        "api",
        "app",
        "serving",
        "cli",
    ),
}
"""Packages from the bottom to the top, for each of ours; the empty name is the package itself. Imports point down."""


@cache
def parsed(module: Path) -> ast.Module:
    """A module as the interpreter reads it, once for all tests."""
    return ast.parse(module.read_text(encoding="utf-8"))


@cache
def imports_of(module: Path) -> tuple[str, ...]:
    """Names of the modules a module imports, wherever in it, for types too."""
    return tuple(_imports_of(parsed(module)))


def _imports_of(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            below = [f"{node.module}.{name.name}" for name in node.names]
            yield from (name if _file_of(name) else node.module for name in below)


@cache
def _file_of(name: str) -> Path | None:
    """The file of a module of ours, if it is one."""
    stem = ROOT.joinpath(*name.split("."))
    return next((file for file in (stem.with_suffix(".py"), stem / "__init__.py") if file.is_file()), None)


def modules(folder: str) -> list[Path]:
    """Every module below a folder."""
    return sorted((ROOT / folder).rglob("*.py"))


def _name(module: Path) -> str:
    return ".".join(module.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def _top(name: str) -> str:
    return name.split(".", maxsplit=1)[0]


def _layer(name: str) -> str:
    return [*name.split("."), ""][1]


@each(LAYERS)
def test_imports_point_down(ours: str) -> None:
    order = LAYERS[ours]
    assert {_layer(_name(module)) for module in modules(ours)} - {""} == set(order) - {""}
    wrong = [
        f"{_name(module)} imports {name}"
        for module in modules(ours)
        for name in imports_of(module)
        if name.split(".")[0] == ours and order.index(_layer(_name(module))) < order.index(_layer(name))
    ]
    assert wrong == [], (
        "an import points up: move what is imported to a lower package, or what imports it to a higher one"
    )


def test_no_files_import_each_other_in_a_circle() -> None:
    files = {_name(module): module for ours in LAYERS for module in modules(ours)}
    arrows = {name: {other for other in imports_of(file) if other in files} - {name} for name, file in files.items()}
    TopologicalSorter({name: found for name, found in arrows.items() if name != "rules"}).prepare()


@each(LAYERS)
def test_nothing_else_stands_at_the_root(ours: str) -> None:
    files = {file.stem for file in (ROOT / ours).glob("*.py")} - {"__init__"}
    assert files == {"rules": {"catalogue", "version", "examples"}, "service": {"app"}}[ours]


def test_the_knowledge_knows_nothing_of_the_service() -> None:
    barred = ("service", "fastapi", "starlette", "pydantic", "numpy", "sqlalchemy")
    assert [(module, name) for module in modules("rules") for name in imports_of(module) if _top(name) in barred] == []


def test_physics_knows_nothing_of_rules_or_the_web() -> None:
    allowed = ("service.heat.physics", "service.units.estimate", "service.units.figures")
    ours = [
        (module, name)
        for module in modules("service/heat/physics")
        for name in imports_of(module)
        if _top(name) in ("rules", "service")
    ]
    assert ours and [(module, name) for module, name in ours if not name.startswith(allowed)] == []


def test_only_the_adapter_talks_to_the_engine() -> None:
    users = [module for module in modules("rules") + modules("service") if "durable" in " ".join(imports_of(module))]
    assert [module.name for module in users] == ["adapter.py"]


def test_the_packages_are_ours() -> None:
    for package, name in ((rules, "rules"), (service, "service")):
        assert package.__file__ is not None
        assert Path(package.__file__).parent.name == name
        assert (Path(package.__file__).parent / "__init__.py").read_text().startswith('"""')


LOADED_LATER = (
    *("scipy", "pint", "CoolProp", "pygal", "matplotlib", "svg", "fpdf", "PIL", "jinja2", "icalendar"),
    *("sqlalchemy", "alembic", "psycopg", "mcp", "mcp_types", "lark", "httpx"),
    *("service.api.shapes", "service.page.view", "service.logbook.entries", "service.logbook.merge"),
    *("service.logbook.store.models", "service.logbook.shapes.pages"),
)
"""What is loaded when it is first used: the service starts, and answers a first time, without it."""


def test_what_is_heavy_is_not_imported_at_the_start() -> None:
    """The description, the log book, the pages, the tools' kit, the optimiser and the drawing libraries."""
    body = '{"pile": {"age": 20}, "temperatures": {"core": 45}}'
    code = (
        "import sys, service.app, service.api.planning, service.api.mix\n"
        "from service.api.advice import advice_written\n"
        "from service.status.reading import read_status\n"
        "import asyncio\n"
        "app = service.app.create_app()\n"
        "async def up():\n"
        "    async with service.app._lifespan(app):\n"
        f"        advice_written(read_status({body!r}.encode()), 'none')\n"
        "        print([name for name in sys.modules if name.startswith(('service.batch.', 'distributed', 'dask'))])\n"
        f"        print([name for name in {LOADED_LATER} if name in sys.modules])\n"
        "asyncio.run(up())"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["[]", "[]"]


DOORS = ("logbook", "talk", "page")
"""Packages that are doors to what is heavy in them."""


def test_what_has_a_door_is_loaded_through_it() -> None:
    around = [
        f"{_name(module)} imports {node.module}"
        for module in modules("service")
        for function in ast.walk(parsed(module))
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("service.")
        if _layer(node.module) in DOORS and _layer(node.module) != _layer(_name(module))
    ]
    assert around == [], "import the package at the top, and reach its modules through it"


@each(DOORS)
def test_a_door_leads_to_modules_that_are_there(door: str) -> None:
    package = importlib.import_module(f"service.{door}")
    assert not hasattr(package, "no_such_module")
    listed = {name.rsplit(".", 1)[1] for name in imports_of(ROOT / "service" / door / "__init__.py") if door in name}
    assert listed and all(isinstance(getattr(package, name), ModuleType) for name in listed)


def _kinds(module: Path) -> Iterator[str]:
    """Classes and types that a module names for others."""
    for node in parsed(module).body:
        if isinstance(node, ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and target.id[0].isupper() and not target.id.isupper():
                yield target.id


def test_no_two_kinds_of_things_have_one_name() -> None:
    where: dict[str, list[str]] = {}
    for path in modules("service") + modules("rules"):
        for name in _kinds(path):
            if not name.startswith("_"):
                where.setdefault(name, []).append(str(path.relative_to(ROOT)))
    assert {name: paths for name, paths in where.items() if len(paths) > 1} == {}


ONE_MEANING = {
    "add": "each command adds itself",
    "main": "where a process begins",
    "upgrade": "named by the kit for migrations",
    "downgrade": "named by the kit for migrations",
    "open_store": "the log book, for routes and for commands",
    "close": "what a part of the service opened is closed as it ends",
    "burns": "whether a heap may burn, of a status and of one in the making",
    **dict.fromkeys(
        ("add_pile", "change_pile", "delete_pile", "add_webhook", "delete_webhook"), "the route and its row"
    ),
}
"""Functions of one name that mean one thing, and what."""


def test_no_two_functions_have_one_name_and_two_meanings() -> None:
    where: dict[str, list[str]] = {}
    for path in modules("service") + modules("rules"):
        for node in parsed(path).body:
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
                where.setdefault(node.name, []).append(str(path.relative_to(ROOT)))
    twice = {name: paths for name, paths in where.items() if len(paths) > 1}
    assert {name: paths for name, paths in twice.items() if name not in ONE_MEANING} == {}
    assert set(ONE_MEANING) - set(twice) == set()
