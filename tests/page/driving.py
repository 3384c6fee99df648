"""How the browser tests drive a page: fill it in, and ask what is on it."""

from __future__ import annotations

from typing import Any

from tests.page.samples import DRY_AND_FALLING, FIRE, SMALLEST, WRONG

Values = dict[str, str | list[str]]
LITTLE: Values = dict(SMALLEST)
STATES: dict[str, Values | None] = {
    "empty": None,
    "wrong": WRONG,
    "little": LITTLE,
    "answer": DRY_AND_FALLING,
    "fire": FIRE,
}
"""What to type to reach each state; None for the empty form."""


def new_page(browser: Any, **options: Any) -> Any:
    """A page in a fresh profile; `page.complaints` gathers errors and broken policies."""
    context = browser.new_context(**{"viewport": {"width": 390, "height": 844}, "locale": "en-GB", **options})
    page = context.new_page()
    page.complaints = []
    page.on("console", lambda message: page.complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    return page


def fill(page: Any, values: Values) -> None:
    """Type, tick and choose, as a person would; folded parts are opened first."""
    for name, value in values.items():
        for each in [value] if isinstance(value, str) else value:
            _fill_one(page, name, each)


def _fill_one(page: Any, name: str, value: str) -> None:
    field = page.locator(f'[name="{name}"]:not([type=hidden])').first
    folded = page.locator(".parts > details:not([open]), details.or:not([open])", has=page.locator(f'[name="{name}"]'))
    if folded.count():
        folded.locator("> summary").click()
    kind = field.evaluate("each => each.type")
    if kind in ("radio", "checkbox"):
        page.check(f'[name="{name}"][value="{value}"]')
    elif kind == "select-one":
        field.select_option(value)
    else:
        field.fill(value)


def bring_to(page: Any, address: str, state: str) -> None:
    """Bring a fresh page into a state."""
    page.goto(address)
    values = STATES[state]
    if values is not None:
        fill(page, values)
        page.click("button.main")
        page.wait_for_selector("h1" if state != "wrong" else ".faults")
        page.wait_for_load_state()


def open_all(page: Any) -> None:
    """Unfold everything."""
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")


def ready_offline(page: Any) -> None:
    """Wait until the worker has kept the form and is in charge."""
    page.evaluate(
        "navigator.serviceWorker.ready.then(() => navigator.serviceWorker.controller || new Promise("
        "done => navigator.serviceWorker.addEventListener('controllerchange', done)))"
    )
