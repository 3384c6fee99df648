"""Readings of one message beside each other: which go together, which take each other's place, which contradict."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from rules import catalogue
from service.talk.chat.clause import Clause
from service.talk.chat.meaning_change import CHANGE, before_change
from service.talk.chat.meaning_heat import NO_DAY
from service.talk.chat.meaning_lone import LONE_HISTORY, LONE_TEMPERATURE
from service.talk.chat.moments import DAYS_IN_WEEK
from service.talk.chat.reading import HeardValue
from service.talk.chat.understanding import Heard, Unread

_OF_OTHER_DAYS: Final = frozenset({"/history/-", LONE_HISTORY})
_TEMPERATURES: Final = frozenset(
    {
        *("/temperatures/core", "/temperatures/outer", "/temperatures/outdoor", "/temperatures/points/-"),
        *("/greenhouse/temperature", "/weather/low", "/draw/air/outlet", "/draw/water/outlet"),
        *("/draw/air/inlet", "/draw/water/inlet"),
    }
)
_OF_NOW: Final = frozenset({"/temperatures/core", LONE_TEMPERATURE})
_LAST: Final = "9"
"""Later than all moments as they are written."""
_ANY_SMELL: Final = frozenset({"foul", "sharp"})


def consistent(told: Sequence[tuple[HeardValue, Clause]], heard: Heard) -> list[tuple[HeardValue, str, bool]]:
    """Without values of which one message gives two: none of them is taken, unless a later one corrects."""
    kept: list[tuple[HeardValue, Clause]] = []
    for place, (reading, clause) in enumerate(told):
        later = (pair for pair in told[place + 1 :] if pair[1] is not clause and pair[1].corrects)
        if not any(_is_rival(other, reading) for other, _ in later):
            kept.append((reading, clause))
    spoiled = [reading for reading, _ in kept if any(_is_rival(other, reading) for other, _ in kept)]
    texts = dict.fromkeys(clause.text for reading, clause in kept if reading in spoiled)
    if texts:
        heard.unread.append(Unread(" / ".join(texts), catalogue.said("chat.two-values")))
    return [(reading, clause.text, clause.corrects) for reading, clause in kept if reading not in spoiled]


def as_now(kept: list[tuple[HeardValue, Clause]], heard: Heard) -> list[tuple[HeardValue, Clause]]:
    """Of two readings of the core the one that is said to be of now: "it shot up to 65, now back down at 50"."""
    smells = [pair for pair in kept if pair[0].pointer == "/smell"]
    if any(pair[1].of_now for pair in smells):  # "it smelled of rotten eggs, now it smells of earth"
        past = [pair for pair in smells if not pair[1].of_now and pair[0].value != "burnt"]
        heard.unread += [Unread(clause.text, catalogue.said("chat.only-now")) for _, clause in past]
        kept = [pair for pair in kept if pair not in past]
    cores = [pair for pair in kept if pair[0].pointer in _OF_NOW]
    now = [pair for pair in cores if pair[1].of_now]
    if len(now) != 1 or len(cores) < 2:
        return kept
    then = [pair for pair in cores if pair[1] is not now[0][1] and _went_there(pair[1])]
    heard.unread += [Unread(clause.text, NO_DAY) for _, clause in then]
    return [pair for pair in kept if pair not in then]


def _went_there(clause: Clause) -> bool:
    """Whether it says what the core went to, at whatever time."""
    return any(piece.terminal in ("FELL_TO", "REACHED") for piece in clause.pieces)


def in_particular(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Without "it stinks" where the same message says of what."""
    told = _sized_once(_covered_anew(_without_power(_hours_told(_all_day(_glazed(_stronger(told)))))))
    smells = {reading.value for reading, _ in told if reading.pointer == "/smell"}
    if smells == {"none", "earthy"}:  # "no smell really, just earthy"
        return [pair for pair in told if (pair[0].pointer, pair[0].value) != ("/smell", "none")]
    if smells <= _ANY_SMELL | {"none"}:
        return told
    return [pair for pair in told if pair[0].pointer != "/smell" or pair[0].value not in _ANY_SMELL]


