"""The form without scripts: it is served to browsers, keeps what was typed, and says what needs a change."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.page.entries import LARGEST_FORM, system_of
from service.page.form import FIELDS, SECTIONS, UNIT_BOXES
from service.problems.fire import WARNING
from service.status.models import Status
from tests.each import each
from tests.page.reader import BROWSER, Page, ask, filled, page_of, post
from tests.page.samples import EVERY_FIELD, SMALLEST, WRONG

TEXTS = [name for name, asked in FIELDS.items() if asked.kind in ("text", "number")]


# ------------------------------------------------------------------------------------------ who gets the form


@each(
    [
        (BROWSER, "text/html; charset=utf-8"),
        ("text/html", "text/html; charset=utf-8"),
        ("text/*", "text/html; charset=utf-8"),
        ("text/html;q=0.5, application/json;q=0.4", "text/html; charset=utf-8"),
        ("text/html;q=0.5, application/json", "application/json"),
        ("text/html;q=0", "application/json"),
        ("*/*", "application/json"),
        ("application/json", "application/json"),
        ("image/png", "application/json"),
        ("", "application/json"),
        ("nonsense", "application/json"),
    ]
)
def test_the_home_address_gives_browsers_the_form_and_all_others_json(accept: str, kind: str) -> None:
    reply = ask("GET", "/", headers={"accept": accept})
    assert reply.status_code == 200 and reply.headers["content-type"] == kind
    assert reply.headers["vary"].startswith("Accept")


@each([("en-US,en;q=0.9", "us"), ("en-us", "us"), ("en-GB", "metric"), ("de, en-US;q=0.5", "metric"), ("", "metric")])
def test_bare_numbers_start_out_in_the_usual_units(language: str, units: str) -> None:
    page = page_of(ask("GET", "/form", headers={"accept": BROWSER, "accept-language": language}))
    assert dict(page.main_form.typed())["units"] == units


def test_head_gives_the_same_headers() -> None:
    get, head = (ask(method, "/", headers={"accept": BROWSER}) for method in ("GET", "HEAD"))
    assert head.content == b"" and head.headers["content-length"] == get.headers["content-length"]


def test_the_empty_form_asks_for_everything_and_sends_only_the_units() -> None:
    page = page_of(ask("GET", "/form"))
    names = {control.attributes["name"] for control in page.main_form.controls if "name" in control.attributes}
    assert names == {*FIELDS, *UNIT_BOXES}
    assert page.main_form.typed() == [("units", "metric")]
    assert page.main_form.attributes == {"method": "post", "action": "/form", "novalidate": ""}


def test_every_field_is_named_after_a_pointer_of_the_contract() -> None:
    """The few that are not stand for something else, and are filled in by hand."""
    by_hand = {"on_hand.more", "pile.size.width", "pile.size.length", "pile.size.height", "pile.size.shape"}
    by_hand |= {name for name in FIELDS if name.endswith(".ago")}
    for name in set(FIELDS) - by_hand:
        model: Any = Status
        for part in name.split("."):
            if not part.isdigit():
                field = model.model_fields[part]
                model = next((m for m in _models_in(field.annotation)), None)


def _models_in(annotation: Any) -> list[Any]:
    if hasattr(annotation, "model_fields"):
        return [annotation]
    return [model for inner in getattr(annotation, "__args__", ()) for model in _models_in(inner)]


def test_choices_are_the_words_of_the_contract() -> None:
    """Every word the contract knows can be tapped, and no other."""
    schema = Status.model_json_schema()
    for name in ("moisture_feel", "moisture_feel_at", "smell", "signs", "equipment", "season"):
        words = set(
            re.findall(r"'enum': \[([^\]]*)\]", str(schema["properties"][name]))[0].replace("'", "").split(", ")
        )
        offered = {choice.value for choice in FIELDS[name].choices}
        assert offered - words <= ({"none"} if FIELDS[name].kind == "many" else set()) and words <= offered, name


# --------------------------------------------------------------------------------------- what is typed is kept


def test_the_samples_fill_every_field() -> None:
    assert set(EVERY_FIELD) == set(FIELDS)


def test_every_typed_value_is_kept_on_an_error() -> None:
    form = filled(EVERY_FIELD).main_form
    sent = form.typed()
    form.fill("pile.age", "long")
    again = page_of(form.submit(), 422).main_form
    assert [pair for pair in again.typed() if pair[0] != "pile.age"] == [pair for pair in sent if pair[0] != "pile.age"]
    assert ("pile.age", "long") in again.typed()


def test_every_typed_value_is_there_again_when_going_back_from_the_answer() -> None:
    form = filled(EVERY_FIELD).main_form
    answer = page_of(form.submit())
    back = next(form for form in answer.forms if form.buttons()[0].text == "Change what I told")
    again = page_of(back.submit())
    assert again.main_form.typed() == form.typed()


def test_what_the_page_itself_sends_is_kept_too() -> None:
    sent = {"as_of": "2026-01-18T07:30:00Z", "earlier": "2026-01-15T07:30:00Z 52 C", "pile.age": "?"}
    again = page_of(post([*sent.items(), ("read_at", "2026-01-18T06:00:00Z")]), 422).main_form
    assert {**sent, "read_at": "2026-01-18T06:00:00Z"}.items() <= dict(again.typed()).items()


TYPED = st.dictionaries(
    st.sampled_from(TEXTS),
    st.text(st.characters(codec="utf-8", exclude_characters="\r\n\x00", exclude_categories=("Cs",)), max_size=60),
    min_size=1,
)


def check_kept(values: dict[str, str]) -> None:
    """HTML escaping both ways: quotes, angle brackets, ampersands, blanks at either end."""
    form = page_of(ask("GET", "/form")).main_form
    for name, value in values.items():
        form.fill(name, value)
    form.fill("pile.age", "nonsense")
    kept = dict(page_of(form.submit(), 422).main_form.typed())
    for name, value in values.items():
        if value.strip() and name != "pile.age":
            assert kept[name] == value


test_whatever_is_typed_comes_back_as_it_was = settings(max_examples=8, deadline=None)(given(TYPED)(check_kept))
test_the_same_many_times = pytest.mark.slow(settings(max_examples=300, deadline=None)(given(TYPED)(check_kept)))


def test_sections_with_something_in_them_say_so_and_faulty_ones_stand_open() -> None:
    page = page_of(post([*EVERY_ONE, ("pile.age", "?"), ("weather.low", "cold")]), 422)
    opened = {e.attributes["id"] for e in page.all("details") if "open" in e.attributes}
    assert opened == {"weather"}
    assert len(page.all("span", "has")) == sum(section.folded for section in SECTIONS)


EVERY_ONE = [
    (name, value)
    for name, given_ in EVERY_FIELD.items()
    for value in ([given_] if isinstance(given_, str) else given_)
    if name not in ("pile.age", "weather.low")
]


# ------------------------------------------------------------------------------------------------- what is wrong


def faults_in(page: Page) -> dict[str, str]:
    """The summary: words by field, every link leading to a field with the same words beside it."""
    summary = next(e for e in page.all("div", "faults"))
    assert summary.attributes["role"] == "alert"
    found = {}
    for link in page.all("a"):
        target = link.attributes["href"]
        if target.startswith("#"):
            page.by_id(target[1:])
            beside = page.by_id(f"{target[1:]}-fault").text.removeprefix("Change this: ")
            assert link.text.endswith(beside)
            found[target[1:]] = beside
    return found


@each(
    [
        ({"temperatures.core": ""}, "temperatures.core", "Say what the probe reads in the middle"),
        ({"pile.age": ""}, "pile.age", "Say how old the heap is"),
        ({"temperatures.core": "140"}, "temperatures.core", 'Did you mean °F? "140 °F" is 60 °C.'),
        ({"temperatures.core": "warm"}, "temperatures.core", "one number and its unit"),
        ({"temperatures.core": "450 C"}, "temperatures.core", "Allowed: -40 to 400 °C."),
        ({"pile.age": "-3 days"}, "pile.age", "less than this can be"),
        ({"pile.age": "90 years"}, "pile.age", "more than this can be"),
        ({"pile.built_on": "2199-01-01", "pile.age": ""}, "pile.built_on", "cannot have been built after"),
        ({"pile.moisture": "0.5"}, "pile.moisture", "did you mean 50 %?"),
        ({"pile.size.width": "3 m"}, "pile.size.shape", "which shape"),
        ({"pile.size.shape": "cone"}, "pile.size.width", "Give the measures of this shape"),
        ({"pile.size.shape": "cone", "pile.size.width": "3 m"}, "pile.size.height", "This field is needed."),
        (
            {"pile.size.shape": "cone", "pile.size.width": "3 kg", "pile.size.height": "1 m"},
            "pile.size.width",
            "Unknown unit",
        ),
        (
            {
                "pile.size.shape": "box",
                "pile.size.width": "3 m",
                "pile.size.height": "1 m",
                "pile.size.length": "4 m",
                "pile.size.volume": "9 m3",
            },
            "pile.size.volume",
            "given twice",
        ),
        ({"pile.size.volume": "9"}, "", ""),
        ({"pile.size.volume": "9", "pile.size.volume.unit": "yd3"}, "", ""),
        ({"pile.size.volume": "9 t"}, "", ""),
        ({"pile.size.volume": "big"}, "pile.size.volume", "one number and its unit"),
        ({"pile.ingredients.2.amount": "3 m3"}, "pile.ingredients.2.material", "what this is an amount of"),
        ({"pile.ingredients.1.material": "17"}, "pile.ingredients.1.material", "not the name of a material"),
        (
            {"pile.ingredients.3.material": "bark", "pile.ingredients.3.amount": "3 C"},
            "pile.ingredients.3.amount",
            "unit",
        ),
        ({"history.1.core": "50 C"}, "history.1.ago", "how long ago"),
        ({"history.1.ago": "2 days"}, "history.1.core", "what the probe read then"),
        ({"history.1.core": "50 C", "history.1.ago": "soon"}, "history.1.ago", "such as 3 days"),
        ({"history.1.core": "50 C", "history.1.ago": "-2 days"}, "history.1.ago", "cannot be"),
        ({"history.1.core": "hot", "history.1.ago": "2 days"}, "history.1.core", "one number and its unit"),
        ({"done.1.ago": "2 days"}, "done.1.action", "what you did"),
        ({"done.1.action": "add_water"}, "done.1.ago", "how long ago"),
        ({"done.1.action": "add_water", "done.1.ago": "2 days", "done.1.amount": "3 C"}, "done.1.amount", "unit"),
        ({"signs": ["steam", "none"]}, "signs", "Keep one of them"),
        ({"on_hand": ["water", "none"]}, "on_hand", "Keep one of them"),
        ({"on_hand": ["water"], "on_hand.more": "bark, 17"}, "on_hand.more", "not the name"),
        ({"draw.water.outlet": "70 C"}, "draw.water.outlet", "more than 8 K above the core"),
        ({"draw.air.minutes_per_hour": "61"}, "draw.air.minutes_per_hour", "more than this can be"),
        ({"goal.until": "2001-01-01"}, "goal.until", "ends before"),
        ({"probe.length": "12", "probe.length.unit": "m"}, "probe.length", "more than this can be"),
        ({"greenhouse.night_target": "45"}, "greenhouse.night_target", "Did you mean °F?"),
    ],
    every=3,
)
def test_what_is_wrong_stands_above_and_beside_its_field(
    changes: dict[str, str | list[str]], name: str, words: str
) -> None:
    values: dict[str, str | list[str]] = {"units": "metric", **SMALLEST, **changes}
    reply = filled(values).main_form.submit()
    if not name:
        page_of(reply)
        return
    faults = faults_in(page_of(reply, 422))
    assert list(faults) == [name]
    assert words in faults[name]


def test_all_faults_are_told_at_once_in_the_order_of_the_form() -> None:
    page = page_of(filled(WRONG).main_form.submit(), 422)
    wanted = ["temperatures.core", "pile.age", "signs", "history.0.core", "history.0.ago", "pile.size.shape"]
    assert list(faults_in(page)) == [*wanted, "on_hand.more"]
    assert "autofocus" in page.all("div", "faults")[0].attributes


def test_no_text_names_a_pointer_or_a_raw_unit() -> None:
    for changes in (WRONG, {"temperatures.core": "450 C", "pile.age": "?"}):
        text = page_of(filled(changes).main_form.submit(), 422).all("div", "faults")[0].text
        assert not re.search(r"deg[CF]|/[a-z]+/|as_of", text), text


def test_described_fields_point_at_words_that_exist() -> None:
    for page in (page_of(ask("GET", "/form")), page_of(filled(WRONG).main_form.submit(), 422)):
        for element in page.elements:
            for wanted in element.attributes.get("aria-describedby", "").split():
                page.by_id(wanted)
            if element.tag == "label" and "for" in element.attributes:
                page.by_id(element.attributes["for"])
        ids = [e.attributes["id"] for e in page.elements if "id" in e.attributes]
        assert len(ids) == len(set(ids))


@each(
    [
        {"temperatures.core": "85"},
        {"temperatures.core": "190", "units": "metric"},
        {"pile.age": "?", "temperatures.core": "50 C", "signs": "smoke"},
        {"pile.age": "?", "temperatures.core": "50 C", "smell": "burnt"},
        {"temperatures.core": "50 C", "pile.age": "the year it smoked"},
    ]
)
def test_a_refusal_that_speaks_of_fire_says_to_keep_clear(values: dict[str, str]) -> None:
    page = page_of(post(values), 422)
    assert page.all("p", "alarm")[0].text == WARNING


def test_a_plain_refusal_does_not() -> None:
    assert page_of(post({"temperatures.core": "50 C", "pile.age": "?"}), 422).all("p", "alarm") == []


@each(["volume", "mass", "volume.x", "", "/", "cone.x", "__class__"], every=3)
def test_made_up_words_are_refused_not_choked_on(shape: str) -> None:
    values = {**SMALLEST, "pile.size.shape": shape, "pile.size.width": "3 m", "pile.size.volume": "9 m3"}
    page_of(post(values), 422)
    for name in ("units", "smell", "signs", "season", "probe.checked", "done.0.action", "pile.cover", "edit"):
        assert post({**SMALLEST, "done.0.ago": "2 days", name: shape or "?"}).status_code in (200, 422)


# ------------------------------------------------------------------------------------------ what no browser sends


@each(["application/json", "multipart/form-data; boundary=x", "text/plain", ""])
def test_only_what_forms_send_is_taken(kind: str) -> None:
    reply = ask("POST", "/form", content=b"pile.age=3", headers={"content-type": kind} if kind else {})
    assert reply.status_code == 415 and reply.headers["content-type"] == "application/problem+json"


@each(
    [
        (b"", 422),
        (b"&&==&%&%zz", 422),
        (b"\xff\xfe=\x00", 422),
        (b"a=1&" * 700, 422),
        (b"pile.age=" + b"9" * 500, 422),
        (b"pile.age=3%00&temperatures.core=50", 422),
        (b"earlier=x&earlier=y&pile.age=3&temperatures.core=50", 422),
        (b"x" * (LARGEST_FORM + 1), 413),
    ]
)
def test_odd_bodies_are_refused_not_choked_on(body: bytes, status: int) -> None:
    headers = {"content-type": "application/x-www-form-urlencoded"}
    assert ask("POST", "/form", content=body, headers=headers).status_code == status


SENT = st.lists(
    st.tuples(
        st.sampled_from([*FIELDS, "as_of", "read_at", "earlier", "edit", "x"]),
        st.one_of(st.text(max_size=30), st.sampled_from(["50 C", "3 days", "none", "2026-01-18", "9 m3", "1e400"])),
    ),
    max_size=30,
)


def check_sent(pairs: list[tuple[str, str]]) -> None:
    try:
        reply = post(pairs)
    except UnicodeEncodeError:
        return
    assert reply.status_code in (200, 422)
    Page(reply.text) if reply.headers["content-type"].startswith("text/html") else reply.json()


test_nothing_sent_makes_it_fail = settings(max_examples=15, deadline=None)(given(SENT)(check_sent))
test_nothing_of_much_more_does = pytest.mark.slow(settings(max_examples=300, deadline=None)(given(SENT)(check_sent)))


@each(
    [
        ("48 C", "us", "metric"),
        ("118F", "metric", "us"),
        ("48 degrees c", "us", "metric"),
        ("48", "us", "us"),
        ("", "metric", "metric"),
    ]
)
def test_the_answer_comes_in_the_units_that_were_typed(core: str, chosen: str, units: str) -> None:
    assert system_of({"temperatures.core": (core,), "units": (chosen,)}) == units
