"""The order of work, from the stake in the middle to the first draw."""

from __future__ import annotations

from collections.abc import Iterator

from rules.catalogue import said
from rules.tables.thresholds import HOT_FROM
from service.actions.dosing.matter import FEEDINGS
from service.planning.dates import FEED_AGAIN_AFTER, TOP_UP_AFTER
from service.planning.spirals import Turns
from service.planning.tape import on_tape
from service.render.wording import in_words
from service.sheet.heap import Sheet
from service.sheet.probes import probes_of


def steps(sheet: Sheet) -> list[str]:
    """Numbered in this order."""
    return list(_steps(sheet))


def _steps(sheet: Sheet) -> Iterator[str]:
    def metres(value: float) -> str:
        return on_tape(value, sheet.system)

    shape = sheet.shape
    yield said("sheet.step.mark", radius=metres(shape.radius_m), diameter=metres(2 * shape.radius_m))
    order = sheet.answer.build_list.order
    yield said("sheet.step.lay", order=order[0])
    yield from order[1:]
    for layers_name, turns, last in _coils(sheet):
        what = layers_name[0]
        ends = said(f"sheet.step.{('tube-ends' if what == 'L' else 'duct-ends') if last else 'up'}")
        yield said(
            "sheet.step.coil",
            height=metres(turns.height_m),
            name=said(
                "sheet.step.layer-of", what=said(f"sheet.{'loop' if what == 'L' else 'duct'}-small"), name=layers_name
            ),
            inner=metres(turns.inner_m),
            outer=metres(turns.outer_m),
            pitch=metres(turns.pitch_m),
            length=metres(turns.length_m),
            ends=f"{ends} {said('sheet.step.press')}" if last and what == "L" else ends,
        )
    yield said("sheet.step.top", height=metres(shape.height_m))
    places = [
        said(
            "sheet.step.place",
            letter=probe.letter,
            what=probe.what,
            depth=metres(probe.depth_m),
            up=metres(probe.enters_at_m),
        )
        for probe in probes_of(shape)
    ]
    yield said("sheet.step.probe", probes=" ".join(places))
    if sheet.request.cover != "none":
        yield said("sheet.step.covered")
    yield said("sheet.step.note-day")
    yield said(
        "sheet.step.top-up",
        days=in_words(float(TOP_UP_AFTER), "days", sheet.system),
        volume=in_words(sheet.plan.laid_m3 - sheet.plan.settled_m3, "m3", sheet.system),
    )
    if sheet.answer.build_list.nitrogen is not None and FEEDINGS > 1:
        yield said("sheet.step.feed", days=in_words(float(FEED_AGAIN_AFTER), "days", sheet.system))
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
        return said("sheet.step.no-draw")
    first = sheet.plan.wanted.stretch.first_draw
    return said(
        "sheet.step.draw",
        draw=in_words(drawn, "W", sheet.system),
        hot=in_words(HOT_FROM.value, "degC", sheet.system),
        date=said("sheet.step.not-before", day=first.isoformat()) if first is not None else "",
    )
