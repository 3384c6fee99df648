"""What a build sheet tells, as data: the same for the page, the PDF, the terminal and whoever asks for JSON."""

from __future__ import annotations

from typing import Any, Final

from rules.tables.materials import MATERIALS
from service.answer.quantities import round_off
from service.mix.carrying import carrying_of
from service.mix.shapes.question import MixRequest
from service.mix.words import plain_name
from service.planning.notes import OWN_MODEL
from service.planning.ranges import shown, source_shown
from service.planning.tape import on_tape
from service.render.wording import in_words, listed
from service.sheet.cautions import cautions
from service.sheet.checks import checks
from service.sheet.drawing import Drawing
from service.sheet.heap import Sheet
from service.sheet.layers import Layer
from service.sheet.probes import probes_of
from service.sheet.section import DUCT_M
from service.sheet.steps import steps
from service.units.estimate import Estimate
from service.units.quantities import Dimension

TITLE: Final = "Build sheet: a heap of {volume}"
NAMED: Final = "Build sheet: {title}"
PURPOSE: Final = (
    "For {draw} of heat, as a mean over day and night, for {days}, with the core kept at {limit} or more. It is an "
    "even chance; see the ranges."
)
SURE: Final = "For {draw} of heat, as a mean over day and night, for {days}, with the core kept at {limit} or more."
NO_PURPOSE: Final = "No steady draw can be counted on from this heap."
NOTICE: Final[dict[str | None, str]] = {
    "heat": "{headline} This sheet is for that heap, with loop and duct laid out for {draw}.",
    "heaps": "{headline} This sheet is for one of {heaps} such heaps side by side: bring everything {heaps} times.",
    "lead": "{headline} This sheet is for that heap, built {lead} before the first draw.",
    "days": "{headline} This sheet is for that heap, drawn for {days} instead.",
    "keep_core_above": "{headline} This sheet is for that heap, its core let down to {limit} instead.",
    None: "{headline} This sheet is for the largest heap within the bounds, without a draw.",
}
DUCT: Final = "duct of {size}"
INSIDE: Final = "in turns inside the heap"
EITHER: Final = "Loop and duct are each laid out for the whole draw: one of them is enough."
KIND_NAMES: Final = {"bed": "bed of", "soft": "thin layer of", "coarse": "layer of", "cap": "cap of"}
DRAWING_TITLE: Final = "{title}: drawing to scale"
DESCRIPTION: Final = (
    "{scale}. The section shows a rounded heap {diameter} across and {height} high in {layers} layers{cover}. {loop}"
    "{duct}Probe places: {probes}."
)


def content(sheet: Sheet, drawing: Drawing) -> dict[str, Any]:
    """The whole sheet."""
    answer, system = sheet.answer, sheet.system
    title, materials = title_of(sheet), _materials(sheet)
    return {
        "knowledge_version": answer["knowledge_version"],
        "units": system,
        "as_of": sheet.request.as_of.isoformat(),
        "title": title,
        "purpose": _purpose(sheet),
        "possible": sheet.asked["possible"],
        "notice": _notice(sheet),
        "chosen": sheet.chosen,
        "heaps": sheet.heaps,
        "headline": answer["headline"],
        "paper": sheet.paper,
        "asked": answer["asked"],
        "heap": answer["heap"],
        "gives": answer["gives"],
        "materials": materials,
        "barrow": answer["build_list"]["barrow"],
        "barrows": round_off(sum(each["barrows"] or 0.0 for each in materials)),
        "layers": [_layer(number, layer, sheet) for number, layer in enumerate(sheet.layers, start=1)],
        "layout": answer["layout"],
        "probes": [_probe(probe, sheet) for probe in probes_of(sheet.shape)],
        "drawing": _drawing(sheet, drawing, title),
        "steps": steps(sheet),
        "checks": checks(sheet),
        "cautions": cautions(sheet),
        "notes": _notes(sheet),
        "assumed": answer["assumed"],
        "read_as": answer["read_as"],
    }


def _drawing(sheet: Sheet, drawing: Drawing, title: str) -> dict[str, Any]:
    """Scales, sizes and words of the drawing."""
    return {
        "scale": drawing.scale,
        "section_scale": drawing.section,
        "plan_scale": drawing.plan,
        "width_mm": drawing.width,
        "height_mm": drawing.height,
        "across": on_tape(2 * sheet.shape.radius_m, sheet.system),
        "high": on_tape(sheet.shape.height_m, sheet.system),
        "title": DRAWING_TITLE.format(title=title),
        "description": _description(sheet, drawing),
    }


def title_of(sheet: Sheet) -> str:
    """The name that was given, or the heap's size."""
    if sheet.request.title is not None:
        return NAMED.format(title=sheet.request.title)
    return TITLE.format(volume=in_words(sheet.plan.laid_m3, "m3", sheet.system))


def _words_of(sheet: Sheet) -> dict[str, str]:
    plan, system = sheet.plan, sheet.system
    return {
        "headline": sheet.asked["headline"],
        "heaps": str(sheet.heaps),
        "draw": in_words(plan.laid_out_w, "W", system),
        "days": in_words(float(plan.wanted.stretch.days), "days", system),
        "lead": in_words(float(plan.wanted.season.lead_days), "days", system),
        "limit": in_words(plan.wanted.limit_c, "degC", system),
    }


def _purpose(sheet: Sheet) -> str:
    if sheet.plan.laid_out_w <= 0.0:
        return NO_PURPOSE
    template = PURPOSE if sheet.plan.wanted.chance <= 0.5 else SURE
    return template.format_map(_words_of(sheet))


