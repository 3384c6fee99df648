"""A list of hostile requests, generated: odd bodies, values, files, headers, addresses."""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterator
from typing import Final
from urllib.parse import quote

from tests.hostile.values import AT, FEW_ODD, GOOD, HEAVY, JSON, ODD, PILE, Case, deep, places, with_value, written
from tests.hostile.worst import WORST
from tests.test_problems import ALARMING, HOSTILE


def _odd_bodies() -> Iterator[Case]:
    for method, path in GOOD:
        for name, body, _ in HOSTILE:
            yield Case(f"{name} to {method} {path}", method, path, body, {"content-type": JSON})
    for name, told in ALARMING:
        body = told if isinstance(told, bytes) else written(told)
        yield Case(f"fire: {name}", "POST", "/advice", body, {"content-type": JSON})


def _odd_values() -> Iterator[Case]:
    for (method, path), good in GOOD.items():
        for place in places(good):
            for value in FEW_ODD if path in HEAVY else ODD:
                name = f"{str(value)[:20]!r} at {place} of {method} {path}"
                yield Case(name, method, path, written(with_value(good, place, value)), {"content-type": JSON})
        for levels in (15, 17, 500):
            for extra in ("x", next(iter(good))):
                body = written({**good, extra: deep(levels)})
                yield Case(f"{extra} {levels} deep in {method} {path}", method, path, body, {"content-type": JSON})


_WORST_ROUTES: Final[dict[str, tuple[str, str]]] = {
    "JSON": ("/mix", JSON),
    "a status": ("/advice?effects=none", JSON),
    "an entry": (f"/piles/{PILE}/readings", JSON),
    "CSV": (f"/piles/{PILE}/readings", "text/csv"),
    "SenML": (f"/piles/{PILE}/readings", "application/senml+json"),
    "an export": ("/piles/import", JSON),
    "an export as a table": ("/piles/import", "text/csv"),
    "chat": ("/chat", "text/plain"),
    "chat of joined characters": ("/chat", "text/plain"),
    "a form": ("/form", "application/x-www-form-urlencoded"),
}


def _worst_inputs() -> Iterator[Case]:
    for parser, (path, kind) in _WORST_ROUTES.items():
        _, made, largest = WORST[parser]
        for what, make in made.items():
            size = len(make(256))
            for share in (0.01, 0.98):
                body = make(max(int(256 * largest * share / size), 1))
                yield Case(f"{what} ({len(body)} bytes) to {path}", "POST", path, body, {"content-type": kind})


_KINDS: Final = (
    "", "text/html", "application/xml", "application/json; charset=utf-16", "application/json; charset=\xff",
    "multipart/form-data; boundary=x", "application/json; boundary=" + "x" * 4000, "text/plain", "a/b" * 500,
    "application/x-www-form-urlencoded", "application/octet-stream", ";;;", "application/senml+json", "text/csv",
)  # fmt: skip


