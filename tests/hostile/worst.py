"""The worst inputs we could think of for each parser, at any size: repeats, growth under normalisation, many keys, deep
nesting, long tokens. Each is (how it is read, what of size n is read); a refusal is as good an answer as any."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any, Final
from urllib.parse import quote

from service.api.chat import cleaned
from service.batch.blocks import Cutter
from service.logbook.entries import read_entries
from service.logbook.formats.csv_readings import read_csv
from service.logbook.formats.senml import read_senml
from service.logbook.store.file_rows import read_file
from service.page.entries import LARGEST_FORM
from service.page.reply import address_for, answered
from service.problems.fire import fire_warning
from service.problems.json_text import LARGEST_BODY, check_data, parse_json
from service.problems.problem import Problem
from service.status.reading import read_status
from service.talk.chat.draft import Draft
from service.talk.chat.talk import turn
from service.talk.shape import LONGEST_MESSAGE
from service.units.quantities import QuantityError, parse_quantity

NOW: Final = datetime(2026, 1, 18, 7, 30, tzinfo=UTC)
GROWS: Final = "\N{ARABIC LIGATURE SALLALLAHOU ALAYHE WASALLAM}"
"""One character that compatibility normalisation (NFKC) makes eighteen of: the most of any (Unicode 15)."""
_NAMES: Final = "abcdefghijklmnopqrstuvwxyz"

Made = Callable[[int], bytes]
Read = Callable[[bytes], object]


def _status(body: bytes) -> object:
    return read_status(body)


def _json(body: bytes) -> object:
    data = parse_json(body)
    check_data(data)
    return data


def _entries(body: bytes) -> object:
    return read_entries(body, "metric", NOW)


def _csv(body: bytes) -> object:
    return read_csv(body, NOW)


def _senml(body: bytes) -> object:
    return read_senml(body, NOW)


def _file(body: bytes) -> object:
    return read_file(body, NOW, is_table=False)


def _table(body: bytes) -> object:
    return read_file(body, NOW, is_table=True)


def _chat(body: bytes) -> object:
    return turn(Draft(), cleaned(body.decode()), NOW)


def _form_posted(body: bytes) -> object:
    return answered(address_for(body)[1])


def _quantity(body: bytes) -> object:
    try:
        return parse_quantity(body.decode(), ("volume", "mass"), "metric")
    except QuantityError as error:
        return error


def _lines(body: bytes) -> object:
    cutter = Cutter()
    blocks = [block for start in range(0, len(body), 1024) for block in cutter.feed(body[start : start + 1024])]
    return len(blocks) + len(cutter.end())


def _tiny_pieces(body: bytes) -> object:
    cutter = Cutter()
    return [cutter.feed(body[place : place + 1]) for place in range(len(body))]


def name_of(number: int) -> str:
    """Another name for each number."""
    return _NAMES[number % 26] + format(number, "x")


def _bytes(data: Any) -> bytes:
    return json.dumps(data).encode()


def _export(**sections: Any) -> bytes:
    pile = {
        "id": "3f9a0c1d2e4b5a67",
        "name": "x",
        "units": "us",
        "zone": "UTC",
        "made_at": "2026-01-01T00:00:00Z",
        "changes": 1,
    }
    empty: dict[str, Any] = {"readings": [], "work": [], "advice": [], "feedback": []}
    return _bytes({"format": "warmheap-pile", "format_version": 1, "pile": pile, **empty, **sections})


def _readings(n: int, part: Any) -> bytes:
    at = "2026-01-01T00:00:00Z"
    rows = [{"id": f"{k:024x}", "at": at, "received_at": at, "source": "json", "part": part} for k in range(n)]
    return _export(readings=rows)


def _advice(n: int, answer: str) -> bytes:
    at = "2026-01-01T00:00:00Z"
    moments = dict.fromkeys(("given_at", "as_of", "valid_until", "keeps_until"), at)
    rest = {"changes": 1, "effects": "none", "units": "us", "knowledge": "0", "service": "0", "status": {}, "known": []}
    late = {"superseded_at": None, "superseded_by": None}
    rows = [{"id": f"{k:024x}", "answer_id": "0" * 16, **moments, **rest, "answer": answer, **late} for k in range(n)]
    return _export(advice=rows)


def _form(**fields: str) -> bytes:
    return "&".join(f"{name}={quote(value)}" for name, value in fields.items()).encode()


_PLACES: Final[dict[str, Made]] = {
    "one key again and again": lambda n: b'{"a":1' + b',"a":1' * n + b"}",
    "keys in pairs": lambda n: (
        _bytes({name_of(k): 0 for k in range(n)})[:-1] + b',"' + name_of(n - 1).encode() + b'":1}'
    ),
    "many keys": lambda n: _bytes({name_of(k): 0 for k in range(n)}),
    "many lists": lambda n: b"[" + b"[]," * n + b"[]]",
    "deep lists": lambda n: b"[" * n + b"]" * n,
    "deep objects": lambda n: b'{"a":' * n + b"1" + b"}" * n,
    "open lists": lambda n: b"[" * n,
    "one long text": lambda n: _bytes("a" * n),
    "one long name": lambda n: _bytes({"a" * n: 1}),
    "escapes": lambda n: b'"' + b"\\u0041" * n + b'"',
    "half characters": lambda n: b'"' + b"\\ud800" * n + b'"',
    "an open text": lambda n: b'"' + b"\\\\" * n,
    "digits": lambda n: b"1" * n,
    "digits behind a point": lambda n: b"0." + b"1" * n,
    "digits about a half": lambda n: b"1.00000000000000011102230246251565404236316680908203125" + b"0" * n + b"1",
    "a long exponent": lambda n: b"1e" + b"9" * n,
    "long numbers": lambda n: b"[" + b",".join([b"9" * 4000] * (n // 100)) + b"]",
    "spaces": lambda n: b" " * n + b"!",
    "lines": lambda n: b"\n" * n + b"!",
    "words before an equals sign": lambda n: b"a=" * n,
    "words and quotes": lambda n: b'a"' * n,
    "names and spaces": lambda n: (b"core" + b" " * 30) * n,
    "numbers and commas": lambda n: b'{"core":"' + b"1," * n + b'"}',
    "what normalisation makes longer": lambda n: _bytes(GROWS * n),
    "long exponents below nothing": lambda n: b"[" + b",".join([b"1e-" + b"9" * 300] * max(n // 300, 1)) + b"]",
    "names nearly known": lambda n: _bytes({f"temperaturs{name_of(k)}": 1 for k in range(n)}),
    "long names nearly known": lambda n: _bytes({"temperature_of_the_" * 9 + name_of(k): 1 for k in range(n)}),
    "names that look like others": lambda n: _bytes({"p\u0456l\u0435" + name_of(k): 1 for k in range(n)}),
    "a long suffix of a moment": lambda n: _bytes({"as_of": "2026-01-01T00:00:00Z" + "[x=y]" * n}),
    "a history of nothing": lambda n: _bytes({"history": [{"ago": "x", "core": "y"}] * n}),
    "ratios again and again": lambda n: b"1,111" * n,
}
_HEADERS: Final[dict[str, Made]] = {
    "one column again and again": lambda n: b"at" + b",core [degC]" * n + b"\n",
    "many columns": lambda n: ("at," + ",".join(name_of(k) for k in range(n)) + "\n").encode(),
    "one long column": lambda n: b"at,core" + b" " * n + b"!\n",
    "a column of spaces": lambda n: b"at," + b" " * n + b"[\n",
    "an open bracket": lambda n: b"at,core [" + b"[" * n + b"\n",
    "a long unit": lambda n: ("at,core [" + GROWS * n + "]\n").encode(),
    "brackets": lambda n: b"at,core" + b" []" * n + b"\n",
    "a long zone": lambda n: b"at [" + b"a/" * n + b"],core [degC]\n",
    "many rows": lambda n: b"at,core [degC]\n" + b"2026-01-18T06:00:00Z,40\n" * n,
    "many bad rows": lambda n: b"at,core [degC]\n" + b"x,y\n" * n,
    "empty rows": lambda n: b"at,core [degC]\n" + b",\n" * n,
    "a long cell": lambda n: b"at,smell\n2026-01-18T06:00:00Z," + b"a" * n + b"\n",
    "a cell of words": lambda n: b"at,signs\n2026-01-18T06:00:00Z," + b"a " * n + b"\n",
    "an open quote": lambda n: b'at,smell\n2026-01-18T06:00:00Z,"' + b'""' * n,
    "local times": lambda n: b"at [Europe/Berlin],core [degC]\n" + b"2026-01-18T06:00,40\n" * n,
    "quotes within": lambda n: b"at,core [degC]\n" + b'"a"b' * n,
    "names nearly known": lambda n: ("at," + ",".join(f"coree{name_of(k)} [degC]" for k in range(n)) + "\n").encode(),
    "hours that are not, or twice": lambda n: (
        b"at [Europe/Berlin],core [degC]\n" + b"2025-03-30T02:30,40\n2025-10-26T02:30,40\n" * n
    ),
    "many cells": lambda n: b"at,core [degC]\n" + b"," * n + b"\n",
}
_PACKS: Final[dict[str, Made]] = {
    "many unknown names": lambda n: _bytes([{"n": name_of(k) * 8, "v": 1, "u": "Cel"} for k in range(n)]),
    "base names": lambda n: _bytes([{"bn": "a" * 190, "n": ":core", "v": 1, "u": "Cel"} for k in range(n)]),
    "many moments": lambda n: _bytes([{"n": "core", "v": 40, "u": "Cel", "t": -k} for k in range(n)]),
    "one moment": lambda n: _bytes([{"n": "core", "v": 40, "u": "Cel", "t": 0} for k in range(n)]),
    "labels that must be understood": lambda n: _bytes([{f"{name_of(k)}_": 1 for k in range(n)}]),
    "bases again and again": lambda n: _bytes(
        [{"bn": str(k), "bt": k, "bu": "Cel", "n": "core", "v": 1} for k in range(n)]
    ),
    "many unknown units": lambda n: _bytes([{"n": "core", "v": 1, "u": name_of(k)} for k in range(n)]),
}
_SAID: Final[dict[str, Made]] = {
    "what normalisation makes longer": lambda n: (GROWS * n).encode(),
    "words": lambda n: ("alpha " * n).encode(),
    "one long word": lambda n: b"a" * n,
    "words in one": lambda n: b"a-" * n,
    "known words": lambda n: b"core " * n,
    "readings": lambda n: b"core 40 C. " * n,
    "other readings": lambda n: b"".join(b"core %d C. " % (10 + k % 80) for k in range(n)),
    "ingredients": lambda n: b"3 yards of chips and " * n,
    "numbers": lambda n: b"1 " * n,
    "ranges": lambda n: b"1-" * n + b"2",
    "rates": lambda n: b"1 / " * n + b"2",
    "points": lambda n: b"." * n,
    "strange numbers": lambda n: b"x 5 and " * n,
    "names and strange words": lambda n: b"5 core x " * n,
    "beside what is read": lambda n: b"outer 20 C and " + b"x 5 and " * n,
    "a question": lambda n: b"what " + b",5" * n + b"?",
    "what is denied": lambda n: b"no fan or " * n,
    "signs": lambda n: b"smells of x smoke no " * n,
    "colons": lambda n: b"1" + b":" * n,
    "ratios": lambda n: b"1:" * n,
    "lines": lambda n: b"\n" * n,
    "commas": lambda n: b"a," * n,
    "spelled numbers": lambda n: b"one hundred and " * n,
    "minus": lambda n: b"minus " * n,
    "spaces": lambda n: b" " * n,
    "vulgar fractions": lambda n: ("½" * n).encode(),
    "marks": lambda n: b"#" * n,
    "quotes": lambda n: b"'" * n,
    "a word of quotes": lambda n: b"a'" * n,
    "days": lambda n: b"core was 40 C 3 days ago, " * n,
    "don't know": lambda n: b"don't know, " * n,
    "slips of the hand": lambda n: b"amonia smel stem craks " * n,
    "questions": lambda n: b"is 158 too hot? should I water it? " * n,
    "fires": lambda n: "Feuer, fumée, humo, ogień. ".encode() * n,
    "marks above letters": lambda n: "c\u0301o\u0301r\u0301e\u0301 ".encode() * n,
}
_FILES: Final[dict[str, Made]] = {
    "readings": lambda n: _readings(n, {"temperatures": {"core": "121 degF"}}),
    "readings of nothing": lambda n: _readings(n, {}),
    "readings that are wrong": lambda n: _readings(n, {"x": 1}),
    "one id again and again": lambda n: _readings(n, {"season": "off"}).replace(b"0" * 12, b"0" * 12),
    "many unknown fields": lambda n: _export(**{name_of(k): k for k in range(n)}),
    "one key again and again": lambda n: b'{"format":1' + b',"format":1' * n + b"}",
    "a long answer": lambda n: _advice(1, '{"id": "' + "a" * n + '"}'),
    "many answers": lambda n: _advice(n, '{"id": "0000000000000000", "actions": []}'),
    "a deep answer": lambda n: _advice(1, "[" * n),
    "an answer of actions": lambda n: _advice(
        1, _bytes({"id": "0" * 16, "actions": [{"action": "x", "rank": 1, "effect": None, "reasons": []}] * n}).decode()
    ),
}
_TABLES: Final[dict[str, Made]] = {
    "a deep field": lambda n: b"section,entry,field,value\r\nreadings,1,/part" + b"/a" * n + b",1\r\n",
    "entries": lambda n: (
        b"section,entry,field,value\r\n" + b"".join(b"readings,%d,/at,1\r\n" % k for k in range(1, n + 1))
    ),
    "fields": lambda n: b"section,entry,field,value\r\n" + b"".join(b"pile,,/a%d,1\r\n" % k for k in range(n)),
    "tildes": lambda n: b"section,entry,field,value\r\npile,,/" + b"~0" * n + b",1\r\n",
    "a deep cell": lambda n: b"section,entry,field,value\r\npile,,/a," + b"[" * n + b"\r\n",
    "a long number": lambda n: b"section,entry,field,value\r\npile,,/a," + b"1" * n + b"\r\n",
    "columns": lambda n: b"section," * n + b"\r\n",
    "one field again and again": lambda n: b"section,entry,field,value\r\n" + b"pile,,/a,1\r\n" * n,
}
_FORMS: Final[dict[str, Made]] = {
    "one field again and again": lambda n: b"&".join([b"pile.age=1"] * n),
    "ticked again and again": lambda n: b"&".join([b"signs=steam"] * n),
    "a long value": lambda n: _form(**{"pile.age": "9" * n}),
    "a long list": lambda n: _form(**{"on_hand.more": "a," * n}),
    "what must be escaped": lambda n: _form(**{"pile.age": "<" * n}),
    "what normalisation makes longer": lambda n: _form(**{"temperatures.core": GROWS * n}),
    "earlier readings": lambda n: b"&".join([b"earlier=2026-01-01T00:00:00Z+40"] * n),
    "long ago": lambda n: _form(**{"history.0.ago": "1" + " " * n + "days", "history.0.core": "4"}),
    "semicolons": lambda n: b";" * n,
}
_QUANTITIES: Final[dict[str, Made]] = {
    "digits": lambda n: b"1" * n,
    "spaces": lambda n: b"1" + b" " * n + b"!",
    "what normalisation makes longer": lambda n: ("1 " + GROWS * n).encode(),
    "signs": lambda n: b"+" * n,
    "marks between thousands": lambda n: b"1 000" * n,
}
_LINES: Final[dict[str, Made]] = {
    "short lines": lambda n: b"x\n" * n,
    "one long line": lambda n: b"x" * n,
    "no lines": lambda n: b"\n" * n,
}

WORST: Final[dict[str, tuple[Read, dict[str, Made], int]]] = {
    "JSON": (_json, _PLACES, LARGEST_BODY),
    "a status": (_status, _PLACES, LARGEST_BODY),
    "an entry": (_entries, _PLACES, LARGEST_BODY),
    "fire": (fire_warning, _PLACES, LARGEST_BODY),
    "CSV": (_csv, _HEADERS, LARGEST_BODY),
    "SenML": (_senml, {**_PLACES, **_PACKS}, LARGEST_BODY),
    "an export": (_file, {**_PLACES, **_FILES}, 512 * 1024),
    "an export as a table": (_table, {**_HEADERS, **_TABLES}, 512 * 1024),
    "chat": (_chat, _SAID, LONGEST_MESSAGE),
    "chat of joined characters": (_chat, _SAID, LARGEST_BODY),
    "a form": (_form_posted, _FORMS, LARGEST_FORM),
    "a quantity": (_quantity, _QUANTITIES, LARGEST_BODY),
    "lines": (_lines, _LINES, 1024 * 1024),
    "lines in tiny pieces": (_tiny_pieces, _LINES, LARGEST_BODY),
}
"""By parser: how it reads, its worst inputs, and the largest it is given (of what may be larger, a good piece)."""


def cases() -> list[tuple[str, str]]:
    """Every parser with every one of its worst inputs."""
    return [(parser, what) for parser, (_, made, _) in WORST.items() for what in made]


def half_and_whole(parser: str, what: str) -> tuple[bytes, bytes]:
    """An input of half the largest size, and the same made twice as long."""
    _, made, largest = WORST[parser]
    make, sample = made[what], 256
    half = max(int(sample * largest / 2 / len(make(sample)) * 0.98), 1)
    return make(half), make(2 * half)


def read(parser: str, body: bytes) -> object:
    """What a parser makes of a body, a refusal included."""
    try:
        return WORST[parser][0](body)
    except Problem as problem:
        return problem.as_bytes()
