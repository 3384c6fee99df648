"""Whole conversations: what is said back, asked, skipped, explained and forgotten."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from service.answer.words import FIRE_SENTENCE
from service.problems.fire import WARNING
from service.talk.chat.alarm import alarm
from service.talk.chat.commands import command_in
from service.talk.chat.conversations import Conversations
from service.talk.chat.draft import Draft
from service.talk.chat.families import phrases_of
from service.talk.chat.talk import HELP, turn
from service.talk.chat.turn_reply import TurnReply
from service.talk.shape import ChatState
from tests.chat.talking import NOW, talked
from tests.each import each, now_and_then

FULL = (
    "ten weeks old, 14 yards of chips with cow manure, core 121F was 133 last Sunday, crumbly dry, no smell, fan 60 cfm"
)


def talk(*messages: str, draft: Draft | None = None) -> list[TurnReply]:
    if draft is None:
        return talked(*messages)[1]
    return [turn(draft, message, NOW) for message in messages]


def test_one_message_is_read_said_back_and_answered() -> None:
    (reply,) = talk(FULL)
    lines = reply.text.split("\n")
    assert lines[0].startswith("Read: 10 weeks old; a heap of 14 yd³; made of wood chips, cattle manure; core 121 °F;")
    assert "core 133 °F on Sun 18 Jan" in lines[0] and "fan 60 ft³/min" in lines[0]
    assert lines[1].startswith(f"1. {reply.actions[0]['title']}, ")
    assert "add_water" in [action["action"] for action in reply.actions]
    assert reply.question is not None and reply.question["question"] in reply.text
    assert reply.unread == []


def test_what_was_not_read_is_named() -> None:
    (reply,) = talk("ten weeks old, core 115-121F")
    assert 'Not read: "core 115-121f"' in reply.text
    assert reply.unread == [{"text": "core 115-121f", "why": "a range; which one number do you trust most?"}]
    assert reply.question is not None and reply.question["field"] == "/temperatures/core"


def test_age_and_core_are_asked_for_first_and_short_answers_do() -> None:
    first, second, third = talk("damp, no smell", "10 weeks", "52 C")
    assert first.question is not None and first.question["field"] == "/pile/age"
    assert second.question is not None and second.question["field"] == "/temperatures/core"
    assert third.actions and third.understood[0]["said"] == "core 52 °C"


def test_degrees_without_a_scale_wait_until_it_is_known() -> None:
    first, second = talk("ten weeks old, core 121, outside 28", "F")
    assert first.question is not None and first.question["field"] == "/units"
    assert not first.actions
    assert [item["said"] for item in second.understood] == ["core 121 °F", "outdoors 28 °F"]


def test_a_scale_told_by_the_way_settles_what_waits() -> None:
    _, second = talk("core 49", "outside -3C")
    assert [item["value"] for item in second.understood] == ["49 degC", "-3 degC"]


def test_not_knowing_is_an_answer() -> None:
    draft = Draft()
    first, second = talk("ten weeks old, core 121F", "don't know", draft=draft)
    assert first.question is not None and second.question is not None
    assert second.question["field"] != first.question["field"]
    assert draft.skipped == [first.question["field"]]


def test_not_knowing_may_be_followed_by_something_known() -> None:
    _, second = talk("ten weeks old, core 121F", "no idea, but it's damp and smells earthy")
    assert [item["said"] for item in second.understood] == ["damp", "smell: earthy"]


def test_without_age_nothing_is_advised() -> None:
    (*_, last) = talk("core 121F", "don't know")
    assert last.question is None and not last.actions
    assert "a guess in weeks will do" in last.text


def test_enough_is_said() -> None:
    draft = Draft()
    reply = talk(FULL, draft=draft)[0]
    for _ in range(14):
        if reply.question is None:
            break
        reply = turn(draft, "don't know", NOW)
    assert reply.question is None
    assert "enough to go on" in reply.text


WHY = ["why 1", "why 1?", "Why number 1", "why one", "explain 1", "why?", "reasons for 1"]


@pytest.mark.parametrize("asked", now_and_then(WHY, 3))
def test_an_action_is_explained_with_its_reasons_and_steps(asked: str) -> None:
    first, reply = talk(FULL, asked)
    assert reply.text.startswith(f"1. {first.actions[0]['title']}")
    assert "Because:" in reply.text and "   - " in reply.text


def test_the_second_action_is_explained() -> None:
    first, second = talk(FULL, "why 2?")
    assert second.text.startswith(f"2. {first.actions[1]['title']}")


def test_an_action_that_is_not_there_is_named_so() -> None:
    _, reply = talk(FULL, "why 20")
    assert reply.text.startswith("There is no action 20.")


def test_why_before_any_advice_asks_on() -> None:
    (reply,) = talk("why 2")
    assert reply.question is not None and reply.question["field"] == "/pile/age"


def test_more_gives_everything() -> None:
    _, reply = talk(FULL, "more")
    assert "Heat now" in reply.text and "Assumed, since nobody said" in reply.text


def test_starting_over_forgets() -> None:
    draft = Draft()
    talk(FULL, "start over", draft=draft)
    assert draft == Draft()


@each(["hello", "help", "?", "Hi!", "what is this thing"])
def test_who_tells_nothing_is_told_how(said: str) -> None:
    (reply,) = talk(said)
    assert HELP in reply.text or reply.question is not None


def test_a_later_message_corrects_an_earlier_one() -> None:
    draft = Draft()
    talk("ten weeks old, core 121F, dry", "core 125F, damp", draft=draft)
    assert draft.status["temperatures"] == {"core": "125 degF"}
    assert draft.status["moisture_feel"] == "damp"


def test_what_cannot_be_is_left_out_and_named() -> None:
    draft = Draft()
    (reply,) = talk("core 500C, outside 90C, 10 weeks old", draft=draft)
    assert draft.status == {"units": "metric", "pile": {"age": "10 weeks"}}
    assert [item["text"] for item in reply.unread] == ["core 500c", "outside 90c"]
    assert "more than this can be" in reply.text


def test_old_readings_are_given_with_their_age() -> None:
    draft = Draft()
    turn(draft, "ten weeks old, core 121F", NOW)
    later = NOW + timedelta(hours=5)
    assert draft.as_of(later)["read_at"] == {"/temperatures/core": NOW.isoformat()}
    turn(draft, "core 120F", later)
    assert "read_at" not in draft.as_of(later)


# ------------------------------------------------------------------------------------------------- fire


@each(
    [
        "smoke",
        "I see smoke",
        "smoke rising from the top near the fan",
        "it smells burnt",
        "burning smell",
        "no smoke",
        "is that smoke?",
        "the heap is on fire!",
        "glowing embers",
        "core 180F",
        "core 82 C",
        "core 170-180F",
        "it is 190 F in there",
        "don't know, it is smouldering",
        "why 1? it smokes",
        "core 75",
    ],
    every=4,
)
def test_fire_comes_first_whatever_else_is_said(said: str) -> None:
    for draft in (Draft(), Draft(status={"pile": {"age": "10 weeks"}, "temperatures": {"core": "121 degF"}})):
        text = turn(draft, said, NOW).text
        assert text.startswith(("Keep clear of the heap", "If the heap truly reads 80 °C"))
        assert "keep clear of the heap and call the fire service" in text.lower()


@each(["smoke", "it smells burnt"])
def test_fire_that_is_sure_asks_only_for_help(said: str) -> None:
    _, reply = talk("ten weeks old, core 121F", said)
    assert reply.keep_clear == FIRE_SENTENCE
    assert reply.question is not None and reply.question["field"] == "/help_called"
    assert reply.actions[0]["action"] == "keep_clear_and_call_fire_service"


def test_a_core_of_eighty_is_a_fire_whatever_is_unknown() -> None:
    (reply,) = talk("ten weeks old, core 300 C")
    assert reply.keep_clear == FIRE_SENTENCE


@each(["core 121F", "fan 100 m3/h", "greenhouse 2400 ft3", "core 60 C", "ten weeks old"])
def test_no_alarm_without_cause(said: str) -> None:
    assert alarm(said, (), None) is None


def test_an_unsure_alarm_is_conditional() -> None:
    assert alarm("no smoke", (), None) == WARNING
    assert alarm("core 75", (), None) == WARNING
    assert alarm("core 150", (), "us") is None


# --------------------------------------------------------------------------------------------- commands


@each(
    [
        ("why 2?", "why"),
        ("don't know", "unknown"),
        ("I don't know", "unknown"),
        ("Dunno.", "unknown"),
        ("not sure", "unknown"),
        ("skip", "unknown"),
        ("?", "unknown"),
        ("can\N{RIGHT SINGLE QUOTATION MARK}t tell", "unknown"),
        ("°F", "scale"),
        ("fahrenheit", "scale"),
        ("in celsius", "scale"),
        ("MORE", "more"),
        ("help!", "help"),
        ("start over", "reset"),
        ("what should I do?", "advice"),
        ("core 121F", None),
        ("why is the core 121F", None),
        ("dry", None),
        ("clear film on it", None),
    ]
)
def test_commands_are_told_from_reports(said: str, kind: str | None) -> None:
    found = command_in(said)
    assert (found.kind if found else None) == kind


# ---------------------------------------------------------------------------------------- conversations


def test_conversations_are_bounded_and_expire() -> None:
    time = [0.0]
    kept = Conversations(most=3, kept_s=100.0, clock=lambda: time[0])
    for name in ("a", "b", "c", "d"):
        with kept.draft(name) as draft:
            draft.status["pile"] = {"age": f"{name} days"}
    assert len(kept) == 3
    with kept.draft("a") as draft:
        assert draft == Draft()
    with kept.draft("d") as draft:
        assert draft.status["pile"] == {"age": "d days"}
    time[0] = 101.0
    with kept.draft("d") as draft:
        assert draft == Draft()
    assert len(kept) == 1


@each(["how much water then?", "which first?", "how many litres do i pour on"])
def test_what_is_asked_about_this_heap_is_answered_as_it_was_advised(asked: str) -> None:
    draft = Draft()
    advised = turn(draft, "two months old, core 54C, was 62C a week ago, a handful is dry", NOW).text
    dose = re.search(r"Add water, today, ([^.]+)\.", advised)
    assert dose is not None and dose[1] in turn(draft, asked, NOW).text


def test_a_goal_that_is_past_is_dropped_and_said() -> None:
    state = ChatState.model_validate({"status": {"goal": {"until": "2025-12-31"}, "pile": {"age": "10 weeks"}}})
    draft = Draft.of(state.status)
    (reply,) = talk("core 52C", draft=draft)
    assert "2025-12-31, is past" in reply.text
    assert "goal" not in draft.status and draft.status["temperatures"] == {"core": "52 degC"}
    coming = Draft.of({"goal": {"until": "2026-03-31"}})
    assert "is past" not in talk("core 52C", draft=coming)[0].text
    assert coming.status["goal"] == {"until": "2026-03-31"}


def test_a_newer_core_makes_the_one_before_an_earlier_reading() -> None:
    draft = Draft()
    turn(draft, "8 weeks old, core 131F", NOW)
    turn(draft, "now it's 118F", NOW + timedelta(days=3))
    assert draft.status["temperatures"] == {"core": "118 degF"}
    assert draft.status["history"] == [{"at": NOW.isoformat(), "core": "131 degF"}]
    turn(draft, "core 117F", NOW + timedelta(days=3, minutes=20))  # so soon after, it is read anew
    assert len(draft.status["history"]) == 1 and draft.status["temperatures"] == {"core": "117 degF"}


@each(
    [
        "the loop water comes out at 41 C and we use it for the shower",
        "we fill the bathtub from the loop",
        "water from the loop comes back at 30 C and we spray the seedlings with it",
        "wir duschen mit dem Wasser aus der Schleife",
    ]
)
def test_loop_water_on_people_is_answered_first(said: str) -> None:
    (reply,) = talk(said)
    assert reply.text.startswith("Never shower in or drink loop water") and "Legionella" in reply.text


def test_rain_showers_and_bad_smells_are_no_bath() -> None:
    (reply,) = talk("light showers all day, smells bad somehow, 60 days old, core 50 C")
    assert "Legionella grows" not in reply.text


def test_a_pump_that_is_to_be_turned_off_is_no_heap_to_be_turned() -> None:
    _, reply = talk("60 days old, core 47 C, pump runs all day at 3 L/min", "should I turn it off?")
    assert "turning lets" not in reply.text
    _, reply = talk("60 days old, core 47 C", "should I turn it?")
    assert "turning lets" in reply.text


def test_whether_it_is_safe_is_never_answered_without_the_cautions_for_life() -> None:
    _, reply = talk("core 50 C, 40 days old, loop on, fan on", "is it safe?")
    assert "germs of the lungs (Legionella)" in reply.text and "deadly gas" in reply.text
    _, reply = talk("core 50 C, 40 days old", "is 158F dangerous?")
    assert "158 °F" in reply.text


def test_a_leak_does_not_silence_what_loop_water_does_to_people() -> None:
    (reply,) = talk("the thing by the loop is leaking a bit, and we shower with that water")
    assert "Never shower in or drink loop water" in reply.text


def test_whether_it_is_dangerous_is_answered_by_how_it_stands() -> None:
    _, reply = talk("core 71 C, 25 days old, dusty inside", "is that dangerous?")
    assert reply.text.startswith("Watch the heat") and "71" in reply.text


def test_a_box_is_said_back_by_its_measures() -> None:
    (reply,) = talk("a 6x6x5 foot bin, core 50 C")
    assert "6 ft by 6 ft by 5 ft high" in reply.text and "{" not in reply.text


@each(
    [
        ("the pump packed up last night", ["seen: no flow in loop"]),
        ("pump gave up on friday and the core is 51 C", ["seen: no flow in loop", "core 51 °C"]),
        ("the fan conked out overnight", ["seen: fan stopped"]),
        ("pump went wibbly on monday", []),
    ]
)
def test_a_pump_that_stopped_on_a_day_has_not_run_since(said: str, read: list[str]) -> None:
    (reply,) = talk(said)
    assert [each["said"] for each in reply.understood] == read
    assert read or reply.unread


@each(["I think it's a closed duct", "closed loop, as far as I know", "probably a closed loop"])
def test_what_a_caution_rests_on_is_not_taken_from_who_is_unsure(said: str) -> None:
    draft = Draft()
    (reply,) = talk(said, draft=draft)
    assert "draw" not in draft.status
    assert any("unsure" in item["why"] for item in reply.unread)


def test_a_hedge_about_something_else_takes_nothing_away() -> None:
    draft = Draft()
    talk("it's a closed duct, I think the fan does 60 cfm", draft=draft)
    assert draft.status["draw"]["air"] == {"path": "closed_duct", "flow": "60 ft3/min"}


def test_what_nobody_knows_is_said_back_and_not_asked() -> None:
    draft = Draft()
    (reply,) = talk("ten weeks old, core 121F, no idea about moisture", draft=draft)
    assert draft.skipped == ["/moisture_feel"]
    assert "Not known, and not asked again: moisture feel." in reply.text
    assert reply.question is not None and reply.question["field"] != "/moisture_feel"


def test_a_heat_that_is_asked_about_is_judged_in_either_way_of_writing() -> None:
    replies = [talk(FULL, asked)[-1].text for asked in ("is 158 too hot?", "is 158F too hot?")]
    assert all("in the middle is too hot: look for fire each day" in text for text in replies)


def test_a_family_of_phrases_is_each_of_its_words() -> None:
    slots = {"moves": ["sucks", "draws"], "house": ["tunnel"]}
    told = list(phrases_of({"says": ["{moves} {?air} from the {house}"]}, slots))
    assert told == [
        "sucks air from the tunnel",
        "sucks from the tunnel",
        "draws air from the tunnel",
        "draws from the tunnel",
    ]


@each(
    [
        "8 weeks old, 14 yards of chips and 4 of horse manure, core 118F, 140F last sunday, pump 2 gpm all day, damp",
        "10 days old, chicken manure and straw half and half, smells of ammonia, core 63 C, pump 3 L/min all day",
        "60 days old, core 58 C, 24 m3, damp, fan 40 m3/h 10 minutes an hour, outside -4 C",
        "10 weeks, 16 yds chips 4 yds horse poo, clear film on, core 119F, damp, earthy, fan 45cfm 12min/hr 24/7",
    ]
)
def test_what_a_reply_says_beside_what_it_read_is_short(said: str) -> None:
    (reply,) = talk(said)
    told = [line for line in reply.text.split("\n") if not line.startswith(("Read:", "Not read:"))]
    assert reply.actions and len(" ".join(told).split()) <= 120, told


@each(["where do i start?", "which comes first?", "how much can i take", "what next?"])
def test_a_question_before_anything_is_told_asks_for_what_it_needs(asked: str) -> None:
    (reply,) = talk(f"a heap of chips made 10 weeks ago. {asked}")
    assert reply.question is not None and reply.question["field"] == "/temperatures/core"


def test_a_pipe_that_leaks_is_told_of_first_while_nothing_can_be_advised() -> None:
    leaks, known = talk("the joint on the coil popped off", "ten weeks old, core 121F")
    assert leaks.text.startswith("A pipe leaks: switch the pump off and shut the valve first")
    assert leaks.question is not None and known.text.count("switch the pump off and shut the valve first") == 1


@each([("core 52C at 6am", "2026-01-20T06:00:00+00:00"), ("core 52C at 7:30 am", "2026-01-20T07:30:00+00:00")])
def test_a_reading_of_an_hour_of_today_has_that_hour(said: str, at: str) -> None:
    draft = Draft()
    turn(draft, said, NOW)
    assert draft.status["temperatures"]["core"] == "52 degC"
    assert draft.told_at["/temperatures/core"] == at


@each(
    [
        "the fan blows into the greenhouse through the heap",
        "fan blows through the heap into the tunnel",
        "a fan pushes air through the pile",
    ]
)
def test_air_that_is_blown_through_the_heap_is_never_left_out(said: str) -> None:
    draft = Draft()
    turn(draft, said, NOW)
    assert draft.status["draw"]["air"]["path"] == "through_heap"


@each(
    [
        ("how long will it last?", "If nothing is changed it is likely to stay warm for "),
        ("is it ok to leave the fan on overnight?", "Only as long as the core holds"),
        ("what's legionella?", "never spray or shower with it"),
        ("how much can I take?", "What it can keep up to the goal's date is "),
        ("can I take heat?", "What it can keep up to the goal's date is "),
    ]
)
def test_a_common_question_is_answered_for_the_heap_that_is_known(asked: str, answer: str) -> None:
    replies = talk(FULL, asked)
    assert answer in replies[1].text
    assert "about up to" not in replies[1].text