def _odd_headers() -> Iterator[Case]:
    for (method, path), good in GOOD.items():
        for kind in _KINDS:
            headers = {"content-type": kind} if kind else {}
            yield Case(f"{kind[:30]!r} to {method} {path}", method, path, written(good), headers)
        for coding in ("gzip", "br, gzip", "x" * 2000):
            headers = {"content-type": JSON, "content-encoding": coding}
            yield Case(f"packed as {coding[:10]} to {method} {path}", method, path, written(good), headers)
    for value in ("", '"', '""', "a b", "x" * 300, '"' + "k" * 255 + '"', "\xe9", "\x7f"):
        headers = {"content-type": JSON, "idempotency-key": value}
        yield Case(f"key {value[:20]!r}", "POST", "/piles", b'{"name": "k"}', headers)
    for accept in ("", "*", "text/*;q=2", "a/b," * 500, ";q=" * 200, "text/csv;q=0", "image/svg+xml, */*;q=.1", "\xff"):
        for path in ("/season", "/outlook", "/chat", "/"):
            method = "GET" if path == "/" else "POST"
            body = b"" if path == "/" else written(GOOD[("POST", path)]) if path == "/chat" else b"{}"
            headers = {"content-type": JSON, "accept": accept}
            yield Case(f"accept {accept[:20]!r} at {path}", method, path, body, headers)
    for scheme in ("Bearer", "Bearer x", "Bearer " + "w" * 5000, "Basic !!!", "Basic /w==", "Digest x", "\xff", "\x7f"):
        yield Case(f"authorization {scheme[:20]!r}", "GET", "/piles", b"", {"authorization": scheme})
    for host in ("[::1", "[[::1]]", "a" * 3000, "127.0.0.1:99999", "::", "@", "127.0.0.1@evil.example", ""):
        yield Case(f"host {host[:20]!r}", "GET", "/piles", b"", {"host": host})
    for tag in ('"', "*", "W/" * 500, '"x",' * 500, "\xff"):
        yield Case(f"if-none-match {tag[:20]!r}", "GET", f"/piles/{PILE}/now", b"", {"if-none-match": tag})


_IDS: Final = (
    "%00", "..%2f..", "x" * 4000, "%ff", "%F0%9F%94%A5", "'", "%25", "0" * 16, "0" * 24, "-1", "{}", "%0d%0a",
    "a%2fb",
)  # fmt: skip
_BY_ID: Final = (
    ("GET", "/piles/{}"), ("PATCH", "/piles/{}"), ("DELETE", "/piles/{}"), ("GET", "/piles/{}/log"),
    ("GET", "/piles/{}/status"), ("GET", "/piles/{}/advice"), ("GET", "/piles/{}/now"), ("GET", "/piles/{}/export"),
    ("GET", "/piles/{}/calendar.ics"), ("GET", f"/piles/{PILE}/advice/{{}}"), ("GET", "/rules/{}"),
    ("GET", f"/piles/{PILE}/advice/{{}}/replay"), ("DELETE", f"/piles/{PILE}/log/{{}}"), ("GET", "/materials/{}"),
    ("GET", "/page/{}"), ("GET", f"/piles/{PILE}/webhooks/{{}}"), ("POST", f"/piles/{PILE}/webhooks/{{}}/retry"),
    ("DELETE", f"/piles/{PILE}/webhooks/{{}}"), ("GET", "/{}"), ("POST", "/piles/{}/readings"),
)  # fmt: skip
_QUERIES: Final = (
    ("/piles/{pile}/log", "limit"), ("/piles/{pile}/log", "after"), ("/piles/{pile}/log", "kind"),
    ("/piles/{pile}/status", "as_of"), ("/piles/{pile}/advice", "as_of"), ("/piles/{pile}/advice", "effects"),
    ("/piles/{pile}/export", "format"), ("/rules", "theme"), ("/", "x"),
)  # fmt: skip
_ASKED: Final = (
    "", "-1", "0", "1e9", "9" * 400, "%00", "%ff", "x" * 3000, "2026-01-01", "9999-12-31T23:59:59-23:59",
    "0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z~x", "1900-01-01T00:00:00Z~%00", "~", "2200-12-31T23:59:59Z", "json",
)  # fmt: skip


def _odd_addresses() -> Iterator[Case]:
    for method, path in _BY_ID:
        for given in _IDS:
            at = path.replace("{}", given)
            body = b'{"season": "off"}' if method in ("POST", "PATCH") else b""
            yield Case(f"{method} {at[:60]}", method, at, body, {"content-type": JSON})
    for path, name in _QUERIES:
        for given in _ASKED:
            yield Case(f"{path}?{name}={given[:20]}", "GET", f"{path}?{name}={given}")
        yield Case(f"{path}?{name} again and again", "GET", f"{path}?" + f"{name}=1&" * 500)
        yield Case(f"{path}?strange", "GET", f"{path}?{quote('x' * 1000)}=1")
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "GET", "POST", "PROPFIND", "X"):
        for path in ("/advice", "/piles", "/", "/rules", "/health/ready", "/mcp", "/form", "/metrics"):
            yield Case(f"{method} {path}", method, path)


