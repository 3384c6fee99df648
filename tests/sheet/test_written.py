"""The sheet over HTTP and on the command line: every form, the same bytes, what is told, refusals."""

from __future__ import annotations

import io
import json
import re
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from service.cli.command import main
from service.planning.shapes.sheet_answer import BuildSheet
from service.sheet.as_html import as_html
from service.sheet.as_pdf import as_pdf
from service.sheet.as_svg import as_svg
from service.sheet.as_text import as_text
from service.sheet.cells import tape
from tests.each import each
from tests.page.test_colours import contrast
from tests.planning.asking import ask, pointers, problem_in
from tests.test_catalogue import HIGHEST_GRADE, grade

from .asking import METRIC, NAMED, US, as_model, planned

POINTS = 72 / 25.4
QUICK = METRIC | {"days": 20, "equipment": ["air_duct"]}


def page(name: str) -> str:
    _, drawing, told = planned(name)
    return as_html(as_model(told), as_svg(drawing, told["drawing"]["title"], told["drawing"]["description"]))


def pdf(name: str) -> PdfReader:
    sheet, drawing, told = planned(name)
    return PdfReader(io.BytesIO(as_pdf(as_model(told), drawing, sheet.request.as_of)))


class Outline(HTMLParser):
    """Headings, ids and what the page would load."""

    def __init__(self) -> None:
        super().__init__()
        self.levels: list[int] = []
        self.ids: list[str] = []
        self.tags: list[str] = []
        self.loads: list[str] = []
        self.language = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.tags.append(tag)
        if tag in ("h1", "h2", "h3"):
            self.levels.append(int(tag[1]))
        if tag == "html":
            self.language = told.get("lang") or ""
        if told.get("id"):
            self.ids.append(str(told["id"]))
        self.loads += [str(value) for name, value in attrs if name in ("src", "href", "style") or name.startswith("on")]


# --- what is told


@each(NAMED)
def test_content_keeps_to_its_model(name: str) -> None:
    _, _, told = planned(name)
    BuildSheet.model_validate_json(json.dumps(told))


@each(NAMED)
def test_layers_add_up_to_what_is_brought(name: str) -> None:
    _, _, told = planned(name)
    brought = {
        one["item"]: one["mass"]["value"] for one in told["materials"] if one["item"] in ("wood_chips", "horse_manure")
    }
    laid: dict[str, float] = {}
    for layer in told["layers"]:
        for part in layer["parts"]:
            laid[part["material"]] = laid.get(part["material"], 0.0) + part["mass"]["value"]
    assert laid == pytest.approx(brought, rel=0.01)
    assert sum(layer["volume"]["value"] for layer in told["layers"]) == pytest.approx(
        told["heap"]["volume_as_laid"]["value"], rel=0.01
    )
    water = next(one["water"]["value"] for one in told["materials"] if one["item"] == "water")
    assert sum(layer["water"]["value"] for layer in told["layers"]) == pytest.approx(water, rel=0.02, abs=0.1)
    assert sum(layer["barrows"] for layer in told["layers"]) == pytest.approx(told["barrows"], rel=0.01)


@each(NAMED)
def test_layers_lie_on_each_other_up_to_the_top(name: str) -> None:
    _, _, told = planned(name)
    layers = told["layers"]
    assert layers[0]["kind"] == "bed" and layers[-1]["kind"] == "cap" and layers[0]["from"]["value"] == 0
    for low, high in pairwise(layers[:-1]):
        assert low["to"] == high["from"]
    assert layers[-1]["to"]["value"] == pytest.approx(told["heap"]["height"]["value"], rel=0.01)
    foot = {"m": 1.0, "ft": 3.28084}[layers[0]["to"]["unit"]]
    # A hand's width (common practice)
    assert all(layer["thickness"]["value"] <= 0.101 * foot for layer in layers if layer["kind"] in ("soft", "cap"))


