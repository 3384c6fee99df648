"""What a build sheet tells, as data: the same for the page, the PDF, the terminal and whoever asks for JSON."""

from __future__ import annotations

from rules.catalogue import said
from rules.tables.materials import MATERIALS
from service.answer.quantities import measured, round_off
from service.mix.carrying import carrying_of
from service.mix.shapes.answer import Plain, Portion
from service.mix.shapes.question import MixRequest
from service.mix.shapes.sources import NoteTold
from service.mix.sources import notes_shown
from service.mix.words import name_in_sentence
from service.planning.notes import OWN_MODEL
from service.planning.ranges import exactly
from service.planning.shapes.sheet_answer import BuildSheet, DrawingTold, LayerPart, LayerShown, ProbePlace, ToBring
from service.planning.tape import on_tape
from service.render.shape import Quantity
from service.render.wording import in_words, listed
from service.sheet.cautions import cautions
from service.sheet.checks import checks
from service.sheet.drawing import Drawing
from service.sheet.heap import Sheet
from service.sheet.layers import Layer
from service.sheet.probes import ProbeSpot, probes_of
from service.sheet.section import DUCT_M
from service.sheet.steps import steps
from service.units.estimate import Estimate
from service.units.quantities import Dimension


def content(sheet: Sheet, drawing: Drawing) -> BuildSheet:
    """The whole sheet."""
    answer, system = sheet.answer, sheet.system
    title, materials = title_of(sheet), _materials(sheet)
    return BuildSheet(
        knowledge_version=answer.knowledge_version,
        units=system,
        as_of=sheet.request.as_of.isoformat(),
        title=title,
        purpose=_purpose(sheet),
        possible=sheet.asked.possible,
        notice=_notice(sheet),
        chosen=sheet.chosen,
        heaps=sheet.heaps,
        headline=answer.headline,
        paper=sheet.paper,
        asked=answer.asked,
        heap=answer.heap,
        gives=answer.gives,
        materials=materials,
        barrow=answer.build_list.barrow,
        barrows=round_off(sum(each.barrows or 0.0 for each in materials)),
        layers=[_layer(number, layer, sheet) for number, layer in enumerate(sheet.layers, start=1)],
        layout=answer.layout,
        probes=[_probe(probe, sheet) for probe in probes_of(sheet.shape)],
        drawing=_drawing(sheet, drawing, title),
        steps=steps(sheet),
        checks=checks(sheet),
        cautions=cautions(sheet),
        notes=_notes(sheet),
        assumed=answer.assumed,
        read_as=answer.read_as,
    )


def _drawing(sheet: Sheet, drawing: Drawing, title: str) -> DrawingTold:
    """Scales, sizes and words of the drawing."""
    return DrawingTold(
        scale=drawing.scale,
        section_scale=drawing.section,
        plan_scale=drawing.plan,
        width_mm=drawing.width,
        height_mm=drawing.height,
        across=on_tape(2 * sheet.shape.radius_m, sheet.system),
        high=on_tape(sheet.shape.height_m, sheet.system),
        title=said("sheet.drawing-title", title=title),
        description=_description(sheet, drawing),
    )


def title_of(sheet: Sheet) -> str:
    """The name that was given, or the heap's size."""
    if sheet.request.title is not None:
        return said("sheet.title-named", title=sheet.request.title)
    return said("sheet.title", volume=in_words(sheet.plan.laid_m3, "m3", sheet.system))