_SAID: Final = (
    "why 99999999999999999999", "why \u0661", "don't know" * 50, "\u0661\u0662 weeks old", "core ²³ C",
    "start over" * 9,
    "core 1e5 C", "core -0 C", "1/0 old", "9999999 weeks old", "built on 31 February", "built on 0000-00-00",
    "built on 9999-12-31", "core was 40 C 9999999 days ago", "core was 40 C on 1 January 0001",
    "12 ft wide and 0 ft high",
    "minus " * 100, "half a" * 100, "?" * 100, "core 121F" + "\u0301" * 500, "🔥" * 100, "\u200b" * 1000, "a\u0000b",
    "no no no no no", "one hundred hundred", "and and and", "core core core 40 C 40 F 40 K", "50 % of 50 %", "+" * 50,
    "3x4x5 m x " * 180, "".join(f"{number % 7 + 2}x{number % 11 + 2}x5 m x " for number in range(180)),
)  # fmt: skip
_TOOLS: Final = {"content-type": JSON, "accept": "application/json, text/event-stream"}
_LEADS: Final = ("", "ten weeks old, core 121 F. ", "units? ", "\n\n")


def _odd_talk() -> Iterator[Case]:
    for said in _SAID:
        for lead in _LEADS:
            text = f"{lead}{said}"
            yield Case(f"said {text[:40]!r}", "POST", "/chat", text.encode(), {"content-type": "text/plain"})


def _odd_tools() -> Iterator[Case]:
    call = {"jsonrpc": "2.0", "id": 1, "method": "tools/call", "params": {"name": "mix", "arguments": {}}}
    for name in ("id", "method", "jsonrpc"):
        for value in ("x" * 100_000, 10**400, [[0] * 5000], {"x" * 1000: 1}, True):
            told = written({**call, name: value})
            yield Case(f"tools: {name} {str(value)[:20]}", "POST", "/mcp", told, _TOOLS)
    for params in ({"name": "x" * 100_000}, {"name": "mix", "arguments": {"x" * 9000: 1}}, [1] * 9000, "x" * 9000):
        yield Case(f"tools: {str(params)[:40]}", "POST", "/mcp", written({**call, "params": params}), _TOOLS)
    yield Case("tools: many at once", "POST", "/mcp", written([call] * 900), _TOOLS)
    yield Case("tools: open", "POST", "/mcp", b"[" * 200_000, _TOOLS)


def _odd_forms() -> Iterator[Case]:
    fields = ("units", "pile.age", "temperatures.core", "pile.size.shape", "pile.size.width", "history.0.ago", "as_of",
              "earlier", "read_at", "signs", "done.0.ago", "on_hand.more", "goal.until", "edit")  # fmt: skip
    good = {"pile.age": "9 weeks", "temperatures.core": "48 C"}
    for name in fields:
        for value in (given for given in ODD if isinstance(given, str)):
            told = {**good, name: value.encode("utf-8", "replace").decode()}
            body = "&".join(f"{key}={quote(text)}" for key, text in told.items()).encode()
            headers = {"content-type": "application/x-www-form-urlencoded"}
            yield Case(f"form {name}={value[:20]!r}", "POST", "/form", body, headers)


_READINGS: Final = f"/piles/{PILE}/readings"