def test_checks_are_those_of_the_models_own_heaps() -> None:
    sheet, _, told = planned("metric")
    assert [one["day"] for one in told["checks"]] == [1, 3, 7, 14]
    for one in told["checks"]:
        core = sheet.plan.warming_c[one["day"]]
        # Whole degrees, as in the text beside it: a range as wide as the number allows no tenths
        assert one["core"]["value"] == pytest.approx(core.value, abs=0.5)
        assert one["core"]["low"] == pytest.approx(core.low, abs=0.5)
        assert one["core"]["high"] == pytest.approx(core.high, abs=0.5)
        assert one["hot_by_then"] == pytest.approx(100 * sheet.plan.hot_by[one["day"]], rel=0.01)
        assert f"{one['core']['value']:.0f} °C" in one["expect"] and "70 °C" in one["if_not"]
    shares = [one["hot_by_then"] for one in told["checks"]]
    assert shares == sorted(shares)


def test_cautions_speak_of_every_danger_and_promise_no_kill() -> None:
    _, _, told = planned("metric")
    said = " ".join(one["text"] for one in told["cautions"])
    for danger in ("Fire", "Gases", "Scald", "Legionella", "Electricity", "Ammonia", "Spores", "licensed", "local law"):
        assert danger in said
    assert "promises no kill" in said and all(one["source"]["cite"] for one in told["cautions"])


def test_cautions_of_each_material_are_told_once() -> None:
    _, _, told = planned("metric")
    said = [one["text"] for one in told["cautions"]]
    assert len(set(said)) == len(said) and any("treated wood" in text for text in said)
    assert any(text.startswith("Horse manure. ") for text in said) and "licensed trade" in said[-1]


def test_what_is_poured_goes_by_no_barrow() -> None:
    mix = [{"material": "wood_chips", "share": 9}, {"material": "urine", "share": 1}]
    told = ask("/build-sheet", QUICK | {"mix": mix}, "application/json").json()
    poured = next(one for one in told["materials"] if one["item"] == "urine")
    assert poured["barrows"] is None and poured["mass"]["value"] > 0
    assert told["barrows"] == pytest.approx(sum(layer["barrows"] for layer in told["layers"]), rel=0.01)


def test_what_is_not_as_asked_is_said_on_top() -> None:
    _, _, told = planned("too much")
    assert not told["possible"] and told["chosen"] == "heat"
    assert str(told["notice"]).startswith("No single heap") and "This sheet is for that heap" in told["notice"]
    html = page("too much")
    assert html.index("Not as asked") < html.index("What to bring")
    assert "Not as asked" in pdf("too much").pages[0].extract_text()
    assert as_text(as_model(told)).startswith("NOT AS ASKED")
    assert planned("metric")[2]["notice"] is None and "Not as asked" not in page("metric")


def test_us_sheets_have_us_units_and_paper() -> None:
    _, drawing, told = planned("us")
    assert (
        told["paper"] == "letter"
        and told["layout"]["loop"]["spacing"]["unit"] == "ft"
        and told["layout"]["duct"] is None
    )
    assert drawing.plan in (8, 12, 16, 24, 32, 48, 64, 96, 128, 192) and "to the foot" in page("us")
    assert " m " not in " ".join(told["steps"]) and "°F" in told["checks"][0]["expect"]


@each(NAMED)
def test_texts_can_be_read_in_the_eighth_grade(name: str) -> None:
    _, _, told = planned(name)
    checks = [one[part] for one in told["checks"] for part in ("expect", "look", "if_not")]
    texts = [told["purpose"], *told["steps"], *checks, *(one["text"] for one in told["cautions"])]
    assert [text for text in texts if grade(text) > HIGHEST_GRADE] == []


def test_lengths_are_told_as_a_tape_shows_them() -> None:
    _, _, told = planned("us")
    assert any(re.search(r"\d ft \d+ in", step) for step in told["steps"])
    assert not re.search(r"\d\.\d+ (ft|in)\b", " ".join([*told["steps"], told["drawing"]["description"]]))
    _, _, told = planned("metric")
    assert any(re.search(r"\d\d cm", step) for step in told["steps"])
    for name in NAMED:
        _, drawing, told = planned(name)
        written = {mark.text for mark in drawing.marks if hasattr(mark, "text")}
        assert told["drawing"]["across"] in written and f"top: {told['drawing']['high']} up" in written
        assert f"{told['drawing']['across']}, {told['drawing']['high']}" in page(name)


# --- the page