def _notice(sheet: Sheet) -> str | None:
    """Why the heap is not what was asked for, where it is not."""
    return None if sheet.asked["possible"] else NOTICE[sheet.chosen].format_map(_words_of(sheet))


def _notes(sheet: Sheet) -> list[dict[str, Any]]:
    both = sheet.loop is not None and sheet.duct is not None
    own = [{"text": EITHER, "source": source_shown(OWN_MODEL)}] if both else []
    return [*own, *sheet.answer["notes"]]


def _materials(sheet: Sheet) -> list[dict[str, Any]]:
    """Everything to bring, one row each."""
    listed_, layout = sheet.answer["build_list"], sheet.answer["layout"]
    rows = [_bulk(part) for part in listed_["materials"]]
    feed = listed_["nitrogen"]
    if feed is not None:
        half = f"in {feed['split']} parts, a fortnight apart"
        rows.append(_row(feed["material"], feed["name"], half, mass=feed["amount"]))
    rows.append(_row("water", "water", "to soak it, as far as the handful asks", water=listed_["water"]))
    cover = sheet.request.cover
    if cover != "none":
        name = "film" if cover in (None, "clear_film") else cover.replace("_", " ")
        rows.append(_row("cover", name, "to cover it, overlaps counted", area=listed_["film"]))
    loop, duct = layout["loop"], layout["duct"]
    if loop is not None:
        rows.append(_row("loop", f"{loop['tube']} tube", INSIDE, length=loop["length"], to_buy=loop["to_buy"]))
    if duct is not None:
        rows.append(
            _row(
                "duct",
                DUCT.format(size=on_tape(DUCT_M, sheet.system)),
                INSIDE,
                length=duct["length"],
                to_buy=duct["to_buy"],
            )
        )
    longest = max(probe.depth_m for probe in probes_of(sheet.shape))
    probe = shown(Estimate.exact(longest), "length", sheet.system)
    rows.append(_row("probe", "probe thermometer", "long enough to reach the core", length=probe))
    return rows


def _bulk(part: dict[str, Any]) -> dict[str, Any]:
    """One thing of the mix; what is liquid goes by no barrow."""
    liquid = "liquid" in MATERIALS[part["material"]].traits
    barrows = None if liquid else part["barrows"]
    use = "to pour over the layers" if liquid else "to lay"
    return _row(part["material"], part["name"], use, mass=part["mass"], volume=part["volume"], barrows=barrows)


def _row(item: str, name: str, use: str, **amounts: Any) -> dict[str, Any]:
    blank = dict.fromkeys(("mass", "volume", "barrows", "water", "area", "length", "to_buy"))
    return {"item": item, "name": name, "use": use, **blank, **amounts}


def _layer(number: int, layer: Layer, sheet: Sheet) -> dict[str, Any]:
    carrying = carrying_of(MixRequest.model_construct(units=sheet.system, barrow=sheet.request.barrow))
    mix, laid = sheet.plan.wanted.mix, sheet.plan.laid_m3

    def exactly(value: float, dimension: Dimension) -> dict[str, Any]:
        told = shown(Estimate.exact(value), dimension, sheet.system)
        return {"value": told["value"], "unit": told["unit"]}

    names = listed([plain_name(stuff.material) for stuff, _ in layer.parts])
    return {
        "number": number,
        "kind": layer.kind,
        "name": f"{KIND_NAMES[layer.kind]} {names}",
        "from": exactly(layer.from_m, "length"),
        "to": exactly(layer.to_m, "length"),
        "thickness": exactly(layer.thickness_m, "length"),
        "volume": exactly(layer.volume_m3, "volume"),
        "mass": exactly(sum(mass for _, mass in layer.parts), "mass"),
        "barrows": round_off(layer.volume_m3 / carrying.barrow_m3),
        "water": exactly(layer.wet_share * mix.water.value * laid, "water"),
        "parts": [
            {"material": stuff.material.id, "name": plain_name(stuff.material), "mass": exactly(mass, "mass")}
            for stuff, mass in layer.parts
        ],
    }


def _probe(probe: Any, sheet: Sheet) -> dict[str, Any]:
    told = {"letter": probe.letter, "what": probe.what}
    for name, value in (
        ("depth", probe.depth_m),
        ("from_centre", probe.from_centre_m),
        ("above_ground", probe.above_ground_m),
        ("enters_at", probe.enters_at_m),
    ):
        length = shown(Estimate.exact(value), "length", sheet.system)
        told[name] = {"value": length["value"], "unit": length["unit"]}
    return told


def _description(sheet: Sheet, drawing: Drawing) -> str:
    """The drawing in words."""
    layout = sheet.answer["layout"]
    told = {name: "" if layout[name] is None else f"{name.capitalize()}: {layout[name]['text']} " for name in layout}

    def metres(value: float) -> str:
        return on_tape(value, sheet.system)

    probes = [
        f"{each.letter}, {each.what}, {metres(each.from_centre_m)} from the middle, {metres(each.above_ground_m)} up"
        for each in probes_of(sheet.shape)
    ]
    return DESCRIPTION.format(
        scale=drawing.scale[0].upper() + drawing.scale[1:],
        diameter=metres(2 * sheet.shape.radius_m),
        height=metres(sheet.shape.height_m),
        layers=len(sheet.layers),
        cover="" if sheet.request.cover in ("none", "straw") else ", under a cover whose ridge is left open",
        probes="; ".join(probes),
        **told,
    )