def _odd_tables() -> Iterator[Case]:
    for zone in ("Europe/Berlin", "UTC", "America/New_York", "Mars/Base", "../etc", "\0", "localtime", "Europe"):
        for moment in ("0001-01-01 00:00", "9999-12-31T23:59", "1899-12-31T23:59", "2026-03-29T02:30", "2026-13-01"):
            table = f"at [{zone}],core [degC]\n{moment},40\n".encode()
            yield Case(f"{moment} in {zone!r}", "POST", _READINGS, table, {"content-type": "text/csv"})
    for name in ("core", "moisture", "signs", "probe_checked", "air_flow", "smell"):
        for cell in (given for given in ODD if isinstance(given, str)):
            unit = {"core": " [degC]", "moisture": " [%]", "air_flow": " [m3/h]"}.get(name, "")
            quoted = cell.encode("utf-8", "replace").decode().replace('"', '""')
            table = f'at,{name}{unit}\n{AT},"{quoted}"\n'.encode()
            yield Case(f"cell {name} {cell[:20]!r}", "POST", _READINGS, table, {"content-type": "text/csv"})
    for label in ("bn", "n", "u", "bu", "v", "vs", "vb", "t", "bt", "bv", "bver", "s", "x_"):
        for value in ODD:
            record = {"n": "core", "u": "Cel", "v": 40, label: value}
            headers = {"content-type": "application/senml+json"}
            yield Case(f"senml {label} {str(value)[:20]!r}", "POST", _READINGS, written([record]), headers)


def _odd_batches() -> Iterator[Case]:
    lines: dict[str, bytes] = {
        "x lines": b"x\n" * 20_000, "blank": b"\n" * 5000, "one byte": b"x", "NUL": b"\0\n" * 50,
        "open": b"[" * 300_000,
        "no end": b'{"pile": {"age": 20}, "temperatures": {"core": 45}}', "CRLF": b"x\r\n" * 10,
        "BOM": b"\xef\xbb\xbf{}\n",
    }  # fmt: skip
    for name, body in lines.items():
        yield Case(f"batch: {name}", "POST", "/advice/batch", body, {"content-type": "application/x-ndjson"})


_MOMENTS: Final = (
    "2026-06-30T23:59:60Z", "2026-01-01T24:00:00Z", "2026-01-01T00:00:00[Europe/Berlin]",
    "2026-01-01T00:00:00Z[!u-ca=hebrew]", "2026-01-01T00:00:00+01:00[UTC]", "2026-01-01T00:00:00-00:00",
    "2026-01-01T00:00:00+25:00", "2026-01-01T00:00:00+14:00", "2026-01-01T00:00:00+01:00:30", "0000-01-01T00:00:00Z",
    "2026-001T00:00:00Z", "2026-W01-1T00:00:00Z", "2026-01-01t00:00:00z", "2026-01-01T00:00:00." + "1" * 100 + "Z",
    "20260101T000000Z", "2026-02-29T00:00:00Z", "-2026-01-01T00:00:00Z", "+12026-01-01T00:00:00Z",
    "\uff12\uff10\uff12\uff16-01-01T00:00:00Z", "2026-01-01T00:00:00\u221201:00", "9999-12-31T23:59:59.999999Z",
    "1900-01-01T00:00:00+14:00", "2200-12-31T23:59:59-14:00", "1767225600", "now", "2026-01-01T00:00:00Z\0",
)  # fmt: skip
_NUMBERS: Final = (
    "1e999", "-1e999", "1e-999", "1E+400", "123456789012345678901234567890", "-0.0", "1e15",
    "\u0664\u0660", "\uff14\uff10", "40,5", "4O", "1_000", "0x10", "1e", "+1", "01", ".5", "5.", "1/0", "\u00bd",
    "\u221e", "\u22125", "1e5000000000", "NaN",
)  # fmt: skip