@each(NAMED)
def test_page_is_whole_by_itself(name: str) -> None:
    html = page(name)
    outline = Outline()
    outline.feed(html)
    assert outline.language == "en" and outline.levels[0] == 1 and set(outline.levels[1:]) == {2}
    assert len(set(outline.ids)) == len(outline.ids) and not outline.loads
    assert "script" not in outline.tags and "http" not in html.replace("http://www.w3.org/2000/svg", "")
    assert html.startswith("<!doctype html>") and "@page" in html and "<title>" in html
    chart = ElementTree.fromstring(html[html.index("<svg") : html.index("</svg>") + 6])
    space = "{http://www.w3.org/2000/svg}"
    assert chart.find(f"{space}title") is not None and len(chart.findtext(f"{space}desc") or "") > 100


def test_whatever_is_given_is_escaped() -> None:
    html = page("us")
    assert "North <heap>" not in html and html.count("North &lt;heap&gt; &amp; sons") >= 3
    _, drawing, told = planned("us")
    ElementTree.fromstring(as_svg(drawing, told["drawing"]["title"], told["drawing"]["description"]))


def test_inks_are_legible() -> None:
    _, drawing, _ = planned("metric")
    inks = {mark.ink for mark in drawing.marks if hasattr(mark, "text")} | {"#444444", "#111111"}
    grounds = ["#ffffff", *{mark.fill for mark in drawing.marks if getattr(mark, "part", "") == "layer"}]
    # WCAG 2.2, 1.4.3: 4.5 to 1
    assert all(contrast(str(ink), "#ffffff") >= 4.5 for ink in inks)
    assert all(contrast("#111111", str(ground)) >= 4.5 for ground in grounds)


# --- the PDF


@each([("metric", (210.0, 297.0)), ("us", (215.9, 279.4))])
def test_pdf_has_its_pages_and_says_what_the_page_says(name: str, size: tuple[float, float]) -> None:
    sheet, _, told = planned(name)
    document = pdf(name)
    assert 3 <= len(document.pages) <= 6
    for sheet_of_paper in document.pages:
        box = sheet_of_paper.mediabox
        assert (float(box.width) / POINTS, float(box.height) / POINTS) == pytest.approx(size, abs=0.1)
    text = " ".join(" ".join(one.extract_text() for one in document.pages).split())
    for step in told["steps"]:
        assert " ".join(step.split()[:6]) in text
    for one in told["materials"]:
        assert one["name"] in text
    assert tape(as_model(told).layout.loop.length) in text
    assert document.metadata is not None and document.metadata.title == told["title"]
    assert document.metadata.creation_date == sheet.request.as_of
    root = document.trailer["/Root"]
    assert root["/Lang"] == "en" and root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    outline = [entry.title for entry in document.outline if not isinstance(entry, list)]
    assert outline[:3] == ["What to bring", "Layers, from the ground up", "Drawing to scale"]


@each(NAMED)
def test_pdf_is_drawn_true_to_scale(name: str) -> None:
    _, drawing, _ = planned(name)
    bars = [mark for mark in drawing.marks if getattr(mark, "part", "") == "scale-bar"]
    page_drawn = next(one for one in pdf(name).pages if "Drawing to scale" in one.extract_text())
    number = r"(-?[0-9.]+)"
    steps = re.findall(
        rf"{number} {number} m\s+{number} {number} l\b", page_drawn.get_contents().get_data().decode("latin-1")
    )  # type: ignore[union-attr]
    lengths = [abs(float(x2) - float(x1)) / POINTS for x1, y1, x2, y2 in steps if y1 == y2]
    for bar in bars:
        wanted = 1000 * float(bar.facts["metres"]) / int(bar.facts["scale"])  # type: ignore[union-attr]
        assert any(length == pytest.approx(wanted, abs=0.02) for length in lengths), (wanted, lengths[:9])


def test_letters_a_pdf_lacks_do_no_harm() -> None:
    sheet, drawing, told = planned("metric")
    title = "Build sheet: Ščedrý Κήπος 堆 “x”"
    document = PdfReader(io.BytesIO(as_pdf(as_model({**told, "title": title}), drawing, sheet.request.as_of)))
    assert "Build sheet: Scedrý" in document.pages[0].extract_text()


# --- over HTTP


