"""Numbers that come together: three measures in one breath, and ratios."""

from __future__ import annotations

import re
from typing import Final

from service.talk.chat.lexicon import lexicon
from service.talk.chat.numbers import spelled_number, written_number
from service.talk.chat.tokens import TextPiece, WrittenNumber

_ONE: Final = (
    r"(\d{1,3}(?:\.\d{1,2})?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty"
    r"|forty five|forty|fifty)"
)
_LENGTH: Final = r"(?: ?(feet|foot|ft|metres|meters|metre|meter|m|yards|yard|yd|yds|inches|inch|cm|'))?"
_TIMES: Final = r" ?(?:x|by|\*|\N{MULTIPLICATION SIGN}) ?"
_MEASURES: Final = re.compile(rf"{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}(?![\w']|\.\d)")
_TWO_MEASURES: Final = re.compile(rf"{_ONE}{_LENGTH}{_TIMES}{_ONE}{_LENGTH}(?![\w']|\.\d)")
_RATIO: Final = re.compile(
    rf"{_ONE}(?::| : | ?/ ?| to | parts? to ){_ONE}(?: parts?)?(?![\w:/°%-]|[.,]\d| ?[cf°]\b| deg)"
)
_ORDINAL: Final = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_COUNT: Final = r"\d{1,3}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
_COUNTED: Final = re.compile(
    r"(?<!\dst )(?<!\dnd )(?<!\drd )(?<!\dth )"
    rf"(day|week|month) (?:no\.? |number |nr\.? |# ?)?({_COUNT})(?![\w.,:/%-]*\d| ?[\w°\"'%/]{{0,3}}(?<=[°%\"'/]))\b"
    rf"|in(?:to)? (?:its|it's|our|my|the) ({'|'.join(_ORDINAL)}|\d{{1,2}}(?:st|nd|rd|th)) (day|week|month)\b"
    r"(?! of| ?:? ?\d)"
    r"|(?<!the )(?<!a )(?<!each )(?<!every )()(\d{1,2}(?:st|nd|rd|th)) (week|month)\b(?! of| ?:? ?\d)"
)
_MIN: Final = r"(?: ?(?:minutes?|mins?))"
_SPELLED: Final = "five|ten|fifteen|twenty|thirty|forty five|forty|fifty"
_DUTY: Final = re.compile(
    rf"{_ONE}{_MIN}?(?: (?:out )?(?:of|in) (?:every|each) {_ONE}{_MIN}| on,? (?:and |then )?{_ONE}{_MIN}? off"
    rf"|{_MIN} (?:every|each|per|in every) half(?: an)? hour)\b"
    rf"|{_ONE}{_MIN} (?:out )?of every {_ONE}\b"
    rf"|(?P<on>\d{{1,2}}){_MIN}(?: on)?,? (?:and then|and|then)? ?(?:rests?|resting|pauses?|off)(?: for)? "
    r"(?P<rest>\d{1,2})\b"
    r"|(?P<half>half (?:an )?hour on(?:,? and|,? then|,)? half (?:an )?hour off)"
    rf"|on (?P<on_first>\d{{1,2}}|{_SPELLED}){_MIN}?,? off (?P<off_next>\d{{1,2}}|{_SPELLED}){_MIN}?\b"
    r"|(?:a )?(?P<part>quarter|half|third|1/4|1/2|1/3)"
    r"(?:(?: of)?(?: an| a)? hour (?:per|an|(?:(?:out )?of |in )?(?:each|every)) hour"
    r"| of (?:every|each|the) hour| of the time| the time)\b"
)
_PART_OF_HOUR: Final = {"quarter": 15.0, "third": 20.0, "half": 30.0, "1/4": 15.0, "1/3": 20.0, "1/2": 30.0}
_FRACTIONS: Final = {"1/2": "50", "1/3": "33", "2/3": "67", "1/4": "25", "3/4": "75", "1/5": "20"}
"""Parts of a whole in per cent, as the words for them have it."""
_NOT_COUNTED: Final = re.compile(r"\b(?:a|an|per|each|every|last|next|this|the|all|one) $")
"""What before "day" makes it another: "each day 12 minutes"."""
_RANGE: Final = re.compile(
    r"(?:some(?:where|thing) )?between -?\d+(?:\.\d+)? ?(?:°|deg(?:rees)? ?)?[cf]? and -?\d+(?:\.\d+)?"
    r"(?P<unit> ?°?(?:[^\W\d_]+|°)(?: [cf]\b)?)?(?![\w/])"
)
_DROPS: Final = re.compile(
    r"(?:and )?(?:a few|a couple(?: of)?|just a few|a|an|one|two|three|few|1|2|3)"
    r"(?: (?:or|to) (?:two|three|four|2|3|4)|-[23])? (?:small |little )?(?:drops?|drips?|droplets?)\b"
    r"(?: or (?:two|three|so))?(?: of water)?(?! of)(?: (?:came|come|comes|ran|run|fell) out)?"
)
MOST_PARTS: Final = 100.0


