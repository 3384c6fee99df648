"""The sentences about houses, heaps to be built and winters ahead, with fields in braces that are filled in."""

from __future__ import annotations

from typing import Final

PLANNING: Final[dict[str, str]] = {
    "house.no-night": "Nothing of the table lies within the period; give days that it has, or a design temperature.",
    "house.needs": "At {cold} outside the house needs {need}.",
    "house.needs-none": "At {cold} outside the house needs no heat.",
    "house.covers-part": "The heap can give about {given}, {share} of that; the rest is the stove's.",
    "house.carries": "The heap can give that.",
    "house.would-save": "{title} would save most: about {saved}.",
    "house.note.method": "Need is glazing and leaks and, where it was given, the foot of the walls, times the warmth "
    "over outside.",
    "house.note.no-sun": "No sun is counted. By day it does most of the work in a small house; the stove needs less "
    "than this then.",
    "house.note.night-only": "Only the hours from six in the evening to eight in the morning count. Most heating "
    "falls in the night.",
    "house.note.months-hide": "Monthly means hide cold spells. Nights can be far colder than the coldest shown.",
    "house.note.no-foot": "No loss to the ground along the walls is counted; give the length of the foot to count it.",
    "house.note.windy": "Wind raises the loss of thin glazing and blows through gaps. The high end is for windy "
    "nights.",
    "house.note.supplement": "The heap is a supplement, not the heating: a full-size heap of prunings that warmed a "
    "farmhouse for a year gave 2.75 kW on the mean.",
    "house.note.steady": "The heap's draw is a mean over day and night to the end of its goal, not what it can give "
    "for an hour.",
    "house.note.no-table": "With a table of temperatures the season, its months and the stove's share by night are "
    "told too.",
    "house.note.heap-air": "Air that has passed through the heap holds little oxygen, and gases that harm. It must "
    "not end in a closed house.",
    "house.glazing.single_film": "single film",
    "house.glazing.double_film": "double film, blown up",
    "house.glazing.glass": "single glass",
    "house.glazing.double_glass": "double glass",
    "house.glazing.twin_wall": "twin-wall sheets",
    "house.saving.glazing": "{name} in place of what is there saves {share} of what the glazing loses. The leaks stay.",
    "house.saving.night-curtain": "A curtain closed every night saves {share} of what the glazing loses then. Any gap "
    "undoes much of it.",
    "house.saving.water-barrels": "{water} in barrels gives back {swing} of warmth in a night, after a day of sun. In "
    "dull weather it gives little; it also slows the fall when a stove goes out.",
    "house.saving.night-curtain.title": "Night curtain",
    "house.saving.water-barrels.title": "Water in barrels",
    "house.share-range": "{low} to {high}",
    "house.off-grid": "A rough size from duty and sun only. Before you buy, check the rating plates of fan and pump "
    "and the sun hours of your darkest month. Snow or shade on the panel can take all of it. Wire and fuse it as your "
    "code asks.",
    "house.why.inlet": "not given: taken as the air it comes from",
    "house.why.all-day": "not given: taken as running all day",
    "house.why.as-long-as-the-draw": "not given: as long as it takes to carry the heap's draw",
    "house.why.electricity": "not given: a usual small one",
    "house.why.cold-spell": "monthly means hide cold spells: the coldest month's low less a usual spell",
    "heap-plan.build": "Build a heap of {volume} as laid, {mass}, {diameter} across and {height} high.",
    "heap-plan.sustains": "It should sustain {season} for {days}.",
    "heap-plan.no-heap": "No single heap within the bounds gives {asked} for {days}.",
    "heap-plan.not-this-heap": "A heap of {volume} as laid, {mass}, is not likely to give {asked} for {days}.",
    "heap-plan.nearest-heat": "{which}, {volume} as laid, should sustain about {draw}.",
    "heap-plan.nearest-heaps": "{count} such heaps side by side would do it.",
    "heap-plan.nearest-days": "{which} gives {asked} for about {days}.",
    "heap-plan.nearest-limit": "{which} gives it if the core may fall to {limit}.",
    "heap-plan.nearest-lead": "Too few such heaps are hot when drawing begins; build it {lead} before the first draw.",
    "heap-plan.nothing-helps": "Neither a longer lead, nor less heat, nor fewer days help; a richer mix or milder "
    "weather may.",
    "heap-plan.largest": "The largest",
    "heap-plan.this-one": "This one",
    "heap-plan.burst": "For a few hours the loop or duct could take this, out of heat stored while nothing was drawn. "
    "It is no measure of a season.",
    "heap-plan.season": "Around the clock over all the days, with the core at or above {limit} to the last.",
    "heap-plan.shape": "rounded heap",
    "heap-plan.rating.rule-of-thumb": "rule of thumb",
    "heap-plan.rating.yours": "yours",
    "heap-plan.rating.impossible": "{rating} for {days} would be {share} of all the chemical energy in the heap: more "
    "than there is. Such figures come from a fresh heap's first hours, when stored heat runs out of it.",
    "heap-plan.rating.burst_only": "{rating} for {days} would burn {share} of all the chemical energy in the heap. "
    "Fewer than one in ten heaps of the best mix can give that; the heat stored above the limit would last {hours}.",
    "heap-plan.rating.possible": "{rating} for {days} is {share} of the chemical energy: the best mixes could do it, "
    "but it is {times} what this heap should sustain.",
    "heap-plan.rating.possible-less": "{rating} for {days} is no more than this heap should sustain.",
    "heap-plan.rating.hours": "{count} hours",
    "heap-plan.rating.times": "{count} times",
    "heap-plan.rating.far-beyond": "far beyond",
    "heap-plan.note.range": "The ranges are wide because heaps are: how fast a mix rots, how hard the place cools it "
    "and how well air gets in are not known beforehand. {nothing} of such heaps would not hold their core to the end "
    "even undrawn, or are far too cold at the first draw.",
    "heap-plan.note.lead": "{share} of such heaps are hot, {hot} or more, when drawing begins. Do not draw before "
    "yours is.",
    "heap-plan.note.standing": "This is counted before the heap is built, from the mix alone. Once it stands, the "
    "advice counts in the same way from its own core and log, so its season draw may differ; go by that.",
    "heap-plan.note.nitrogen": "It is counted as fed. That nitrogen helps is built into the model, not a finding; "
    "wood is fed for the carbon that can rot, no more.",
    "heap-plan.note.height": "No heap is planned higher than {height}: the deeper, the likelier a fire.",
    "heap-plan.note.settle": "It sinks by a fifth in the first hot weeks. Lay it full, and lay the tube so that it "
    "can sink along.",
    "heap-plan.note.film": "Film keeps rain off and warmth in, but also cuts the air. Leave the ridge open.",
    "heap-plan.note.sum": "Heat made is heat lost, drawn and stored; what the cold takes through the skin, no tube "
    "can take.",
    "heap-plan.note.scale": "For scale: a full-size heap of prunings gave a farmhouse 2.75 kW on the mean of a year.",
    "heap-plan.note.reports": "Builders report more from heaps of this size: {reported} of chips with manure held "
    "{held} for half a year while drawn, another {held_too} for over five weeks. Nobody has measured what they gave.",
    "heap-plan.tube": "Lay it in flat coils, {spacing} from turn to turn, between {inner} and {outer} from the "
    "centre, from {ground} above the ground up, in {layers}, {spacing} apart. The outermost turn lies {face} in from "
    "the outer face at the foot.",
    "heap-plan.tube-crowded": "The heap has no room for all the tube the draw would take; run the pump longer, or "
    "build larger.",
    "heap-plan.duct": "Lay it closed, in {rings}, {spacing} from turn to turn, in {layers}. The outermost lies "
    "{centre} from the centre and {face} in from the outer face at the foot. The lowest lies {ground} above the "
    "ground. Give it a steady fall, so that water runs out.",
    "heap-plan.duct-crowded": "The heap has no room for all the duct the draw would take; run the fan longer, or "
    "build larger.",
    "heap-plan.one-layer": "one layer",
    "heap-plan.layers": "{count} layers",
    "heap-plan.one-turn": "one turn",
    "heap-plan.turns": "{count} turns",
    "heap-plan.mix.chips": "wood chips alone",
    "heap-plan.mix.chips-and-manure": "3 parts wood chips, 1 part horse manure",
    "heap-plan.mix.chips-manure-and-grass": "5 parts wood chips, 3 parts horse manure, 2 parts grass",
    "heap-plan.why.limit": "no limit was asked for",
    "heap-plan.why.lead": "common practice: two to five weeks to warm through",
    "heap-plan.why.mix": "no mix was named: {mix}, here the manure's share",
    "heap-plan.why.wind": "no exposure was named: a normal place",
    "heap-plan.why.loop-inlet": "not given: water back from a cool house",
    "heap-plan.why.outdoor": "no table of temperatures: a steady mean",
    "heap-plan.why.days": "no days were named",
    "winter.no-need": "The house needs no heat on any of these nights.",
    "winter.headline": "{way} of {volume} should give {heat} over {days}, {share} of what the house needs. "
    "Build the first on {build}, begin drawing on {draw}.",
    "winter.no-heat": "No heap of this size is likely to hold its core through this winter and give heat as well.",
    "winter.late": "Too few heaps built so late in the cold are hot in time, even with eight weeks. Build them in "
    "autumn.",
    "winter.elsewhen": "There is a need at another time of the year too; plan it by itself.",
    "winter.way.one": "one heap",
    "winter.way.in_a_row": "{count} heaps in a row",
    "winter.way.side_by_side": "{count} heaps side by side",
    "winter.note.follows": "The heap follows the need month by month, and is never drawn below its limit on purpose.",
    "winter.note.season-draw": "On the mean it is drawn for its season draw over these days, or for the house's need "
    "where that is less. Once it stands, the advice counts that anew from its own core and log; go by that.",
    "winter.note.ends-low": "Where a heap cools too soon its drawing ends there: that is counted, and is why the low "
    "ends are low.",
    "winter.note.steady": "The watts are what can be kept up steadily. Whoever has a thermostat goes by the cores of "
    "`draw_months` instead: on at the one, off at the other, by night, as the advice on the standing heap says.",
    "winter.note.share-luck": "Heaps of one plan are taken to share their luck: if one is slow, so are the others.",
    "winter.note.scale": "For scale: a full-size heap of prunings gave a farmhouse 2.75 kW on the mean of a year.",
    "winter.note.daily": "A core of {daily} or more: look daily, whatever the plan says.",
    "winter.why.heap": "no size was named",
    "winter.why.most-heaps": "no number was named",
    "winter.why.order-ahead": "not given",
    "winter.date.order.title": "Order chips for {heap}",
    "winter.date.order.text": "So that they lie there by {build}: {amounts}. Ask for fresh ones; they heat best.",
    "winter.date.build.title": "Build {heap}",
    "winter.date.build.text": "It should be hot after about {hot}; {chance} of such heaps are by the first draw.",
    "winter.date.look.title": "Look at {heap}",
    "winter.date.look.text": "A core still cold after three days is no failure yet; a smell of rot or ammonia is.",
    "winter.date.top_up.title": "Top up {heap}",
    "winter.date.top_up.text": "It has sunk by about a fifth, {sunk}. Fill it up with chips, lay the cover again, "
    "check tube and probe.",
    "winter.date.feed_again.title": "Second half of the feed for {heap}",
    "winter.date.feed_again.text": "If it is fed: the other half, with water.",
    "winter.date.stove.title": "Have the stove ready",
    "winter.date.stove.text": "Without it the house would lie about {short} under its target on the mean night of "
    "need. Check flue, fresh air and the alarm for carbon monoxide.",
    "winter.date.begin.title": "Begin drawing {heap}: {draw}",
    "winter.date.begin.text": "Only if its core is at {hot_from} or more. Else wait, and look again.",
    "winter.date.change.title": "Draw {draw} from {heap}",
    "winter.date.change.text": "Mean over day and night. Draw less if its core nears {limit}.",
    "winter.date.end.title": "Stop drawing {heap}",
    "winter.date.end.text": "Let it rest. It can warm a frame, or be topped up for spring.",
    "winter.date.shut_down.title": "Shut down for the spring",
    "winter.date.shut_down.text": "No more heat is needed. Stop fan and pump, open the vents.",
    "winter.date.drain.title": "Drain the loop, if there is one",
    "winter.date.drain.text": "Blow it empty before the next frost, unless it holds antifreeze.",
    "winter.date.rest.title": "Summer rest",
    "winter.date.rest.text": "Let the heaps cool and finish. In drought read the core: a dry, hot heap burns.",
    "winter.date.reuse.title": "Sieve half-rotted chips",
    "winter.date.reuse.text": "Up to {reused} of the coarse part, a third of a heap, can go into the next one; the "
    "fine is compost.",
    "winter.amount": "{amount} of {name}",
    "winter.heap.all": "all {count} heaps",
    "winter.heap.the": "the heap",
    "winter.heap.numbered": "heap {number}",
    "winter.chart.planned": "Heat and core of the heaps from {first} to {last}",
    "winter.chart.nothing": "No heat is needed",
    "winter.chart.span": "The house needs up to {need} as a mean over day and night; up to {draw} is drawn from the "
    "heaps.",
    "winter.chart.core": "The core of the heap in use is likely {first} at first, {highest} at most and {last} at the "
    "end; its limit is {limit}.",
    "winter.chart.heap": "Heap {number}{times}: build {build}, draw from {draw} to {end}.",
    "winter.chart.month": "{month}: needed {need}, from the heaps {given}.",
    "winter.chart.way": "{name}: {heat}, {short} nights short, by {by} on the mean{chosen}.",
    "winter.chart.of-them": ", {count} of them",
    "winter.chart.laid-out": ", the one laid out here",
    "winter.chart.power-axis": "heat, mean over day and night",
    "winter.chart.needs": "the house needs",
    "winter.chart.drawn": "drawn from the heaps",
    "winter.chart.core-axis": "core of the heap in use",
    "winter.chart.band": "likely, and 8 times in 10; dashed: limit {limit}",
    "winter.chart.mark.build": "build {heap}",
    "winter.chart.mark.draw": "draw {heap}",
    "winter.chart.mark.end": "end {heap}",
    "winter.chart.every-heap": "all",
    "winter.chart.ways-axis": "heat of each way, {unit}, by heaps built",
    "winter.chart.chosen": "chosen",
    "winter.chart.beaten": "beaten",
    "winter.chart.way-line": "{number}. {name}: {heat}, {short} nights short by {by}",
    "winter.chart.million": "{number} million",
}
