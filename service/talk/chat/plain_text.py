"""A text with one spelling for each mark, apostrophe and unit."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from service.talk.chat.days import with_dates

_DOTTED: Final = re.compile(r"\b(approx|ca|cu|sq|deg|temp)\.(?= )")
_FROM_ANIMALS: Final = re.compile(
    r"\b(manure|muck|dung|droppings|poo|bedding|litter) (?:from|of) (?:(?:the|my|our|some|a few|his|her|their) )?"
    r"(horse|cow|goat|chicken|hen|pig|rabbit|alpaca|duck|turkey|sheep|cattle)s?\b(?! barn| shed| house)"
)
"""Manure from the horses is horse manure."""
_APART: Final = {
    **{f"{word}nt": f"{word}n't" for word in ("do", "ca", "is", "does", "did", "was", "have", "has", "could", "would")},
    **{f"{word}nt": f"{word}n't" for word in ("should", "must", "were", "are", "had")},
    **{f"{word}ve": f"{word}'ve" for word in ("i", "we", "you", "they")},
    **{f"{word}s": f"{word}'s" for word in ("that", "there", "here", "what")},
    **{"shes": "she's", "hes": "he's"},
    **{"aint": "isn't", "wont": "won't", "im": "i'm", "theyre": "they're", "youre": "you're"},
}
_CONTRACTED: Final = re.compile(rf"(?<![\w'])(?:{'|'.join(_APART)})(?![\w'])")
"""Words whose apostrophe people leave out."""
_UNIT_FIRST: Final = re.compile(r"(?<!\d )(?<!\d)\b(cfm|gpm|lpm)(?: is| of|:| =| about)? (\d+(?:\.\d+)?)(?![\w.,/:-])")
"""`cfm is 110` is 110 cfm."""
_DIALECT: Final = {
    "gh": "greenhouse",
    "arms length": "arm's length",
    "arms depth": "arm's depth",
    "an arms length": "an arm's length",
    "chook": "chicken",
    "chooks": "chickens",
    "chookpoo": "chicken manure",
    **dict.fromkeys(("thru", "thro"), "through"),
    **dict.fromkeys(("nothin", "nowt", "naught"), "nothing"),
    **dict.fromkeys(("abt", "bout"), "about"),
    **dict.fromkeys(("havnt", "haven t"), "haven't"),
    **dict.fromkeys(("yest", "yday", "yestd", "yesterdy"), "yesterday"),
    **dict.fromkeys(("tonite", "2nite"), "tonight"),
    "nite": "night",
    "lookin": "looking",
    "comin": "coming",
    "goin": "going",
    "morn": "morning",
}
"""Words of one country for those of all."""
_OF_A_COUNTRY: Final = re.compile(rf"\b(?:{'|'.join(_DIALECT)})\b")
_ISH: Final = re.compile(r"(?<=\d)[ -]?ish\b|(?<=\d [cf])[ -]ish\b|(?<=\d[cf])[ -]?ish\b")
"""`130ish` is "about 130"."""
_SHORT_FOR: Final = {
    **dict.fromkeys(("core", "c", "centre", "center", "int"), "core"),
    **dict.fromkeys(("amb", "out", "outdoor", "outside", "air", "a", "ext"), "ambient"),
    **dict.fromkeys(("gh", "house", "greenhouse"), "greenhouse"),
}
_IN_SHORT: Final = re.compile(rf"\bt_(?:({'|'.join(_SHORT_FOR)}))\b")
"""`T_core`, `T_amb`: temperatures as engineers write them."""
_DAYS: Final = {"sun": "sunday", "sat": "saturday"}
_DAY_BEHIND: Final = re.compile(r"(?<=\d [cf] )(?:sun|sat)(?=[,;.]|$)|(?<=\d[cf] )(?:sun|sat)(?=[,;.]|$)")
"""`71 C sat,` is no sunshine either."""
_SHORT_DAY: Final = re.compile(r"(?:(?<=^)|(?<=[,;\n])|(?<=[,;\n] ))(?:sun|sat)(?= -?\d)")
"""`Sun 60C` at the head of a clause is no sunshine."""
_BORE: Final = re.compile(
    r"\b(?:\d{1,3}(?:/\d)?|half|three quarter|one|two|three|four|six)[ -]?"
    r"(?:mm|millimetres?|millimeters?|inch|in|\")[ -]?"
    r"(?:bore |dia |diameter )?"
    r"(?=(?:[a-z]+ ){0,2}(?:pipe|pipes|tube|tubing|hose|pex|pvc|alkathene|coil|ducting|copper)\b)"
)
"""How wide a pipe is has no place, and is no length of it."""
_LAST_SPAN: Final = re.compile(r"\b((?:in|over|for|during|within) the (?:last|past)) (day|week|fortnight|month)\b")
"""`over the last week` is over the last one week."""
_LIKE: Final = re.compile(
    r"\bdry as (?:a |an |the |any |old )*"
    r"(?!far|deep|long|before|usual|ever|you|i|it|we|when|can|could)[^\W\d_]+\b"
)
"""As dry as whatever: bone dry."""
_NO_BUT: Final = re.compile(
    r"(?:^|(?<=[.!?;\n])|(?<=[.!?;\n] ))no,? "
    r"(?=(?:just|only|i mean|i meant|(?:it|that|there)(?:'s| is| was)|there are|they(?:'re| are))\b"
    r"(?! (?:no|not|nothing|none|just no|only no)\b))"
)
"""`no it's only steam` answers with a no, and then says what is there."""
_FULL: Final = re.compile(r"\b(skip|trailer|truck|barrow|wheelbarrow|bucket|bag|sack|load|lorry)s? full of\b")
_ODD_DAYS: Final = re.compile(r"\b(weeks|months) and (?:some|a few|several|a couple of|odd) (?:odd )?(?:days|weeks)\b")
_FULL_MEASURE: Final = re.compile(r"\b(a )(?:full|good|whole) (?=(?:metre|meter|foot|yard|week|month|bucket|barrow)\b)")
_T_IS: Final = re.compile(r"(?<![\w'])t ?= ?(?=-?\d)")
"""`9 weeks and some days` are 9 weeks, `a full metre` is a metre, `T=49C` is 49 C."""
_ARE: Final = re.compile(r"(?<=[a-z]s )r(?= [a-z])|(?<=\bwe )r(?= [a-z])|(?<=\bthey )r(?= [a-z])")
_MAYBE: Final = re.compile(r"\bmay be\b(?! going)")
"""`eyes r streaming` is "are", `it may be 50 C` says maybe."""
_DROPPED_G: Final = re.compile(
    r"\b(cook|runn|read|sitt|steam|smok|go|com|look|show|gett|heat|dripp|leak|blow|pump|turn|water|smell|stink|fall|ris"
    r"|climb|dropp|sink|freez|rain|snow|burn|rott|work|mak|tak|us|stand|hold|hang|squeez|feel|cool|pour)in(?:'|\b)"
)
"""`cookin` is cooking."""
_SIDES: Final = {"N": "north", "E": "east", "S": "south", "W": "west"}
_COMPASS: Final = re.compile(r"\b[NESW](?=:? -?\d{1,3}(?:[.,]\d)? ?°?[CF]?\b)")
"""`N 102F S 118F` are sides of the heap, where two of them are told."""
_WK: Final = re.compile(r"\bwk (?=\d{1,2}\b)")
_A_MINUTE: Final = re.compile(r"\b(?:a|one) (gallon|litre|liter) and a half (?:a|per) minute\b")
_VULGAR: Final = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def plain(text: str) -> str:
    """The text in lower case with one spelling for each mark."""
    for mark, written in _VULGAR.items():
        text = text.replace(mark, f" {written}")
    text = unicodedata.normalize("NFKC", text)
    if len(_COMPASS.findall(text)) > 1:
        text = _COMPASS.sub(lambda found: _SIDES[found[0]], text)
    text = text.lower()
    text = re.sub("[\N{RIGHT SINGLE QUOTATION MARK}\N{MODIFIER LETTER APOSTROPHE}`\N{PRIME}]", "'", text)
    text = re.sub("[\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE PRIME}]", '"', text)
    text = re.sub("[\N{MINUS SIGN}\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{EN DASH}]", "-", text)
    text = re.sub(r"(?<!:) ?//+ ?", "; ", with_dates(text))
    text = re.sub(r"\bw/(?=\s)|(?<!\d )(?<!\d)\bw(?= [a-z])", "with", text)
    text = _DAY_BEHIND.sub(lambda found: _DAYS[found[0]], text)
    text = _SHORT_DAY.sub(lambda found: _DAYS[found[0]], re.sub(r"(?<=[a-z])'ll\b", " will", text))
    text = _ISH.sub("", _IN_SHORT.sub(lambda found: _SHORT_FOR[found[1]], text))
    text = _OF_A_COUNTRY.sub(lambda found: _DIALECT[found[0]], _BORE.sub("", text))
    text = _UNIT_FIRST.sub(r"\2 \1", _CONTRACTED.sub(lambda found: _APART[found[0]], text))
    text = _LIKE.sub("dry as a bone", _LAST_SPAN.sub(r"\1 1 \2", text))
    text = _ODD_DAYS.sub(r"\1", _FULL_MEASURE.sub(r"\1", _T_IS.sub("", text)))
    text = _A_MINUTE.sub(r"1.5 \1s a minute", _DROPPED_G.sub(r"\1ing", text))
    text = _NO_BUT.sub("no. ", _FULL.sub(r"\1 of", text))
    text = _MAYBE.sub("maybe", _ARE.sub("are", text))
    text = _FROM_ANIMALS.sub(r"\2 \1", _WK.sub("week ", text))
    text = text.replace("º", "°").replace("˚", "°").replace("\N{EM DASH}", ";").replace("\r", "\n").replace("\t", " ")
    return re.sub(" +", " ", _DOTTED.sub(r"\1 ", text))


def is_too_long(text: str, most: int) -> bool:
    """Whether a text is longer than `most` characters, as it is or made `plain`: some characters become eighteen."""
    return len(text) > most or len(plain(text)) > most
