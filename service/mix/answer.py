"""The answer to a question about a mix, as it goes out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from rules.catalogue import said
from rules.version import knowledge_version
from service.answer.quantities import assumed_shown, measured, read_as_shown
from service.answer.shapes.part import Assumed
from service.mix.carrying import assumed_vessels, carrying_of
from service.mix.judgement import judge
from service.mix.limits import limits_of
from service.mix.matter import Stuff
from service.mix.programme import Programme
from service.mix.proposal import proposed
from service.mix.question import BY_ITSELF, DEFAULT_VOLUME_M3, choices_of, recipe_of, size_of_proposal
from service.mix.shapes.answer import Compared, JudgedMix, Mix, MixProposal
from service.mix.shapes.question import MixRequest
from service.units.estimate import Estimate
from service.units.quantities import Dimension, System

TOLD_FIRST: Final = ("moisture", "free_air_space", "c_to_n", "soft_matter", "bulk_density")
"""Numbers that decide whether a mix works, the one to mend first in front."""


def answer_mix(request: MixRequest) -> Mix:
    """Judge the recipe and propose amounts, whichever was asked for. The same question gives the same answer."""
    carrying, base, choices = carrying_of(request), recipe_of(request), choices_of(request)
    sized = request.want is not None or any(part.amount is not None for part in request.recipe or [])
    recipe = judge(base, carrying, sized=sized) if base else None
    proposal = None
    if request.on_hand:
        programme = Programme(base, choices, limits_of(request.limits), size_of_proposal(request))
        proposal = proposed(programme, carrying)
    listed = [*(stuff for stuff, _ in base), *(choice.stuff for choice in choices if request.on_hand)]
    return Mix(
        knowledge_version=knowledge_version(),
        units=request.units,
        headline=_headline(recipe, proposal),
        recipe=recipe,
        proposal=proposal,
        barrow=carrying.holds(carrying.barrow_m3),
        bucket=carrying.holds(carrying.bucket_m3),
        assumed=[*_assumed(listed, request.units), *_assumed_size(request), *assumed_vessels(carrying)],
        read_as=read_as_shown(request.read_as),
    )


def _headline(recipe: JudgedMix | None, proposal: MixProposal | None) -> str:
    sentences = []
    if recipe is not None:
        numbers: list[Compared] = [getattr(recipe.numbers, name) for name in TOLD_FIRST]
        faults = [number.text for number in numbers if number.verdict.startswith("too_")]
        sentences.append(faults[0] if faults else said("mix.good-recipe"))
    if proposal is not None:
        sentences.append(proposal.text)
    return " ".join(sentences)


def _assumed(listed: Sequence[Stuff], system: System) -> Iterator[Assumed]:
    """Figures of the listed things that were taken from the materials' pages."""
    for stuff in listed:
        if stuff.field == BY_ITSELF:
            continue
        nitrogen, own_ratio = stuff.figures["nitrogen"], stuff.material.c_to_n
        told: list[tuple[str, Estimate, Dimension, float]] = [
            ("moisture", stuff.figures["moisture"], "percent", 100.0),
            ("density", stuff.figures["density"], "density", 1.0),
        ]
        if own_ratio is not None:
            ratio = Estimate(own_ratio.value, own_ratio.low, own_ratio.high, nitrogen.basis)
            told.append(("c_to_n", ratio, "ratio", 1.0))
        for name, figure, dimension, scale in told:
            if figure.basis == "assumed" and figure.high > figure.low:
                scaled = Estimate(figure.value * scale, figure.low * scale, figure.high * scale, "assumed")
                why = said("mix.why.typical", name=said(f"material.{stuff.material.id}.name"))
                yield assumed_shown(f"{stuff.field}/{name}", measured(scaled, dimension, system), why)


def _assumed_size(request: MixRequest) -> Iterator[Assumed]:
    by_share = any(part.share is not None for part in request.recipe or [])
    if request.want is None and (by_share or (request.on_hand and size_of_proposal(request) is not None)):
        size = measured(Estimate.exact(DEFAULT_VOLUME_M3), "volume", request.units)
        yield assumed_shown("/want/volume", size, said("mix.why.size"))
