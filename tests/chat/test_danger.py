"""What the chat does where life is at stake: it comes first, whatever else is said, in eight languages."""

from __future__ import annotations

import pytest

from rules.tables.alarm_words import is_answer, speaks_of
from service.answer.words import FIRE_SENTENCE
from service.problems.fire import KEEP_CLEAR_FROM, WARNING
from service.talk.chat.danger import NO_PEACE
from service.talk.chat.draft import Draft
from service.talk.chat.talk import turn
from service.talk.chat.turn_reply import TurnReply
from service.talk.shape import ChatState
from tests.chat.talking import NOW, talked
from tests.each import each, now_and_then

WELL = "ten weeks old, core 55C, damp, earthy"
"""A heap that is told to keep going."""
NEAR = ("dig", "squeeze", "handful", "push the probe", "walk up", "arm's depth", "how old")


def talk(*said: str) -> tuple[Draft, TurnReply]:
    draft, replies = talked(*said)
    return draft, replies[-1]


# Words of fire, smoke and burning in the languages of the European norm for signs would be too few: these are our own
# translations (from memory).
FIRE_WORDS = (
    *(
        "there is smoke",
        "it is burning",
        "a smouldering smell",
        "flames!",
        "the heap caught light",
        "ember",
        "\N{FIRE}",
    ),
    *("hay humo", "huele a quemado", "fuego", "está ardiendo", "incendio"),
    *("es raucht", "es brennt", "verbrannt riecht es", "Feuer", "es glüht innen", "Schwelbrand im Haufen: es schwelt"),
    *("il y a de la fumée", "ça sent le brûlé", "au feu", "un incendie"),
    *("esce fumo", "odore di bruciato", "fuoco", "fiamme", "sta fumando"),
    *("há fumaça", "cheira a queimado", "fogo", "incêndio"),
    *("er komt rook uit", "het ruikt verbrand", "brand", "het smeult"),
    *("leci dym", "czuć spalenizną", "pożar", "ogień", "pali się", "swąd"),
)


@pytest.mark.parametrize("said", now_and_then(FIRE_WORDS, 12))
def test_words_of_fire_come_first_and_are_never_followed_by_keep_going(said: str) -> None:
    _, reply = talk(WELL, said)
    assert reply.text.startswith((FIRE_SENTENCE, WARNING))
    assert "Keep going" not in reply.text and not {item["action"] for item in reply.actions} & NO_PEACE
    assert reply.question is not None and reply.question["field"] in ("/signs", "/help_called")


@pytest.mark.parametrize(
    "said",
    now_and_then(
        [
            *(
                "it smells of gas in the house",
                "my wife has a headache",
                "I feel dizzy in there",
                "everybody felt dizziness",
            ),
            *("the pipe is frozen solid", "a hose burst", "the loop is leaking", "water leaks at the joint"),
            *("huele a gas", "mir ist schwindelig", "mal de tête", "boli mnie głowa", "het leidinkje is bevroren"),
            *("me siento mal", "estou enjoado", "o cano está estourado", "the hose popped off"),
        ],
        3,
    ),
)
def test_gas_sick_people_and_pipes_come_first_and_are_never_followed_by_keep_going(said: str) -> None:
    _, reply = talk(WELL, said)
    first = reply.text.split("\n")[0]
    seen_to = bool(reply.actions) and (reply.actions[0]["action"], reply.actions[0]["urgency"]) == ("check_loop", "now")
    assert first.startswith(("If you smell gas", "If a pipe is frozen", "Everybody out")) or seen_to
    assert "Keep going" not in reply.text and "Wait and see" not in reply.text


@pytest.mark.parametrize(
    "said",
    now_and_then(
        [
            *("it is leaking brown water", "frozen crust", "steaming", "November was damp", "horse manure", "chips"),
            *("Brennnesseln", "fumier de cheval", "humedad", "brandnetels", "my fan is brandnew"),
        ],
        3,
    ),
)
def test_what_only_looks_like_an_alarm_is_none(said: str) -> None:
    _, reply = talk(WELL, said)
    assert reply.keep_clear is None