def range_at(text: str, place: int) -> TextPiece | None:
    """`between 50 and 55 C`, `from 8 to 10 weeks`: no one number, of the kind of its unit."""
    found = _RANGE.match(text, place)
    if found is None or (place and text[place - 1].isalnum()):
        return None
    unit = lexicon().units.get((found["unit"] or "").strip())
    if found["unit"] and unit is None:
        return None
    return TextPiece("UNSURE", unit.terminal if unit else "NUM", place, found.end(), ranges=True)


def drops_at(text: str, place: int) -> TextPiece | None:
    """`two or three drips` out of a handful: it is damp."""
    found = _DROPS.match(text, place)
    if found is None or (place and (text[place - 1].isalnum() or text[place - 1] in ".,/-")):
        return None
    return TextPiece("FEEL", "damp", place, found.end())


def measures_at(text: str, place: int) -> TextPiece | None:
    """Length, width and height such as `6 by 6 by 5 feet`; the last unit counts for those that have none."""
    found = _MEASURES.match(text, place)
    if found is None or (place and text[place - 1].isalnum()):
        return None
    units = [found[2], found[4], found[6]]
    if units[2] is None:
        return TextPiece("UNSURE", "LENGTH", place, found.end())
    numbers = [_number(found[1]), _number(found[3]), _number(found[5])]
    lengths = tuple(
        WrittenNumber(number, lexicon().units[unit or units[2]].name)
        for number, unit in zip(numbers, units, strict=True)
    )
    return TextPiece("MEASURES", lengths, place, found.end())


def two_measures_at(text: str, place: int) -> TextPiece | None:
    """Length and width such as `10 by 12 feet`; without a unit they are of the unit of the height behind them."""
    found = _TWO_MEASURES.match(text, place)
    if found is None or (place and (text[place - 1].isalnum() or text[place - 1] in ".,/-")):
        return None
    units = [found[2] or found[4], found[4] or found[2]]
    numbers = [_number(found[1]), _number(found[3])]
    lengths = tuple(
        WrittenNumber(number, lexicon().units[unit].name if unit else "")
        for number, unit in zip(numbers, units, strict=True)
    )
    return TextPiece("TWO_MEASURES", lengths, place, found.end())


def ratio_at(text: str, place: int) -> TextPiece | None:
    """`3:1`, `70/30`, `three to one`: small whole parts, so that no clock time and no reading is taken for it."""
    found = _RATIO.match(text, place)
    if found is None or (place and text[place - 1] in "0123456789.,:/-"):
        return None
    first, second = _number(found[1]), _number(found[2])
    if found[0] in _FRACTIONS:
        return TextPiece("FRACTION", _FRACTIONS[found[0]], place, found.end())
    small = max(first, second) <= MOST_PARTS / 10 or first + second == MOST_PARTS
    if not small or min(first, second) <= 0 or first % 1 or second % 1:
        return None
    return TextPiece("RATIO", (first, second), place, found.end())


def counted_at(text: str, place: int) -> TextPiece | None:
    """`day 12`, `week nine`, `in its third week`: the age by the day, week or month that it is in."""
    found = _COUNTED.match(text, place)
    if found is None or (place and text[place - 1].isalnum()) or _NOT_COUNTED.search(text, max(0, place - 8), place):
        return None
    unit, written = (found[1], found[2]) if found[1] else (found[4] or found[7], found[3] or found[6])
    number = (
        _number(written) if found[1] else float(_ORDINAL.index(written) + 1 if written in _ORDINAL else written[:-2])
    )
    if not number or (found[1] and re.match(r" ?[^\W\d_]", text[found.end() :]) and _has_unit(text, found.end())):
        return None
    return TextPiece("NTH", WrittenNumber(number, f"{unit}s"), place, found.end())


def duty_at(text: str, place: int) -> TextPiece | None:
    """Minutes of each hour told by a rhythm: `10 minutes out of every 30`, `15 on 45 off`."""
    found = _DUTY.match(text, place)
    if found is None or (place and text[place - 1] in "0123456789.,:/-"):
        return None
    told, rest = found["on"] or found["on_first"], found["rest"] or found["off_next"]
    if told:
        on, of = _number(told), _number(told) + _number(rest)
        return TextPiece("MINUTES", WrittenNumber(round(60 * on / of, 1), "min/h"), place, found.end()) if on else None
    if found["half"]:
        return TextPiece("MINUTES", WrittenNumber(30.0, "min/h"), place, found.end())
    if found["part"]:
        return TextPiece("MINUTES", WrittenNumber(_PART_OF_HOUR[found["part"]], "min/h"), place, found.end())
    on = _number(found[1] or found[4])
    of = _number(found[2] or found[5]) if found[2] or found[5] else on + _number(found[3]) if found[3] else 30.0
    if not 0 < on <= of:
        return None
    return TextPiece("MINUTES", WrittenNumber(round(60 * on / of, 1), "min/h"), place, found.end())


def _has_unit(text: str, place: int) -> bool:
    """Whether a unit stands here, so that the number before it is of that."""
    words = re.compile(r" ?([^\W\d_]+)").match(text, place)
    return words is not None and words[1] in lexicon().units


def _number(written: str) -> float:
    if written[0].isdigit():
        return written_number(written) or 0.0
    spelled = spelled_number([written])
    return spelled[0] if spelled else 0.0
