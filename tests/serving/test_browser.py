"""A page of another host in a real browser, and our own form by a name that is not this machine's."""

from __future__ import annotations

import http.server
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from tests.page.conftest import CHROMIUM, NO_CHROMIUM
from tests.serving.served import Running

pytestmark = pytest.mark.slow
"""What `test_foreign_pages.py` holds each day without a browser, in a real one."""
PAGE = b"<!doctype html><title>elsewhere</title><p>A page of another site"
ATTACK = """
async (target) => {
  const bodies = [
    new Blob(['{"name": "from elsewhere"}']),
    new Blob(['{"name": "from elsewhere"}'], {type: 'text/plain'}),
    '{"name": "from elsewhere"}',
    new URLSearchParams({name: 'from elsewhere'}),
  ];
  for (const path of ['/piles', '/piles/import', '/chat?conversation=mine', '/form', '/mcp', '/advice'])
    for (const body of bodies)
      for (const credentials of ['omit', 'include'])
        await fetch(target + path, {method: 'POST', mode: 'no-cors', credentials, body}).catch(() => null);
  for (const method of ['POST', 'PATCH', 'DELETE'])
    await fetch(target + '/piles', {method, headers: {'content-type': 'application/json'},
      body: '{"name": "from elsewhere"}'}).catch(() => null);
  navigator.sendBeacon(target + '/piles', new Blob(['{"name": "from elsewhere"}']));
  const seen = await fetch(target + '/piles').then(reply => reply.text()).catch(() => 'nothing');
  return seen;
}
"""


@pytest.fixture(name="elsewhere", scope="module")
def other_host() -> Iterator[str]:
    class Page(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(PAGE)

        def log_message(self, *_: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield str(server.server_port)
    server.shutdown()
    server.server_close()


@pytest.fixture(name="browser", scope="module")
def chromium() -> Iterator[Any]:
    if not CHROMIUM:
        pytest.skip(NO_CHROMIUM)
    driver = pytest.importorskip("playwright.sync_api", reason="playwright is not installed (test extra)")
    names = "--host-resolver-rules=MAP evil.test 127.0.0.1, MAP heap.test 127.0.0.1"
    with driver.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", names])
        yield browser
        browser.close()


@pytest.mark.parametrize("name", ["evil.test", "localhost", "127.0.0.1"])
def test_a_page_elsewhere_changes_nothing_and_learns_nothing(
    two_workers: Running, browser: Any, elsewhere: str, name: str
) -> None:
    """`localhost` with another port is the same site to a browser, and yet another page."""
    service, before = two_workers, len(two_workers.lines())
    page = browser.new_page()
    page.goto(f"http://{name}:{elsewhere}/")
    seen = page.evaluate(ATTACK, f"http://127.0.0.1:{service.port}")
    page.set_content(
        f'<form method=post enctype=text/plain action="http://127.0.0.1:{service.port}/piles">'
        '<input name=\'{"name": "from elsewhere", "x\' value=\'": 1}\'></form>'
    )
    page.evaluate("document.forms[0].submit()")
    page.wait_for_load_state()
    page.close()
    assert seen == "nothing"
    assert b"elsewhere" not in service.ask("GET", "/piles")[1]
    posted = [line for line in service.lines()[before:] if line.get("method") in ("POST", "PATCH", "DELETE")]
    assert len(posted) > 40 and {line["status"] for line in posted} == {403}


def test_a_name_that_may_be_somebody_elses_leads_to_no_form(two_workers: Running, browser: Any) -> None:
    """The service is only for this machine: a page's own name may have been turned to this machine."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"http://heap.test:{two_workers.port}/")
    page.fill('[name="pile.age"]', "52 days")
    page.fill('[name="temperatures.core"]', "116F")
    with page.expect_response("**/form") as reply:
        page.click("button.main")
    assert reply.value.status == 403
    context.close()


@pytest.mark.parametrize("name", ["localhost", "127.0.0.1"])
def test_our_own_form_works_by_our_own_names_and_without_scripts(two_workers: Running, browser: Any, name: str) -> None:
    before = len(two_workers.lines())
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"http://{name}:{two_workers.port}/")
    page.fill('[name="pile.age"]', "52 days")
    page.fill('[name="temperatures.core"]', "116F")
    page.click("button.main")
    page.wait_for_url("**/form/told**")
    assert page.locator("h1").count() == 1 and "/form" in page.url
    told = [line for line in two_workers.lines()[before:] if line.get("route") == "/form"]
    assert [(line["method"], line["status"]) for line in told] == [("POST", 303)]
    assert page.locator(".first, h1").count()
    context.close()
