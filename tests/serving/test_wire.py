"""What is no good HTTP, or hardly: each is answered shortly or cut, none is a fault, and the service goes on."""

from __future__ import annotations

import gzip
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final

from tests.serving.served import SMALLEST, Running, head

MOST_PROCESSOR_S = 10.0
"""For all of them together."""
QUIET_S = 0.3
LONGEST_REFUSAL = 4096 + 1024
"""Bytes, its header included."""
_HOST: Final = "Host: 127.0.0.1"
_JSON: Final = "Content-Type: application/json"
_CHUNKED: Final = "Transfer-Encoding: chunked"
_FIRST: Final = re.compile(rb"HTTP/1\.1 ([0-9]{3}) ")


def asked(line: str, *fields: str, body: bytes = b"", host: str = _HOST) -> bytes:
    """A request as it goes over the wire, with whatever fields."""
    return "\r\n".join([line, host, *fields, "", ""]).encode("latin-1") + body


def posted(*fields: str, body: bytes = b"", path: str = "/advice?effects=none") -> bytes:
    """The same of a body."""
    return asked(f"POST {path} HTTP/1.1", _JSON, *fields, body=body)


def chunked(*chunks: bytes, end: bytes = b"0\r\n\r\n") -> bytes:
    """A body in chunks."""
    return b"".join(b"%x\r\n%b\r\n" % (len(chunk), chunk) for chunk in chunks) + end


_WHOLE: Final = posted(f"Content-Length: {len(SMALLEST)}", body=SMALLEST)
WIRE: Final[dict[str, bytes]] = {
    "five hundred at once": head("GET", "/health/live") * 500,
    "sixty advices at once": _WHOLE * 60,
    "a field of 70 kB": asked("GET / HTTP/1.1", "X: " + "a" * 70_000),
    "a thousand fields": asked("GET / HTTP/1.1", *[f"X{k}: 1" for k in range(1000)]),
    "ten thousand fields": asked("GET / HTTP/1.1", *["A:"] * 10_000),
    "trailers": posted(_CHUNKED, body=chunked(SMALLEST, end=b"0\r\n" + b"X-B: 2\r\n" * 100 + b"\r\n")),
    "trailers without end": posted(_CHUNKED, body=chunked(SMALLEST, end=b"0\r\n" + b"X-B: 2\r\n" * 20_000)),
    "a chunk's extensions": posted(_CHUNKED, body=b"5;" + b"a=b;" * 30_000 + b"\r\nhello\r\n0\r\n\r\n"),
    "a chunk below nothing": posted(_CHUNKED, body=b"-5\r\nx"),
    "chunks of a byte": posted(_CHUNKED, body=chunked(*[bytes([byte]) for byte in SMALLEST])),
    "length and chunks": posted(_CHUNKED, "Content-Length: 5", body=b"0\r\n\r\n"),
    "two lengths": posted("Content-Length: 5", "Content-Length: 6", body=b"hello!"),
    "a list of lengths": posted("Content-Length: 5, 5", body=b"hello"),
    "a length below nothing": posted("Content-Length: -5", body=b"hello"),
    "a length of 26 digits": posted("Content-Length: " + "9" * 26),
    "packed on the way": posted("Transfer-Encoding: gzip, chunked", body=b"0\r\n\r\n"),
    "chunks and identity": posted(_CHUNKED, "Transfer-Encoding: identity", body=b"0\r\n\r\n"),
    "a request within another": asked(
        "POST / HTTP/1.1",
        "Content-Length: 44",
        "Transfer-Encoding : chunked",
        body=b"0\r\n\r\n" + head("GET", "/piles"),
    ),
    "HTTP/2": b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n" + b"\0\0\0\4" + b"\0" * 5,
    "to HTTP/2": asked("GET / HTTP/1.1", "Connection: Upgrade, HTTP2-Settings", "Upgrade: h2c", "HTTP2-Settings: AAM"),
    "to WebSocket": asked(
        "GET /piles HTTP/1.1",
        "Connection: Upgrade",
        "Upgrade: websocket",
        "Sec-WebSocket-Version: 13",
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
    ),
    "TLS": bytes.fromhex("16030100f1010000ed0303") + b"\0" * 240,
    "two thousand ranges": asked(
        "GET /words HTTP/1.1", "Range: bytes=" + ",".join(f"{k}-{k + 1}" for k in range(4000))
    ),
    "an expectation": posted("Expect: 200-maybe", "Content-Length: 2", body=b"{}"),
    "an address of another host": asked("GET http://elsewhere.example/piles HTTP/1.1"),
    "an asterisk": asked("OPTIONS * HTTP/1.1"),
    "CONNECT": asked("CONNECT example.org:443 HTTP/1.1"),
    "HTTP/0.9": b"GET /\r\n\r\n",
    "HTTP/9.9": asked("GET / HTTP/9.9"),
    "a method in small letters": asked("get / HTTP/1.1"),
    "a space in the address": asked("GET /a b HTTP/1.1"),
    "an address that is not ASCII": asked("GET /\xe9 HTTP/1.1"),
    "an address of 60 kB": asked("GET /" + "a" * 60_000 + " HTTP/1.1"),
    "a query of 56 kB": asked("GET /piles?" + "a=1&" * 14_000 + " HTTP/1.1"),
    "NUL in a field": asked("GET / HTTP/1.1", "X: a\0b"),
    "two hosts": asked("GET /piles HTTP/1.1", "Host: evil"),
    "no host": b"GET /piles HTTP/1.1\r\n\r\n",
    "empty lines": b"\r\n" * 5000,
    "every byte": bytes(range(256)) * 100,
    "a way out": asked("GET /page/../../etc/passwd HTTP/1.1"),
    "a hidden way out": asked("GET /page/%2e%2e%2f%2e%2e%2fetc%2fpasswd HTTP/1.1"),
    "half an escape": asked("GET /piles/%zz%f HTTP/1.1"),
    "a flood of proxies": asked("GET /piles HTTP/1.1", "X-Forwarded-For: " + "1.2.3.4, " * 5000),
    "odd proxies": asked("GET /piles HTTP/1.1", "X-Forwarded-For: unknown, [::1]:99, \xff"),
    "cookies": asked("GET /piles HTTP/1.1", "Cookie: " + "a=b; " * 10_000),
    "a token of 60 kB": asked("GET /piles HTTP/1.1", "Authorization: Bearer " + "x" * 60_000),
    "another method in a field": asked("POST /piles/x HTTP/1.1", "X-HTTP-Method-Override: DELETE", "Content-Length: 0"),
    "a body with GET": asked("GET /piles HTTP/1.1", "Content-Length: 5", body=b"hello"),
    "packed": posted(
        "Content-Encoding: gzip", "Content-Length: 30", body=gzip.compress(b"{}" * 9)[:30].ljust(30, b"\0")
    ),
    "a flood of types": asked("GET / HTTP/1.1", "Accept: " + "text/html;q=0.1," * 4000),
    "a flood of tags": asked("GET /health/live HTTP/1.1", "If-None-Match: " + '"a",' * 12_000),
}


