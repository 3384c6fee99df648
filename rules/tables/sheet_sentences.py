"""The sentences of build sheets and the words of their drawings, with fields in braces that are filled in."""

from __future__ import annotations

from typing import Final

SHEET: Final[dict[str, str]] = {
    "sheet.caution.law": "This sheet is no permit and no design by a licensed trade. Where local law, fire code, "
    "plumbing or electrical rules, or a licensed trade say otherwise, they are right.",
    "sheet.caution.fire": "Fire: a heap can light itself. From {daily} look daily and open the vent; from {over} look "
    "twice a day and blow no air in; from {clear}, or at any smoke, keep clear, do not open it, and call the fire "
    "service.",
    "sheet.caution.place": "Fire: keep it away from houses, fences, fuel and dry grass, as far as your fire code "
    "asks, with a hose that reaches it and room to pull it apart. Build it no higher than {height}.",
    "sheet.caution.gas": "Gases: a heap uses up oxygen and breathes out gas that can harm or kill (carbon dioxide, "
    "carbon monoxide, ammonia). Do not lean over an opened heap. Do not work in a shut shed. Let no air that went "
    "through the heap into a closed house.",
    "sheet.caution.crawl": "Never climb or put your head into a duct, pit, tank or dug hole: the air there can kill "
    "at once.",
    "sheet.caution.spores": "Spores: dust from chips and heaps harms lungs. Wear a dust mask that fits, stand upwind, "
    "damp down dry stuff, and stay away if your lungs or your defences are weak.",
    "sheet.caution.germs": "Germs: a hot core is no proof that germs and weed seeds are dead; the outer layer never "
    "gets hot. This sheet promises no kill. Wash your hands, and treat what comes out as raw.",
    "sheet.caution.ammonia": "Ammonia: urea, urine and fresh manure give off ammonia, all the more with wood ash or "
    "lime. Keep ash and lime out, dissolve urea outdoors, and wear gloves and eye cover.",
    "sheet.caution.copper": "Ammonia eats copper and can crack it: keep urea, urine and fresh manure off the tube.",
    "sheet.caution.scald": "Scald: from {scald} water burns skin within minutes. Fit a mixing valve, and lag pipes "
    "that people touch.",
    "sheet.caution.legionella": "Legionella: germs that attack the lungs grow in water from {from} to {to}. Keep the "
    "loop closed, with a heat exchanger; never drink, spray or shower with its water.",
    "sheet.caution.pressure": "Pressure: a closed loop in a hot heap needs an expansion vessel and a relief valve "
    "that drips where nobody stands. Fill and press it before the heap hides it; let a plumber do what the code asks "
    "for.",
    "sheet.caution.current": "Electricity: pumps, fans and timers in the wet need a safety switch that trips on earth "
    "faults (RCD or GFCI). Unplug before you touch them. Leave wiring to a licensed electrician.",
    "sheet.caution.weight": "Weight: wet stuff is heavy and a steep side can slide. Use small loads, do not undercut "
    "it, and do not work alone.",
    "sheet.caution.of-material": "{name}. {caution}",
    "sheet.check.expect": "Core about {value}, 8 in 10 heaps from {low} to {high}; {share} have been at {hot} or more "
    "by then.",
    "sheet.check.look.1": "Read A, B and C. See that the cover lies well, that no tube or duct shows, and that no "
    "water runs out below.",
    "sheet.check.if-not.1": "Cooler is no failure on the first day. Leave it shut.",
    "sheet.check.look.3": "Read A, B and C. Smell at the vent: earthy is well.",
    "sheet.check.if-not.3": "Under {low}: no failure yet; cold or half-frozen stuff takes longer. A smell of rot "
    "means too wet or too packed: open holes with a bar. A smell of ammonia means too much nitrogen: cover it with "
    "more chips.",
    "sheet.check.look.7": "Read A, B and C. Press a handful from an arm's depth: it should feel like a wrung-out rag.",
    "sheet.check.if-not.7": "Under {low}: where it is dusty in the hand, water it at midday through holes. Where it "
    "drips, let it drain and lay on dry chips. Where neither is so, give the second half of the feed early if you feed "
    "it, and wait a week.",
    "sheet.check.look.14": "Read A, B and C. See how far it has sunk, and whether tube and duct have sunk along.",
    "sheet.check.if-not.14": "Under {low}: it is slow. Go through hand, nose and feed again, and put the first draw "
    "off until the core is at {hot}. If it is no warmer than on day 7 either: loosen it and lay it anew with richer "
    "stuff.",
    "sheet.check.too-hot": "{daily} or more on any day: look daily and open the vent.",
    "sheet.title": "Build sheet: a heap of {volume}",
    "sheet.title-named": "Build sheet: {title}",
    "sheet.purpose": "For {draw} of heat, as a mean over day and night, for {days}, with the core kept at {limit} or "
    "more. It is an even chance; see the ranges.",
    "sheet.purpose-sure": "For {draw} of heat, as a mean over day and night, for {days}, with the core kept at "
    "{limit} or more.",
    "sheet.no-purpose": "No steady draw can be counted on from this heap.",
    "sheet.notice.heat": "{headline} This sheet is for that heap, with loop and duct laid out for {draw}.",
    "sheet.notice.heaps": "{headline} This sheet is for one of {heaps} such heaps side by side: bring everything "
    "{heaps} times.",
    "sheet.notice.lead": "{headline} This sheet is for that heap, built {lead} before the first draw.",
    "sheet.notice.days": "{headline} This sheet is for that heap, drawn for {days} instead.",
    "sheet.notice.keep_core_above": "{headline} This sheet is for that heap, its core let down to {limit} instead.",
    "sheet.notice.largest": "{headline} This sheet is for the largest heap within the bounds, without a draw.",
    "sheet.not-as-asked": "Not as asked. {notice}",
    "sheet.not-as-asked-loud": "NOT AS ASKED: {notice}",
    "sheet.either": "Loop and duct are each laid out for the whole draw: one of them is enough.",
    "sheet.item.duct": "duct of {size}",
    "sheet.item.inside": "in turns inside the heap",
    "sheet.item.feed": "in {count} parts, a fortnight apart",
    "sheet.item.water": "water",
    "sheet.item.soak": "to soak it, as far as the handful asks",
    "sheet.item.cover.clear_film": "film",
    "sheet.item.cover.tarp": "tarp",
    "sheet.item.cover.breathable": "breathable",
    "sheet.item.cover.straw": "straw",
    "sheet.item.to-cover": "to cover it, overlaps counted",
    "sheet.item.tube.copper": "copper tube",
    "sheet.item.tube.plastic": "plastic tube",
    "sheet.item.probe": "probe thermometer",
    "sheet.item.reach": "long enough to reach the core",
    "sheet.item.pour": "to pour over the layers",
    "sheet.item.lay": "to lay",
    "sheet.layer.bed": "bed of {names}",
    "sheet.layer.soft": "thin layer of {names}",
    "sheet.layer.coarse": "layer of {names}",
    "sheet.layer.cap": "cap of {names}",
    "sheet.drawing-title": "{title}: drawing to scale",
    "sheet.drawing": "{scale}. The section shows a rounded heap {diameter} across and {height} high in {layers} "
    "layers{cover}. {loop}{duct}Probe places: {probes}.",
    "sheet.drawing.probe": "{letter}, {what}, {across} from the middle, {up} up",
    "sheet.under-cover": ", under a cover whose ridge is left open",
    "sheet.loop": "Loop",
    "sheet.loop-small": "loop",
    "sheet.duct": "Duct",
    "sheet.duct-small": "duct",
    "sheet.probe.A": "core, the reading that counts",
    "sheet.probe.B": "midway",
    "sheet.probe.C": "outer layer, on the coldest side",
    "sheet.step.mark": "Choose level ground that drains away from houses and wells. Drive a tall stake where the "
    "middle will be, mark on it the heights of the layers, and draw a circle {radius} around it on the ground: "
    "{diameter} across.",
    "sheet.step.lay": "Lay the heap by the list of layers, round and loose; never tread on it. {order}",
    "sheet.step.coil": "When the heap is {height} high, lay {name}: a flat coil from {inner} to {outer} from the "
    "stake, turns {pitch} apart, {length} in all. {ends}",
    "sheet.step.tube-ends": "Lead the ends out below frost or lagged, and leave slack, for the heap sinks by a fifth.",
    "sheet.step.duct-ends": "Give it a steady fall, so that water runs out at the lower end, and lead the ends out.",
    "sheet.step.up": "Go up to the next layer without a kink.",
    "sheet.step.press": "Fill the loop, bring it to its working pressure, and look for drips before the next layer "
    "hides it.",
    "sheet.step.top": "Go on to {height} in the middle and put on the cap. Take out the stake, and close its hole.",
    "sheet.step.probe": "Mark the places to read. {probes}",
    "sheet.step.covered": "Lay the cover on and weigh down its edges. Leave the ridge open by a hand's width or two: "
    "steam and gas must get out, and air in.",
    "sheet.step.note-day": "Write down the day. Read the core daily for the first two weeks; the checks below say "
    "what to expect.",
    "sheet.step.feed": "After {days}: give the other half of the feed, dissolved in water.",
    "sheet.step.top-up": "After about {days}: it has sunk by about a fifth. Fill it up with about {volume} of chips, "
    "and lay the cover on again.",
    "sheet.step.draw": "Begin to draw {draw}, as a mean over day and night, when the core is at {hot} or more{date}.",
    "sheet.step.no-draw": "Plan no draw from it: such a heap is not likely to hold its core as asked.",
    "sheet.step.not-before": ", not before {day}",
    "sheet.step.layer-of": "{what} layer {name}",
    "sheet.step.place": "{letter}: {what}, {depth} deep from {up} up.",
    "sheet.head.what": "What",
    "sheet.head.what-for": "What for",
    "sheet.head.how-much": "How much",
    "sheet.head.barrow-loads": "Barrow loads",
    "sheet.head.number": "No.",
    "sheet.head.layer": "Layer",
    "sheet.head.from-to": "From - to",
    "sheet.head.thick": "Thick",
    "sheet.head.volume": "Volume",
    "sheet.head.mass": "Mass",
    "sheet.head.barrows": "Barrows",
    "sheet.head.water": "Water",
    "sheet.head.day": "Day",
    "sheet.head.expect": "Expect",
    "sheet.head.look": "Look",
    "sheet.head.if-not": "If not",
    "sheet.range": "{value} ({low} to {high})",
    "sheet.to-buy": "to buy {length} or more, with joints and ends",
    "sheet.barrow-holds": "A barrow is taken to hold {barrow}; {loads} loads in all.",
    "sheet.fact.volume": "Volume as laid",
    "sheet.fact.mass": "Mass",
    "sheet.fact.size": "Across, and high",
    "sheet.fact.gives": "Heat it should sustain",
    "sheet.fact.chance": "Chance of the heat asked",
    "sheet.fact.hot-after": "Hot after about",
    "sheet.fact.build-on": "Build on",
    "sheet.fact.first-draw": "First draw",
    "sheet.fact.last-draw": "Last draw",
    "sheet.part.bring": "What to bring",
    "sheet.part.layers": "Layers, from the ground up",
    "sheet.part.layers-short": "Layers",
    "sheet.part.where": "Where tube and duct lie",
    "sheet.part.order": "Order of work",
    "sheet.part.checks": "Checks",
    "sheet.part.check-days": "Checks on day 1, 3, 7 and 14",
    "sheet.part.care": "Take care",
    "sheet.part.know": "What to know",
    "sheet.part.know-numbers": "What to know of these numbers",
    "sheet.part.drawing": "Drawing",
    "sheet.part.drawing-to-scale": "Drawing to scale",
    "sheet.part.drawing-scale": "Drawing to scale: {scale}",
    "sheet.part.drawing-printed": "Drawing to scale: {scale}, true when printed at 100 %",
    "sheet.in-the-middle": "Heights and thickness are those in the middle. The cap lies over everything like a skin.",
    "sheet.printed-true": "True when printed at 100 %. A, B and C are the places to read.",
    "sheet.none-laid-out": "None is laid out.",
    "sheet.as-of": "{title}, as of {day}",
    "sheet.page": "{foot}, page {number} of {count}",
    "sheet.knowledge": "Knowledge {version}.",
    "sheet.as-of-and-knowledge": "As of {day}; knowledge {version}.",
    "sheet.barrows": ", {count} barrows",
    "sheet.day": "Day {day}. {expect} {look} {if_not}",
    "sheet.mark.scales": "section 1:{section}, plans 1:{plan}",
    "sheet.mark.section": "Section",
    "sheet.mark.above": "From above",
    "sheet.mark.plan": "Plan",
    "sheet.mark.inches-to-foot": "({inches} in. to the foot)",
    "sheet.mark.across": "{width} across",
    "sheet.mark.foot": "Foot of the heap",
    "sheet.mark.layer": "{what} {name}: {up} above ground",
    "sheet.mark.from-middle": "{inner} to {outer} from the middle",
    "sheet.mark.turns": "turns {pitch} apart, {length} long",
    "sheet.mark.layer-short": "{name}: {up} up, {length}",
    "sheet.mark.from-middle-short": "{inner} to {outer}",
    "sheet.mark.cover.clear_film": "film",
    "sheet.mark.cover.tarp": "tarp",
    "sheet.mark.cover.breathable": "breathable cover",
    "sheet.mark.if-used": "{cover}, if you use one",
    "sheet.mark.ridge": "{cover}: ridge left open",
    "sheet.mark.top": "top: {up} up",
    "sheet.mark.level": "{name}: {up} up",
    "sheet.mark.outermost": "{what}, outermost turn: from",
    "sheet.mark.outermost-more": "the middle, from the face",
    "sheet.mark.kind.coarse": "coarse",
    "sheet.mark.kind.soft": "soft",
    "sheet.mark.kind.cap": "cap",
}
