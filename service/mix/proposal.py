"""A proposal as it goes out: amounts, order of laying, and, where no mix can be made, what is in the way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from rules.catalogue import said
from rules.tables.mix_ranges import RANGES
from service.answer.quantities import round_off
from service.mix.amounts import Proposal, propose
from service.mix.carrying import Carrying, amount_and_name, carried_in_words, laying_order, portion
from service.mix.judgement import UNITS, judge
from service.mix.limits import SHAPES, Bound, Limit
from service.mix.matter import MixPart, total
from service.mix.measures import plain_measures
from service.mix.obstacles import Obstacle, ToGet, obstacles, worth_getting
from service.mix.programme import Key, Programme
from service.mix.question import MixChoice
from service.mix.shapes.answer import InTheWay, MixLimitShown, MixProposal, Plain, ToGetShown
from service.mix.sources import mix_source_shown
from service.mix.words import name_in_sentence
from service.render.wording import DIMENSION_OF, in_words, listed
from service.units.figures import figure
from service.units.quantities import Dimension, System, to_units

DIGITS: Final = figure(3, "digits", "Digits that amounts are told in", "no source")
TO_SPARE: Final = figure(
    1.005,
    "1",
    "What is to be got is told with half a percent to spare, so that rounding never leaves it short",
    "no source",
)
NO_DISTANCE: Final = figure(1e-6, "1", "A mix no further than this from its limits lies on them", "no source")


def proposed(programme: Programme, carrying: Carrying) -> MixProposal:
    """The proposal for one question."""
    found = propose(programme)
    possible = found is not None and found.possible
    blocking = [] if possible else obstacles(programme)
    parts = [] if found is None else programme.mixture(found.masses)
    in_the_way = [
        *(_obstacle(programme, each, carrying.system, alone=True) for each in blocking),
        *(_obstacle(programme, each, carrying.system, alone=False) for each in _together(programme, blocking, found)),
    ]
    to_get = [] if possible else [_to_get(each, carrying) for each in worth_getting(programme, blocking)]
    added = [] if found is None else list(zip(programme.choices, found.masses, strict=True))
    add = [(choice.stuff, mass) for choice, mass in added if mass > 0]
    return MixProposal(
        possible=possible,
        text=_text(add, in_the_way, to_get, carrying, possible=possible),
        distance=None if found is None else round_off(found.distance if found.distance > NO_DISTANCE else 0.0),
        add=[portion(part, carrying) for part in add],
        order=laying_order(parts, carrying) if parts else [],
        result=judge(parts, carrying, sized=True) if parts else None,
        limits=list(_limits(programme.limits, parts, carrying.system)),
        in_the_way=in_the_way,
        to_get=to_get,
    )


def _text(
    add: Sequence[MixPart],
    in_the_way: Sequence[InTheWay],
    to_get: Sequence[ToGetShown],
    carrying: Carrying,
    *,
    possible: bool,
) -> str:
    """The proposal in a few sentences."""
    things = listed([amount_and_name(part, carrying) for part in add] or [said("mix.nothing")])
    if possible:
        return said("mix.take", things=things)
    sentences = [in_the_way[0].text if in_the_way else said("mix.nothing-to-mix")]
    sentences += [get.text for get in to_get[:1]]
    if add:
        sentences.append(said("mix.nearest", things=things))
    return " ".join(sentences)


def _limits(limits: Sequence[Limit], parts: Sequence[MixPart], system: System) -> Iterator[MixLimitShown]:
    """Each limit with where the mix stands."""
    sums = total(parts)
    reached = plain_measures(sums)
    for limit in limits:
        value, unit = reached[limit.id], limit.unit_size
        low, high = (None if end is None else end / unit for end in (limit.low, limit.high))
        yield MixLimitShown(
            limit=limit.id,
            low=None if low is None else round_off(low),
            high=None if high is None else round_off(high),
            unit=RANGES[limit.id].unit,
            asked=limit.asked,
            reached=None if value is None else round_off(value),
            kept=bool(parts) and limit.kept_by(sums),
            source=None if limit.asked else mix_source_shown(limit.source),
        )


def _together(programme: Programme, alone: Sequence[Obstacle], found: Proposal | None) -> list[Obstacle]:
    """What the nearest mix breaks, where nothing stands in the way by itself."""
    if alone or found is None or found.possible:
        return []
    sums = total(programme.mixture(found.masses))
    reached = plain_measures(sums)
    by_field = {choice.stuff.field: mass for choice, mass in zip(programme.choices, found.masses, strict=True)}
    told = []
    for key in found.missed:
        if key[0] in SHAPES:
            value = reached[key[0]]
            told.append(Obstacle(key, None if value is None else value * (0.01 if UNITS[key[0]] == "%" else 1.0)))
        elif key[0] == "size":
            told.append(Obstacle(key, programme.size.in_sums(sums) if programme.size else None))
        else:
            told.append(Obstacle(key, by_field[key[1]]))
    return told


def _obstacle(programme: Programme, found: Obstacle, system: System, *, alone: bool) -> InTheWay:
    """One condition that is in the way."""
    kind, side = found.key
    by_id = {limit.id: limit for limit in programme.limits}
    by_field = {choice.stuff.field: choice for choice in programme.choices}
    if kind in by_id:
        return _limit_in_the_way(by_id[kind], "high" if side == "high" else "low", found.would_do, system, alone=alone)
    if kind in ("most", "least"):
        return _amount_in_the_way(by_field[side], found.key, found.would_do, system, alone=alone)
    if kind == "size" and programme.size is not None:
        unit = "m3" if programme.size.of == "volume" else "kg"
        up = side == "high"
        asked, would_do = programme.size.amount, found.would_do or 0.0
        sentence = f"mix.in-the-way.size-{side if alone else 'together'}"
        text = said(sentence, asked=in_words(asked, unit, system), would_do=in_words(would_do, unit, system))
        shown = _shown(asked, unit, system), _shown(would_do, unit, system, up=up)
        return _entry(kind, f"/want/{programme.size.of}", *shown, text, alone=alone)
    return _entry(kind, None, None, None, said(f"mix.in-the-way.{kind}"), alone=alone)


def _limit_in_the_way(limit: Limit, side: Bound, would_do: float | None, system: System, *, alone: bool) -> InTheWay:
    unit, one = RANGES[limit.id].unit, limit.unit_size
    asked = (limit.bound(side) or 0.0) / one
    reached = None if would_do is None else _outward(would_do / one, up=side == "high")
    text = said(
        f"mix.in-the-way.{'limit' if alone else 'together'}",
        bound=said(f"mix.bound.{side}"),
        asked=in_words(asked, unit, system),
        name=said(f"mix.limit.{limit.id}"),
        would_do=said("mix.none-of-it") if reached is None else f"{reached:g}{' %' if unit == '%' else ''}",
    )
    shown = _shown(asked, unit, system), None if reached is None else Plain(value=reached, unit=unit)
    return _entry(limit.id, f"/limits/{limit.id}/{side}", *shown, text, alone=alone)


def _amount_in_the_way(choice: MixChoice, key: Key, would_do: float | None, system: System, *, alone: bool) -> InTheWay:
    kind, field = key
    asked = (choice.most_kg if kind == "most" else choice.least_kg) or 0.0
    reached = would_do or 0.0
    sentence = kind if kind == "most" or alone else "least-together"
    text = said(
        f"mix.in-the-way.{sentence}",
        name=name_in_sentence(choice.stuff.material),
        asked=in_words(asked, "kg", system),
        would_do=in_words(reached, "kg", system),
    )
    shown = _shown(asked, "kg", system), _shown(reached, "kg", system, up=kind == "most")
    return _entry(kind, f"{field}/{kind}", *shown, text, alone=alone)


def _entry(
    kind: str,
    field: str | None,
    asked: Plain | None,
    would_do: Plain | None,
    text: str,
    *,
    alone: bool,
) -> InTheWay:
    return InTheWay(limit=kind, field=field, asked=asked, would_do=would_do, alone=alone, text=text)


def _shown(value: float, unit: str, system: System, *, up: bool | None = None) -> Plain:
    """A value in the reader's unit, rounded to the near side, or away from what was asked where `up` says so."""
    dimension: Dimension = DIMENSION_OF[unit][0]
    number, name = to_units(value, dimension, system)
    return Plain(value=round_off(number) if up is None else _outward(number, up=up), unit=name)


def _outward(number: float, *, up: bool) -> float:
    """Three digits that count, rounded so that the limit moved there is certain to do."""
    if number <= 0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(number)) - DIGITS + 1)
    slack = 1e-7 if up else -1e-7
    count = math.ceil(number / step - slack) if up else math.floor(number / step - slack)
    return round_off(count * step)


def _to_get(found: ToGet, carrying: Carrying) -> ToGetShown:
    part = (found.choice.stuff, found.more_kg * TO_SPARE)
    more = found.choice.most_kg is not None
    text = said(
        f"mix.get-{'more' if more else 'new'}",
        amount=carried_in_words(part, carrying),
        name=name_in_sentence(found.choice.stuff.material),
    )
    return ToGetShown(**dict(portion(part, carrying)) | {"more": more, "text": text})