@each(
    ["core 82C", "core 180F", "core 180", "85 C at 2 ft", "95F in the shell, core 300C"],
    ["", "why 1", "help", "more", "yes", "don't know", "damp", "what now?", "°F"],
    every=4,
)
def test_eighty_degrees_get_the_fire_answer_whatever_is_missing_or_asked(said: str, then: str) -> None:
    # Surrey Fire and Rescue: from 80 degC keep clear and call
    _, reply = talk(said, *([then] if then else []))
    assert reply.text.startswith(FIRE_SENTENCE)
    assert "112 / 911" in reply.text and "Look again at 09:00" in reply.text
    asked = reply.question["question"].lower() if reply.question else ""
    assert not any(word in asked for word in NEAR)
    assert "Keep going" not in reply.text


def test_the_fire_answer_shows_the_reading_as_it_was_given() -> None:
    _, reply = talk("core 180F")
    assert "core 180 °F" in reply.text


def test_the_local_number_comes_first() -> None:
    draft = Draft(status={"emergency_number": "999"})
    assert "999 / 112 / 911" in turn(draft, "core 90C", NOW).text


def test_yes_and_no_answer_only_what_was_asked_in_danger() -> None:
    draft, reply = talk(WELL, "hay humo")
    assert reply.question is not None and "smoke" in reply.question["question"]
    turn(draft, "no", NOW)
    assert draft.status["not_seen"] == ["smoke"] and "signs" not in draft.status
    draft, _ = talk(WELL, "hay humo")
    assert turn(draft, "sí", NOW).text.startswith(FIRE_SENTENCE)
    draft, _ = talk("core 82C")
    turn(draft, "yes", NOW)
    assert draft.status["help_called"] is True


def test_no_says_no_to_the_signs_that_were_named_and_to_nothing_else() -> None:
    draft = Draft(status={"pile": {"age": "10 weeks"}, "temperatures": {"core": "121 degF"}}, asked="/signs")
    turn(draft, "no", NOW)
    assert "signs" not in draft.status and "smell" not in draft.status
    assert "fan_stopped" not in draft.status["not_seen"] and "smoke" in draft.status["not_seen"]


def test_no_is_a_smell_only_where_smell_was_asked() -> None:
    for asked in (None, "/signs", "/moisture_feel", "/pile/cover", "/history"):
        draft = Draft(status={"pile": {"age": "10 weeks"}, "temperatures": {"core": "121 degF"}}, asked=asked)
        turn(draft, "no", NOW)
        assert "smell" not in draft.status


@each(["no, 131F", "sorry, I meant 131F", "actually 131F", "wrong, 131F", "core isn't 121F"])
def test_a_later_correction_never_leaves_the_earlier_value_standing(said: str) -> None:
    draft, _ = talk("ten weeks old, core 121F", said)
    assert draft.status["temperatures"].get("core") != "121 degF"
    assert draft.status["pile"]["age"] == "10 weeks"


def test_a_fire_reading_in_doubt_is_still_told_of() -> None:
    _, reply = talk("ten weeks old, core 82C", "no, 31C")
    assert reply.text.startswith(WARNING) and "Keep going" not in reply.text


def test_words_are_found_whatever_their_accents_and_case() -> None:
    assert speaks_of("fire", "OGIEŃ") and speaks_of("fire", "BRÛLÉ") and speaks_of("fire", "smells_burnt")
    assert is_answer("no", "No.") and is_answer("yes", "Sí!") and not is_answer("no", "no flow")


def test_the_warning_quotes_the_one_limit() -> None:
    assert KEEP_CLEAR_FROM == "80 °C (176 °F)" and KEEP_CLEAR_FROM in WARNING


