"""The sentences of the draw plan, with fields in braces that are filled with words and quantities."""

from __future__ import annotations

from typing import Final

PLAN: Final[dict[str, str]] = {
    "plan.pump": "pump",
    "plan.fan": "fan",
    "plan.all": "around the clock",
    "plan.night": "by night only, from about seven in the evening to nine in the morning",
    "plan.by-core": "Run the {device} {hours}: on once the core reaches {start}, off when it is down to {stop}.",
    "plan.while-hot": "Around the clock only while the core reads {hot} or more, since nights alone do not take what "
    "the heap makes; once it reads less, by night only.",
    "plan.house": "The thermostat in the house stays in series with it: the {device} runs only while the house wants "
    "heat.",
    "plan.house-aside": "Set the thermostat in the house aside until the core reads less than {hot}: the heap has to "
    "cool first, whatever the house wants.",
    "plan.house-would": "A thermostat in the house besides, so that the {device} runs only while the house wants heat, "
    "should bring {more} more.",
    "plan.by-hand": "With a timer instead: {minutes}, {hours}.",
    "plan.by-hand-not-yet": "With a timer instead: leave it off until the core reads {start}.",
    "plan.off-season": "Leave the {device} off: the house is not being heated.",
    "plan.off-stands": "Leave the {device} off until what stands still works again.",
    "plan.off-fire": "Leave the {device} off and keep clear.",
    "plan.off-gas": "Leave the {device} off until a closed duct is laid: air from inside the heap brings gas into "
    "the house.",
    "plan.no-air-when-hot": "Leave the {device} off: no air into a heap this hot.",
    "plan.by-timer": "Set the timer of the {device} to {minutes}, {hours}, until the next reading. Should the core be "
    "down to {stop} before, leave it off until it reads {start}.",
    "plan.by-timer-not-yet": "Leave the {device} off until the core reads {start}; then set the timer anew.",
    "plan.held-rest": "Leave the {device} off for now, as the advice says.",
    "plan.held-climbing": "Leave the {device} off until the core has climbed back to {start}.",
    "plan.held-as-now": "Leave the {device} set as it is until the next reading.",
    "plan.held-no-more": "Draw no more by the {device} than now until the next reading: first see to what is advised.",
    "plan.held-set": "Until the next reading set the {device} as the advice says: {minutes}, {set_hours}.",
    "plan.then": "After that run it {hours}: on once the core reaches {start}, off when it is down to {stop}.",
    "plan.off-spent": "Leave the {device} off: little is left in this heap to rot, and it is too cold to give heat.",
    "plan.off-unwell": "Leave the {device} off until all are well and the cause is found.",
    "plan.last-weeks": "From {day} on at {start}, off at {stop}: what the heap still holds then would be left over.",
    "plan.small-step": "Little of the heap was told, so this is a small step: read the core again in two or three days "
    "before you take the next.",
    "plan.may-die": "The heap may well die of the cold before its time (chance {dies}): read the core at least "
    "every other day.",
    "plan.no-further": "Nothing after that day is counted.",
    "plan.brings": "By {until} that should bring the house {heat}; as it is drawn now, {now}.",
    "plan.brings-with-work": "Once the work that is advised is done, that should bring the house {heat} by {until}; "
    "without that work {without}; with it, but drawn as now, {now}.",
    "plan.brings-little": "There is hardly any heat to be had from it by {until} as it is.",
    "plan.again": "With the next reading the plan may change.",
    "plan.why-chosen": "No limit for the core was set, so this is chosen. Of the ways that were run on {members} heaps "
    "that fit what you told, it brings the house most useful heat at a risk that can be borne. The heap dies before "
    "its time with a chance of {dies}, against {undrawn} if nothing is drawn.",
    "plan.why-usual": "This is the usual way for a heap that is warm enough; no runs of it were asked for.",
    "plan.why-limit": "You want the core kept above {limit}. Within that it brings most useful heat, at a risk that "
    "can be borne, of the ways that were run on {members} heaps that fit what you told. The heap dies before its time "
    "with a chance of {dies}.",
    "plan.why-less": "To draw on as now would bring more by {until}, but nothing would stop it once the core is cold. "
    "The heap would then die too soon with a chance of {dies}.",
    "plan.why-less-alike": "To draw on as now would bring more by {until}, but nothing would stop it once the core is "
    "cold, and what is drawn then is lukewarm.",
    "plan.why-less-limit": "To draw on as now would bring more by {until}, but by taking the core below your limit.",
    "plan.why-usable": "It counts on rot still to come: as things are, less heat than that is left above {limit}.",
    "plan.why-usable-with-work": "It counts on the work that is advised and on rot still to come: as things are, less "
    "heat than that is left above {limit}.",
    "plan.why-more": "It takes more than can be kept up for good: the heap may be empty by {until}, not in summer.",
    "plan.why-off": "Nothing is to be drawn as things are.",
}
