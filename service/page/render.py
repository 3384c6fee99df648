"""The page's files and templates, read once; the template library is loaded only when a page is first asked for."""

from __future__ import annotations

import base64
import gzip
import hashlib
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

from rules.catalogue import said
from rules.tables.materials import MATERIALS
from rules.tables.uses import uses_of
from service.page import address as addresses
from service.page.body import Fault
from service.page.entries import EDIT, UNSEEN, Typed, system_of
from service.page.form import FIELDS, FIRST_NUMBER, SECTIONS, labels
from service.page.measures import MEASURES, TEMPERATURES, TIMES
from service.page.view import View
from service.problems.fire import KEEP_CLEAR_FROM
from service.render.html import templates_in
from service.units.quantities import System

FILES: Final = Path(__file__).parent / "files"
TEMPLATES: Final = Path(__file__).parent / "templates"
PAGES: Final = ("form", "answer")
KINDS: Final = {
    "page.js": "text/javascript; charset=utf-8",
    "worker.js": "text/javascript; charset=utf-8",
    "manifest.webmanifest": "application/manifest+json",
    "icon.svg": "image/svg+xml",
    "icon-180.png": "image/png",
    "icon-512.png": "image/png",
}
"""Every file the page may load, with its media type."""
_MATERIALS: Final = tuple(
    material.id.replace("_", " ")
    for material in MATERIALS.values()
    if uses_of(material) != {"none"} or "ash" in material.traits
)
"""What a field for materials offers: what is reached for; any other name can be typed."""


@cache
def file_bytes(name: str) -> bytes:
    """A file as it is served, its marks for versions and addresses filled in."""
    content = (FILES / name).read_bytes()
    if name in ("worker.js", "manifest.webmanifest"):
        marks = {"VERSION": page_version(), "SCRIPT": address("page.js"), "ICON": address("icon.svg")}
        for mark, value in marks.items():
            content = content.replace(f'"{mark}"'.encode(), f'"{value}"'.encode())
            content = content.replace(f"-{mark}".encode(), f"-{value}".encode())
    return content


@cache
def address(name: str) -> str:
    """Where a file is served; it changes with the file, so that browsers may keep it for good."""
    return f"/page/{name}?v={hashlib.sha256((FILES / name).read_bytes()).hexdigest()[:8]}"


@cache
def page_version() -> str:
    """Changes with anything the kept page is made of."""
    seen = hashlib.sha256("".join(empty_form(system) for system in ("metric", "us")).encode())
    for name in ("page.js", "worker.js", "icon.svg"):
        seen.update((FILES / name).read_bytes())
    return seen.hexdigest()[:12]


@cache
def style(page: str) -> str:
    """The style sheet that stands in a page, `form` or `answer`: what both have, its own, and what is so on paper."""
    return "".join((FILES / f"{part}.css").read_text(encoding="utf-8") for part in ("page", page, "print"))


@cache
def policy() -> str:
    """What a browser may do on the page: load from here alone, and apply these style sheets."""
    sums = (hashlib.sha256(style(page).encode()).digest() for page in PAGES)
    styles = " ".join(f"'sha256-{base64.b64encode(each).decode()}'" for each in sums)
    return (
        f"default-src 'none'; script-src 'self'; style-src {styles}; img-src 'self'; connect-src 'self'; "
        "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    )


@cache
def packed(content: bytes) -> bytes:
    """Content in gzip, the same bytes each time."""
    return gzip.compress(content, mtime=0)


@cache
def empty_form(system: System) -> str:
    """The form before anything is typed."""
    return form_page({"units": (system,)}, fresh=True)


@cache
def etag_of(page: str) -> str:
    """What tells a browser that it has this page already. The worker keeps the form the browser has just loaded."""
    return f'"{hashlib.sha256(page.encode()).hexdigest()[:16]}"'


def form_page(typed: Typed, faults: Sequence[Fault] = (), warning: str | None = None, *, fresh: bool = False) -> str:
    """The form with what was typed, the faults above it and beside their fields, and a warning where there is one."""
    by_name = {fault.name: fault.text for fault in faults}
    filled = {section.id for section in SECTIONS if any(asked.name in typed for asked in section.fields)}
    faulty = {section.id for section in SECTIONS if any(asked.name in by_name for asked in section.fields)}
    return _page(
        "form",
        sections=SECTIONS,
        typed=typed,
        faults=faults,
        by_name=by_name,
        filled=filled,
        opened={*faulty, *typed.get(EDIT, ())},
        warning=warning,
        fresh=fresh,
        unseen=UNSEEN,
        keep_clear_from=KEEP_CLEAR_FROM,
        materials=_MATERIALS,
    )


def answer_page(view: View, typed: Typed) -> str:
    """An answer as a page."""
    return _page("answer", view=view, typed=typed, packed=addresses.address_letters(typed))


def _page(template: str, *, typed: Typed, **values: Any) -> str:
    from markupsafe import Markup

    shared = {
        "script": address("page.js"),
        "icon": address("icon.svg"),
        "style": Markup(style(template)),
        "typed": typed,
        "system": system_of(typed),
        "fields": FIELDS,
        "labels": labels(),
        "said": said,
        "measures": MEASURES,
        "echoed": TEMPERATURES | TIMES,
        "first_number": FIRST_NUMBER,
        "units": FIELDS["units"].choices,
    }
    return templates_in(TEMPLATES).get_template(f"{template}.html").render(**values, **shared)
