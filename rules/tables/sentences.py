"""The fixed sentences of an answer, with fields in braces that are filled with words and quantities."""

from __future__ import annotations

from typing import Final

SENTENCES: Final[dict[str, str]] = {
    "answer.fire": "Keep clear of the heap and call the fire service. Do not open it, and blow no air in.",
    "alarm.people": "If you smell gas, or if anybody has a headache, is dizzy or feels sick: all out into the open air "
    "now. Call for help ({numbers}) if anybody is faint or does not get better at once.",
    "alarm.meter": "A meter or an alarm that tells of gas is right until it is proved wrong, for most of it cannot be "
    "smelled: everybody out into the open air now, and stay out. Call for help ({numbers}) if anybody feels unwell.",
    "alarm.pipes": "If a pipe is frozen, burst or leaking: pull the pump's plug first, keep away from hot water and "
    "wet wires, and shut the water off. Thaw ice gently, never with a flame.",
    "alarm.current": "If pump, fan, wires or wet ground give a shock or a tingle: touch none of them, and switch the "
    "current off at the breaker or battery, with dry hands. Call for help ({numbers}) after a shock. An electrician "
    "looks before it runs again.",
    "alarm.burned": "A burn or scald: hold it at once under cool running water for twenty minutes, take rings off, and "
    "cover it loosely. Call for help ({numbers}) if it is larger than a hand, deep, or in the face.",
    "alarm.still.fire": "You spoke of fire or great heat. Nothing goes on as it was until somebody looked from afar "
    "and you told me. At any smoke keep clear and call the fire service.",
    "alarm.still.people": "You spoke of gas or of somebody who feels unwell. Stay out in the open air until all are "
    "well and the cause is found. Then tell me how they are.",
    "alarm.still.pipes": "You spoke of a pipe that is frozen, burst or leaking. Leave the pump unplugged until it is "
    "mended, and tell me when it is.",
    "alarm.still.current": "You spoke of a shock or of wires that may be live. Leave the current off until an "
    "electrician has looked, and tell me when it is mended.",
    "alarm.first": "Until that is looked into, nothing else is advised.",
    "answer.emergency": "Emergency call: {numbers}.",
    "answer.when.now": "now",
    "answer.when.today": "today",
    "answer.when.this_week": "this week",
    "answer.when.this_month": "this month",
    "answer.when.next_pile": "with the next heap",
    "number.unknown": "cannot be told",
    "number.million": "million",
    "number.at-most": "{value} (at most {high})",
    "number.up-to": "up to {high} {unit}",
    "number.range": "{value} ({low} to {high})",
    "number.hardly-ever": "less than 1 in 20",
    "number.almost-always": "more than 19 in 20",
    "number.in-ten": "{count} in 10",
    "answer.action": "{title} {when}.",
    "answer.action-with-dose": "{title} {when}: {amount}.",
    "dose.per-volume-of-heap": "{unit} per {volume} of heap",
    "answer.danger": "Danger to life: {dangers}.",
    "answer.look-again": "Look again {day}.",
    "cause.too-hot": "Nothing is done about it while the heap is this hot.",
    "cause.warned-off": "{title} would answer it, but: {because}",
    "cause.no-gain": "{title} would answer it, but hardly any gain is to be expected from it now.",
    "cause.only-likely": "It is likely from the readings alone; nothing you told shows it. Look before you act on it.",
    "cause.none.too_dry": "A heap that is spent, or not worth the work, is not watered any more.",
    "cause.none.dry_core_under_wet_skin": "A heap that is spent, or not worth the work, is not watered any more.",
    "cause.none.too_wet": "Nothing done now dries it; it drains and steams by itself.",
    "cause.none.waterlogged": "Nothing done now dries it; it drains by itself, if slowly.",
    "cause.none.starved_of_nitrogen": "Feed would not pay now: too young, too old, or short of air or water first.",
    "cause.none.too_much_nitrogen": "It passes by itself as the ammonia leaves.",
    "cause.none.short_of_air": "Opening the heap now would cost more warmth than air would bring.",
    "cause.none.channelling": "Filling the cracks can wait until the heap is opened anyway.",
    "cause.none.overdrawn": "The draw is off already, or its settings are not known.",
    "cause.overdrawn-by-plan": "The plan of drawing goes on: by its date the heap is down to the lower core.",
    "cause.none.losing_unseen": "Read flow, minutes and both temperatures of the draw again: they do not add up.",
    "cause.none.cold_soaked": "It wakes by itself in milder days.",
    "cause.none.losing_to_weather": "A cover would do harm now, or nothing is left that is worth keeping warm.",
    "cause.none.spent": "Nothing brings the heat back; there is no season left that would pay for a new heap.",
    "cause.none.too_small": "Its size cannot be mended before the frost is over.",
    "effect.expected": "Expected: {gain}. The chance that it helps at all is {chance}.",
    "effect.expected-surely": "Expected: {gain}.",
    "effect.expected-days-only": "about {days} more with a hot core",
    "effect.expected-heat-only": "about {heat} more heat by the goal's date",
    "effect.expected-both": "about {days} more with a hot core and {heat} more heat by the goal's date",
    "effect.a-week": "a week",
    "effect.weeks": "{count} weeks",
    "effect.a-day": "a day",
    "effect.days": "{count} days",
    "effect.up-to": "up to {amount}",
    "effect.cannot-tell": "The model cannot tell this effect from none.",
    "effect.trades": "Less heat by then, but more days with a hot core.",
    "effect.too-small": "The gain is too small to matter.",
    "effect.add_nitrogen": "That nitrogen helps is built into the model; it is no proof that it will.",
    "effect.cover_with_clear_film": "How much air gets in under film is a guess: a hot, fresh heap may choke.",
    "effect.loosen_pile": "Opening costs warmth at once. What more air then frees is assumed, not found: the model has "
    "one air for the whole heap and sees no clumps.",
    "energy.nothing": "Nothing can be taken for the next {days} without letting the core cool below the goal's limit.",
    "energy.probably-nothing": "Probably nothing can be taken for the next {days}; with luck {best}.",
    "energy.can-give": "For the next {days} the heap can give about {power} around the clock and keep its core.",
    "energy.can-give-yet-falls": "By what rot makes the heap could give about {power} around the clock for the next "
    "{days}. Yet as it is the core is likely to be below {limit} in about {until}: what is read outranks the sum.",
    "energy.burst": "For a few hours it could give {power}, out of stored heat: that is a burst, not a rating.",
    "energy.cold": "Nothing is to be taken while the core is this cold. Once it is warm the heap could give "
    "up to about {power} around the clock.",
    "energy.fire": "Nothing is to be taken from a heap that may burn.",
    "energy.paused": "Nothing is to be taken for now. Later the heap could give up to about {power} around the clock.",
    "energy.used-up-by-plan": "For all of the next {days} the heap keeps up at most about {power}. The plan of drawing "
    "takes what there is, and uses the heap up by its date: the next heap takes over.",
    "energy.asked-by-plan": "More is asked of it now than it can keep up for good. By the plan of drawing it is used "
    "up by its date, and the next heap takes over.",
    "energy.asked-too-much": "What is asked of it now is more than it can keep up.",
    "energy.asked-perhaps-too-much": "What is asked of it now may be more than it can keep up.",
    "tonight.not-heated": "The house is not being heated; let the heap rest or use its warmth for seedlings.",
    "tonight.nothing-fitted": "Nothing is fitted to bring the heap's heat into the house.",
    "tonight.say-more": "Say how big the house is and how cold the night will be to see what the stove must do.",
    "tonight.no-need": "The house needs no heat tonight.",
    "tonight.rests": "The heap is to rest for now: the stove must give all that the house needs, about {power}.",
    "tonight.covered": "The heap can carry the house tonight.",
    "tonight.short": "The heap covers about {share} % of tonight's need; the stove must give about {power} more.",
    "list.and": "{first} and {last}",
    "word.yes": "yes",
    "word.no": "no",
}
