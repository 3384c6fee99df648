"""What a build sheet tells, as data: the same for the page, the PDF, the terminal and whoever asks for JSON."""

from __future__ import annotations

from typing import Any

from rules.catalogue import said
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
        "title": said("sheet.drawing-title", title=title),
        "description": _description(sheet, drawing),
    }


def title_of(sheet: Sheet) -> str:
    """The name that was given, or the heap's size."""
    if sheet.request.title is not None:
        return said("sheet.title-named", title=sheet.request.title)
    return said("sheet.title", volume=in_words(sheet.plan.laid_m3, "m3", sheet.system))


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
        return said("sheet.no-purpose")
    sure = sheet.plan.wanted.chance > 0.5
    return said("sheet.purpose-sure" if sure else "sheet.purpose", **_words_of(sheet))


def _notice(sheet: Sheet) -> str | None:
    """Why the heap is not what was asked for, where it is not."""
    if sheet.asked["possible"]:
        return None
    return said(f"sheet.notice.{sheet.chosen or 'largest'}", **_words_of(sheet))


def _notes(sheet: Sheet) -> list[dict[str, Any]]:
    both = sheet.loop is not None and sheet.duct is not None
    own = [{"text": said("sheet.either"), "source": source_shown(OWN_MODEL)}] if both else []
    return [*own, *sheet.answer["notes"]]


def _materials(sheet: Sheet) -> list[dict[str, Any]]:
    """Everything to bring, one row each."""
    listed_, layout = sheet.answer["build_list"], sheet.answer["layout"]
    rows = [_bulk(part) for part in listed_["materials"]]
    feed = listed_["nitrogen"]
    if feed is not None:
        half = said("sheet.item.feed", count=str(feed["split"]))
        rows.append(_row(feed["material"], feed["name"], half, mass=feed["amount"]))
    rows.append(_row("water", said("sheet.item.water"), said("sheet.item.soak"), water=listed_["water"]))
    cover = sheet.request.cover
    if cover != "none":
        name = said(f"sheet.item.cover.{cover or 'clear_film'}")
        rows.append(_row("cover", name, said("sheet.item.to-cover"), area=listed_["film"]))
    loop, duct, inside = layout["loop"], layout["duct"], said("sheet.item.inside")
    if loop is not None:
        rows.append(
            _row("loop", said(f"sheet.item.tube.{loop['tube']}"), inside, length=loop["length"], to_buy=loop["to_buy"])
        )
    if duct is not None:
        rows.append(
            _row(
                "duct",
                said("sheet.item.duct", size=on_tape(DUCT_M, sheet.system)),
                inside,
                length=duct["length"],
                to_buy=duct["to_buy"],
            )
        )
    longest = max(probe.depth_m for probe in probes_of(sheet.shape))
    probe = shown(Estimate.exact(longest), "length", sheet.system)
    rows.append(_row("probe", said("sheet.item.probe"), said("sheet.item.reach"), length=probe))
    return rows


def _bulk(part: dict[str, Any]) -> dict[str, Any]:
    """One thing of the mix; what is liquid goes by no barrow."""
    liquid = "liquid" in MATERIALS[part["material"]].traits
    barrows = None if liquid else part["barrows"]
    use = said("sheet.item.pour" if liquid else "sheet.item.lay")
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
        "name": said(f"sheet.layer.{layer.kind}", names=names),
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
    told = {
        name: "" if layout[name] is None else f"{said(f'sheet.{name}')}: {layout[name]['text']} " for name in layout
    }

    def metres(value: float) -> str:
        return on_tape(value, sheet.system)

    probes = [
        said(
            "sheet.drawing.probe",
            letter=each.letter,
            what=each.what,
            across=metres(each.from_centre_m),
            up=metres(each.above_ground_m),
        )
        for each in probes_of(sheet.shape)
    ]
    return said(
        "sheet.drawing",
        scale=drawing.scale[0].upper() + drawing.scale[1:],
        diameter=metres(2 * sheet.shape.radius_m),
        height=metres(sheet.shape.height_m),
        layers=str(len(sheet.layers)),
        cover="" if sheet.request.cover in ("none", "straw") else said("sheet.under-cover"),
        probes="; ".join(probes),
        **told,
    )
