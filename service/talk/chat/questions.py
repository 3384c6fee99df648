"""Questions a person asks, answered from the advice for this heap and from the knowledge in general."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final

from rules.actions.records import ACTIONS
from rules.catalogue import said
from rules.language.vocabulary import SIGNS, SMELLS
from rules.tables.faq import answer_to
from rules.tables.thresholds import FIRE_KEEP_CLEAR, FIRE_LOOK_DAILY, FIRE_OVERHEATING, HOT_FROM
from service.answer.shapes.action import ActionShown
from service.answer.words import life_cautions, when
from service.render.numbers import dose_in_words, quantity_in_words
from service.talk.chat.asked_things import refused_thing, use_of_thing
from service.talk.chat.lexer import sentences
from service.talk.chat.plain_text import plain
from service.talk.chat.tokens import WrittenNumber

AdviceLike = Mapping[str, Any]

_MOVES: Final[tuple[tuple[str, re.Pattern[str]], ...]] = (
    (
        "add_water",
        re.compile(
            r"\bwater(?:ing)? (?:it|the|my)\b|\b(?:add|more|need|needs|want|wants) (?:\w+ )?water\b"
            r"|\bhow (?:much|many)(?: \w+)? (?:water|lit(?:re|er)s?|gallons?|buckets?|cans?)\b"
        ),
    ),
    (
        "add_nitrogen",
        re.compile(
            r"\b(?:how much(?: \w+)? (?:urea|nitrogen|manure|feed)"
            r"|feed(?:ing)?|nitrogen|urea|fertili[sz]er|add (?:\w+ )?manure|pee on|urine)\b"
        ),
    ),
    ("loosen_pile", re.compile(r"\b(?:loosen|fork|open it|open the|need(?:s)? (?:more )?air|more air|aerate)\b")),
    ("cover_with_clear_film", re.compile(r"\b(?:cover|film|plastic|tarp)\b")),
    ("insulate", re.compile(r"\b(?:insulate|wrap|straw bales)\b")),
    ("raise_draw", re.compile(r"\b(?:draw|take|pull|pump|run) (?:\w+ )?(?:more|harder|longer)\b|\bturn (?:\w+ )*up\b")),
    ("reduce_draw", re.compile(r"\b(?:draw|take|pull|pump|run) (?:\w+ )?less\b|\bturn (?:\w+ )*down\b|\bslow\b")),
    (
        "pause_draw",
        re.compile(
            r"\b(?:pause|stop|switch off|turn off|shut off)\b.*\b(?:pump|fan|draw|drawing|it)\b"
            r"|\b(?:turn|switch|shut) (?:\w+ ){1,3}off\b"
        ),
    ),
    ("top_up", re.compile(r"\b(?:top (?:it )?up|add (?:\w+ )?chips|add more stuff)\b")),
    ("build_new_pile", re.compile(r"\b(?:give up|start over with|rebuild|spent|finished|worth saving)\b")),
    ("add_carbon", re.compile(r"\b(?:add (?:\w+ )?(?:sawdust|leaves|brown|carbon|cardboard))\b")),
)
_TAKE: Final = re.compile(
    r"how (?:much|many|hard|long)\b.*\b(?:take|draw|pull|get out|heat|use|kw|btu|run)\b"
    r"|\b(?:can|may|could|should) (?:i|we) (?:\w+ )?(?:take|draw|pull|get|use|have) (?:\w+ ){0,2}(?:heat|warmth)\b"
    r"|\b(?:can|may|could|should) (?:i|we) (?:\w+ )?(?:start|run) (?:the |my )?(?:pump|fan|drawing)\b"
)
_TOO: Final = re.compile(r"\b(?:too |hot|cold|ok|okay|normal|fine|high|low|good|dangerous|safe|bad|enough|much)")
_NORMAL: Final = re.compile(
    r"\b(?:is|are) (?:that|this|it|things|we|all|everything) (?:ok|okay|normal|fine|good|bad|alright|all right|usual)"
    r"|how (?:is|am|are) (?:it|i|we|things)|(?:what is|what's) wrong|why is (?:it|the core)"
    r"|is something wrong|all good|doing (?:ok|well)|(?:is|am|are) (?:it|i|we) (?:dying|dead|done|finished|lost"
    r"|in trouble)|should i (?:be )?worr|what next|now what|what now|what do you (?:think|make)"
    r"|how does (?:it|that) look|any advice"
)
_DANGER: Final = re.compile(r"\b(?:dangerous|danger|safe|risky?|harm|harmful|hurt)\b")
_FIRST: Final = re.compile(
    r"\b(?:which|what|where)(?: \w+){0,3} (?:first|start|begin)\b|\bwhich (?:one|of (?:them|those|these|the two))\b"
)
_NEXT: Final = re.compile(r"(?:when|how soon).*(?:next|another|new|second) ?(?:heap|pile|one)?")
_LASTS: Final = re.compile(
    r"\bhow (?:much )?long(?:er)?\b.*\b(?:last|stay|keep|warm|hot|heat|live|got|left|go on)\b"
    r"|\bhow many (?:more )?(?:days|weeks)\b"
)
_MEANS: Final = re.compile(r"\b(?:mean|means|what (?:is|are) (?:the|this|these|that|those)|is that bad|a bad sign)\b")
_AGAIN: Final = re.compile(
    r"\b(?:when|how soon|which day)\b.*\b(?:check|look|measure|read|probe|report|come back|test|tell you)\b"
)
_ASKS: Final = re.compile(
    r"^(?:and |but |so |ok |hey |hi )*(?:should|shall|must|may (?:i|we|one)|do i|do we|does|is "
    r"|are |am i|can |could |will |would |what"
    r"|when|how|why|where|which|any idea|how come|do you|which one)"
)
_TWO_DIGITS: Final = 10.0
_FOUR_DIGITS: Final = 1000.0
_WARMEST_BARE_C: Final = 95.0
"""A bare number above this is °F: a heap in °C cannot be so hot without a fire long since [degC] (contract)."""


def is_question(text: str) -> bool:
    """Whether a message asks something, with or without a mark."""
    words = plain(text).strip()
    return "?" in words or _ASKS.match(words) is not None


def general(text: str, *, first: bool = False) -> str | None:
    """The answer from the knowledge in general: a reading judged, a word explained, or a common question.

    With `first` only what is answered so whatever heap is told of.
    """
    words = plain(text)
    if first:
        refused = refused_thing(text)
        if refused is not None:
            return refused
        known = answer_to(words)
        return f"{said(f'faq.{known.id}')} ({known.source.cite})" if known is not None and known.first else None
    heat = of_a_heat(text)
    if heat is not None:
        return heat
    meant = _word_asked(words) if _MEANS.search(words) else None
    if meant is not None:
        return meant
    found = answer_to(words)
    return (
        _word_asked(words) or use_of_thing(text)
        if found is None
        else f"{said(f'faq.{found.id}')} ({found.source.cite})"
    )


def of_a_heat(text: str) -> str | None:
    """Whether a temperature that is asked about is too much or too little; None where none is."""
    heat = _heat_asked(plain(text))
    return None if heat is None else _judged(heat.value, heat.unit[-1:].lower().strip("?"))


def _heat_asked(words: str) -> WrittenNumber | None:
    """The temperature right before the word that judges it: of "12 days in, 152 F, too hot?" the latter."""
    judged = [found.start() for found in _TOO.finditer(words)]
    heats = [
        piece
        for sentence in sentences(words)
        for piece in sentence.pieces
        if piece.terminal == "TEMP" or (piece.terminal == "NUM" and _TWO_DIGITS <= piece.value.value < _FOUR_DIGITS)
    ]
    before = [piece for piece in heats if judged and piece.end <= judged[-1]]
    return before[-1].value if before else None


def of_this_heap(text: str, answer: AdviceLike) -> str | None:
    """The answer that follows from the advice for this heap; None where it does not concern it."""
    words = plain(text)
    if _TAKE.search(words):
        return _what_can_be_taken(answer)
    if _AGAIN.search(words):
        return _when_again(answer)
    if _LASTS.search(words):
        return _how_long(answer)
    if _NEXT.search(words):
        return _when_next(answer)
    for action, asked in _MOVES:
        if asked.search(words):
            return _whether(action, answer)
    if _FIRST.search(words):
        return _what_first(answer)
    if _DANGER.search(words) and _heat_asked(words) is None and answer_to(words) is None:
        return _what_would_hurt(answer)
    return _how_it_stands(answer) if _NORMAL.search(words) else None


def in_any_case(answer: AdviceLike) -> str:
    """What can be said to a question that nothing here answers, where the heap is known."""
    return said("chat.how-it-stands", headline=answer["headline"])


def _whether(action: str, answer: AdviceLike) -> str:
    """Yes with dose and time, no with the reason, or not now."""
    title = ACTIONS[action].title
    for each in answer["actions"]:
        if each["action"] == action:
            return _advised("chat.yes", f"{title[0].lower()}{title[1:]}", each)
    for each in answer["avoid"]:
        if each["action"] == action:
            return said("chat.no", reason=_reason(each)).strip()
    first = answer["actions"][0]
    asks = answer["ask_next"]
    open_ = f" {asks[0]['question']}" if asks and asks[0]["changes_first_action"] > 0 else ""
    return said("chat.not-called-for", title=first["title"].lower()) + open_


def _what_first(answer: AdviceLike) -> str:
    """The first action with its dose and time, and why."""
    first = answer["actions"][0]
    return _advised("chat.first", f"{first['title'][:1].lower()}{first['title'][1:]}", first)


def _advised(text_id: str, title: str, action: ActionShown) -> str:
    """An advised action in this text, with its time, its first dose where it has one, and why."""
    doses = [dose_in_words(dose) for dose in action["doses"][:1]]
    fields = {"title": title, "when": when(action), "reason": _reason(action)}
    return (said(f"{text_id}-dose", dose=doses[0], **fields) if doses else said(text_id, **fields)).strip()


def _reason(each: Mapping[str, Any]) -> str:
    return str(each["reasons"][0]["text"]) if each["reasons"] else ""


def _what_can_be_taken(answer: AdviceLike) -> str:
    season = answer["energy"]["season_draw"]
    plan = answer.get("draw_plan")
    if season is None:
        return said("chat.take-unknown")
    told = quantity_in_words(season)
    up_to = told.startswith(said("number.up-to", high="", unit="").split()[0])
    steady = said("chat.take" if up_to else "chat.take-about", heat=told)
    return f"{steady} {plan['text']}" if plan is not None and plan.get("text") else steady


def _when_again(answer: AdviceLike) -> str | None:
    """On which day to look again, and for what."""
    look = answer.get("look_again")
    if look is None:
        return None
    at = datetime.fromisoformat(look["at"])
    return said(
        "chat.look-again",
        day=f"{at:%a} {at.day} {at:%b}",
        watch=f"{look['watch_for'][:1].lower()}{look['watch_for'][1:]}",
    )


def _how_long(answer: AdviceLike) -> str | None:
    """How long this heap is likely to stay warm as things are."""
    days = answer["outlook"]["days_until_cool"] if answer.get("outlook") else None
    return None if days is None else said("chat.stays-warm", days=quantity_in_words(days))


def _when_next(answer: AdviceLike) -> str | None:
    days = answer["outlook"]["days_until_cool"] if answer.get("outlook") else None
    start = next((each for each in answer["actions"] if each["action"] in ("start_next_pile", "build_new_pile")), None)
    if start is not None:
        return f"{start['title']}, {when(start)}. {_reason(start)}"
    if days is None:
        return None
    return said("chat.next-heap", days=quantity_in_words(days))


def _what_would_hurt(answer: AdviceLike) -> str:
    """How the heap stands, with every caution for life: nobody is told that it is safe."""
    return " ".join([answer["headline"], *(caution["text"] for caution in life_cautions(answer["actions"]))])


def _how_it_stands(answer: AdviceLike) -> str:
    causes = answer["likely_causes"]
    why = [said("chat.likeliest", cause=causes[0]["cause"].replace("_", " "))] if causes else []
    return " ".join([answer["headline"], *why])


def _judged(number: float, scale: str) -> str:
    """A reading of the core against the limits; a bare number is °F where it could not be °C."""
    fahrenheit = scale == "f" or (not scale and number > _WARMEST_BARE_C)
    celsius = (number - 32) / 1.8 if fahrenheit else number
    degrees = "°F" if fahrenheit else "°C"
    steps: tuple[tuple[float, str], ...] = (
        (FIRE_KEEP_CLEAR.value, "keep-clear"),
        (FIRE_OVERHEATING.value, "overheating"),
        (FIRE_LOOK_DAILY.value, "look-daily"),
        (HOT_FROM.value, "hot"),
        (40.0, "warm"),
        (-273.0, "cool"),
    )
    step = next(name for limit, name in steps if round(celsius, 6) >= limit)
    verdict = said(f"chat.judged.{step}")
    return said(
        "chat.judged" if scale else "chat.judged-bare", heat=f"{number:g} {degrees}", scale=degrees, verdict=verdict
    )


def _word_asked(words: str) -> str | None:
    """What a smell or sign in the question tells."""
    for word in (*SMELLS.values(), *SIGNS.values()):
        named = (word.id.replace("_", " "), *word.says)
        if word.tells and any(re.search(rf"\b{re.escape(name)}\b", words) for name in named):
            return word.tells.replace("{smell}", word.id.replace("_", " "))
    return None
