"""What is said around the next question: the two things nothing can be said without, and answers in words."""

from __future__ import annotations

from typing import Final

ASKING: Final[dict[str, str]] = {
    "ask.pile.age": "How old is the heap, in days or weeks?",
    "ask.pile.age.why": "What heat to expect, and what is wrong, depends on its age first of all.",
    "ask.temperatures.core": "What does the probe read in the middle of the heap?",
    "ask.temperatures.core.why": "The core temperature says whether the heap works, and whether it is safe.",
    "ask.not-without": "Without its age (a guess in weeks will do) and one temperature from inside the heap no advice "
    "can be given.",
    "ask.enough": "No likely answer to what is still open would change what to do first.",
    "ask.fire": "Nothing needs to be known before this is done.",
    "ask.history.falling": "warmer than now",
    "ask.history.steady": "about the same as now",
    "ask.history.rising": "colder than now",
    "ask.draw.off": "off",
    "ask.draw.minutes": "{minutes} minutes in each hour",
    "ask.signs.none": "none of these",
    "ask.help.yes": "yes",
    "ask.help.no": "not yet",
    "ask.size": "about {volume}",
}
