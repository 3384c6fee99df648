"""What it weighs, what a browser may do with it, and who may ask."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from starlette.testclient import TestClient

from service.app import create_app
from service.logbook.store.engine import close_stores, the_store
from service.page.render import FILES, KINDS
from tests.each import each
from tests.page.reader import BROWSER, Page, ask, filled, page_of, post
from tests.page.samples import DRY_AND_FALLING, EVERY_FIELD, SMALLEST, WRONG

FIRST_LOAD_BYTES = 25_000
FIRST_LOAD_UNPACKED = 80_000
FIRST_LOAD_REQUESTS = 6


def fetched(path: str, coding: str = "gzip") -> httpx.Response:
    reply = ask("GET", path, headers={"accept": BROWSER, "accept-encoding": coding})
    assert reply.status_code == 200, path
    return reply


def first_load() -> list[str]:
    """Every address a first visit asks for: the page, what it names, and what its worker keeps at once."""
    page = page_of(fetched("/"))
    named = [e.attributes["src"] for e in page.elements if "src" in e.attributes]
    named += [
        e.attributes["href"] for e in page.all("link") if e.attributes["rel"] in ("icon", "manifest", "stylesheet")
    ]
    worker = fetched("/page/worker.js").text
    kept = json.loads(re.findall(r"FILES = (\[.*?\])", worker)[0])
    return ["/", *dict.fromkeys([*named, "/page/worker.js", *kept])]


def test_a_first_load_is_at_most_25_kb_in_6_requests() -> None:
    """Counted with everything the browser asks for; the kept copy of the form is asked for as what is there already."""
    addresses = first_load()
    sent = [int(fetched(path).headers["content-length"]) for path in addresses]
    assert len(addresses) + 1 <= FIRST_LOAD_REQUESTS, addresses
    assert sum(sent) <= FIRST_LOAD_BYTES, sent
    tag = fetched("/").headers["etag"]
    for known in (tag, f'"other", W/{tag}', "*"):
        again = {"accept": "text/html", "accept-encoding": "gzip", "if-none-match": known}
        reply = ask("GET", "/", headers=again)
        assert reply.status_code == 304 and reply.content == b"", known
    assert ask("GET", "/form", headers={"if-none-match": f'"{tag[1:-1]}0"'}).status_code == 200


def test_even_unpacked_it_fits() -> None:
    """For a browser or a proxy that cannot unpack: each different file once."""
    sizes = {path: len(fetched(path, "identity").content) for path in first_load()}
    assert sum(sizes.values()) <= FIRST_LOAD_UNPACKED, sizes


def test_answers_are_light_too() -> None:
    for values in (SMALLEST, DRY_AND_FALLING):
        packed = gzip.compress(filled(values).main_form.submit().content)
        assert len(packed) <= 12_000


@each(["gzip", "br, gzip;q=0.5", "identity", "", "gzip;q=0", "*;q=0"])
def test_packed_only_for_those_who_can_unpack(coding: str) -> None:
    headers = {"accept": BROWSER, "accept-encoding": coding}
    reply = ask("GET", "/", headers=headers)
    assert reply.headers.get("content-encoding", "") == ("gzip" if coding in ("gzip", "br, gzip;q=0.5") else "")
    assert "Accept-Encoding" in reply.headers["vary"] and "What does the heap say" in reply.text


# ---------------------------------------------------------------------------------------------------------- policy


@pytest.fixture(scope="module")
def pages() -> dict[str, httpx.Response]:
    return {
        "empty": fetched("/"),
        "wrong": filled(WRONG).main_form.submit(),
        "answer": filled(DRY_AND_FALLING).main_form.submit(),
        "every field": filled(EVERY_FIELD).main_form.submit(),
    }


def test_the_policy_allows_this_address_alone_and_no_inline_script(pages: dict[str, httpx.Response]) -> None:
    for reply in pages.values():
        policy = dict(part.strip().split(" ", 1) for part in reply.headers["content-security-policy"].split(";"))
        assert policy["default-src"] == "'none'" and policy["frame-ancestors"] == "'none'"
        assert policy["script-src"] == policy["form-action"] == policy["connect-src"] == "'self'"
        assert not re.search(r"unsafe|\*|https?:|data:", reply.headers["content-security-policy"])
        style = Page(reply.text).all("style")[0].text
        assert base64.b64encode(hashlib.sha256(style.encode()).digest()).decode() in policy["style-src"]
        assert reply.headers["x-content-type-options"] == "nosniff"


def test_pages_obey_their_policy(pages: dict[str, httpx.Response]) -> None:
    for reply in pages.values():
        page = Page(reply.text)
        assert all("src" in script.attributes and not script.text for script in page.all("script"))
        assert not [
            e for e in page.elements if "style" in e.attributes or any(a.startswith("on") for a in e.attributes)
        ]
        assert len(page.all("style")) == 1


def test_nothing_comes_from_another_host(pages: dict[str, httpx.Response]) -> None:
    texts = [reply.text for reply in pages.values()]
    texts += [(FILES / name).read_text(encoding="utf-8") for name in KINDS if not name.endswith(".png")]
    for text in texts:
        assert not re.findall(r"(?:https?:)?//[a-z]", text.replace('xmlns="http://www.w3.org/2000/svg"', ""))


def test_every_file_the_pages_name_is_there_and_no_other() -> None:
    page = page_of(fetched("/"))
    named = {e.attributes[a] for e in page.elements for a in ("src", "href") if a in e.attributes and e.tag != "use"}
    icons = {icon["src"] for icon in json.loads(fetched("/page/manifest.webmanifest").text)["icons"]}
    for path in {one for one in named | icons if not one.startswith("/form")}:
        reply = fetched(path)
        assert reply.headers["content-type"] == KINDS[path.split("/")[-1].split("?")[0]]
        assert ("immutable" in reply.headers["cache-control"]) == ("?" in path)
    for name in ("page.css", "..%2frender.py", "%2e%2e/render.py", "worker.js.map", ""):
        assert ask("GET", f"/page/{name}").status_code == 404


def test_it_can_be_installed() -> None:
    """What browsers want of an app to install: names, a start in scope, icons of 192 px and more, a worker."""
    manifest = json.loads(fetched("/page/manifest.webmanifest").text)
    assert manifest["start_url"] == manifest["scope"] == "/" and manifest["display"] == "standalone"
    assert manifest["name"] and manifest["short_name"]
    assert {"any", "512x512"} == {icon["sizes"] for icon in manifest["icons"]}
    worker = fetched("/page/worker.js")
    assert worker.headers["service-worker-allowed"] == "/" and worker.headers["cache-control"] == "no-cache"
    assert not re.search(r'"(SCRIPT|ICON)"|-VERSION', worker.text)


def test_png_icons_have_the_size_they_are_named_after() -> None:
    for name in ("icon-180.png", "icon-512.png"):
        content = (FILES / name).read_bytes()
        assert content[16:24] == int(name[5:8]).to_bytes(4) * 2


# ----------------------------------------------------------------------------------------------- who may ask


@pytest.fixture
def guarded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """A service that others can reach: it asks for a token."""
    monkeypatch.setenv("WARMHEAP_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("WARMHEAP_ACCESS", "tokens")
    with TestClient(create_app(), base_url="http://heap.example", client=("203.0.113.9", 4711)) as client:
        yield client
    close_stores()


def basic(password: str) -> dict[str, str]:
    return {"authorization": "Basic " + base64.b64encode(f"phone:{password}".encode()).decode()}


def test_where_a_token_is_needed_a_browser_can_give_it_as_a_password(guarded: TestClient) -> None:
    from service.logbook.book import now_utc
    from service.logbook.store.tokens import make

    with the_store().writing() as session:
        token = make(session, "home", "phone", "owner", now_utc())
    for path in ("/", "/form", "/page/page.js", "/page/worker.js", "/page/manifest.webmanifest"):
        assert guarded.get(path, headers={"accept": BROWSER}).status_code == 200
    refused = guarded.post("/form", data=SMALLEST)
    assert refused.status_code == 401 and refused.headers["www-authenticate"].startswith("Basic ")
    wrong = guarded.post("/form", data=SMALLEST, headers=basic("wrong"))
    assert wrong.status_code == 401 and wrong.headers["www-authenticate"].startswith("Basic ")
    assert guarded.post("/form", data=SMALLEST, headers=basic(token)).status_code == 200
    assert guarded.post("/form", data=SMALLEST, headers={"authorization": f"Bearer {token}"}).status_code == 200
    assert guarded.post("/form", data=SMALLEST, headers={"authorization": "Basic ?!"}).status_code == 401


def test_a_password_opens_nothing_but_the_form(guarded: TestClient) -> None:
    """Browsers send a password by themselves, so other sites could borrow it: only the form, which keeps nothing."""
    from service.logbook.book import now_utc
    from service.logbook.store.tokens import make

    with the_store().writing() as session:
        token = make(session, "home", "phone", "owner", now_utc())
    for method, path in (("GET", "/piles"), ("POST", "/piles"), ("POST", "/advice")):
        reply = guarded.request(method, path, headers=basic(token))
        assert reply.status_code == 401 and reply.headers["www-authenticate"].startswith("Bearer ")


def test_answers_are_not_kept_by_shared_caches() -> None:
    assert "private" in post(SMALLEST).headers["cache-control"]
