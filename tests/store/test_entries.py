"""What is logged: units made explicit, moments with their offsets, nothing from the future."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.logbook.entries import Logged, WorkEntry, read_entries
from service.logbook.formats.columns import COLUMNS, put_value
from service.logbook.formats.csv_readings import MOST_ROWS, read_csv
from service.logbook.formats.senml import read_senml
from service.logbook.shapes.entry import Entry
from service.logbook.shapes.requests import NewPileBody
from service.problems.problem import Problem
from service.status.explicit import with_units
from service.status.models import Status
from service.status.reading import read_model, read_status
from tests.each import each
from tests.examples import requests

EXAMPLES = {path.name.split(".")[1]: json.loads(path.read_bytes()) for path in requests()}
NOW = datetime(2026, 11, 18, 12, tzinfo=UTC)


def problem_of(read: Any, body: Any) -> Problem:
    with pytest.raises(Problem) as refused:
        read(body, NOW) if read is not read_entries else read(body, "metric", NOW)
    return refused.value


# ------------------------------------------------------------------------------------------------ JSON

# as given under us, as kept
EXPLICIT: list[tuple[dict[str, Any], dict[str, Any]]] = [
    ({"temperatures": {"core": 121}}, {"temperatures": {"core": "121 degF"}}),
    ({"temperatures": {"core": "121"}}, {"temperatures": {"core": "121 degF"}}),
    ({"temperatures": {"core": "49,5 C"}}, {"temperatures": {"core": "49,5 C"}}),
    ({"temperatures": {"core": 120.5, "outer": None}}, {"temperatures": {"core": "120.5 degF"}}),
    ({"pile": {"age": 63}}, {"pile": {"age": "63 days"}}),
    ({"pile": {"size": {"shape": "cone", "diameter": 12, "height": "5"}}},
     {"pile": {"size": {"shape": "cone", "diameter": "12 ft", "height": "5 ft"}}}),
    ({"pile": {"size": {"cone": {"diameter": 12, "height": 5}}}},
     {"pile": {"size": {"cone": {"diameter": "12 ft", "height": "5 ft"}}}}),
    ({"temperatures": {"points": [{"value": 88, "depth": 1, "side": "north"}]}},
     {"temperatures": {"points": [{"value": "88 degF", "depth": "1 ft", "side": "north"}]}}),
    ({"draw": {"water": {"flow": 0, "minutes_per_hour": 12}}},
     {"draw": {"water": {"flow": "0 gal/min", "minutes_per_hour": "12 min/h"}}}),
    ({"weather": {"forecast": [{"date": "2026-01-19", "low": 4, "snow": True}]}},
     {"weather": {"forecast": [{"date": "2026-01-19", "low": "4 degF", "snow": True}]}}),
    ({"signs": [], "on_hand": ["tarps"], "probe": {"checked": True, "length": 4}},
     {"signs": [], "on_hand": ["tarps"], "probe": {"checked": True, "length": "4 ft"}}),
]  # fmt: skip


@each(EXPLICIT)
def test_bare_numbers_are_kept_with_their_unit(given_part: dict[str, Any], kept: dict[str, Any]) -> None:
    logged = read_entries(given_part, "us", NOW)
    assert [entry.part for entry in logged.readings] == [kept]


@each(sorted(EXAMPLES))
def test_every_example_means_the_same_with_its_units_written(name: str) -> None:
    body = EXAMPLES[name]
    plain = read_status(body)
    written = with_units(Status, body, plain.units)
    again = read_status({**written, "units": "metric" if plain.units == "us" else "us"})
    assert again.model_dump(exclude={"units"}) == plain.model_dump(exclude={"units"})


@each(sorted(EXAMPLES))
def test_a_whole_status_can_be_logged_as_it_is(name: str) -> None:
    body = EXAMPLES[name]
    logged = read_entries(body, "metric", NOW)
    assert len(logged.readings) == 1 + len(body.get("history") or [])
    assert len(logged.work) == len(body.get("done") or [])
    assert max(entry.at for entry in logged.readings) == read_status(body).as_of


def test_the_entry_says_its_units_else_the_pile_does() -> None:
    assert read_entries({"temperatures": {"core": 50}}, "metric", NOW).readings[0].part == {
        "temperatures": {"core": "50 degC"}
    }
    assert read_entries({"units": "us", "temperatures": {"core": 121}}, "metric", NOW).readings[0].part == {
        "temperatures": {"core": "121 degF"}
    }


def test_twins_have_the_same_digest_whatever_their_order_and_offset() -> None:
    one = read_entries({"at": "2026-01-18T07:00:00Z", "smell": "sour", "signs": []}, "metric", NOW).readings[0]
    two = read_entries({"at": "2026-01-18T08:00:00+01:00", "signs": [], "smell": "sour"}, "metric", NOW).readings[0]
    other = read_entries({"at": "2026-01-18T08:00:00Z", "signs": [], "smell": "sour"}, "metric", NOW).readings[0]
    assert one.digest == two.digest != other.digest
    assert WorkEntry(NOW, "add_water", "1 gal").digest != WorkEntry(NOW, "add_water", None).digest


# RFC 3339, section 5.6 (from memory), seconds optional here
MOMENTS = [
    ("2026-01-18T07:30:00Z", datetime(2026, 1, 18, 7, 30, tzinfo=UTC)),
    ("2026-01-18t07:30:00z", datetime(2026, 1, 18, 7, 30, tzinfo=UTC)),
    ("2026-01-18T07:30Z", datetime(2026, 1, 18, 7, 30, tzinfo=UTC)),
    ("2026-01-18T07:30:00.25Z", datetime(2026, 1, 18, 7, 30, 0, 250000, tzinfo=UTC)),
    ("2026-03-29T03:30:00+02:00", datetime(2026, 3, 29, 1, 30, tzinfo=UTC)),
    ("2026-10-25T02:30:00+02:00", datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),
    ("2026-10-25T02:30:00+01:00", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
    ("2026-01-18T07:30:00-09:30", datetime(2026, 1, 18, 17, 0, tzinfo=UTC)),
]


@each(MOMENTS)
def test_moments_are_read_with_their_offset(written: str, moment: datetime) -> None:
    assert read_entries({"at": written, "smell": "sour"}, "metric", NOW).readings[0].at == moment


@each(
    [
        "2026-01-18T07:30:00",
        "2026-01-18",
        "18.01.2026 07:30",
        "2026-02-30T07:30:00Z",
        "2026-01-18T25:00:00Z",
        "2026-01-18T07:30:00+1",
        "1767225600",
        "now",
        "",
    ]
)
def test_moments_without_an_offset_are_refused(written: str) -> None:
    problem = problem_of(read_entries, {"at": written, "smell": "sour"})
    assert problem.status == 422 and problem.errors[0]["pointer"] == "/at"


@each(
    [
        {"at": "2026-11-18T13:00:00Z", "smell": "sour"},
        {"as_of": "2026-11-18T13:00:00Z", "smell": "sour"},
        {"at": "2026-11-18T12:30:00+00:00", "smell": "sour"},
        {"at": "2026-11-18T12:05:00-01:00", "smell": "sour"},
        {"done": [{"at": "2026-11-18T13:00:00Z", "action": "add_water"}]},
        {"history": [{"at": "2027-11-18T13:00:00Z", "core": 50}]},
    ]
)
def test_the_future_is_refused_clearly(body: dict[str, Any]) -> None:
    problem = problem_of(read_entries, body)
    assert problem.status == 422 and "in the future" in problem.detail and "clock" in problem.detail
    assert problem.errors[0]["allowed"] == f"not after {NOW.isoformat()}"


def test_a_clock_ten_minutes_ahead_is_not_the_future() -> None:
    assert read_entries({"at": "2026-11-18T12:10:00Z", "smell": "sour"}, "metric", NOW).readings


def test_all_or_nothing_and_every_bad_entry_is_named() -> None:
    body = {"readings": [{"smell": "sour"}, {"smell": "sor"}, {"temperatures": {"core": 131}}, 3, {}]}
    problem = problem_of(read_entries, body)
    assert [error["pointer"] for error in problem.errors] == [
        "/readings/1/smell", "/readings/2/temperatures/core", "/readings/3", "/readings/4",
    ]  # fmt: skip
    assert "Nothing was kept" in problem.detail


def test_a_refused_entry_never_hides_a_fire() -> None:
    for body in (
        {"readings": [{"signs": ["smoke"]}, {"smell": "sor"}]},
        {"temperatures": {"core": "190 degF"}, "smell": "sor"},
        {"at": "2027-01-01T00:00:00Z", "temperatures": {"core": 85}},
    ):
        assert "call the fire service" in problem_of(read_entries, body).detail


@each([{}, {"at": "2026-01-01T00:00:00Z"}, {"smell": None}, {"temperatures": {}}, [], 3, None])
def test_an_entry_without_a_value_is_refused(body: Any) -> None:
    assert problem_of(read_entries, body).status == 422


def test_the_entry_knows_every_field_of_a_status() -> None:
    assert set(Entry.model_fields) == (set(Status.model_fields) - {"read_at", "learned"}) | {"at"}
    assert not any(field.is_required() for field in Entry.model_fields.values())


# ------------------------------------------------------------------------------------------------- CSV


def csv_of(*lines: str) -> bytes:
    return "\r\n".join(lines).encode()


def test_a_table_with_units_in_its_header() -> None:
    logged = read_csv(
        csv_of(
            "at,core [degF],smell,signs,water_flow [gal/min],probe_checked",
            "2026-01-01T06:00:00Z,121,earthy,steam slumping,0.4,true",
            '"2026-01-02T06:00:00+01:00","120",,none,,',
            "",
        ),
        NOW,
    )
    assert [entry.part for entry in logged.readings] == [
        {
            "temperatures": {"core": "121 degF"},
            "smell": "earthy",
            "signs": ["steam", "slumping"],
            "draw": {"water": {"flow": "0.4 gal/min"}},
            "probe": {"checked": True},
        },
        {"temperatures": {"core": "120 degF"}, "signs": []},
    ]
    assert [entry.at for entry in logged.readings] == [
        datetime(2026, 1, 1, 6, tzinfo=UTC), datetime(2026, 1, 2, 5, tzinfo=UTC),
    ]  # fmt: skip


def test_local_times_in_a_named_zone() -> None:
    """Clocks in Berlin went forward on 29 March and back on 25 October 2026 (EU rule: last Sundays)."""
    logged = read_csv(
        csv_of(
            "at [Europe/Berlin];core [°C]",
            "2026-03-29 01:59;49,5",
            "2026-03-29 03:00;49,6",
            "2026-07-01T12:00:00;50",
            "2026-10-25 03:00;51",
        ),
        NOW,
    )
    assert [entry.at.astimezone(UTC).isoformat() for entry in logged.readings] == [
        "2026-03-29T00:59:00+00:00",
        "2026-03-29T01:00:00+00:00",
        "2026-07-01T10:00:00+00:00",
        "2026-10-25T02:00:00+00:00",
    ]


def test_local_times_that_never_were_or_came_twice_are_refused() -> None:
    problem = problem_of(
        read_csv,
        csv_of("at [Europe/Berlin],core [degC]", "2026-03-29 02:30,49", "2026-10-25 02:30,49", "2026-10-25 04:30,49"),
    )
    assert [(error["pointer"], "skipped" in error["read"]) for error in problem.errors] == [
        ("/lines/2/at", True), ("/lines/3/at", False),
    ]  # fmt: skip
    assert "came twice" in problem.errors[1]["read"]


# header or table, line named, words of the detail
BAD_TABLES: list[tuple[tuple[str, ...], int, str]] = [
    (("at,core", "2026-01-01T06:00:00Z,49"), 1, "unit of core is missing"),
    (("core [degF]", "121"), 1, "column `at`"),
    (("at", "2026-01-01T06:00:00Z"), 1, "no column with a value"),
    (("at,cor [degF]", ""), 1, 'Did you mean "core"'),
    (("at,core [kg]", ""), 1, "unknown unit"),
    (("at,core [degF],core [degC]", ""), 1, "twice"),
    (("at [Mars/Base],core [degF]", ""), 1, "time zone"),
    (("at [../../etc/passwd],core [degF]", ""), 1, "time zone"),
    (("at,smell [kg]", ""), 1, "no unit"),
    (("at,core [degF", ""), 1, "not a name"),
    (("at,smell", "2026-01-01T06:00:00Z,sour", "2026-01-01T07:00:00Z,sor"), 3, "not one of the words"),
    (("at,core [degC]", "2026-01-01T06:00:00Z,49,50"), 2, "3 cells where the header has 2"),
    (("at,core [degC]", "2026-01-01T06:00:00Z,warm"), 2, "one number and its unit"),
    (("at,core [degC]", "2026-01-01T06:00:00Z,490"), 2, "more than this can be"),
    (("at,core [degC]", ",49"), 2, "offset"),
    (("at,core [degC]", "2026-01-01T06:00:00Z,"), 2, "Nothing is told"),
    (("at,core [degC]", '2026-01-01T06:00:00Z,"49'), 3, "not CSV"),
    (("at,core [degC]", "2027-01-01T06:00:00Z,49"), 2, "future"),
]


@each(BAD_TABLES)
def test_bad_tables_are_refused_by_line(lines: tuple[str, ...], line: int, words: str) -> None:
    problem = problem_of(read_csv, csv_of(*lines))
    assert problem.status == 422 and len(problem.as_bytes()) < 4000
    assert problem.errors[0]["pointer"].split("/")[:3] == ["", "lines", str(line)] or "not CSV" in problem.detail
    assert words in problem.errors[0]["detail"] or words in problem.detail


def test_a_long_table_is_refused_whole() -> None:
    rows = ["at,core [degC]", *("2026-01-01T06:00:00Z,49" for _ in range(MOST_ROWS + 1))]
    assert "send them in parts" in problem_of(read_csv, csv_of(*rows)).detail


@settings(deadline=None, max_examples=80)
@given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_no_bytes_break_the_table_reader(body: bytes) -> None:
    try:
        assert isinstance(read_csv(b"at,core [degC]\n" + body, NOW), Logged)
    except Problem as problem:
        assert problem.status == 422


# ----------------------------------------------------------------------------------------------- SenML


def senml(*records: dict[str, Any]) -> bytes:
    return json.dumps(records).encode()


def test_a_pack_is_resolved_into_readings_of_one_moment() -> None:
    """Base fields hold until given anew; times are summed (RFC 8428, 4.1 and 4.6, from memory)."""
    logged = read_senml(
        senml(
            {"bn": "barn/heap1:", "bt": 1767247200, "bu": "Cel", "n": "core", "v": 49.5},
            {"n": "outer", "v": 30, "t": -60},
            {"n": "smell", "vs": "earthy"},
            {"n": "water_flow", "u": "l/s", "v": 0.02},
            {"bn": "shed.heap2/", "bu": "K", "n": "outdoor", "v": 270.15, "t": 60},
            {"n": "signs", "vs": "none", "t": 60},
            {"n": "probe_checked", "vb": True, "t": 60},
        ),
        NOW,
    )
    start = datetime(2026, 1, 1, 6, tzinfo=UTC)
    assert {entry.at: entry.part for entry in logged.readings} == {
        start: {
            "temperatures": {"core": "49.5 degC"}, "smell": "earthy", "draw": {"water": {"flow": "0.02 L/s"}},
        },
        start - timedelta(minutes=1): {"temperatures": {"outer": "30.0 degC"}},
        start + timedelta(minutes=1): {
            "temperatures": {"outdoor": "270.15 K"}, "signs": [], "probe": {"checked": True},
        },
    }  # fmt: skip


def test_times_below_two_to_the_28_count_from_now() -> None:
    logged = read_senml(senml({"n": "core", "u": "Cel", "v": 50}, {"n": "core", "u": "Cel", "v": 51, "t": -3600}), NOW)
    assert [entry.at for entry in logged.readings] == [NOW, NOW - timedelta(hours=1)]


def test_base_values_are_added() -> None:
    logged = read_senml(senml({"bn": "a:", "bv": 20, "bu": "Cel", "n": "core", "v": 30}), NOW)
    assert logged.readings[0].part == {"temperatures": {"core": "50.0 degC"}} or logged.readings[0].part == {
        "temperatures": {"core": "50 degC"}
    }


BAD_PACKS: list[tuple[Any, str, str]] = [
    ([], "", "not empty"),
    ({}, "", "list of records"),
    ([3], "/0", "object"),
    ([{"n": "core", "v": 1}], "/0/u", "unit is missing"),
    ([{"n": "core", "u": "kg", "v": 1}], "/0/u", "Cel or K"),
    ([{"n": "cor", "u": "Cel", "v": 1}], "/0/n", 'Did you mean "core"'),
    ([{"n": ":core", "u": "Cel", "v": 1}], "/0/n", "starts with a letter"),
    ([{"n": "a b:core", "u": "Cel", "v": 1}], "/0/n", "starts with a letter"),
    ([{"n": "core", "u": "Cel", "v": 1, "x_": 1}], "/0/x_", "must be understood"),
    ([{"n": "core", "u": "Cel"}], "/0", "no value"),
    ([{"bver": 11, "n": "core", "u": "Cel", "v": 1}], "/0/bver", "versions up to 10"),
    ([{"n": "core", "u": "Cel", "v": True}], "/0/v", "number"),
    ([{"n": "core", "u": "Cel", "vs": "50"}], "/0/v", "number"),
    ([{"n": "core", "u": "Cel", "s": 5}], "/0/s", "sums"),
    ([{"n": "core", "u": "Cel", "v": 50, "t": 9e14}], "/0/t", "cannot be"),
    ([{"n": "core", "u": "Cel", "v": 50, "t": 86400}], "/0/at", "future"),
    ([{"n": "smell", "vs": "bad"}], "/0/smell", "words known here"),
    ([{"n": "smell", "vs": 3}], "/0/vs", "text"),
]


@each(BAD_PACKS)
def test_bad_packs_are_refused_by_record(pack: Any, pointer: str, words: str) -> None:
    problem = problem_of(read_senml, json.dumps(pack).encode())
    assert problem.status == 422 and problem.errors[0]["pointer"] == pointer
    assert words in problem.errors[0]["detail"]


def test_unknown_fields_that_need_not_be_understood_are_skipped() -> None:
    logged = read_senml(senml({"n": "core", "u": "Cel", "v": 50, "ut": 60, "vendor": {"a": 1}}), NOW)
    assert len(logged.readings) == 1


def test_every_column_reaches_its_field() -> None:
    for name, column in COLUMNS.items():
        logged_part: dict[str, Any] = {}
        put_value(logged_part, column, "x")
        assert column.field.split("/")[1] in Entry.model_fields, name


def test_offsets_survive() -> None:
    at = read_entries({"at": "2026-01-18T07:30:00+05:45", "smell": "sour"}, "metric", NOW).readings[0].at
    assert at.utcoffset() == timedelta(hours=5, minutes=45) and at.tzinfo == timezone(timedelta(hours=5, minutes=45))


@each([" ", "\u2003", "a\u2028b", "\u202eabc", "a\u200bb", "\ufffd", "a\tb"])
def test_a_name_that_cannot_be_read_is_refused(name: str) -> None:
    with pytest.raises(Problem, match="/name"):
        read_model({"name": name}, NewPileBody, "A pile")
    assert read_model({"name": "Nörd 木 2"}, NewPileBody, "A pile").name == "Nörd 木 2"