def _all_day(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """With "24/7" as every hour of the day, where minutes of the hour are told beside it."""
    minutes = {(each.pointer, str(each.value)) for each, _ in told if each.pointer.endswith("/minutes_per_hour")}
    always = {pointer for pointer, value in minutes if value == _ALWAYS}
    both = {pointer for pointer in always if len([pair for pair in minutes if pair[0] == pointer]) > 1}
    return [
        (replace(each, pointer=each.pointer.replace("minutes_per_hour", "hours_per_day"), value="24 h/day"), clause)
        if each.pointer in both and str(each.value) == _ALWAYS
        else (each, clause)
        for each, clause in told
    ]


_ALWAYS: Final = "60 min/h"
_AT_NIGHT: Final = "12 h/day"
"""What "at night" stands for where no hours are told."""


def _without_power(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """With fan and pump as off, not as not there, where the power is out: "lost power so no fan no pump"."""
    if not any((each.pointer, each.value) == ("/signs/-", "power_out") for each, _ in told):
        return told
    kept: list[tuple[HeardValue, Clause]] = []
    for each, clause in told:
        none = (each.pointer, each.value) == ("/equipment", [])
        off = [HeardValue(f"/draw/{way}/minutes_per_hour", "0 min/h") for way in ("air", "water")]
        kept += [(reading, clause) for reading in (off if none else [each])]
    return kept


def _covered_anew(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Without "no cover" where something was put on after it was taken off: "pulled the tarp off and put fleece on"."""
    covers = [pair for pair in told if pair[0].pointer == "/pile/cover"]
    anew = len(covers) > 1 and covers[0][0].value == "none" and all(each.value != "none" for each, _ in covers[1:])
    off = anew and any(piece.terminal == "OFF" for piece in covers[0][1].pieces)
    return [pair for pair in told if pair is not covers[0]] if off else told


def _sized_once(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """With a volume that was told of the first thing as that thing's, where the heap's measures are told too."""
    sizes = [pair for pair in told if pair[0].pointer == "/pile/size"]
    whole = [pair for pair in sizes if set(pair[0].value) == {"volume"}]
    made = [pair for pair in told if pair[0].pointer == "/pile/ingredients" and whole and pair[1] is whole[0][1]]
    if len(sizes) != len(whole) + 1 or len(whole) != 1 or len(made) != 1 or "amount" in made[0][0].value[0]:
        return told
    first, *others = made[0][0].value
    mix = replace(made[0][0], value=[{**first, "amount": whole[0][0].value["volume"]}, *others])
    return [(mix, pair[1]) if pair is made[0] else pair for pair in told if pair is not whole[0]]


def _hours_told(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Without the hours that "at night" stands for where they are told: "only at night, 8 hours"."""
    exact = {
        each.pointer for each, _ in told if each.pointer.endswith("/hours_per_day") and str(each.value) != _AT_NIGHT
    }
    return [(each, clause) for each, clause in told if each.pointer not in exact or str(each.value) != _AT_NIGHT]


def _glazed(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Of "double glazed, 55 m2 of glass" the double glazing."""
    pairs = {(reading.pointer, str(reading.value)) for reading, _ in told}
    if not {("/greenhouse/glazing", "glass"), ("/greenhouse/glazing", "double_glass")} <= pairs:
        return told
    return [pair for pair in told if (pair[0].pointer, pair[0].value) != ("/greenhouse/glazing", "glass")]


def _stronger(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Of two words for one feel, such as "falls apart, bone dry", the stronger."""
    feels = {reading.value.get("moisture_feel") for reading, _ in told if reading.pointer == "/moisture_feel"}
    weaker = {frozenset({"dry", "dusty"}): "dry", frozenset({"wet", "soggy"}): "wet"}.get(frozenset(feels))
    return [
        (reading, clause)
        for reading, clause in told
        if reading.pointer != "/moisture_feel" or reading.value != {"moisture_feel": weaker}
    ]


def in_one_list(told: list[tuple[HeardValue, Clause]]) -> list[tuple[HeardValue, Clause]]:
    """Things that are listed by themselves are more of the list before them, where that has no amounts."""
    kept: list[tuple[HeardValue, Clause]] = []
    for reading, clause in told:
        before = next((pair for pair in kept if pair[0].pointer == reading.pointer == "/pile/ingredients"), None)
        if before is not None and _adds_amounts(before[0], reading):
            kept[kept.index(before)] = (replace(before[0], value=[*before[0].value, *reading.value]), before[1])
            continue
        if before is None or not reading.unless_told or any(set(part) != {"material"} for part in before[0].value):
            kept.append((reading, clause))
            continue
        more = [part for part in reading.value if part not in before[0].value]
        kept[kept.index(before)] = (replace(before[0], value=[*before[0].value, *more]), before[1])
    return kept


def _adds_amounts(before: HeardValue, more: HeardValue) -> bool:
    """Whether two lists have an amount of each thing, and no thing in both: "4 yards of chips. 1 yard of manure"."""
    things = [part["material"] for part in (*before.value, *more.value)]
    counted = all("amount" in part for part in (*before.value, *more.value))
    return counted and len(set(things)) == len(things)


def with_changes(told: list[tuple[HeardValue, Clause]], heard: Heard) -> list[tuple[HeardValue, Clause]]:
    """The readings with what is told of a fall or a rise as the earlier reading that follows from it and the core."""
    core = next((reading.value for reading, _ in told if reading.pointer == "/temperatures/core"), None)
    kept: list[tuple[HeardValue, Clause]] = []
    for place, (reading, clause) in enumerate(told):
        of_core = core if clause.of_the_heap or _is_beside_core(told, place) else None
        earlier = before_change(reading, of_core) if reading.pointer == CHANGE else reading
        if earlier is None:
            heard.unread.append(Unread(clause.text, catalogue.said("chat.change-of-what")))
        else:
            kept.append((earlier, clause))
    return kept


def _is_beside_core(told: Sequence[tuple[HeardValue, Clause]], place: int) -> bool:
    """Whether the temperature told last before a change is the core's, or where there is none, the next behind it."""
    before = [reading.pointer for reading, _ in told[:place] if reading.pointer in _TEMPERATURES]
    behind = [reading.pointer for reading, _ in told[place + 1 :] if reading.pointer in _TEMPERATURES]
    return (before[-1:] or behind[:1]) == ["/temperatures/core"]


def on_sure_days(
    told: list[tuple[HeardValue, Clause]],
) -> tuple[list[tuple[HeardValue, Clause]], list[Clause]]:
    """The readings with their weekdays in turn, without those of which nobody knows which way they go; and these.

    "Mon 52, Tue 50, Wed 47, today 45", said on a Tuesday, are the days of last week.
    """
    dated = [
        (reading, clause)
        for reading, clause in told
        if reading.pointer in _OF_OTHER_DAYS and any(piece.terminal == "WEEKDAY" for piece in clause.pieces)
    ]
    sure = [reading for reading, clause in dated if not _of_a_weekday(reading, clause, dated)]
    series = [reading for reading, clause in told if (reading, clause) in dated or reading.pointer in _OF_NOW]
    moments = [_LAST if reading.pointer in _OF_NOW else str(reading.value["at"]) for reading in series]
    follows = [_says_before(clause) for _, clause in dated]
    if follows[:1] == [True] and (len(dated) < 2 or dated[1][1] is not dated[0][1]):
        return [pair for pair in told if pair != dated[0]], [dated[0][1]]  # before what is not known
    if len(dated) < 2:
        return told, []
    if not any(follows) and moments in (sorted(moments), sorted(moments, reverse=True)):
        return told, []
    backwards = any(follows) or series[0].pointer in _OF_NOW
    if backwards or series[-1].pointer in _OF_NOW:
        turned = _in_turn(told, [reading for reading, _ in dated], sure, backwards=backwards)
        if turned is not None:
            return turned, []
    return [pair for pair in told if pair not in dated], list({clause.text: clause for _, clause in dated}.values())


def _says_before(clause: Clause) -> bool:
    """Whether a weekday is told as the one before: "the Monday before that"."""
    return any(
        day.terminal == "WEEKDAY" and then.terminal == "BEFORE" for day, then in itertools.pairwise(clause.pieces)
    )


_DAY: Final = len("2026-01-19")
_MOMENTS: Final = frozenset({"WEEKDAY", "YESTERDAY", "LAST_NIGHT", "DAY_BEFORE", "DAY", "AGO"})


def _of_a_weekday(reading: HeardValue, clause: Clause, dated: Sequence[tuple[HeardValue, Clause]]) -> bool:
    """Whether it is a weekday that dates a reading, and not "yesterday" in the same breath."""
    moments = [piece.terminal for piece in clause.pieces if piece.terminal in _MOMENTS]
    beside = [each for each, other in dated if other is clause]
    if len(moments) != len(beside):
        return True
    return moments[next(place for place, each in enumerate(beside) if each is reading)] == "WEEKDAY"


def _in_turn(
    told: list[tuple[HeardValue, Clause]], dated: list[HeardValue], sure: Sequence[HeardValue], *, backwards: bool
) -> list[tuple[HeardValue, Clause]] | None:
    """The readings with those of weekdays in turn before today: each the newest such day before the one after it.

    None where one would have to be moved that says its day plainly, or a weekday is one of those.
    """
    plain = {str(reading.value["at"])[:_DAY] for reading in sure}
    moved: dict[int, HeardValue] = {}
    later = ""
    for reading in dated if backwards else dated[::-1]:
        at = str(reading.value["at"])
        if any(reading is each for each in sure):
            if later and at >= later:
                return None
        elif at[:_DAY] in plain:
            return None
        elif later and at >= later:
            at = (datetime.fromisoformat(at) - timedelta(days=DAYS_IN_WEEK)).isoformat()
        moved[id(reading)] = replace(reading, value={**reading.value, "at": at})
        later = at
    return [(moved.get(id(reading), reading), clause) for reading, clause in told]


def _is_rival(one: HeardValue, other: HeardValue) -> bool:
    """Whether two readings give one thing two values; lists take both."""
    same = one.pointer == other.pointer and one.value != other.value
    if one.pointer == "/history/-":
        return same and one.value["at"] == other.value["at"]
    if one.pointer == "/moisture_feel":
        return same and one.value.get("moisture_feel_at") == other.value.get("moisture_feel_at")
    return same and not one.pointer.endswith("/-")
