"""The fixed sentences of an answer, with fields in braces that are filled with words and quantities."""

from __future__ import annotations

from typing import Final

SENTENCES: Final[dict[str, str]] = {
    "answer.fire": "Keep clear of the heap and call the fire service. Do not open it, and blow no air in.",
    "alarm.people": "If you smell gas, or if anybody has a headache, is dizzy or feels sick: all out into the open air "
    "now. Call for help ({numbers}) if anybody is faint or does not get better at once.",
    "alarm.pipes": "If a pipe is frozen, burst or leaking: pull the pump's plug first, keep away from hot water and "
    "wet wires, and shut the water off. Thaw ice gently, never with a flame.",
    "alarm.first": "Until that is looked into, nothing else is advised.",
    "answer.emergency": "Emergency call: {numbers}.",
    "answer.when.now": "now",
    "answer.when.today": "today",
    "answer.when.this_week": "this week",
    "answer.when.this_month": "this month",
    "answer.when.next_pile": "with the next heap",
    "answer.action": "{title} {when}.",
    "answer.action-with-dose": "{title} {when}: {value} {unit} ({low} to {high}).",
    "answer.action-with-exact-dose": "{title} {when}: {value} {unit}.",
    "dose.per-volume-of-heap": "{unit} per {volume} of heap",
    "answer.look-again": "Look again {day}.",
    "answer.look-again-at": "Look again {day} at {hour}.",
    "effect.cannot-tell": "The model cannot tell this effect from none.",
    "effect.too-small": "The gain is too small to matter.",
    "effect.add_nitrogen": "That nitrogen helps is built into the model; it is no proof that it will.",
    "effect.cover_with_clear_film": "How much air gets in under film is a guess: a hot, fresh heap may choke.",
    "effect.loosen_pile": "Opening costs warmth at once. What more air then frees is assumed, not found: the model has "
    "one air for the whole heap and sees no clumps.",
    "energy.nothing": "Nothing can be taken for the next {days} without letting the core cool below the goal's limit.",
    "energy.probably-nothing": "Probably nothing can be taken for the next {days}; with luck {best}.",
    "energy.can-give": "For the next {days} the heap can give about {power} around the clock and keep its core.",
    "energy.burst": "For a few hours it could give {power}, out of stored heat: that is a burst, not a rating.",
    "energy.asked-too-much": "What is asked of it now is more than it can keep up.",
    "energy.asked-perhaps-too-much": "What is asked of it now may be more than it can keep up.",
    "tonight.not-heated": "The house is not being heated; let the heap rest or use its warmth for seedlings.",
    "tonight.nothing-fitted": "Nothing is fitted to bring the heap's heat into the house.",
    "tonight.say-more": "Say how big the house is and how cold the night will be to see what the stove must do.",
    "tonight.no-need": "The house needs no heat tonight.",
    "tonight.covered": "The heap can carry the house tonight.",
    "tonight.short": "The heap covers about {share} % of tonight's need; the stove must give about {power} more.",
    "word.yes": "yes",
    "word.no": "no",
}