def _odd_moments() -> Iterator[Case]:
    bare = {"pile": {"age": 20}, "temperatures": {"core": 45}}
    for moment in _MOMENTS:
        told = {
            "as_of": {"as_of": moment}, "history": {"as_of": AT, "history": [{"at": moment, "core": 40}]},
            "built_on": {"pile": {"built_on": moment}}, "until": {"goal": {"until": moment}},
            "read_at": {"read_at": {"/temperatures/core": moment}},
            "forecast": {"weather": {"forecast": [{"date": moment, "low": -3, "high": 3}]}},
        }  # fmt: skip
        for where, part in told.items():
            body = written({**bare, **part})
            yield Case(f"{where} {moment[:40]!r}", "POST", "/advice?effects=none", body, {"content-type": JSON})
        for path in ("status?as_of", "season?from", "advice?as_of"):
            yield Case(f"{path} {moment[:40]!r}", "GET", f"/piles/{PILE}/{path}={quote(moment)}")
        table = f'at [Asia/Kathmandu],core [degC]\n"{moment}",40\n'.encode()
        yield Case(f"table {moment[:40]!r}", "POST", _READINGS, table, {"content-type": "text/csv"})


def _odd_numbers() -> Iterator[Case]:
    shapes = (
        '{"pile":{"age":%s},"temperatures":{"core":45}}', '{"pile":{"age":20},"temperatures":{"core":%s}}',
        '{"pile":{"age":20,"size":{"volume":%s}},"temperatures":{"core":45}}',
    )  # fmt: skip
    for number in _NUMBERS:
        for shape in shapes:
            for given in (number, f'"{number}"', f'"{number} degC"'):
                body = (shape % given).encode()
                yield Case(f"{given!r} in {shape}", "POST", "/advice?effects=none", body, {"content-type": JSON})
        body = f'[{{"n":"core","u":"Cel","v":40,"t":{number}}}]'.encode()
        yield Case(f"t {number!r}", "POST", _READINGS, body, {"content-type": "application/senml+json"})
        body = f'{{"ingredients":[{{"material":"wood_chips","parts":{number}}},{{"material":"straw"}}]}}'.encode()
        yield Case(f"parts {number!r}", "POST", "/mix", body, {"content-type": JSON})
        yield Case(f"limit {number!r}", "GET", f"/piles/{PILE}/log?limit={quote(number)}")


def _odd_addresses_of_answers() -> Iterator[Case]:
    """What was typed is packed into the address of its answer: packed junk, and what unpacks to far more."""

    def raw(data: bytes) -> str:
        packer = zlib.compressobj(9, zlib.DEFLATED, -15)
        return base64.urlsafe_b64encode(packer.compress(data) + packer.flush()).decode().rstrip("=")

    told = {
        "nothing": "", "no base": "!!!!", "half": raw(b"pile.age=9+weeks")[:-4], "not packed": "AAAA",
        "long": "A" * 60_000,
        "a bomb": raw(b"a" * 30_000_000), "a bomb of fields": raw(b"a=1&" * 2_000_000), "NUL": raw(b"pile.age=%00"),
        "no text": raw(b"pile.age=%ff"), "one field again and again": raw(b"pile.age=1&" * 5000), "padded": "AA==",
        "packed in packed": raw(f"told={raw(b'a' * 9_000_000)}".encode()), "wide": "\uff21", "a plus": "+/+/",
    }  # fmt: skip
    for name, text in told.items():
        yield Case(f"told: {name}", "GET", f"/form/told?t={quote(text, safe='')}")
        body = f"told={quote(text, safe='')}&pile.age=9".encode()
        yield Case(
            f"told in a form: {name}", "POST", "/form", body, {"content-type": "application/x-www-form-urlencoded"}
        )


def all_cases() -> list[Case]:
    """Every case of the list; a file that was exported adds its own (`spoilt_files`)."""
    return [
        *_odd_bodies(),
        *_odd_values(),
        *_worst_inputs(),
        *_odd_headers(),
        *_odd_addresses(),
        *_odd_talk(),
        *_odd_tools(),
        *_odd_forms(),
        *_odd_tables(),
        *_odd_batches(),
        *_odd_moments(),
        *_odd_numbers(),
        *_odd_addresses_of_answers(),
    ]