@each(
    [
        ("my wife got dizzy near the duct", "open air", "she is fine now"),
        ("there is a funny burning smell maybe", "from afar", "no smoke seen"),
        ("il y a une odeur de gaz", "open air", "tout le monde va bien"),
    ],
    every=3,
)
def test_an_alarm_stays_first_until_it_is_settled(first: str, still: str, settles: str) -> None:
    draft = Draft()
    turn(draft, first, NOW)
    passing = ("ok did that, what next", "better safe than sorry", "I fixed the fan", "is she ok?", "if she is fine")
    for text in ("the heap is 8 weeks old, core 50 C, damp", "why 1", "she is not better", *passing):
        reply = turn(draft, text, NOW)
        assert still in reply.text.split("\n")[0], text
        assert not {"keep_going", "wait", "raise_draw"} & {action["action"] for action in reply.actions}
        assert "Keep going" not in reply.text
    assert draft.unsettled
    reply = turn(draft, settles, NOW)
    assert draft.unsettled == [] and "is fine now" not in reply.text
    assert still not in turn(draft, "advice", NOW).text.split("\n")[0]


def test_a_caller_who_keeps_the_state_himself_keeps_the_alarm() -> None:
    draft = Draft()
    turn(draft, "my wife got dizzy near the duct", NOW)
    assert ChatState.model_validate(draft.as_state()).unsettled == ["people"]


def test_who_is_unwell_beside_a_fire_is_told_of_that_too() -> None:
    reply = turn(Draft(), "core 50 C, 60 days old, smoke from the top, and I have a headache", NOW)
    assert "call the fire service" in reply.text and "Everybody out into the open air now." in reply.text


# Our own translations (from memory).
SHOCKS = (
    "the pump gave me a shock",
    "tingling when I touch the wet pipe",
    "me dio un calambre la bomba",
    "Stromschlag von der Pumpe",
    "j'ai pris une décharge électrique",
    "ho preso la scossa dal ventilatore",
    "levei um choque da bomba",
    "een elektrische schok gekregen",
    "pompa kopie prądem",
)


@each(SHOCKS, every=4)
def test_a_shock_comes_first_until_it_is_mended(said: str) -> None:
    _, reply = talk(WELL, said)
    assert reply.text.startswith("If pump, fan, wires or wet ground give a shock") and "112 / 911" in reply.text
    assert not {item["action"] for item in reply.actions} & NO_PEACE
    _, later = talk(WELL, said, "core 56C now")
    assert later.text.startswith("You spoke of a shock")
    _, mended = talk(WELL, said, "the pump is fixed now and an electrician has seen it")
    assert "You spoke of a shock" not in mended.text


@each(
    [
        ("the pipe burst", "switch the pump off and shut the valve first"),
        ("a pipe is frozen", "never with a flame"),
        ("my eyes sting", "Get upwind into the open"),
        ("it smells of rotten egg", "is a poison"),
        ("it smells of ammonia", "get out into the open"),
        ("I've got a fever since turning the heap", "See a doctor today"),
        ("the baby is sleeping in the greenhouse", "never sleep there"),
        ("water squirts out and hits the plug", "touch none of them"),
        ("the CO meter reads 80 ppm", "everybody out into the open air now"),
        ("all the chickens died in the greenhouse", "all out into the open air now"),
    ]
)
def test_what_presses_is_told_before_anything_is_known_of_the_heap(said: str, told: str) -> None:
    _, reply = talk(said)
    assert told in reply.text.partition("\n")[0]
    assert reply.question is not None or reply.alarms.kinds
    _, later = talk(said, "ten weeks old")
    assert told not in later.text


@each(["it smells like a campfire", "smells like wood smoke", "black charcoal bits inside"])
def test_what_smells_or_looks_of_fire_is_met_as_fire(said: str) -> None:
    _, reply = talk(said)
    assert reply.text.startswith((FIRE_SENTENCE, WARNING))


@each(["my nose bleeds", "it smells like lavender", "smells of roses"])
def test_what_is_no_known_smell_is_not_taken_as_a_stench(said: str) -> None:
    draft, reply = talk(said)
    assert "smell" not in draft.status and reply.unread


