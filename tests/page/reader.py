"""A browser without scripts: reads a page's forms and submits them as the HTML standard says (section 4.10.21)."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode

import httpx

from service.page.address import unpacked
from service.page.measures import UNIT
from tests.app import APP

BROWSER = "text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8"
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr", "option"}


def ask(method: str, url: str, **options: Any) -> httpx.Response:
    """One exchange with the service, as a browser asks unless `headers` says otherwise."""

    async def exchange() -> httpx.Response:
        transport = httpx.ASGITransport(app=APP, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://heap", follow_redirects=True) as client:
            return await client.request(method, url, **{"headers": {"accept": BROWSER}, **options})

    return asyncio.run(exchange())


def post(pairs: list[tuple[str, str]] | dict[str, str]) -> httpx.Response:
    """Submit these values, in this order."""
    headers = {"accept": BROWSER, "content-type": "application/x-www-form-urlencoded"}
    return ask("POST", "/form", content=urlencode(pairs).encode(), headers=headers)


@dataclass
class Element:
    """One element with the text inside it."""

    tag: str
    attributes: dict[str, str]
    text: str = ""
    chosen: bool = False
    options: list[Element] = field(default_factory=list)


@dataclass
class Form:
    """One form with its controls in order."""

    attributes: dict[str, str]
    controls: list[Element] = field(default_factory=list)

    def values(self, button: Element | None = None) -> list[tuple[str, str]]:
        """What a browser would send, with this button pressed."""
        sent: list[tuple[str, str]] = []
        for control in self.controls:
            name, kind = control.attributes.get("name", ""), control.attributes.get("type", "text")
            if control.tag == "select":
                chosen = next((o for o in control.options if o.chosen), control.options[0])
                sent.append((name, chosen.attributes["value"]))
            elif control.tag == "button":
                if control is button and name:
                    sent.append((name, control.attributes["value"]))
            elif kind not in ("radio", "checkbox") or control.chosen:
                sent.append((name, control.attributes.get("value", "")))
        return sent

    def typed(self) -> list[tuple[str, str]]:
        """What would be sent, blanks and the units of blanks left out."""
        sent = [(name, value) for name, value in self.values() if value]
        names = {name for name, _ in sent}
        return [(name, value) for name, value in sent if name.removesuffix(UNIT) in names]

    def told(self) -> dict[str, str]:
        """What was told before and goes along, by name."""
        packed = dict(self.values()).get("told", "")
        return {name: values[0] for name, values in unpacked(packed).items()} if packed else {}

    def fill(self, name: str, value: str) -> None:
        """Type, tick or choose."""
        named = [control for control in self.controls if control.attributes.get("name") == name]
        assert named, name
        if named[0].tag == "select":
            for option in named[0].options:
                option.chosen = option.attributes["value"] == value
            assert any(option.chosen for option in named[0].options), (name, value)
        elif named[0].attributes.get("type") in ("radio", "checkbox"):
            for control in named:
                if control.attributes["type"] == "radio":
                    control.chosen = False
            next(control for control in named if control.attributes["value"] == value).chosen = True
        else:
            named[0].attributes["value"] = value

    def buttons(self) -> list[Element]:
        """Every button, in order."""
        return [control for control in self.controls if control.tag == "button"]

    def submit(self, button: Element | None = None) -> httpx.Response:
        """Press a button, or the first."""
        return post(self.values(button or self.buttons()[0]))


class Page(HTMLParser):
    """The elements and forms of a page; complains about markup a browser would have to mend."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.elements: list[Element] = []
        self.forms: list[Form] = []
        self._open: list[Element] = []
        self.feed(markup)
        self.close()
        assert not self._open, [element.tag for element in self._open]

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attributes]
        assert len(names) == len(set(names)), (tag, names)
        element = Element(tag, {name: value or "" for name, value in attributes})
        element.chosen = "checked" in element.attributes or "selected" in element.attributes
        self.elements.append(element)
        if tag == "form":
            self.forms.append(Form(element.attributes))
        elif tag in ("input", "select", "button") and any(open_.tag == "form" for open_ in self._open):
            if element.attributes.get("type") != "button":
                self.forms[-1].controls.append(element)
        elif tag == "option" and self._open[-1].tag == "select":
            self._open[-1].options.append(element)
        if tag not in VOID:
            self._open.append(element)

    def handle_startendtag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attributes)
        if tag not in VOID:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        closed = self._open.pop()
        assert closed.tag == tag, (closed.tag, tag)

    def handle_data(self, data: str) -> None:
        for element in self._open:
            element.text += data

    def by_id(self, wanted: str) -> Element:
        """The one element with this id."""
        found = [element for element in self.elements if element.attributes.get("id") == wanted]
        assert len(found) == 1, (wanted, len(found))
        return found[0]

    def all(self, tag: str, css: str = "") -> list[Element]:
        """Every element of a kind, with this class if one is named."""
        return [e for e in self.elements if e.tag == tag and (not css or css in e.attributes.get("class", "").split())]

    @property
    def main_form(self) -> Form:
        """The form with the button that asks for advice."""
        return next(form for form in self.forms if any(b.text == "Get advice" for b in form.buttons()))


def page_of(reply: httpx.Response, status: int = 200) -> Page:
    """The page in a reply, which must be HTML with this status."""
    assert reply.status_code == status, reply.text[:500]
    assert reply.headers["content-type"] == "text/html; charset=utf-8"
    return Page(reply.text)


def filled(values: dict[str, str | list[str]]) -> Page:
    """The empty form with these values typed into it."""
    page = page_of(ask("GET", "/form"))
    for name, value in values.items():
        for each in [value] if isinstance(value, str) else value:
            page.main_form.fill(name, each)
    return page