def _words_of(sheet: Sheet) -> dict[str, str]:
    plan, system = sheet.plan, sheet.system
    return {
        "headline": sheet.asked.headline,
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
    if sheet.asked.possible:
        return None
    return said(f"sheet.notice.{sheet.chosen or 'largest'}", **_words_of(sheet))


def _notes(sheet: Sheet) -> list[NoteTold]:
    both = sheet.loop is not None and sheet.duct is not None
    own = notes_shown([(said("sheet.either"), OWN_MODEL)]) if both else []
    return [*own, *sheet.answer.notes]


def _materials(sheet: Sheet) -> list[ToBring]:
    """Everything to bring, one row each."""
    listed_, layout = sheet.answer.build_list, sheet.answer.layout
    rows = [_bulk(part) for part in listed_.materials]
    feed = listed_.nitrogen
    if feed is not None:
        half = said("sheet.item.feed", count=str(feed.split))
        rows.append(_row(feed.material, feed.name, half, mass=feed.amount))
    rows.append(_row("water", said("sheet.item.water"), said("sheet.item.soak"), water=listed_.water))
    cover = sheet.request.cover
    if cover != "none":
        name = said(f"sheet.item.cover.{cover or 'clear_film'}")
        rows.append(_row("cover", name, said("sheet.item.to-cover"), area=listed_.film))
    loop, duct, inside = layout.loop, layout.duct, said("sheet.item.inside")
    if loop is not None:
        rows.append(_row("loop", said(f"sheet.item.tube.{loop.tube}"), inside, length=loop.length, to_buy=loop.to_buy))
    if duct is not None:
        rows.append(
            _row(
                "duct",
                said("sheet.item.duct", size=on_tape(DUCT_M, sheet.system)),
                inside,
                length=duct.length,
                to_buy=duct.to_buy,
            )
        )
    longest = max(probe.depth_m for probe in probes_of(sheet.shape))
    probe = measured(Estimate.exact(longest), "length", sheet.system)
    rows.append(_row("probe", said("sheet.item.probe"), said("sheet.item.reach"), length=probe))
    return rows


def _bulk(part: Portion) -> ToBring:
    """One thing of the mix; what is liquid goes by no barrow."""
    liquid = "liquid" in MATERIALS[part.material].traits
    barrows = None if liquid else part.barrows
    use = said("sheet.item.pour" if liquid else "sheet.item.lay")
    return _row(part.material, part.name, use, mass=part.mass, volume=part.volume, barrows=barrows)


def _row(
    item: str,
    name: str,
    use: str,
    *,
    mass: Quantity | None = None,
    volume: Quantity | None = None,
    barrows: float | None = None,
    water: Quantity | None = None,
    area: Quantity | None = None,
    length: Quantity | None = None,
    to_buy: Plain | None = None,
) -> ToBring:
    return ToBring(
        item=item,
        name=name,
        use=use,
        mass=mass,
        volume=volume,
        barrows=barrows,
        water=water,
        area=area,
        length=length,
        to_buy=to_buy,
    )


def _layer(number: int, layer: Layer, sheet: Sheet) -> LayerShown:
    carrying = carrying_of(MixRequest.model_construct(units=sheet.system, barrow=sheet.request.barrow))
    mix, laid = sheet.plan.wanted.mix, sheet.plan.laid_m3

    def exact(value: float, dimension: Dimension) -> Plain:
        return exactly(value, dimension, sheet.system)

    names = listed([name_in_sentence(stuff.material) for stuff, _ in layer.parts])
    return LayerShown(
        number=number,
        kind=layer.kind,
        name=said(f"sheet.layer.{layer.kind}", names=names),
        lower=exact(layer.from_m, "length"),
        to=exact(layer.to_m, "length"),
        thickness=exact(layer.thickness_m, "length"),
        volume=exact(layer.volume_m3, "volume"),
        mass=exact(sum(mass for _, mass in layer.parts), "mass"),
        barrows=round_off(layer.volume_m3 / carrying.barrow_m3),
        water=exact(layer.wet_share * mix.water.value * laid, "water"),
        parts=[
            LayerPart(material=stuff.material.id, name=name_in_sentence(stuff.material), mass=exact(mass, "mass"))
            for stuff, mass in layer.parts
        ],
    )


def _probe(probe: ProbeSpot, sheet: Sheet) -> ProbePlace:
    def metres(value: float) -> Plain:
        return exactly(value, "length", sheet.system)

    return ProbePlace(
        letter=probe.letter,
        what=probe.what,
        depth=metres(probe.depth_m),
        from_centre=metres(probe.from_centre_m),
        above_ground=metres(probe.above_ground_m),
        enters_at=metres(probe.enters_at_m),
    )


def _description(sheet: Sheet, drawing: Drawing) -> str:
    """The drawing in words."""
    layout = sheet.answer.layout
    told = {
        name: "" if part is None else f"{said(f'sheet.{name}')}: {part.text} "
        for name, part in (("loop", layout.loop), ("duct", layout.duct))
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
