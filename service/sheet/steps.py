"""The order of work, from the stake in the middle to the first draw."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rules.tables.thresholds import HOT_FROM
from service.actions.dosing.matter import FEEDINGS
from service.planning.dates import FEED_AGAIN_AFTER, TOP_UP_AFTER
from service.planning.spirals import Turns
from service.planning.tape import on_tape
from service.render.wording import in_words
from service.sheet.heap import Sheet
from service.sheet.probes import probes_of

MARK: Final = (
    "Choose level ground that drains away from houses and wells. Drive a tall stake where the middle will be, mark on "
    "it the heights of the layers, and draw a circle {radius} around it on the ground: {diameter} across."
)
LAY: Final = "Lay the heap by the list of layers, round and loose; never tread on it. {order}"
COIL: Final = (
    "When the heap is {height} high, lay {name}: a flat coil from {inner} to {outer} from the stake, turns {pitch} "
    "apart, {length} in all. {ends}"
)
TUBE_ENDS: Final = "Lead the ends out below frost or lagged, and leave slack, for the heap sinks by a fifth."
DUCT_ENDS: Final = "Give it a steady fall, so that water runs out at the lower end, and lead the ends out."
UP: Final = "Go up to the next layer without a kink."
PRESS: Final = "Fill the loop, bring it to its working pressure, and look for drips before the next layer hides it."
TOP: Final = "Go on to {height} in the middle and put on the cap. Take out the stake, and close its hole."
PROBE: Final = "Mark the places to read. {probes}"
COVERED: Final = (
    "Lay the cover on and weigh down its edges. Leave the ridge open by a hand's width or two: steam and gas must get "
    "out, and air in."
)
NOTE_DAY: Final = (
    "Write down the day. Read the core daily for the first two weeks; the checks below say what to expect."
)
FEED: Final = "After {days}: give the other half of the feed, dissolved in water."
TOP_UP: Final = (
    "After about {days}: it has sunk by about a fifth. Fill it up with about {volume} of chips, and lay the cover on "
    "again."
)
DRAW: Final = "Begin to draw {draw}, as a mean over day and night, when the core is at {hot} or more{date}."
NO_DRAW: Final = "Plan no draw from it: such a heap is not likely to hold its core as asked."


def steps(sheet: Sheet) -> list[str]:
    """Numbered in this order."""
    return list(_steps(sheet))


def _steps(sheet: Sheet) -> Iterator[str]:
    def metres(value: float) -> str:
        return on_tape(value, sheet.system)

    shape = sheet.shape
    yield MARK.format(radius=metres(shape.radius_m), diameter=metres(2 * shape.radius_m))
    order = sheet.answer["build_list"]["order"]
    yield LAY.format(order=order[0])
    yield from order[1:]
    for layers_name, turns, last in _coils(sheet):
        what = layers_name[0]
        ends = (TUBE_ENDS if what == "L" else DUCT_ENDS) if last else UP
        yield COIL.format(
            height=metres(turns.height_m),
            name=f"{'loop' if what == 'L' else 'duct'} layer {layers_name}",
            inner=metres(turns.inner_m),
            outer=metres(turns.outer_m),
            pitch=metres(turns.pitch_m),
            length=metres(turns.length_m),
            ends=f"{ends} {PRESS}" if last and what == "L" else ends,
        )
    yield TOP.format(height=metres(shape.height_m))
    places = [
        f"{probe.letter}: {probe.what}, {metres(probe.depth_m)} deep from {metres(probe.enters_at_m)} up."
        for probe in probes_of(shape)
    ]
    yield PROBE.format(probes=" ".join(places))
    if sheet.request.cover != "none":
        yield COVERED
    yield NOTE_DAY
    yield TOP_UP.format(
        days=in_words(float(TOP_UP_AFTER), "days", sheet.system),
        volume=in_words(sheet.plan.laid_m3 - sheet.plan.settled_m3, "m3", sheet.system),
    )
    if sheet.answer["build_list"]["nitrogen"] is not None and FEEDINGS > 1:
        yield FEED.format(days=in_words(float(FEED_AGAIN_AFTER), "days", sheet.system))
    yield _draw(sheet)


def _coils(sheet: Sheet) -> list[tuple[str, Turns, bool]]:
    """Layers of loop and duct as the heap grows, each with its name and whether it is the last of its kind."""
    found = []
    for letter, layout in (("L", sheet.loop), ("D", sheet.duct)):
        layers = layout.layers if layout is not None else ()
        found += [(f"{letter}{number}", turns, number == len(layers)) for number, turns in enumerate(layers, start=1)]
    return sorted(found, key=lambda each: each[1].height_m)


def _draw(sheet: Sheet) -> str:
    drawn = sheet.plan.laid_out_w
    if drawn <= 0.0:
        return NO_DRAW
    first = sheet.plan.wanted.stretch.first_draw
    return DRAW.format(
        draw=in_words(drawn, "W", sheet.system),
        hot=in_words(HOT_FROM.value, "degC", sheet.system),
        date=f", not before {first.isoformat()}" if first is not None else "",
    )
