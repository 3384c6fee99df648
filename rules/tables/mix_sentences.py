"""The sentences about mixes and the order of laying them, with fields in braces that are filled in."""

from __future__ import annotations

from typing import Final

MIX: Final[dict[str, str]] = {
    "mix.unknown": "This cannot be told for this mix.",
    "mix.verdict.c_to_n.too_low": "Too much nitrogen for the carbon that can rot in time. The spare nitrogen leaves "
    "as ammonia.",
    "mix.verdict.c_to_n.too_high": "Too little nitrogen for the carbon that can rot in time. It will stay cool and "
    "work slowly.",
    "mix.verdict.c_to_n.reasonable": "This works. A little nearer to the middle would be better.",
    "mix.verdict.c_to_n.preferred": "Carbon that can rot and nitrogen are in good balance.",
    "mix.verdict.c_to_n_total.too_low": "Low, even with all the carbon counted.",
    "mix.verdict.c_to_n_total.too_high": "High, with all the carbon counted. Where wood holds most of it, go by the "
    "carbon that can rot.",
    "mix.verdict.c_to_n_total.reasonable": "This works for a mix without much wood.",
    "mix.verdict.c_to_n_total.preferred": "This is what most printed recipes aim at.",
    "mix.verdict.moisture.too_low": "Too dry. Rot slows down, and below 30 % it all but stops.",
    "mix.verdict.moisture.too_high": "Too wet. Water fills the air spaces and the mix can turn sour.",
    "mix.verdict.moisture.reasonable": "This works. Nearer to a wrung-out rag would be better.",
    "mix.verdict.moisture.preferred": "Damp like a wrung-out rag, as it should be.",
    "mix.verdict.free_air_space.too_low": "Too little air space. Add something coarse and dry.",
    "mix.verdict.free_air_space.too_high": "More air space than was asked for.",
    "mix.verdict.free_air_space.reasonable": "There is room for air. A very airy heap cools and dries sooner, and it "
    "will settle.",
    "mix.verdict.free_air_space.preferred": "There is room for air to move through.",
    "mix.verdict.soft_matter.too_low": "Less soft matter than was asked for.",
    "mix.verdict.soft_matter.too_high": "Too much of it packs. It will mat and shut air out unless you mix in more "
    "coarse stuff.",
    "mix.verdict.soft_matter.reasonable": "Coarse stuff can hold this open.",
    "mix.verdict.soft_matter.preferred": "Coarse stuff can hold this open.",
    "mix.verdict.bulk_density.too_low": "Very light. It holds air well and warmth badly: build it large and wet it.",
    "mix.verdict.bulk_density.too_high": "Heavy. It will press the air out of its own foot.",
    "mix.verdict.bulk_density.reasonable": "A usual weight for a heap of this kind.",
    "mix.verdict.bulk_density.preferred": "A usual weight for a heap of this kind.",
    "mix.verdict.expected_peak.too_low": "It may get warm, but is not likely to get hot.",
    "mix.verdict.expected_peak.too_high": "It may get hotter than its own microbes like. Watch it in the first weeks.",
    "mix.verdict.expected_peak.reasonable": "It should get hot enough to be of use.",
    "mix.verdict.expected_peak.preferred": "It should get properly hot.",
    "mix.meaning.rots_in_weeks": "Share of the dry matter that rots within weeks. It gives the first heat.",
    "mix.meaning.rots_in_years": "Share of the dry matter that rots over years. It carries the heat through a winter.",
    "mix.peak-doubt": "This is a rough guide. It goes by water, air, nitrogen and what can rot in three weeks. It "
    "knows nothing of your weather or of how much heat you draw.",
    "mix.ammonia.rich_high": "Only {ratio} parts of carbon that can rot go with one of nitrogen. What is spare leaves "
    "as ammonia.",
    "mix.ammonia.rich_some": "{ratio} parts of carbon that can rot go with one of nitrogen: some of it may leave as "
    "ammonia.",
    "mix.ammonia.ash_high": "Wood ash turns the nitrogen of {names} into ammonia gas. Leave the ash out.",
    "mix.ammonia.ash_some": "Wood ash makes the mix alkaline, and that lets ammonia go. Keep it out, or to a dusting.",
    "mix.ammonia.quick_some": "The nitrogen of {names} turns to ammonia within days. Cover it at once and work in the "
    "open air.",
    "mix.ammonia.overfed": "There is more nitrogen in the {names} than the carbon that can rot is able to hold: "
    "{share} of it would do. The rest leaves as ammonia or washes out.",
    "mix.ammonia.calm": "There is enough carbon that can rot to hold the nitrogen.",
    "mix.ammonia.no_nitrogen": "There is hardly any nitrogen in it to lose.",
    "mix.note.wood": "All the carbon is {total} to one part nitrogen, but {share} of it is in wood, and most of that "
    "cannot rot in time. Go by the carbon that can: {ratio} to one. Never feed for all of it with urea: what the "
    "microbes cannot use leaves as ammonia.",
    "mix.note.runs_off": "There is more water than the mix has room for. It will run off and take nitrogen with it.",
    "mix.note.small": "It comes to {volume}. A heap under {least} hardly holds its heat through frost.",
    "mix.note.fire": "A rich large heap can reach {daily}. From there look daily; from {clear} keep clear of it.",
    "mix.note.dry_wood": "Dry wood sheds water. Soak it a day before, or water it in layers and again after a day.",
    "mix.good-recipe": "This mix should work.",
    "mix.why.typical": "not given: typical of {name}",
    "mix.why.size": "no size was asked for",
    "mix.why.vessel": "a common {name}",
    "mix.vessel.barrow": "barrow",
    "mix.vessels.barrow": "barrows",
    "mix.vessel.bucket": "bucket",
    "mix.vessels.bucket": "buckets",
    "mix.vessel-count": "{count} {vessel} ({weight})",
    "mix.portion": "{amount} of {name}",
    "mix.take": "Take {things}.",
    "mix.nothing": "nothing",
    "mix.nearest": "The nearest that can be had: {things}.",
    "mix.limit.c_to_n": "Carbon that can rot to one part nitrogen",
    "mix.limit.c_to_n_total": "All carbon to one part nitrogen",
    "mix.limit.moisture": "Moisture",
    "mix.limit.free_air_space": "Free air space",
    "mix.limit.soft_matter": "Soft matter",
    "mix.bound.low": "at least",
    "mix.bound.high": "at most",
    "mix.none-of-it": "none",
    "mix.in-the-way.limit": "{name} is to be {bound} {asked}. That stands in the way; {would_do} would do.",
    "mix.in-the-way.together": "{name} is to be {bound} {asked}. That cannot be kept; the nearest mix has {would_do}.",
    "mix.in-the-way.most": "There is not enough of this on hand: {name}. {would_do} would do, and there is {asked}.",
    "mix.in-the-way.least": "Too much {name} must go in: {would_do} would do, and {asked} is asked for.",
    "mix.in-the-way.least-together": "Not all the {name} can go in: the nearest mix takes {would_do} of {asked}.",
    "mix.in-the-way.size-together": "What is on hand comes to {would_do}, not {asked}.",
    "mix.in-the-way.feed": "Only feeding the wood as if all of it could rot would do it. That is not offered: the "
    "spare nitrogen would leave as ammonia.",
    "mix.in-the-way.room": "It would take many times as much as there is. Build a new mix instead.",
    "mix.in-the-way.size-low": "What is on hand makes {would_do} of a mix that keeps the limits, not {asked}.",
    "mix.in-the-way.size-high": "What must go in makes {would_do} or more, not {asked}.",
    "mix.nothing-to-mix": "What is on hand makes no mix at all.",
    "mix.get-more": "Get {amount} more {name}.",
    "mix.get-new": "Get {amount} of {name}.",
    "mix.lay.bed": "Lay about a fifth of the {coarse} as a loose bed, a forearm deep, so that air comes in from below.",
    "mix.lay.layers": "Go on in layers: {coarse}, then a thin layer of {soft}, no thicker than a hand's width.",
    "mix.lay.even": "Spread the rest of the {coarse} evenly, a layer at a time.",
    "mix.lay.soft-alone": "Lay the {soft} loosely and fluff it as you go: there is nothing coarse to hold it open.",
    "mix.lay.dissolved": "Dissolve {feed} in the water and pour it over the layers, half now and half after two weeks.",
    "mix.lay.fed-liquid": "Pour {feed} over the lower layers, and lay dry stuff on it at once.",
    "mix.lay.watered": "Water each layer as you lay it: {water} in all. A handful should feel like a wrung-out rag.",
    "mix.lay.strewn": "Strew {minerals} thinly between the layers, and none next to manure or urea.",
    "mix.lay.capped": "Keep some of the {cap} for a cover, a hand's width thick.",
}