def processor_s(pids: list[int]) -> float:
    """Of these processes together."""
    found = [Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split() for pid in pids]
    return sum(int(fields[11]) + int(fields[12]) for fields in found) / 100


def answer_to(service: Running, sent: bytes) -> bytes:
    """All that is said to it, until nothing more is for a moment."""
    raw, said = service.connect(), b""
    try:
        raw.sendall(sent)
        while piece := raw.recv(65_536):
            said += piece
            raw.settimeout(QUIET_S)
    except OSError:
        pass
    raw.close()
    return said


def fault_in(said: bytes) -> str:
    """What is wrong with an answer; empty where nothing is."""
    statuses = [int(status) for status in _FIRST.findall(said)]
    if not said:
        return "nothing was said"
    if any(status >= 500 for status in statuses):
        return f"statuses {statuses}"
    is_long = len(statuses) == 1 and statuses[0] >= 400 and len(said) > LONGEST_REFUSAL
    return f"a refusal of {len(said)} bytes" if is_long else ""


def test_what_comes_over_the_wire_does_no_harm(two_workers: Running) -> None:
    before, workers = len(two_workers.lines()), two_workers.workers()
    used = processor_s(workers)
    with ThreadPoolExecutor(12) as many:
        answers = many.map(lambda sent: answer_to(two_workers, sent), WIRE.values())
        found = {name: fault for name, said in zip(WIRE, answers, strict=True) if (fault := fault_in(said))}
    assert found == {}
    assert two_workers.workers() == workers, "no process died"
    assert processor_s(workers) - used < MOST_PROCESSOR_S
    assert [line for line in two_workers.lines()[before:] if line["level"] == "error"] == []