@each(
    [
        ("my daughter collapsed in there", True),
        ("two of us collapsed in there", True),
        ("the hens in the greenhouse are dead", True),
        ("my son fell into the heap", True),
        ("the heap has collapsed on one side", False),
        ("the sides collapsed", False),
    ]
)
def test_who_went_down_is_no_heap_that_slumped(said: str, alarmed: bool) -> None:
    draft, reply = talk(WELL, said)
    assert reply.text.startswith("If you smell gas") is alarmed
    assert ("slumping" in (draft.status.get("signs") or [])) is not alarmed
    assert not alarmed or not {item["action"] for item in reply.actions} & NO_PEACE


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("can I run a petrol generator in the greenhouse", "carbon monoxide"),
        ("could we put a grill in the greenhouse tonight?", "carbon monoxide"),
        ("can I crawl into the duct", "Never climb or put your head"),
        ("may I climb on the heap", "Keep off it"),
        ("should I pour petrol on it", "Never put fuel"),
        ("can I use the loop water for my plants", "Legionella"),
        ("can I use it to fill the kids pool", "Legionella"),
    ],
)
def test_a_question_that_may_kill_has_its_answer_whatever_heap_is_told_of(asked: str, told: str) -> None:
    for said in ((asked,), (WELL, asked)):
        _, reply = talk(*said)
        assert told in reply.text, reply.text


@pytest.mark.parametrize(
    "said",
    [
        *("it glowed red inside", "the heap collapsed on me", "the relief valve is hissing", "the loop is boiling"),
        *("the greenhouse alarm went off yesterday but stopped", "the dog fell asleep in there and would not wake"),
    ],
)
def test_what_happened_at_the_heap_is_answered_first(said: str) -> None:
    _, reply = talk(WELL, said)
    assert reply.alarms.sentences and "Keep going" not in reply.text


def test_a_no_that_begins_a_correction_denies_no_sign() -> None:
    draft, _ = talk("I see something smoking on the heap", "no it's only steam")
    assert "steam" in draft.status["signs"] and "steam" not in draft.status.get("not_seen", [])
    draft, reply = talk("core 50C, 60 days old", "no. The core is 53C")
    assert reply.question and not draft.status.get("not_seen") and draft.status["temperatures"]["core"] == "53 degC"
    draft, _ = talk("core 50C, 60 days old", "no, there are cracks")
    assert draft.status["signs"] == ["cracks"] and not draft.status.get("not_seen")


def test_a_question_that_was_answered_no_is_not_asked_again() -> None:
    draft, reply = talk("core 50C, 60 days old", "no")
    assert "smoke" in draft.status["not_seen"] and reply.question and reply.question["field"] != "/signs"


@each(
    [
        ("it's 80", "is it of?"),
        ("its 80 now", "middle of the heap"),
        ("it reads 160", "is it of?"),
    ]
)
def test_a_bare_number_that_may_be_a_burning_heap_is_asked_about_at_once_fire_first(text: str, asked: str) -> None:
    reply = turn(Draft(), text, NOW)
    assert reply.keep_clear
    assert reply.text.startswith(reply.keep_clear)
    assert asked in reply.text


@each(["it's 60", "its 45 now", "80 yards of chips"])
def test_a_number_that_no_heap_burns_at_raises_no_alarm(text: str) -> None:
    assert turn(Draft(), text, NOW).keep_clear is None


@each(
    [
        ("Kern 54 Grad, Mitte feucht, riecht nach Ammoniak", "Englisch", ""),
        ("El montón está húmedo y huele mal", "inglés", ""),
        ("Le tas est humide dehors", "anglais", ""),
        ("Haufen raucht stark, Kern 70 Grad", "Englisch", "fire service"),
        ("Mir ist schwindlig im Gewächshaus", "Englisch", "open air"),
    ]
)
def test_a_message_in_another_language_is_told_so_in_it_and_its_danger_counts(text: str, own: str, first: str) -> None:
    """What denies or turns a word in another language is not known, so nothing else is read of it."""
    draft = Draft()
    reply = turn(draft, text, NOW)
    assert own in reply.text
    assert first in (reply.keep_clear or "")
    assert not reply.understood
    assert not draft.status