@each(
    [
        (None, "text/html; charset=utf-8", b"<!doctype html>"),
        ("application/pdf", "application/pdf", b"%PDF-"),
        ("image/svg+xml", "image/svg+xml", b"<svg "),
        ("application/json;q=0.9, text/html;q=0.1", "application/json", b"{"),
    ]
)
def test_forms_by_accept(accept: str | None, kind: str, begins: bytes) -> None:
    reply = ask("/build-sheet", QUICK, accept)
    assert reply.status_code == 200 and reply.headers["content-type"] == kind
    assert reply.headers["vary"] == "accept" and reply.content.startswith(begins)
    if kind.startswith("text/html"):
        policy = reply.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "style-src 'sha256-" in policy and "script" not in policy


@pytest.mark.parametrize("accept", [pytest.param("text/html", marks=pytest.mark.slow), "application/pdf"])
def test_the_same_request_gives_the_same_bytes(accept: str) -> None:
    assert ask("/build-sheet", QUICK, accept).content == ask("/build-sheet", QUICK, accept).content


def test_refusals() -> None:
    problem_in(ask("/build-sheet", QUICK, "image/png"), 406)
    assert pointers(ask("/build-sheet", QUICK | {"title": 7})) == ["/title"]
    assert pointers(ask("/build-sheet", QUICK | {"title": "x" * 61})) == ["/title"]
    assert pointers(ask("/build-sheet", QUICK | {"choose": "days"})) == ["/choose"]
    assert pointers(ask("/build-sheet", QUICK | {"paper": "a3"})) == ["/paper"]
    assert pointers(ask("/build-sheet", QUICK | {"heap": "900 m3"})) == ["/heap"]
    assert pointers(ask("/build-sheet", {"days": 20})) == ["/heat"]
    problem_in(ask("/build-sheet", b"{"), 400)
    problem_in(ask("/build-sheet?x=1", QUICK))


@pytest.mark.slow
@pytest.mark.parametrize("choice", ["heat", "heaps", "days", "keep_core_above", "lead"])
def test_any_of_the_nearest_may_be_built(choice: str) -> None:
    body = {"as_of": METRIC["as_of"], "heat": {"power": "2 kW"}, "days": 120, "choose": choice}
    told: dict[str, Any] = ask("/build-sheet", body, "application/json").json()
    assert not told["possible"] and told["notice"]
    nearest = {
        one["change"]: one["value"]["value"]
        for one in ask("/sizing", {k: body[k] for k in ("heat", "days")}).json()["nearest"]
    }
    if choice not in nearest:
        assert told["chosen"] == "heat"
        return
    assert told["chosen"] == choice
    if choice == "heaps":
        assert told["heaps"] == nearest["heaps"] and str(told["heaps"]) in told["notice"]
    if choice == "days":
        assert told["asked"]["days"] == int(nearest["days"])
    if choice == "keep_core_above":
        assert told["asked"]["keep_core_above"]["value"] == pytest.approx(nearest["keep_core_above"] - 0.5, abs=0.1)


# --- on the command line


def test_command_writes_every_form(tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    request = tmp_path / "heap.json"
    request.write_text(json.dumps(QUICK | {"title": "East heap"}), encoding="utf-8")
    assert main(["build-sheet", str(request)]) == 0
    text = capfdbinary.readouterr().out.decode()
    assert text.startswith("Build sheet: East heap") and "Order of work" in text and "Day 14." in text
    assert max(len(line) for line in text.splitlines()) <= 110
    for form, begins in (("pdf", b"%PDF-"), ("html", b"<!doctype html>"), ("svg", b"<svg ")):
        assert main(["build-sheet", str(request), f"--{form}", str(tmp_path / f"sheet.{form}")]) == 0
        assert (tmp_path / f"sheet.{form}").read_bytes().startswith(begins)


def test_command_tells_what_is_wrong(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    request = tmp_path / "heap.json"
    request.write_text('{"heat": {}}', encoding="utf-8")
    assert main(["build-sheet", str(request)]) == 2
    assert "/heat" in capsys.readouterr().err
    assert main(["build-sheet", str(tmp_path / "none.json")]) == 2
    request.write_text(json.dumps(US), encoding="utf-8")
