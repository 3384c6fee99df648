"""`warmheap build-sheet`: the build sheet of a planned heap, as text, a page, a PDF or a drawing."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from service.cli import screen


def add(commands: Any, read: Callable[[str], bytes]) -> None:
    """Add the command to the subparsers of `warmheap`; `read` gives the bytes of a named file."""
    parser = commands.add_parser("build-sheet", help="print a sheet for building a heap")
    parser.add_argument("file", metavar="FILE", help="a request as for POST /build-sheet; - reads standard input")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--pdf", metavar="FILE", help="write a PDF there instead of printing text")
    form.add_argument("--html", metavar="FILE", help="write a page there")
    form.add_argument("--svg", metavar="FILE", help="write the drawing there")
    form.add_argument("--json", action="store_true", help="print the sheet as JSON")
    parser.set_defaults(run=lambda options: _run(options, read))


def _run(options: argparse.Namespace, read: Callable[[str], bytes]) -> int:
    from service.planning.shapes.sheet import BuildSheetRequest
    from service.sheet.formats import HTML, JSON, PDF, SVG, TEXT, sheet_as
    from service.status.reading import read_model

    files = {PDF: options.pdf, HTML: options.html, SVG: options.svg}
    form, file = next(((form, file) for form, file in files.items() if file is not None), (TEXT, None))
    if options.json:
        form = JSON
    content = sheet_as(read_model(read(options.file), BuildSheetRequest, "A question about a heap"), form)
    if file is not None:
        Path(file).write_bytes(content)
    elif form == TEXT:
        screen.say(content.decode().rstrip("\n"))
    else:
        screen.put(content)
    return 0
